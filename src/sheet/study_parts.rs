//! What is printed of `vary` and `size`.

use crate::sheet::parts::{Figure, Math, SketchPart};
use schemars::JsonSchema;
use serde::Serialize;

/// Results over a run of values (`vary`), or the value that serves (`size`).
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StudyReport {
    /// Printed number, `S2`.
    pub number: String,
    /// Anchor.
    pub anchor: String,
    /// `vary` or `size`.
    pub statement: String,
    /// The name in the source.
    pub name: String,
    /// The symbol.
    pub symbol: Math,
    /// What is tried, in words; perhaps empty.
    pub label: String,
    /// What the table shows, in words.
    pub caption: String,
    /// For `size`: everything that has to hold, as titled or written.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub conditions: Vec<String>,
    /// The answer of `size`, in sentences; empty for `vary`.
    pub answer: String,
    /// The value that serves; none for `vary` and where nothing serves.
    pub value: Option<Figure>,
    /// What the columns behind the tried value hold.
    pub columns: Vec<StudyColumn>,
    /// One row a value.
    pub rows: Vec<StudyRow>,
    /// What else a reader has to know.
    pub remarks: Vec<String>,
    /// The plot; none for `size`.
    pub plot: Option<SketchPart>,
}

/// A column of a study.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StudyColumn {
    /// What it is, in words or as written.
    pub title: String,
    /// The expression; none where it differs from row to row.
    pub symbol: Option<Math>,
}

/// One value tried.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StudyRow {
    /// The value.
    pub value: Figure,
    /// Whether it is the present value of the sheet.
    pub present: bool,
    /// Whether it is the answer of `size`.
    pub answer: bool,
    /// For `size`: whether everything holds.
    pub serves: Option<bool>,
    /// For `size`: the condition that decides, as titled or written.
    pub decides: String,
    /// One figure a column; none where something could not be worked.
    pub cells: Vec<Option<Figure>>,
    /// Why something could not be worked; perhaps empty.
    pub reason: String,
}
