//! Laws and agreements as the templates print them.

use crate::output::markup::Shared;
use crate::output::mathml::mathml;
use crate::output::templates::render;
use crate::output::view::pieces::{Quantity, Sketch};
use crate::sheet::parts::{AgreementRow, LawReport, LawRow, LawTrial};
use serde::Serialize;

/// A law, written at the end of the page so far.
///
/// # Errors
/// The reason when the template fails.
pub(in crate::output) fn law<'a>(report: &'a LawReport, shared: &mut Shared<'a>, out: &mut String) -> Result<(), String> {
    out.push_str(&render("law.html", &OneLaw { level: shared.level, law: Law::new(report, shared) })?);
    Ok(())
}

/// Agreements below each other.
///
/// # Errors
/// The reason when the template fails.
pub(in crate::output) fn agreements<'a>(
    rows: impl Iterator<Item = &'a AgreementRow>,
    shared: &mut Shared<'a>,
    out: &mut String,
) -> Result<(), String> {
    out.push_str("<div class=\"agreements\">\n");
    for row in rows {
        out.push_str(&render("agreement.html", &OneAgreement { level: shared.level, agreement: Agreement::new(row, shared) })?);
        out.push('\n');
    }
    out.push_str("</div>");
    Ok(())
}

#[derive(Debug, Serialize)]
struct OneLaw<'a> {
    level: usize,
    law: Law<'a>,
}

#[derive(Debug, Serialize)]
struct OneAgreement<'a> {
    level: usize,
    agreement: Agreement<'a>,
}

#[derive(Debug, Serialize)]
struct Law<'a> {
    id: &'a str,
    number: &'a str,
    name: &'a str,
    label: &'a str,
    caption: &'a str,
    equation_html: String,
    rows: Vec<Row<'a>>,
    correlation: &'a str,
    trials: Vec<Trial<'a>>,
    /// Whether the trials have an efficiency.
    efficient: bool,
    remarks: &'a [String],
    plots: Vec<Sketch<'a>>,
}

#[derive(Debug, Serialize)]
struct Row<'a> {
    quantity: &'a str,
    value: Option<Quantity<'a>>,
    basis: &'a str,
}

#[derive(Debug, Serialize)]
struct Trial<'a> {
    number: usize,
    load: Quantity<'a>,
    effort: Quantity<'a>,
    of_law: Quantity<'a>,
    residual: Quantity<'a>,
    efficiency: Option<Quantity<'a>>,
}

impl<'a> Law<'a> {
    fn new(report: &'a LawReport, shared: &mut Shared<'a>) -> Self {
        let id = shared.claim(&report.anchor);
        // Printed twice, the ids inside the drawings would be repeated.
        let plots = report.plots.iter().filter(|_| !id.is_empty()).enumerate();
        Law {
            number: &report.number,
            name: &report.name,
            label: &report.label,
            caption: &report.caption,
            equation_html: mathml(&report.equation, true),
            rows: report.rows.iter().map(row).collect(),
            correlation: &report.correlation,
            trials: report.trials.iter().map(trial).collect(),
            efficient: report.trials.iter().any(|trial| trial.efficiency.is_some()),
            remarks: &report.remarks,
            plots: plots.map(|(place, part)| Sketch::new(part, &format!("{id}-{}", place + 1))).collect(),
            id,
        }
    }
}

fn row(row: &LawRow) -> Row<'_> {
    Row { quantity: &row.quantity, value: Quantity::maybe(&row.figure), basis: &row.basis }
}

fn trial(trial: &LawTrial) -> Trial<'_> {
    Trial {
        number: trial.number,
        load: Quantity::new(&trial.load),
        effort: Quantity::new(&trial.effort),
        of_law: Quantity::new(&trial.of_law),
        residual: Quantity::new(&trial.residual),
        efficiency: Quantity::maybe(&trial.efficiency),
    }
}

/// A prediction beside what was measured.
#[derive(Debug, Serialize)]
struct Agreement<'a> {
    id: &'a str,
    number: &'a str,
    title: &'a str,
    prediction_html: String,
    measurement_html: String,
    predicted: Option<Quantity<'a>>,
    measured: Option<Quantity<'a>>,
    difference: Option<Quantity<'a>>,
    share: &'a str,
    normalised: &'a str,
    words: &'a str,
    reference: &'a str,
}

impl<'a> Agreement<'a> {
    fn new(row: &'a AgreementRow, shared: &mut Shared<'a>) -> Self {
        Agreement {
            id: shared.claim(&row.anchor),
            number: &row.number,
            title: &row.title,
            prediction_html: mathml(&row.prediction, false),
            measurement_html: mathml(&row.measurement, false),
            predicted: Quantity::maybe(&row.predicted),
            measured: Quantity::maybe(&row.measured),
            difference: Quantity::maybe(&row.difference),
            share: &row.share,
            normalised: &row.normalised,
            words: &row.words,
            reference: &row.reference,
        }
    }
}
