//! The house style: what a team settles once, in the project file, for all its sheets.
//!
//! *Takes and gives*: the text of a `parbuckle.toml` in; a [`House`] out, with a default for whatever it does not settle.
//! *Never*: looks for the file, opens what it names, or prints anything.
//! *To add*: a key is a field of [`House`] or of one of its tables, its reading in `keys.rs`, and a row of README.

mod keys;
mod read;
#[cfg(test)]
mod tests;

pub use read::read;

use crate::source::{Extent, SheetPath, Tag};
use crate::units::Unit;
use crate::words::{DateForm, DecimalSign, Language, Voice};
use std::collections::BTreeMap;

/// The name of a project file.
pub const FILE: &str = "parbuckle.toml";

/// What a team has settled. [`House::default`] is what holds without a project file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct House {
    /// The project file; none where there is none.
    pub file: Option<SheetPath>,
    /// The legal owner, for the title block; perhaps empty.
    pub owner: String,
    /// The picture of the owner, from the root of the project: SVG or PNG.
    pub logo: Option<SheetPath>,
    /// What sheets are printed on.
    pub paper: Option<Paper>,
    /// The system of units asked for: US customary when true.
    pub us_customary: Option<bool>,
    /// Units to print results in, one a quantity; those of a sheet's own head go before.
    pub preferred: Vec<Unit>,
    /// The sign between units and tenths.
    pub decimal_sign: DecimalSign,
    /// The language of what the page prints of itself.
    pub language: Language,
    /// The language that its authors write in, where it is another.
    pub author_language: Option<Tag>,
    /// How a date is written.
    pub date_form: DateForm,
    /// What is printed in the margin of each printed page, by status.
    pub status_legend: BTreeMap<StatusWord, String>,
    /// The folder whose files replace parts of the page, from the root of the project.
    pub templates: Option<SheetPath>,
    /// Where the project file names it.
    pub templates_at: Extent,
    /// What a sheet of this house may not be without.
    pub demands: Demands,
    /// By how much a result may differ from an accepted one, as a share; none where the house does not say.
    pub tolerance: Option<f64>,
}

impl House {
    /// The voice that its pages are in.
    pub fn voice(&self) -> Voice {
        Voice {
            language: self.language,
            decimal_sign: self.decimal_sign,
            date_form: self.date_form,
            author: self.author_language.unwrap_or(self.language.tag()),
        }
    }
}

/// A size of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// A4 of ISO 216.
    #[default]
    A4,
    /// Letter of ANSI/ASME Y14.1 (size A).
    Letter,
}

impl Paper {
    /// Its name in a style sheet.
    pub fn size(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::Letter => "letter",
        }
    }
}

/// What a sheet may be relied on for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum StatusWord {
    /// Somebody is at work on it.
    Draft,
    /// Its originator has handed it over.
    ForReview,
    /// Somebody else has checked it.
    Checked,
    /// It may be worked to.
    Approved,
    /// Another sheet stands in its place.
    Superseded,
    /// It holds no more.
    Void,
}

impl StatusWord {
    /// All of them, with their keys in the project file.
    pub const KEYS: [(&'static str, StatusWord); 6] = [
        ("draft", StatusWord::Draft),
        ("for_review", StatusWord::ForReview),
        ("checked", StatusWord::Checked),
        ("approved", StatusWord::Approved),
        ("superseded", StatusWord::Superseded),
        ("void", StatusWord::Void),
    ];
}

/// What a sheet of the house may not be without. What is refused makes the exit status of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Demands {
    /// A check that could not be evaluated is refused.
    pub refuses_not_evaluated: bool,
    /// An assumption that nobody has confirmed is refused.
    pub refuses_open_assumptions: bool,
    /// The sign-off that every sheet must have.
    pub sign_off: SignOff,
}

/// A demand for signatures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SignOff {
    /// None.
    #[default]
    None,
    /// A current record of a checker.
    Checked,
    /// A current record of an approver as well.
    Approved,
}
