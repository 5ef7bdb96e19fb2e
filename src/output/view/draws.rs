//! Draws as the templates print them.

use crate::output::markup::Shared;
use crate::output::mathml::mathml;
use crate::output::templates::render;
use crate::output::view::pieces::{Quantity, Sketch};
use crate::sheet::parts::PropagationReport;
use serde::Serialize;

/// The distributions of some results, written at the end of the page so far.
///
/// # Errors
/// The reason when the template fails.
pub(in crate::output) fn draws<'a>(report: &'a PropagationReport, shared: &mut Shared<'a>, out: &mut String) -> Result<(), String> {
    out.push_str(&render("draws.html", &Whole { level: shared.level, draws: Draws::new(report, shared) })?);
    Ok(())
}

#[derive(Debug, Serialize)]
struct Whole<'a> {
    level: usize,
    draws: Draws<'a>,
}

#[derive(Debug, Serialize)]
struct Draws<'a> {
    id: &'a str,
    number: &'a str,
    caption: &'a str,
    how: &'a str,
    results: Vec<Drawn<'a>>,
    remarks: &'a [String],
}

#[derive(Debug, Serialize)]
struct Drawn<'a> {
    title: &'a str,
    symbol_html: String,
    level: &'a str,
    rows: Vec<Row<'a>>,
    verdict: &'a str,
    plot: Option<Sketch<'a>>,
    bins: Vec<Bin<'a>>,
}

#[derive(Debug, Serialize)]
struct Row<'a> {
    from: &'a str,
    cells: Vec<Option<Quantity<'a>>>,
}

#[derive(Debug, Serialize)]
struct Bin<'a> {
    low: Quantity<'a>,
    high: Quantity<'a>,
    count: usize,
}

impl<'a> Draws<'a> {
    fn new(report: &'a PropagationReport, shared: &mut Shared<'a>) -> Self {
        let id = shared.claim(&report.anchor);
        let results = report.results.iter().enumerate().map(|(at, result)| Drawn {
            title: &result.title,
            symbol_html: mathml(&result.symbol, false),
            level: &result.level,
            rows: result
                .rows
                .iter()
                .map(|row| Row {
                    from: &row.from,
                    cells: [&row.value, &row.standard, &row.low, &row.high].into_iter().map(Quantity::maybe).collect(),
                })
                .collect(),
            verdict: &result.verdict,
            plot: result.plot.as_ref().filter(|_| !id.is_empty()).map(|part| Sketch::new(part, &format!("{id}.{at}"))),
            bins: result
                .bins
                .iter()
                .map(|bin| Bin { low: Quantity::new(&bin.low), high: Quantity::new(&bin.high), count: bin.count })
                .collect(),
        });
        Draws {
            results: results.collect(),
            number: &report.number,
            caption: &report.caption,
            how: &report.how,
            remarks: &report.remarks,
            id,
        }
    }
}
