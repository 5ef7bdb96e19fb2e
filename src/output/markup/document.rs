//! The author's document in reading order, with the working in its places.

use crate::output::beside::Beside;
use crate::output::markup::check::checks;
use crate::output::markup::inputs::{correlations, gear, inputs};
use crate::output::markup::line::{lines, results};
use crate::output::markup::machine::machine;
use crate::output::markup::shared::Shared;
use crate::output::markup::train::train;
use crate::output::markup::{between, put};
use crate::output::prose::{anchors, last_heading};
use crate::output::view::{agreements, draws, exercise, kind, law, readings, study, ticked};
use crate::sheet::parts::{Block, Notice, ReadingsReport, Sheet};
use crate::words::{lang_of_author, marked};
use std::borrow::Cow;

/// What every part has to know of the others before any of them is set.
/// The page is going to stand at `place` among the pages `beside` it, where there are any.
pub(in crate::output) fn shared<'a>(sheet: &'a Sheet, beside: Option<&'a Beside>, place: &'a str) -> Shared<'a> {
    let mut shared = Shared::new(&sheet.path, beside, place);
    for block in &sheet.blocks {
        match block {
            Block::Prose { html } => anchors(html).into_iter().for_each(|anchor| shared.prose(anchor)),
            Block::Inputs { rows } => rows.iter().for_each(|row| shared.know(&row.anchor)),
            Block::Gear { rows } | Block::Instruments { rows } => rows.iter().for_each(|row| {
                shared.know(&row.anchor);
                row.ratings.iter().for_each(|rating| shared.know(&rating.anchor));
            }),
            Block::Working { lines } => lines.iter().for_each(|line| shared.number(line)),
            Block::Results { rows } => rows.iter().for_each(|row| shared.know(&row.anchor)),
            Block::Machine { index } => {
                if let Some(machine) = sheet.machines.get(*index) {
                    shared.know(&machine.anchor);
                    machine.settings.iter().for_each(|row| shared.setting(row));
                    machine.nodes.iter().chain(&machine.relations).for_each(|line| shared.number(line));
                }
            }
            Block::Train { index } => {
                if let Some(train) = sheet.trains.get(*index) {
                    shared.know(&train.anchor);
                    train.relations.iter().for_each(|line| shared.number(line));
                }
            }
            Block::Study { index } => {
                if let Some(study) = sheet.studies.get(*index) {
                    shared.know(&study.anchor);
                }
            }
            Block::Readings { index } => {
                if let Some(readings) = sheet.readings.get(*index) {
                    know_readings(readings, &mut shared);
                }
            }
            Block::Law { index } => {
                if let Some(law) = sheet.laws.get(*index) {
                    shared.know(&law.anchor);
                }
            }
            Block::Agreements { indices } => {
                indices.iter().filter_map(|index| sheet.agreements.get(*index)).for_each(|row| shared.know(&row.anchor));
            }
            Block::Exercise { index } => {
                if let Some(report) = sheet.exercises.get(*index) {
                    shared.know(&report.anchor);
                }
            }
            Block::Propagation { index } => {
                if let Some(report) = sheet.propagations.get(*index) {
                    shared.know(&report.anchor);
                }
            }
            Block::Kind { index, .. } => {
                if let Some(kind) = sheet.kinds.get(*index) {
                    shared.know(&kind.anchor);
                }
            }
            Block::Correlations { .. } | Block::Checks { .. } | Block::Broken { .. } => {}
        }
    }
    // The registers print every check, input and assumption, whether or not the document has placed it.
    for check in &sheet.checks {
        shared.know(&check.anchor);
        shared.used(&check.anchor, &check.number, &check.worked_from);
    }
    sheet.inputs.iter().chain(&sheet.assumptions).for_each(|row| shared.know(&row.anchor));
    shared
}

fn know_readings<'a>(report: &'a ReadingsReport, shared: &mut Shared<'a>) {
    shared.know(&report.anchor);
    report.rows.iter().flat_map(|row| &row.cells).for_each(|cell| shared.know(&cell.anchor));
    let results = report.groups.iter().map(|group| &group.results).chain(&report.pairs);
    results.flat_map(|results| &results.formulas).for_each(|line| shared.numbered(line, false));
    report.groups.iter().flat_map(|group| &group.pooled).for_each(|line| shared.number(line));
}

/// All blocks of `sheet`.
///
/// # Errors
/// The reason when a template fails, which is always a fault of this program.
pub(in crate::output) fn document<'a>(sheet: &'a Sheet, shared: &mut Shared<'a>, out: &mut String) -> Result<(), String> {
    for each in &sheet.blocks {
        block(sheet, each, shared, out)?;
        out.push('\n');
    }
    Ok(())
}

