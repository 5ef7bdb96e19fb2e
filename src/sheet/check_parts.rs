//! What is printed of a check.

use crate::sheet::parts::{Cell, Figure, Math};
use schemars::JsonSchema;
use serde::Serialize;

/// A check.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CheckRow {
    /// Printed number, `C4`.
    pub number: String,
    /// Anchor.
    pub anchor: String,
    /// Line of the document that it is stated in, from 1.
    pub line: usize,
    /// What is checked.
    pub title: String,
    /// The comparison as written, as mathematics.
    pub statement: Math,
    /// Demand.
    pub demand: Option<Figure>,
    /// Capacity; none when it is missing.
    pub capacity: Option<Figure>,
    /// Demand over capacity, as printed.
    pub utilisation: Option<Figure>,
    /// The words of the verdict: PASS, PASS WITHIN UNCERTAINTY, FAIL WITHIN UNCERTAINTY, FAIL, NOT EVALUATED
    pub verdict: String,
    /// The same for style sheets: `pass`, `fail`, `not-evaluated`, `pass-within`, `fail-within`.
    pub verdict_class: String,
    /// Whether the decision rule of the sheet accepts it; none when it was not evaluated.
    pub accepted: Option<bool>,
    /// Capacity less demand with the doubt of that difference; none when it was not evaluated.
    pub margin: Option<Figure>,
    /// The chance, from 0 to 1, that the comparison is in truth the other way; none without doubt.
    pub chance_of_error: Option<f64>,
    /// The same as printed: `2.3 %`; empty without doubt.
    pub chance: String,
    /// Why it was not evaluated or not accepted, or another remark; perhaps empty.
    pub remark: String,
    /// Reference, perhaps empty.
    pub reference: String,
    /// The gear it leans on: what each is rated by, its edition, the file it is listed in, when it is to be inspected.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub limits: Vec<Cell>,
    /// Whether this is the governing check.
    pub governing: bool,
    /// Anchors of the lines and inputs that it compares.
    pub worked_from: Vec<String>,
}
