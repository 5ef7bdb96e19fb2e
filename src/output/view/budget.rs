//! Budgets as the templates print them.

use crate::output::mathml::mathml;
use crate::output::view::line::{Quantity, Shared, named};
use crate::sheet::parts;
use serde::Serialize;

/// Where the doubt of one checked quantity comes from.
#[derive(Debug, Serialize)]
pub(super) struct Budget<'a> {
    checks: &'a [String],
    formula_html: String,
    result: Quantity<'a>,
    standard: &'a str,
    rows: Vec<Row<'a>>,
    rest: &'a str,
}

#[derive(Debug, Serialize)]
struct Row<'a> {
    anchor: &'a str,
    name: &'a str,
    symbol_html: String,
    label: &'a str,
    value: &'a str,
    standard: &'a str,
    distribution: &'a str,
    degrees: &'a str,
    sensitivity: &'a str,
    contribution: &'a str,
    percent: &'a str,
    /// Length of the bar.
    width: String,
}

impl<'a> Budget<'a> {
    pub fn new(budget: &'a parts::Budget, shared: &Shared<'a>) -> Self {
        let rows = budget.rows.iter().map(|row| Row {
            anchor: shared.link(&row.anchor),
            name: &row.name,
            symbol_html: named(&row.symbol),
            label: &row.label,
            value: &row.value,
            standard: &row.standard,
            distribution: &row.distribution,
            degrees: &row.degrees,
            sensitivity: &row.sensitivity,
            contribution: &row.contribution,
            percent: &row.percent,
            width: format!("{:.1}%", row.share.clamp(0.0, 1.0) * 100.0),
        });
        Budget {
            checks: &budget.checks,
            formula_html: mathml(&budget.formula, false),
            result: Quantity::new(&budget.result),
            standard: &budget.standard,
            rows: rows.collect(),
            rest: &budget.rest,
        }
    }
}
