//! What a value is and what moves with it, as text and as data.

use crate::output::excerpt::{columns, wrap};
use crate::output::linear::linear;
use crate::output::terminal::visible;
use crate::sheet::parts::{InputRow, SCHEMA};
use crate::sheet::{Impact, MovedCheck, MovedValue};
use serde::Serialize;

const WIDTH: usize = 100;

/// The longest column of names; what is longer pushes its line to the right.
const NAMES: usize = 36;

#[derive(Serialize)]
struct All<'a> {
    schema: u32,
    value: &'a Impact,
    sheets: &'a [Impact],
}

/// A value with what moves in its own sheet and in those that use it, as JSON, ending with a line feed.
pub fn impact_json(value: &Impact, sheets: &[Impact]) -> String {
    serde_json::to_string_pretty(&All { schema: SCHEMA, value, sheets }).unwrap_or_default() + "\n"
}

/// The same as text; `every` prints the values inside machines too.
pub fn impact_text(value: &Impact, sheets: &[Impact], every: bool) -> String {
    let mut out = String::new();
    head(value, &mut out);
    if let Some(step) = &value.step {
        let sort = match step.sort.as_str() {
            "standard uncertainty" => "its standard uncertainty",
            "one per cent" => "1 % of it, for it states no doubt",
            _ => "one more, worked anew",
        };
        let how = if step.sort == "one more" { "" } else { ", to first order" };
        out.push_str(&format!("\nWhat moves with it for {} ({sort}), all else as stated{how}\n", step.text));
        rows(value, None, every, &mut out);
    }
    for sheet in sheets {
        rows(sheet, Some(value), every, &mut out);
    }
    visible_lines(&out)
}

fn head(value: &Impact, out: &mut String) {
    let label = if value.row.label.is_empty() { String::new() } else { format!("  \"{}\"", value.row.label) };
    out.push_str(&format!("{}{label}: {}\n", value.name, value.part));
    let mut said = |what: &str, words: &str| {
        if !words.is_empty() {
            for (at, line) in wrap(words, WIDTH - 16).iter().enumerate() {
                out.push_str(&format!("  {:<14}{line}\n", if at == 0 { what } else { "" }));
            }
        }
    };
    // An input as its author stated it; an item of a list, and what was worked, by its own value.
    let stated = value.row.figure.as_ref().filter(|_| value.formula.is_none() && !value.name.ends_with(']'));
    let shown = stated.or(value.value.as_ref()).or(value.row.figure.as_ref()).map_or("not worked", |figure| figure.text.as_str());
    match &value.formula {
        Some(formula) => said("value", &format!("{} = {shown}", linear(formula))),
        None => said("value", shown),
    }
    said("doubt", &value.row.doubt_stated);
    said("evidence", &evidence(&value.row));
    said("if wrong", &value.row.effect);
    said("state", &value.row.state);
    said("written in", &format!("{}, line {}", value.file, value.line));
    said("worked from", &value.worked_from.join(", "));
    said("used by", &value.used_by.join(", "));
    // What the heading of the rows says is not said twice.
    let told = value.step.as_ref().is_some_and(|step| step.sort != "standard uncertainty");
    said("", if told { "" } else { &value.remark });
    if !value.inputs.is_empty() {
        out.push_str("\nInputs that it rests on\n");
        for row in &value.inputs {
            let figure = row.figure.as_ref().map_or("not worked", |figure| figure.text.as_str());
            out.push_str(&cells(4, &[&row.name, figure, &evidence(row)]));
        }
    }
    if let Some(budget) = &value.budget {
        out.push_str(&format!("\nWhere its doubt comes from, u = {}\n", budget.standard));
        for row in &budget.rows {
            out.push_str(&cells(4, &[&row.name, &format!("{} of the variance", row.percent), &row.contribution]));
        }
        if !budget.rest.is_empty() {
            out.push_str(&format!("    {}\n", budget.rest));
        }
    }
}

fn evidence(row: &InputRow) -> String {
    [row.evidence.as_str(), row.source.as_str()].iter().filter(|part| !part.is_empty()).copied().collect::<Vec<_>>().join(" ")
}

