//! Comparisons, and the statements that hold readings against a line, and a prediction against a measurement.

use crate::diagnostics::catalogue::comparing::{AgreementIncomplete, LawIncomplete};
use crate::source::Extent;
use crate::syntax::ast::{Evidence, Expression, Name, Quoted, Setting, UnitText};
use crate::syntax::expression::{Fault, Lowered, Reader};
use crate::syntax::lower::child;
use crate::syntax::parser::{Piece, Rule};

/// `law bench_law of efforts against loads`
#[derive(Debug, Clone, PartialEq)]
pub struct Law {
    /// Its name.
    pub name: Name,
    /// What it is, in words.
    pub label: Option<Quoted>,
    /// The efforts; without [`Law::against`], the readings that hold both.
    pub of: Expression,
    /// The loads.
    pub against: Option<Expression>,
    /// The direction whose trials are taken: `, raising`.
    pub direction: Option<Name>,
    /// `errors in both`, `velocity ratio 5`.
    pub settings: Vec<Setting>,
    /// Where the head line stands.
    pub at: Extent,
}

/// `agreement "effort at the hand": falls.effort with pull`
#[derive(Debug, Clone, PartialEq)]
pub struct Agreement {
    /// What is compared, in words.
    pub title: Quoted,
    /// What was predicted.
    pub predicted: Expression,
    /// What was measured.
    pub measured: Expression,
    /// The unit both are shown in.
    pub shown_in: Option<UnitText>,
    /// References.
    pub evidence: Vec<Evidence>,
    /// Where.
    pub at: Extent,
}

/// `a <= b`
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Left side.
    pub left: Expression,
    /// Which way.
    pub relation: Relation,
    /// Right side.
    pub right: Expression,
    /// Where the sign stands.
    pub relation_at: Extent,
    /// Where.
    pub at: Extent,
}

/// The signs of comparison.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Relation {
    /// `<=`, `≤`
    AtMost,
    /// `<`
    Below,
    /// `>=`, `≥`
    AtLeast,
    /// `>`
    Above,
    /// `=`: only in the guards of a kind, and only between counts.
    Equal,
}

fn expressions<'t>(piece: &Piece<'t>) -> impl Iterator<Item = Piece<'t>> {
    piece.clone().into_inner().filter(|inner| inner.as_rule() == Rule::expression)
}

impl Reader {
    pub(super) fn law(&self, piece: &Piece<'_>, settings: Vec<Setting>, at: Extent) -> Lowered<Law> {
        let of = self.promised(expressions(piece).next(), at, "readings")?;
        let against = match child(piece, Rule::against) {
            Some(against) => Some(self.expression(&self.promised(expressions(&against).next(), at, "loads")?)?),
            None => None,
        };
        Ok(Law {
            name: self.name_in(piece)?,
            label: self.label_in(piece),
            of: self.expression(&of)?,
            against,
            direction: child(piece, Rule::word_state).map(|state| self.name(&state)),
            settings,
            at,
        })
    }

    pub(super) fn agreement(&self, piece: &Piece<'_>, at: Extent) -> Lowered<Agreement> {
        let mut sides = expressions(piece);
        let predicted = self.promised(sides.next(), at, "a prediction")?;
        let measured = self.promised(sides.next(), at, "a measured value")?;
        Ok(Agreement {
            title: self.promised(self.label_in(piece), at, "a title")?,
            predicted: self.expression(&predicted)?,
            measured: self.expression(&measured)?,
            shown_in: child(piece, Rule::as_unit).and_then(|unit| self.shown_in(&unit)),
            evidence: self.evidence_in(piece)?,
            at,
        })
    }
}

/// The part of a `law` or an `agreement` that is missing where the parser stopped.
pub(super) fn incomplete(form: &str, before: &str, found: &str, place: Extent, wants: &dyn Fn(Rule) -> bool) -> Option<Fault> {
    let last = before.rsplit(|c: char| !(c.is_alphanumeric() || c == '_')).next().unwrap_or("");
    if form == "law" {
        let missing = if wants(Rule::word_of) {
            "`of` and the readings"
        } else if last == "of" {
            "readings behind `of`"
        } else if last == "against" {
            "loads behind `against`"
        } else if before.ends_with(',') && wants(Rule::word_state) {
            "`raising`, `holding` or `lowering` behind the comma"
        } else {
            return None;
        };
        return Some(Fault::new(place, LawIncomplete { missing: missing.into() }));
    }
    let missing = if before == form {
        "a title in quotation marks"
    } else if wants(Rule::colon) {
        "`:` behind the title"
    } else if before.ends_with(':') {
        "the prediction"
    } else if last == "with" {
        "the measured value behind `with`"
    } else if wants(Rule::word_with) && !found.starts_with(['+', '-', '*', '/']) {
        "`with` and the measured value"
    } else {
        return None;
    };
    Some(Fault::new(place, AgreementIncomplete { missing: missing.into() }))
}
