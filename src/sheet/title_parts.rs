//! What is printed at the head of a sheet: its title block, its answer, and the record of its revisions.

use schemars::JsonSchema;
use serde::Serialize;

/// The cells of the title block (after ISO 7200): label above value.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema, Default)]
pub struct TitleBlock {
    /// Sheet number, perhaps empty.
    pub number: String,
    /// Title.
    pub title: String,
    /// What the sheet is to answer, as its author asks it; empty where only the title says so.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub question: String,
    /// The language its author writes in (BCP 47), where the head says; empty where it is that of the house.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub language: String,
    /// The other cells, in order: revision, date, originator, checker, approver, duty, project ...
    pub cells: Vec<Cell>,
}

/// One cell of the title block.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Cell {
    /// Small label.
    pub label: String,
    /// Value.
    pub value: String,
}

/// One line of the answer.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AnswerLine {
    /// What it answers: "Question", "Governing check" ...
    pub label: String,
    /// The answer in words.
    pub text: String,
    /// Anchor of the first thing that it speaks of, perhaps empty.
    pub anchor: String,
    /// The same words piece by piece, each with where it leads.
    pub parts: Vec<AnswerPart>,
}

/// A piece of a line of the answer.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AnswerPart {
    /// Its words.
    pub text: String,
    /// Anchor they lead to, perhaps empty.
    pub anchor: String,
}

/// One line of the revision record.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RevisionRow {
    /// Its letter or number.
    pub revision: String,
    /// The day, as ISO 8601 writes it.
    pub date: String,
    /// Who made it.
    pub by: String,
    /// Why.
    pub why: String,
}
