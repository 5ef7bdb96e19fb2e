//! What readings consist of when they are printed: the table as it was read, what follows for every trial and for all
//! trials of one direction, and what has to be said of it.

use crate::sheet::parts::{Figure, SketchPart, WorkingLine};
use schemars::JsonSchema;
use serde::Serialize;

/// A block of readings.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReadingsReport {
    /// Printed number, `R1`.
    pub number: String,
    /// Anchor.
    pub anchor: String,
    /// The name in the source.
    pub name: String,
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// The machine or train that was tested; empty when none is named.
    pub of: String,
    /// The file the table stands in; empty when it stands in the sheet.
    pub file: String,
    /// What was read, column by column.
    pub columns: Vec<ReadColumn>,
    /// The trials, in the order of the table.
    pub rows: Vec<ReadRow>,
    /// The trials of each direction with what follows from them.
    pub groups: Vec<ReadGroup>,
    /// Raising and lowering at equal loads; none where no load was moved both ways.
    pub pairs: Option<ReadResults>,
    /// Trials whose efficiency comes out above 100 %, with what would explain it.
    pub alarms: Vec<Alarm>,
    /// What else a reader has to know.
    pub remarks: Vec<String>,
    /// Effort over load, efficiency over load.
    pub plots: Vec<SketchPart>,
}

/// A column of readings.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReadColumn {
    /// "load", "effort travel" ...
    pub title: String,
    /// What it was read with, in words; perhaps empty.
    pub instrument: String,
}

/// A trial as it was read.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReadRow {
    /// What the trial is called.
    pub trial: String,
    /// `raising`, `holding` or `lowering`.
    pub direction: String,
    /// One a column.
    pub cells: Vec<ReadCell>,
    /// What the author says of it.
    pub remark: String,
}

/// One reading.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReadCell {
    /// Anchor.
    pub anchor: String,
    /// As it stands in the table, unit put behind.
    pub raw: String,
    /// Whether what is reckoned with differs from what was read: repeats, a zero taken off, the weight of a mass.
    pub corrected: bool,
    /// What is reckoned with.
    pub value: Option<Figure>,
    /// What the stated doubts mean; perhaps empty.
    pub doubt: String,
    /// What is said of a reading that stands off from the others; perhaps empty.
    pub mark: String,
}

/// A table of results, one row a trial.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReadResults {
    /// How each column is worked, once for all its rows.
    pub formulas: Vec<WorkingLine>,
    /// The columns, in words.
    pub columns: Vec<String>,
    /// The rows.
    pub rows: Vec<ResultRow>,
}

/// One row of results.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ResultRow {
    /// The trial; empty in a table of loads.
    pub trial: String,
    /// One figure a column; none where it could not be worked.
    pub cells: Vec<Option<Figure>>,
    /// What is said of a trial that stands off from the others; perhaps empty.
    pub mark: String,
}

/// The trials of one direction.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReadGroup {
    /// `raising`, `holding` or `lowering`.
    pub direction: String,
    /// Trial by trial.
    pub results: ReadResults,
    /// All trials together.
    pub pooled: Vec<WorkingLine>,
    /// What else a reader has to know.
    pub remarks: Vec<String>,
}

/// A measured efficiency above 100 %.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Alarm {
    /// "trial 3", "all trials raising" ...
    pub trial: String,
    /// The efficiency.
    pub efficiency: Figure,
    /// Whether 100 % lies within its expanded uncertainty.
    pub within: bool,
    /// What it means, in words.
    pub says: String,
    /// Which reading, count or unit would explain it, the nearest first.
    pub explanations: Vec<String>,
}
