//! Readings as the templates print them.

use crate::output::markup::{Shared, lines, named, references};
use crate::output::mathml::equals;
use crate::output::templates::render;
use crate::output::view::pieces::{Quantity, Sketch};
use crate::sheet::parts::{Alarm, ReadCell, ReadGroup, ReadResults, ReadRow, ReadingsReport, ResultRow, WorkingLine};
use serde::Serialize;

/// A block of readings, written at the end of the page so far.
///
/// # Errors
/// The reason when the template fails.
pub(in crate::output) fn readings<'a>(
    report: &'a ReadingsReport,
    shared: &mut Shared<'a>,
    out: &mut String,
) -> std::result::Result<(), String> {
    out.push_str(&render("readings.html", &Whole { level: shared.level, below: shared.below(), readings: Readings::new(report, shared) })?);
    Ok(())
}

#[derive(Debug, Serialize)]
struct Whole<'a> {
    level: usize,
    below: usize,
    readings: Readings<'a>,
}

#[derive(Debug, Serialize)]
struct Readings<'a> {
    id: &'a str,
    number: &'a str,
    name: &'a str,
    label: &'a str,
    of: &'a str,
    file: &'a str,
    columns: Vec<Column<'a>>,
    rows: Vec<Row<'a>>,
    /// Whether trials differ in direction, so that each row says its own.
    mixed: bool,
    remarked: bool,
    groups: Vec<Group<'a>>,
    pairs: Option<Results<'a>>,
    alarms: Vec<Told<'a>>,
    remarks: &'a [String],
    plots: Vec<Sketch<'a>>,
}

#[derive(Debug, Serialize)]
struct Column<'a> {
    title: &'a str,
    instrument: &'a str,
}

#[derive(Debug, Serialize)]
struct Row<'a> {
    trial: &'a str,
    direction: &'a str,
    cells: Vec<Cell<'a>>,
    remark: &'a str,
}

#[derive(Debug, Serialize)]
struct Cell<'a> {
    id: &'a str,
    raw: &'a str,
    corrected: bool,
    value: Option<Quantity<'a>>,
    doubt: &'a str,
    mark: &'a str,
}

#[derive(Debug, Serialize)]
struct Group<'a> {
    direction: &'a str,
    results: Results<'a>,
    pooled_html: String,
    remarks: &'a [String],
}

#[derive(Debug, Serialize)]
struct Results<'a> {
    formulas: Vec<Rule<'a>>,
    columns: &'a [String],
    rows: Vec<Result<'a>>,
    /// Whether rows are of trials, and not of loads.
    trials: bool,
}

/// How a column of results is worked.
#[derive(Debug, Serialize)]
struct Rule<'a> {
    id: &'a str,
    number: &'a str,
    label: &'a str,
    symbol_html: String,
    formula_html: String,
    refs_html: String,
}

#[derive(Debug, Serialize)]
struct Result<'a> {
    trial: &'a str,
    cells: Vec<Option<Quantity<'a>>>,
    mark: &'a str,
}

#[derive(Debug, Serialize)]
struct Told<'a> {
    trial: &'a str,
    efficiency: Quantity<'a>,
    within: bool,
    says: &'a str,
    explanations: &'a [String],
}

impl<'a> Readings<'a> {
    fn new(report: &'a ReadingsReport, shared: &mut Shared<'a>) -> Self {
        let id = shared.claim(&report.anchor);
        // Printed twice, the ids inside a drawing would be repeated.
        let plots = report.plots.iter().enumerate().filter(|_| !id.is_empty());
        let plots = plots.map(|(at, part)| Sketch::new(part, &format!("{id}-{at}"))).collect();
        Readings {
            number: &report.number,
            name: &report.name,
            label: &report.label,
            of: &report.of,
            file: &report.file,
            columns: report.columns.iter().map(|column| Column { title: &column.title, instrument: &column.instrument }).collect(),
            rows: report.rows.iter().map(|row| self::row(row, shared)).collect(),
            mixed: report.groups.len() > 1,
            remarked: report.rows.iter().any(|row| !row.remark.is_empty()),
            groups: report.groups.iter().map(|group| self::group(group, shared)).collect(),
            pairs: report.pairs.as_ref().map(|pairs| results(pairs, shared)),
            alarms: report.alarms.iter().map(told).collect(),
            remarks: &report.remarks,
            plots,
            id,
        }
    }
}

fn row<'a>(row: &'a ReadRow, shared: &mut Shared<'a>) -> Row<'a> {
    let cell = |cell: &'a ReadCell| Cell {
        id: shared.claim(&cell.anchor),
        raw: &cell.raw,
        corrected: cell.corrected,
        value: Quantity::maybe(&cell.value),
        doubt: &cell.doubt,
        mark: &cell.mark,
    };
    Row { trial: &row.trial, direction: &row.direction, cells: row.cells.iter().map(cell).collect(), remark: &row.remark }
}

fn group<'a>(group: &'a ReadGroup, shared: &mut Shared<'a>) -> Group<'a> {
    let results = results(&group.results, shared);
    let mut pooled_html = String::new();
    lines(&group.pooled, shared, &mut pooled_html);
    Group { direction: &group.direction, results, pooled_html, remarks: &group.remarks }
}

fn results<'a>(results: &'a ReadResults, shared: &mut Shared<'a>) -> Results<'a> {
    let row = |row: &'a ResultRow| Result { trial: &row.trial, cells: row.cells.iter().map(Quantity::maybe).collect(), mark: &row.mark };
    Results {
        formulas: results.formulas.iter().map(|line| rule(line, shared)).collect(),
        columns: &results.columns,
        rows: results.rows.iter().map(row).collect(),
        trials: results.rows.iter().any(|row| !row.trial.is_empty()),
    }
}

fn rule<'a>(line: &'a WorkingLine, shared: &mut Shared<'a>) -> Rule<'a> {
    let mut refs_html = String::new();
    references(line, shared, &mut refs_html);
    Rule {
        id: shared.claim(&line.anchor),
        number: &line.number,
        label: &line.label,
        symbol_html: named(&line.symbol),
        formula_html: equals(&line.formula),
        refs_html,
    }
}

fn told(alarm: &Alarm) -> Told<'_> {
    Told {
        trial: &alarm.trial,
        efficiency: Quantity::new(&alarm.efficiency),
        within: alarm.within,
        says: &alarm.says,
        explanations: &alarm.explanations,
    }
}
