//! What is printed at the head of a sheet: its title block and the record of its revisions.

use schemars::JsonSchema;
use serde::Serialize;

/// The cells of the title block (after ISO 7200): label above value.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema, Default)]
pub struct TitleBlock {
    /// Sheet number, perhaps empty.
    pub number: String,
    /// Title.
    pub title: String,
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
