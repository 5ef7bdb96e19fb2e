//! Trains as plain data: the joints from hand to load, and the balance of work.

use crate::sheet::parts::{EffortAnswer, Figure, SummaryRow, WorkingLine};
use schemars::JsonSchema;
use serde::Serialize;

/// A train, worked.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TrainReport {
    /// Anchor.
    pub anchor: String,
    /// The name in the source.
    pub name: String,
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// `raising`, `holding` or `lowering`.
    pub direction: String,
    /// The stations' names, effort first.
    pub stations: Vec<String>,
    /// Joints from effort to load: force and travel at each.
    pub joints: Vec<Joint>,
    /// The whole: effort, load, velocity ratio, mechanical advantage, efficiency, ideal beside actual.
    pub summary: Vec<SummaryRow>,
    /// Work in, work out, loss of each stage and the difference of the two calculations.
    pub balance: Vec<BalanceRow>,
    /// What effort raises, within what range nothing moves, what stops it running back.
    pub answers: Vec<EffortAnswer>,
    /// Whether the whole holds its load by itself, in words with the margin.
    pub sustains: String,
    /// The second calculation in words: "work in less work out less the losses at the surfaces: 0.0 J".
    pub balance_words: String,
    /// The relations of the whole as working.
    pub relations: Vec<WorkingLine>,
}

/// Where two stations of a train meet.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Joint {
    /// The station on the effort side.
    pub from: String,
    /// The station on the load side.
    pub to: String,
    /// Force or torque that passes.
    pub force: Option<Figure>,
    /// Travel.
    pub travel: Option<Figure>,
    /// Work carried across.
    pub work: Option<Figure>,
}

/// One line of the work balance.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BalanceRow {
    /// "work in", "loss in falls", "work out", "difference".
    pub label: String,
    /// How much.
    pub work: Option<Figure>,
    /// Share of the work put in, 0 to 1, for the bar; none for the difference.
    pub share: Option<f64>,
}
