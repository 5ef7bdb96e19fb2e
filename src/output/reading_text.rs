//! Readings as plain text: every trial on a line of its own, so that one reading changes one line.

use crate::output::linear::linear;
use crate::output::plain::{Page, after, bracketed, working};
use crate::sheet::parts::{Alarm, Figure, ReadResults, ReadingsReport};

/// A block of readings.
pub(super) fn readings(report: &ReadingsReport, page: &mut Page) {
    let of = after(" of ", &report.of);
    page.heading(&format!("Readings {} {}{of}{}", report.number, report.name, after(": ", &report.label)));
    if !report.file.is_empty() {
        page.item(&format!("read from {}", report.file));
    }
    for column in report.columns.iter().filter(|column| !column.instrument.is_empty()) {
        page.item(&format!("{} by {}", column.title, column.instrument));
    }
    let several = report.groups.len() > 1;
    for row in &report.rows {
        let mut parts = Vec::new();
        for (column, cell) in report.columns.iter().zip(&row.cells) {
            let value = cell.value.as_ref().map_or("not known", |figure| &figure.text);
            let read = if cell.corrected {
                format!("{} read {}, reckoned {value}", column.title, cell.raw)
            } else {
                format!("{} {value}", column.title)
            };
            parts.push(format!("{read}{}", bracketed(&cell.mark)));
        }
        let direction = if several { after(", ", &row.direction) } else { String::new() };
        page.item(&format!("trial {}{direction}: {}{}", row.trial, parts.join("; "), after("; ", &row.remark)));
    }
    for group in &report.groups {
        if several {
            page.run_in(&sentence(&group.direction));
        } else {
            page.gap();
        }
        results(&group.results, page);
        group.pooled.iter().for_each(|line| working(line, page));
        group.remarks.iter().for_each(|remark| page.line(2, remark));
    }
    if let Some(pairs) = &report.pairs {
        page.run_in("Raising and lowering at one load");
        results(pairs, page);
    }
    report.alarms.iter().for_each(|alarm| self::alarm(alarm, page));
    report.remarks.iter().for_each(|remark| page.note(remark));
    for plot in &report.plots {
        page.note(&format!("{}. {}", plot.title.trim_end_matches('.'), plot.description));
    }
}

fn results(results: &ReadResults, page: &mut Page) {
    for line in &results.formulas {
        if !line.label.is_empty() {
            page.line(6, &line.label);
        }
        let reference = bracketed(&line.reference).trim().to_owned();
        let mut parts = vec![linear(&line.symbol), format!("= {}", linear(&line.formula))];
        parts.extend((!reference.is_empty()).then_some(reference));
        page.numbered(&line.number, &parts);
    }
    for row in &results.rows {
        let told = |figure: &Option<Figure>| figure.as_ref().map_or("not known".to_string(), |figure| figure.text.clone());
        let cells = results.columns.iter().zip(&row.cells).map(|(title, cell)| format!("{} {}", lower(title), told(cell)));
        let cells = cells.collect::<Vec<_>>().join("; ");
        let trial = if row.trial.is_empty() { String::new() } else { format!("trial {}: ", row.trial) };
        page.item(&format!("{trial}{cells}{}", bracketed(&row.mark)));
    }
}

fn alarm(alarm: &Alarm, page: &mut Page) {
    page.gap();
    page.line(2, &format!("{}: efficiency {}. {}", sentence(&alarm.trial), alarm.efficiency.text, alarm.says));
    alarm.explanations.iter().for_each(|explanation| page.hung(4, 6, explanation));
}

// The first letter of a title within a line; a symbol stays as it is.
fn lower(title: &str) -> String {
    let mut letters = title.chars();
    match (letters.next(), title.contains('ₙ')) {
        (Some(first), false) => first.to_lowercase().chain(letters).collect(),
        _ => title.to_string(),
    }
}

fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}