fn block<'a>(sheet: &'a Sheet, block: &'a Block, shared: &mut Shared<'a>, out: &mut String) -> Result<(), String> {
    match block {
        Block::Prose { html } => {
            if let Some(last) = last_heading(html) {
                shared.level = (last + 1).clamp(2, 6);
            }
            put(out, &["<div class=\"row prose\"", &lang_of_author(), ">\n"]);
            out.push_str(&scrolled(html));
            out.push_str("\n</div>");
        }
        Block::Inputs { rows } => {
            out.push_str("<div class=row>");
            inputs(rows, &[], marked!("[[Inputs]]"), shared, out);
            out.push_str("</div>");
        }
        Block::Gear { rows } => {
            out.push_str("<div class=row>");
            gear(rows, (marked!("[[Ratings]]"), marked!("[[no rating stated]]")), shared, out);
            out.push_str("</div>");
        }
        Block::Instruments { rows } => {
            out.push_str("<div class=row>");
            gear(rows, (marked!("[[What is stated of it]]"), marked!("[[nothing stated]]")), shared, out);
            out.push_str("</div>");
        }
        Block::Correlations { indices } => {
            out.push_str("<div class=row>");
            correlations(indices.iter().filter_map(|index| sheet.correlations.get(*index)), shared, out);
            out.push_str("</div>");
        }
        Block::Working { lines: rows } => lines(rows, shared, out),
        Block::Results { rows } => results(rows, shared, out),
        Block::Machine { index } => sheet.machines.get(*index).into_iter().for_each(|report| machine(report, shared, out)),
        Block::Train { index } => sheet.trains.get(*index).into_iter().for_each(|report| train(report, shared, out)),
        Block::Checks { indices } => {
            // In a fence, too, the governing check stands first.
            let mut rows: Vec<_> = indices.iter().filter_map(|index| sheet.checks.get(*index)).collect();
            rows.sort_by_key(|row| !row.governing);
            checks(rows.into_iter(), &sheet.coverage, shared, out);
        }
        Block::Study { index } => {
            if let Some(report) = sheet.studies.get(*index) {
                study(report, shared, out)?;
            }
        }
        Block::Readings { index } => {
            if let Some(report) = sheet.readings.get(*index) {
                readings(report, shared, out)?;
            }
        }
        Block::Law { index } => {
            if let Some(report) = sheet.laws.get(*index) {
                law(report, shared, out)?;
            }
        }
        Block::Agreements { indices } => {
            agreements(indices.iter().filter_map(|index| sheet.agreements.get(*index)), shared, out)?;
        }
        Block::Exercise { index } => {
            if let Some(report) = sheet.exercises.get(*index) {
                exercise(report, shared, out)?;
            }
        }
        Block::Propagation { index } => {
            if let Some(report) = sheet.propagations.get(*index) {
                draws(report, shared, out)?;
            }
        }
        Block::Kind { index, source, .. } => {
            if let Some(report) = sheet.kinds.get(*index) {
                kind(report, source, shared, out)?;
            }
        }
        Block::Broken { source, notices } => broken(source, notices, &sheet.notices, out),
    }
    Ok(())
}

/// Prose in which each table and each formula on a line of its own stands in a frame, to be scrolled there where the window is
/// too narrow for it.
fn scrolled(html: &str) -> Cow<'_, str> {
    let mut html = Cow::Borrowed(html);
    if html.contains("<table") {
        let framed = html.replace("<table", marked!("<div class=\"paper\" tabindex=\"0\" role=\"group\" aria-label=\"[[Table]]\"><table"));
        html = Cow::Owned(framed.replace("</table>", "</table></div>"));
    }
    if html.contains(DISPLAYED) {
        html = Cow::Owned(framed_formulas(&html));
    }
    html
}

const DISPLAYED: &str = "<math display=\"block\">";

fn framed_formulas(html: &str) -> String {
    let mut parts = html.split(DISPLAYED);
    let mut out = parts.next().unwrap_or("").to_owned();
    for part in parts {
        let (formula, rest) = part.split_once("</math>").unwrap_or((part, ""));
        put(&mut out, &["<span class=\"formula\" tabindex=\"0\">", DISPLAYED, formula, "</math></span>", rest]);
    }
    out
}

/// A statement that could not be worked, with the findings that say why.
fn broken(source: &str, notices: &[usize], all: &[Notice], out: &mut String) {
    out.push_str(marked!("<figure class=\"row written broken\"><figcaption><strong>[[Could not be worked.]]</strong>"));
    if notices.is_empty() {
        out.push_str(marked!(" [[What it rests on could not.]]"));
    }
    let found = notices.iter().filter_map(|place| Some((place + 1, all.get(*place)?)));
    for (at, (number, notice)) in found.enumerate() {
        let lead = if at == 0 { "\n" } else { "; " };
        out.push_str(&format!("{lead}<a href=\"#sheet.finding-{number}\">{}</a>", ticked(&notice.headline)));
    }
    between(out, "</figcaption>\n<pre tabindex=\"0\"><code>", source, "</code></pre></figure>");
}
