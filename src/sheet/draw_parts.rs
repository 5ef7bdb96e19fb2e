//! What a sheet tells of draws: results beside their first-order values, and histograms.

use crate::sheet::parts::{Figure, Math, SketchPart};
use schemars::JsonSchema;
use serde::Serialize;

/// The distributions of results, by draws (`propagate`).
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PropagationReport {
    /// Printed number, `P1`.
    pub number: String,
    /// Anchor.
    pub anchor: String,
    /// What is shown, in words.
    pub caption: String,
    /// How many draws were made.
    pub draws: usize,
    /// How many of them count.
    pub kept: usize,
    /// The generator.
    pub generator: String,
    /// Where it starts.
    pub seed: u64,
    /// How it was drawn, in a sentence.
    pub how: String,
    /// The results.
    pub results: Vec<PropagationResult>,
    /// What else a reader has to know.
    pub remarks: Vec<String>,
}

/// One result that was drawn.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PropagationResult {
    /// What it is, in words or as written.
    pub title: String,
    /// As written.
    pub name: String,
    /// The expression.
    pub symbol: Math,
    /// The level of its interval, as printed.
    pub level: String,
    /// Draws, first order, and how far their ends are apart; empty where there is nothing to draw.
    pub rows: Vec<PropagationRow>,
    /// How far apart the ends may be.
    pub tolerance: Option<Figure>,
    /// Whether the first-order interval is confirmed.
    pub confirmed: Option<bool>,
    /// The same in a sentence.
    pub verdict: String,
    /// The histogram.
    pub plot: Option<SketchPart>,
    /// Its data.
    pub bins: Vec<PropagationBin>,
}

/// A result by one method.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PropagationRow {
    /// The method.
    pub from: String,
    /// The value.
    pub value: Option<Figure>,
    /// The standard uncertainty.
    pub standard: Option<Figure>,
    /// The lower end of the interval.
    pub low: Option<Figure>,
    /// The upper end.
    pub high: Option<Figure>,
}

/// A bar of a histogram.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PropagationBin {
    /// From.
    pub low: Figure,
    /// To.
    pub high: Figure,
    /// Draws between them.
    pub count: usize,
}
