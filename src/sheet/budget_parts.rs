//! Budgets as plain data, and the correlations of inputs.

use crate::sheet::parts::{Figure, Math};
use schemars::JsonSchema;
use serde::Serialize;

/// Where the doubt of a checked quantity comes from.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Budget {
    /// The titles of the checks it stands in.
    pub checks: Vec<String>,
    /// The quantity as written.
    pub formula: Math,
    /// Its value with its expanded uncertainty.
    pub result: Figure,
    /// Its combined standard uncertainty, as printed.
    pub standard: String,
    /// The inputs, largest share first.
    pub rows: Vec<BudgetRow>,
    /// What inputs of less than a thousandth of the variance come to, in words; empty when there are none.
    pub rest: String,
}

/// One input of a budget.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BudgetRow {
    /// Anchor of the input.
    pub anchor: String,
    /// The name in the source.
    pub name: String,
    /// The symbol.
    pub symbol: Math,
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// Its value.
    pub value: String,
    /// Its standard uncertainty.
    pub standard: String,
    /// The distribution that was taken for it.
    pub distribution: String,
    /// Its degrees of freedom, `∞` where they are endless.
    pub degrees: String,
    /// How much the result moves with it, in the units both are printed in.
    pub sensitivity: String,
    /// Sensitivity times standard uncertainty, without its sign.
    pub contribution: String,
    /// Its share of the variance of the result, 0 to 1.
    pub share: f64,
    /// The share as printed.
    pub percent: String,
}

/// A correlation of two inputs.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CorrelationRow {
    /// Anchor and name of one input.
    pub first: Named,
    /// Anchor and name of the other.
    pub second: Named,
    /// The coefficient; none when it could not be worked.
    pub coefficient: Option<f64>,
    /// The coefficient as printed.
    pub text: String,
    /// Where it comes from.
    pub source: String,
}

/// Something with a name, and where it stands.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Named {
    /// Anchor.
    pub anchor: String,
    /// The name in the source.
    pub name: String,
    /// The symbol.
    pub symbol: Math,
}