// The checks and the results of one sheet.
fn rows(sheet: &Impact, asked: Option<&Impact>, every: bool, out: &mut String) {
    let title = [sheet.number.as_str(), sheet.title.as_str()].iter().filter(|part| !part.is_empty()).copied().collect::<Vec<_>>().join(" ");
    let title = if title.is_empty() || title == sheet.path { String::new() } else { format!("  {title}") };
    out.push_str(&format!("\n{}{title}\n", sheet.path));
    // The value itself, where it is another in this sheet: a used file may be worked with another gravity.
    if let (Some(step), Some(asked)) = (&sheet.step, asked)
        && (asked.step.as_ref() != Some(step) || sheet.name != asked.name)
    {
        out.push_str(&format!("  {} here for {}\n", sheet.name, step.text));
    }
    if sheet.checks.is_empty() && sheet.results.is_empty() && sheet.inside.is_empty() {
        let why = if sheet.step.is_none() { sheet.remark.as_str() } else { "nothing moves" };
        out.push_str(&format!("  {why}\n"));
        return;
    }
    if !sheet.checks.is_empty() {
        out.push_str("  Checks\n");
        sheet.checks.iter().for_each(|check| out.push_str(&check_line(check)));
    }
    let mut list = |heading: &str, values: &[MovedValue]| {
        if !values.is_empty() {
            out.push_str(&format!("  {heading}\n"));
            values.iter().for_each(|value| out.push_str(&value_line(value)));
        }
    };
    list("Results", &sheet.results);
    if every {
        list("Inside machines", &sheet.inside);
    } else if !sheet.inside.is_empty() {
        let count = sheet.inside.len();
        out.push_str(&format!("  and {count} value{} inside machines (--every prints them)\n", if count == 1 { "" } else { "s" }));
    }
}

fn check_line(check: &MovedCheck) -> String {
    let uses = match (check.utilisation.as_str(), check.utilisation_then.as_str()) {
        ("", _) => String::new(),
        (now, "") => format!("uses {now}"),
        (now, then) if now == then => format!("uses {now}"),
        (now, then) => format!("uses {now}, then {then}"),
    };
    let spare = match (&check.margin, check.margin_change.as_str()) {
        (Some(margin), change) if !change.is_empty() => format!("to spare {}, {change}", margin.text),
        _ => String::new(),
    };
    let verdict = match (check.verdict_then.as_str(), check.verdict_back.as_str()) {
        (then, back) if then == check.verdict && (back.is_empty() || back == then) => format!("{} either way", check.verdict),
        (then, "") => format!("{} becomes {then}", check.verdict),
        (then, back) if then == check.verdict => format!("{}; by the same step the other way {back}", check.verdict),
        (then, back) if back == check.verdict => format!("{} becomes {then}; the other way it stays", check.verdict),
        (then, back) => format!("{} becomes {then}; the other way {back}", check.verdict),
    };
    let verdict = if check.verdict_back.is_empty() { verdict.replace(" either way", " still") } else { verdict };
    let mark = if check.changes { "!" } else { " " };
    let told = [uses, spare, verdict].into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join("; ");
    format!("  {mark} {:<4}{}\n        {told}\n", check.number, check.title)
}

fn value_line(value: &MovedValue) -> String {
    let part = if value.variance_percent.is_empty() { String::new() } else { format!("{} of its variance", value.variance_percent) };
    cells(4, &[&value.name, &value.now.text, &value.change, &value.percent, &part])
}

// Cells under each other as far as they fit.
fn cells(indent: usize, parts: &[&str]) -> String {
    let widths = [NAMES, 24, 14, 10];
    let mut line = " ".repeat(indent);
    for (at, part) in parts.iter().enumerate() {
        line.push_str(part);
        if let Some(width) = widths.get(at).filter(|_| parts.iter().skip(at + 1).any(|part| !part.is_empty())) {
            line.push_str(&" ".repeat(width.saturating_sub(columns(part)).max(2)));
        }
    }
    line.trim_end().to_string() + "\n"
}

fn visible_lines(text: &str) -> String {
    text.lines().map(|line| format!("{}\n", visible(line))).collect()
}
