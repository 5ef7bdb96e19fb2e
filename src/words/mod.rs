//! The words that the program prints of itself, in each language that a page can have, and the voice they are said in.
//!
//! *Takes and gives*: an English text of the program in; out comes the same in the language of the page, with its holes filled.
//! *Never*: knows what a sheet, a kind or a house is, or translates what an author wrote.
//! *To add*: a text is `say!` where it is printed, and a row in the table that suits it.

mod aside;
mod drawings;
mod sheets;
#[cfg(test)]
mod tests;
mod tongues;
mod voice;

pub use crate::units::DecimalSign;
pub use tongues::{in_english, lang_of_author, lang_of_english, spoken, theirs, unmarked};
pub use voice::{
    Voice, between_numbers, composed, contracted, counted, date, filled, length, plain, row, said, speaking, template_in, text_of, voice,
    word,
};
pub(crate) use voice::{marked, say};

use crate::source::Tag;
use crate::words::aside::ASIDE;
use crate::words::drawings::DRAWINGS;
use crate::words::sheets::SHEETS;

/// A text in English and in German. The English is the key; where two texts are one in English and two in German, something
/// behind a `¦` tells them apart. `{name}` is a hole to be filled.
pub type Row = (&'static str, &'static str);

/// Every text that the program prints of itself.
pub const TABLE: &[Row] = &joined::<{ SHEETS.len() + ASIDE.len() + DRAWINGS.len() }>();

const fn joined<const N: usize>() -> [Row; N] {
    let (mut rows, mut at) = ([("", ""); N], 0);
    let mut tables: &[&[Row]] = &[SHEETS, ASIDE, DRAWINGS];
    while let [table, others @ ..] = tables {
        let mut place = 0;
        while place < table.len() {
            rows[at] = table[place];
            at += 1;
            place += 1;
        }
        tables = others;
    }
    rows
}

/// A language that the page can speak.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, PartialOrd, Ord)]
pub enum Language {
    /// English.
    #[default]
    English,
    /// German.
    German,
}

impl Language {
    /// Its tag (BCP 47), for the `lang` of a page.
    pub fn tag(self) -> Tag {
        match self {
            Language::English => Tag::ENGLISH,
            Language::German => Tag::GERMAN,
        }
    }
}

/// How a date is written. A form of figures alone that begins with the month is not among them: nobody can tell it from
/// one that begins with the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DateForm {
    /// `2026-03-12`, as ISO 8601 has it.
    #[default]
    Iso,
    /// `12.03.2026`
    DottedFigures,
    /// `12 March 2026`
    DayFirst,
    /// `March 12, 2026`
    MonthFirst,
}
