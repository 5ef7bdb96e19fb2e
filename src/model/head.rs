//! What the head of a sheet says, and the lines of it that are words to the reader: its question, and the language it is in.

use crate::diagnostics::catalogue::machines::{FieldTwice, HeadValue, ValueMissing};
use crate::model::decision::{DecisionRule, Expansion};
use crate::model::resolve::Resolver;
use crate::model::revisions::Revised;
use crate::model::settings::{Matched, plain};
use crate::source::Tag;
use crate::units::Unit;

/// The head of the sheet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Head {
    /// Number.
    pub number: String,
    /// Title.
    pub title: String,
    /// What the sheet is to answer; perhaps empty.
    pub question: String,
    /// The language its author writes in, where the head says; that of the house otherwise.
    pub language: Option<Tag>,
    /// The other cells of the title block, label and value, in the order of the page.
    pub cells: Vec<(String, String)>,
    /// The revision record, first to last.
    pub revisions: Vec<Revised>,
    /// `lift`, `pull`, `bench`, `lesson`; perhaps empty.
    pub duty: String,
    /// The system of units asked for: US customary when true.
    pub us_customary: Option<bool>,
    /// Units to print results in where the author asks for none, one a quantity.
    pub preferred: Vec<Unit>,
    /// The decision rule stated; none when the default holds.
    pub rule: Option<DecisionRule>,
    /// How results are expanded, as stated; none when the default holds, a factor of 2.
    pub coverage: Option<Expansion>,
    /// Whether terms of second order are counted in.
    pub second_order: bool,
}

impl Resolver<'_> {
    /// A line `question` or `language`; stated twice, the first holds.
    pub(super) fn words(&mut self, found: &Matched<'_>, head: &mut Head) {
        let said = plain(found.rest).trim().to_string();
        let again = if found.name == "question" { !head.question.is_empty() } else { head.language.is_some() };
        if again {
            return self.put(found.name_at, &FieldTwice { name: found.name.clone() });
        }
        if found.name == "question" {
            if said.is_empty() {
                let wants = "what the sheet is to answer, in quotation marks".into();
                return self.put(found.name_at, &ValueMissing { name: found.name.clone(), wants });
            }
            head.question = said;
            return;
        }
        head.language = Tag::read(&said);
        if head.language.is_none() {
            let wanted = "the tag of a language (BCP 47), as in `en`, `de` or `pt-BR`,".into();
            self.put(found.rest_at, &HeadValue { name: found.name.clone(), found: said, wanted });
        }
    }
}
