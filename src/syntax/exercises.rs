//! `exercise`: a question to learners about a result of the sheet.

use crate::diagnostics::catalogue::exercises::ExerciseIncomplete;
use crate::source::Extent;
use crate::syntax::ast::{Expression, Quoted, Setting, UnitText};
use crate::syntax::expression::{Fault, Lowered, Reader};
use crate::syntax::lower::child;
use crate::syntax::parser::{Piece, Rule};

/// `exercise "How hard must each of them pull?": haul.effort as N`
#[derive(Debug, Clone, PartialEq)]
pub struct Exercise {
    /// The question, as learners read it.
    pub question: Quoted,
    /// The answer.
    pub asked: Expression,
    /// The unit it is shown in.
    pub shown_in: Option<UnitText>,
    /// What is given, the steps, the tolerance.
    pub settings: Vec<Setting>,
    /// Where the head line stands.
    pub at: Extent,
}

impl Reader {
    pub(super) fn exercise(&self, piece: &Piece<'_>, settings: Vec<Setting>, at: Extent) -> Lowered<Exercise> {
        let asked = piece.clone().into_inner().find(|inner| inner.as_rule() == Rule::expression);
        Ok(Exercise {
            question: self.promised(self.label_in(piece), at, "a question")?,
            asked: self.expression(&self.promised(asked, at, "a result")?)?,
            shown_in: child(piece, Rule::as_unit).and_then(|unit| self.shown_in(&unit)),
            settings,
            at,
        })
    }
}

/// The part of an `exercise` that is missing where the parser stopped.
pub(super) fn incomplete(before: &str, found: &str, place: Extent, wants: &dyn Fn(Rule) -> bool) -> Option<Fault> {
    let missing = if before == "exercise" {
        "a question in quotation marks"
    } else if wants(Rule::colon) {
        "`:` and the result that answers it"
    } else if before.ends_with(':') && found.is_empty() {
        "the result that answers it"
    } else {
        return None;
    };
    Some(Fault::new(place, ExerciseIncomplete { missing: missing.into() }))
}
