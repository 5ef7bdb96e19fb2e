//! What a value is, what it rests on and what moves with it, as plain data.

use crate::sheet::parts::{Budget, Figure, InputRow, Math};
use schemars::JsonSchema;
use serde::Serialize;

/// One value of a sheet: what it is, what it rests on, and what moves with it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Impact {
    /// Path of the sheet from the project root.
    pub path: String,
    /// Number of the sheet, perhaps empty.
    pub number: String,
    /// Title of the sheet.
    pub title: String,
    /// The name that the value goes by in this sheet, `locker.rope.rated`, with its item where one was asked for.
    pub name: String,
    /// What it is on the sheet: "an input", "a rating", "a line of working" ...
    pub part: String,
    /// What is stated of it: value, doubt, evidence; of a worked value its value alone.
    pub row: InputRow,
    /// Its value; none where it could not be worked, and for a list.
    pub value: Option<Figure>,
    /// The formula of a worked value.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub formula: Option<Math>,
    /// The file that it is written in, and the line there.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
    /// The step that is taken; none where there is none to take.
    pub step: Option<StepTaken>,
    /// Why no step is taken, or what else is to be known of it; perhaps empty.
    pub remark: String,
    /// The checks that move, those first whose verdict changes, then the most moved.
    pub checks: Vec<MovedCheck>,
    /// The results that move: lines of working, laws, predictions less measurements, and what machines and trains come to; the
    /// most moved first.
    pub results: Vec<MovedValue>,
    /// What else moves: forces and other values inside machines.
    pub inside: Vec<MovedValue>,
    /// Inputs that it rests on.
    pub inputs: Vec<InputRow>,
    /// What it is worked from directly, by name.
    pub worked_from: Vec<String>,
    /// What is worked from it directly: names of values, and checks and agreements by their titles.
    pub used_by: Vec<String>,
    /// Where the doubt of a worked value comes from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub budget: Option<Budget>,
}

/// The step that a value is moved by.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StepTaken {
    /// `standard uncertainty`, `one per cent` where no doubt is stated, or `one more` of a count.
    pub sort: String,
    /// The step as printed, with its sign: `+0.058 kN`.
    pub text: String,
    /// In the coherent SI unit.
    pub si: f64,
}

/// A value that moves.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MovedValue {
    /// Its name, with its item in a list.
    pub name: String,
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// As it stands.
    pub now: Figure,
    /// The change as printed, with its sign: `+23 N`; why there is none where the sheet worked anew has no value here.
    pub change: String,
    /// The change in the coherent SI unit; none where the sheet worked anew has no value here.
    pub change_si: Option<f64>,
    /// The change as a share of the value; none where that is nought.
    pub share: Option<f64>,
    /// The same as printed, with its sign: `+0.77 %`; empty where there is none.
    pub percent: String,
    /// For a step of one standard uncertainty of an input, the square of the change over that of the result's standard uncertainty:
    /// the share of its variance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub of_variance: Option<f64>,
    /// The same as printed; empty where there is none.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub variance_percent: String,
}

/// A check that moves.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MovedCheck {
    /// Printed number, `C4`.
    pub number: String,
    /// What is checked.
    pub title: String,
    /// Demand over capacity as it stands, as printed; empty where there is none.
    pub utilisation: String,
    /// The same after the step.
    pub utilisation_then: String,
    /// Capacity less demand as it stands.
    pub margin: Option<Figure>,
    /// The change of that difference as printed, with its sign.
    pub margin_change: String,
    /// The same in the coherent SI unit.
    pub margin_change_si: Option<f64>,
    /// The verdict as it stands.
    pub verdict: String,
    /// The verdict after the step.
    pub verdict_then: String,
    /// The verdict after the same step the other way; empty where none is taken.
    pub verdict_back: String,
    /// Whether one of them is another than the present one.
    pub changes: bool,
}

/// What a name might have been that a sheet does not have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoSuchValue {
    /// What is wrong, in one sentence without a full stop.
    pub what: String,
    /// What may have been meant.
    pub help: String,
}

/// What moves with one doubtful input, for one standard uncertainty of it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MoveRow {
    /// Anchor of the input.
    pub anchor: String,
    /// Its name, with its item in a list.
    pub name: String,
    /// The symbol.
    pub symbol: Math,
    /// Its standard uncertainty as printed, with the sign of the step: `+0.058 kN`.
    pub step: String,
    /// The checks that move, the most moved first.
    pub checks: Vec<MoveOfCheck>,
    /// The results that move, the most moved first.
    pub results: Vec<MoveOfResult>,
}

/// By how much a check moves with an input.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MoveOfCheck {
    /// Printed number, `C4`.
    pub number: String,
    /// Anchor of the check.
    pub anchor: String,
    /// Demand over capacity before and after the step, as printed; empty where there is none.
    pub utilisation: String,
    /// The same after the step.
    pub utilisation_then: String,
    /// The change of capacity less demand as printed, with its sign; empty where a difference has no place in its unit.
    pub change: String,
    /// The other verdict that the step, up or down, makes of it; empty where the verdict stays.
    pub verdict: String,
}

/// By how much a result moves with an input.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MoveOfResult {
    /// Its name, with its item in a list.
    pub name: String,
    /// Anchor of its line.
    pub anchor: String,
    /// The change as printed, with its sign.
    pub change: String,
    /// The same as a share of the value; empty where that is nought.
    pub percent: String,
}
