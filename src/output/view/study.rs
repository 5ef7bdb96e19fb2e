//! Studies as the templates print them.

use crate::output::markup::Shared;
use crate::output::mathml::mathml;
use crate::output::templates::render;
use crate::output::view::pieces::{Quantity, Sketch};
use crate::sheet::parts::{StudyReport, StudyRow};
use serde::Serialize;

/// A study, written at the end of the page so far.
///
/// # Errors
/// The reason when the template fails.
pub(in crate::output) fn study<'a>(report: &'a StudyReport, shared: &mut Shared<'a>, out: &mut String) -> Result<(), String> {
    out.push_str(&render("study.html", &Whole { level: shared.level, study: Study::new(report, shared) })?);
    Ok(())
}

#[derive(Debug, Serialize)]
struct Whole<'a> {
    level: usize,
    study: Study<'a>,
}

#[derive(Debug, Serialize)]
struct Study<'a> {
    id: &'a str,
    number: &'a str,
    name: &'a str,
    symbol_html: String,
    caption: &'a str,
    answer: &'a str,
    /// Whether rows say if a value serves.
    judged: bool,
    columns: Vec<Column<'a>>,
    rows: Vec<Row<'a>>,
    remarks: &'a [String],
    plot: Option<Sketch<'a>>,
}

#[derive(Debug, Serialize)]
struct Column<'a> {
    title: &'a str,
    symbol_html: String,
}

#[derive(Debug, Serialize)]
struct Row<'a> {
    value: Quantity<'a>,
    present: bool,
    answer: bool,
    serves: bool,
    decides: &'a str,
    cells: Vec<Option<Quantity<'a>>>,
    reason: &'a str,
    /// Whether no cell has a figure, so that the reason has the row to itself.
    bare: bool,
}

impl<'a> Study<'a> {
    fn new(report: &'a StudyReport, shared: &mut Shared<'a>) -> Self {
        let id = shared.claim(&report.anchor);
        // Printed twice, the ids inside the drawing would be repeated.
        let plot = report.plot.as_ref().filter(|_| !id.is_empty()).map(|part| Sketch::new(part, id));
        Study {
            id,
            number: &report.number,
            name: &report.name,
            symbol_html: mathml(&report.symbol, false),
            caption: &report.caption,
            answer: &report.answer,
            judged: report.rows.iter().any(|row| row.serves.is_some()),
            columns: report
                .columns
                .iter()
                .map(|column| Column {
                    title: &column.title,
                    symbol_html: column.symbol.as_ref().map_or(String::new(), |symbol| mathml(symbol, false)),
                })
                .collect(),
            rows: report.rows.iter().map(row).collect(),
            remarks: &report.remarks,
            plot,
        }
    }
}

fn row(row: &StudyRow) -> Row<'_> {
    Row {
        value: Quantity::new(&row.value),
        present: row.present,
        answer: row.answer,
        serves: row.serves.unwrap_or(false),
        decides: &row.decides,
        cells: row.cells.iter().map(Quantity::maybe).collect(),
        reason: &row.reason,
        bare: row.cells.iter().all(Option::is_none),
    }
}
