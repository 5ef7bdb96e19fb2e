//! What is printed of laws and agreements.

use crate::sheet::parts::{Figure, Math, SketchPart};
use schemars::JsonSchema;
use serde::Serialize;

/// A law: a straight line through readings of effort and load.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LawReport {
    /// Printed number, `L1`.
    pub number: String,
    /// Anchor.
    pub anchor: String,
    /// The name in the source.
    pub name: String,
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// What was fitted, in words.
    pub caption: String,
    /// The law with its numbers.
    pub equation: Math,
    /// The parts of the line and what follows from them.
    pub rows: Vec<LawRow>,
    /// The correlation of slope and no-load effort to three digits; empty where they have no doubt.
    pub correlation: String,
    /// The same in full.
    pub correlation_value: Option<f64>,
    /// One row a trial.
    pub trials: Vec<LawTrial>,
    /// What else a reader has to know.
    pub remarks: Vec<String>,
    /// Effort against load, efficiency against load where it is known, residuals.
    pub plots: Vec<SketchPart>,
}

/// A part of a law.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LawRow {
    /// What it is: "Slope", "Limiting efficiency" ...
    pub quantity: String,
    /// Its value; none when it could not be worked.
    pub figure: Option<Figure>,
    /// Where it comes from: `1 / slope`; perhaps empty.
    pub basis: String,
    /// The name in the source.
    pub name: String,
}

/// One trial beside the line.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LawTrial {
    /// Its place in the lists, from 1.
    pub number: usize,
    /// The load as read.
    pub load: Figure,
    /// The effort as read.
    pub effort: Figure,
    /// The effort of the law at that load.
    pub of_law: Figure,
    /// Effort read less effort of the law.
    pub residual: Figure,
    /// The efficiency of the trial, where a velocity ratio is known.
    pub efficiency: Option<Figure>,
}

/// A prediction beside what was measured.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AgreementRow {
    /// Printed number, `A1`.
    pub number: String,
    /// Anchor.
    pub anchor: String,
    /// What is compared.
    pub title: String,
    /// What was predicted, as mathematics.
    pub prediction: Math,
    /// What was measured, as mathematics.
    pub measurement: Math,
    /// The predicted value.
    pub predicted: Option<Figure>,
    /// The measured value.
    pub measured: Option<Figure>,
    /// Measured less predicted, with the doubt of that difference.
    pub difference: Option<Figure>,
    /// The difference as a share of the measured value: `2.1 %`; empty where that says nothing.
    pub share: String,
    /// The normalised error: the size of the difference over its expanded uncertainty; none where there is no doubt.
    pub normalised_error: Option<f64>,
    /// The same as printed.
    pub normalised: String,
    /// Whether they agree; none where it cannot be judged.
    pub agrees: Option<bool>,
    /// The finding in words.
    pub words: String,
    /// References; perhaps empty.
    pub reference: String,
}
