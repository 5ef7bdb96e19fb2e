//! A sheet for a calculation by somebody else: what is given and what is asked, and nothing that was worked. Every number
//! that was worked is known here, and taken out of whatever its author may have written beside.

use crate::output::html::in_house;
use crate::output::linear;
use crate::output::templates::{checking_style, render, style};
use crate::output::view::{copy_head, headline};
use crate::sheet::parts::{Cell, InputRow, Math, Sheet};
use crate::sheet::{Question, questions};
use crate::words::{say, spoken, word};
use csv::{Terminator, WriterBuilder};
use serde::Serialize;
use serde_json::Value;
use std::collections::BTreeSet;

/// What stands in the place of a number that was worked.
const TAKEN_OUT: &str = "▒▒";

/// Cells of the title block that say nothing of who has worked the sheet.
const TOLD: [&str; 5] = ["Revision", "Date", "Project", "Client", "Duty"];

/// Words with which a setting passes on what was worked elsewhere.
const WORKED: [&str; 2] = ["as", "worked from"];

#[derive(Serialize)]
struct Copy {
    style_html: String,
    number: String,
    title: String,
    question: String,
    cells: Vec<Cell>,
    calculation: String,
    groups: Vec<Group>,
    machines: Vec<Rigged>,
    tables: Vec<Readings>,
    checks: Vec<Asked>,
    questions: Vec<Question>,
    taken_out: &'static str,
    something_taken_out: bool,
}

#[derive(Serialize)]
struct Group {
    title: String,
    rows: Vec<Given>,
}

#[derive(Serialize)]
struct Given {
    name: String,
    label: String,
    value: String,
    doubt: String,
    source: String,
}

#[derive(Serialize)]
struct Rigged {
    name: String,
    what: String,
    facts: Vec<Cell>,
    rows: Vec<Given>,
}

#[derive(Serialize)]
struct Readings {
    title: String,
    columns: Vec<String>,
    rows: Vec<Vec<String>>,
}

#[derive(Serialize)]
struct Asked {
    number: String,
    title: String,
    statement: String,
    limits: Vec<Cell>,
}

/// The page for whoever calculates.
pub fn blind_html(sheet: &Sheet) -> String {
    in_house(sheet, |sheet| spoken(page(sheet)))
}

fn page(sheet: &Sheet) -> String {
    let secrets = Secrets::of(sheet);
    let mut copy = copy(sheet, &secrets);
    copy.something_taken_out = {
        let said = serde_json::to_string(&(&copy.groups, &copy.machines, &copy.tables, &copy.checks, &copy.questions)).unwrap_or_default();
        said.contains(TAKEN_OUT)
    };
    // The reason is a fault of this program; what the sheet came to must not be printed in its place.
    render("blind.html", &copy).unwrap_or_else(|reason| {
        format!("<!DOCTYPE html>\n<title>The page could not be set</title>\n<p>{}</p>\n", crate::output::mathml::escape(&reason))
    })
}

/// The form for what comes of it: a row a question, with room for the answer; CSV as RFC 4180 has it.
pub fn blind_form(sheet: &Sheet) -> String {
    let secrets = Secrets::of(sheet);
    let mut rows = vec![["ask", "name", "what it is", "value", "unit", "remark"].map(String::from)];
    let title = secrets.without(&sheet.title_block.title);
    rows.push(["sheet".into(), sheet.title_block.number.clone(), title, sheet.record.calculation.clone(), String::new(), String::new()]);
    rows.extend(questions(sheet).into_iter().map(|question| {
        let what = secrets.without(&question.what);
        [question.ask, question.name, what, String::new(), question.unit, String::new()]
    }));
    let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    for row in rows {
        // Rows of one length into memory: nothing here can fail.
        let _ = writer.write_record(&row);
    }
    writer.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default()
}

fn copy(sheet: &Sheet, secrets: &Secrets) -> Copy {
    let given = |row: &InputRow| secrets.given(row);
    let group = |title: &str, rows: Vec<Given>| Group { title: title.into(), rows };
    let mut groups = vec![
        group(say!("Inputs"), sheet.inputs.iter().map(given).collect()),
        group(say!("Assumptions"), sheet.assumptions.iter().map(given).collect()),
    ];
    for gear in sheet.gear.iter().chain(&sheet.instruments) {
        let title = if gear.label.is_empty() { gear.name.clone() } else { format!("{} ({})", gear.label, gear.name) };
        groups.push(group(&secrets.without(&title), gear.ratings.iter().filter(|row| !worked(row)).map(given).collect()));
    }
    groups.retain(|group| !group.rows.is_empty());
    let mut machines: Vec<Rigged> = Vec::new();
    for machine in &sheet.machines {
        let mut facts = vec![Cell { label: say!("direction").into(), value: machine.direction.clone() }];
        facts.extend(machine.choices.iter().map(|choice| secrets.cell(choice)));
        let what = if machine.label.is_empty() { machine.kind_label.clone() } else { format!("{}: {}", machine.kind_label, machine.label) };
        machines.push(Rigged {
            name: machine.name.clone(),
            what: secrets.without(&what),
            facts,
            rows: machine.settings.iter().map(given).collect(),
        });
    }
    for train in &sheet.trains {
        let facts = vec![
            Cell { label: say!("from the effort to the load").into(), value: secrets.without(&train.stations.join(" → ")) },
            Cell { label: say!("direction").into(), value: train.direction.clone() },
        ];
        machines.push(Rigged { name: train.name.clone(), what: secrets.without(&train.label), facts, rows: Vec::new() });
    }
    let tables = sheet.readings.iter().map(|readings| Readings {
        title: secrets.without(if readings.label.is_empty() { &readings.name } else { &readings.label }),
        columns: [say!("trial").to_string(), say!("direction").into()]
            .into_iter()
            .chain(readings.columns.iter().map(|column| secrets.without(&column.title)))
            .collect(),
        rows: readings
            .rows
            .iter()
            .map(|row| {
                let cells = row.cells.iter().map(|cell| cell.raw.clone());
                [secrets.without(&row.trial), row.direction.clone()].into_iter().chain(cells).collect()
            })
            .collect(),
    });
    let checks = sheet.checks.iter().map(|check| Asked {
        number: check.number.clone(),
        title: secrets.without(&check.title),
        statement: linear(&check.statement),
        limits: check.limits.iter().map(|limit| secrets.cell(limit)).collect(),
    });
    let cells = sheet.title_block.cells.iter().filter(|cell| TOLD.iter().any(|label| cell.label == word(label)));
    let mut questions = questions(sheet);
    questions.iter_mut().for_each(|question| question.what = secrets.without(&question.what));
    let head = copy_head(sheet, &secrets.without(&headline(sheet)), say!("For an independent calculation"));
    Copy {
        style_html: format!("{}\n{}{head}", style(&[]), checking_style()),
        number: sheet.title_block.number.clone(),
        title: secrets.without(&sheet.title_block.title),
        question: secrets.without(&sheet.title_block.question),
        cells: cells.map(|cell| secrets.cell(cell)).collect(),
        calculation: sheet.record.calculation.clone(),
        groups,
        machines,
        tables: tables.collect(),
        checks: checks.collect(),
        questions,
        taken_out: TAKEN_OUT,
        something_taken_out: false,
    }
}

fn worked(row: &InputRow) -> bool {
    WORKED.iter().any(|evidence| row.evidence == word(evidence))
}

/// The numbers that a checker must not see: all that are printed of the sheet anywhere, less those that it was given.
pub(super) struct Secrets(BTreeSet<String>);

impl Secrets {
    pub(super) fn of(sheet: &Sheet) -> Secrets {
        let mut printed = BTreeSet::new();
        // Whatever part a sheet may get, its figures are found: they are those objects that have a number.
        figures(&serde_json::to_value(sheet).unwrap_or_default(), &mut printed);
        printed.extend(sheet.checks.iter().flat_map(|check| numbers(&check.chance)));
        let mut given: BTreeSet<String> = BTreeSet::new();
        let registers = sheet.inputs.iter().chain(&sheet.assumptions);
        let gear = sheet.gear.iter().chain(&sheet.instruments).flat_map(|gear| &gear.ratings);
        let settings = sheet.machines.iter().flat_map(|machine| &machine.settings);
        for row in registers.chain(gear).chain(settings).filter(|row| !worked(row)) {
            given.extend(row.figure.iter().flat_map(|figure| numbers(&figure.text)));
            given.extend(numbers(&row.doubt_stated));
        }
        given.extend(
            sheet.readings.iter().flat_map(|readings| &readings.rows).flat_map(|row| &row.cells).flat_map(|cell| numbers(&cell.raw)),
        );
        sheet.checks.iter().for_each(|check| constants(&check.statement, &mut given));
        given.extend(sheet.checks.iter().flat_map(|check| &check.limits).flat_map(|limit| numbers(&limit.value)));
        // The values that are tried one after the other are the author's own; one that was searched for is not.
        let tried = sheet.studies.iter().filter(|study| study.conditions.is_empty()).flat_map(|study| &study.rows);
        given.extend(tried.flat_map(|row| numbers(&row.value.text)));
        Secrets(printed.difference(&given).cloned().collect())
    }

    /// `text` with every number that was worked taken out.
    pub(super) fn without(&self, text: &str) -> String {
        let mut out = String::with_capacity(text.len());
        let mut rest = text;
        while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
            let end = end_of_number(rest, start);
            let (before, number) = (rest.get(..start).unwrap_or(""), rest.get(start..end).unwrap_or(""));
            out.push_str(before);
            out.push_str(if self.0.contains(&plain(number)) { TAKEN_OUT } else { number });
            rest = rest.get(end..).unwrap_or("");
        }
        out.push_str(rest);
        out
    }

    fn cell(&self, cell: &Cell) -> Cell {
        Cell { label: self.without(&cell.label), value: self.without(&cell.value) }
    }

    fn given(&self, row: &InputRow) -> Given {
        let source = format!("{} {}", row.evidence, row.source);
        if worked(row) {
            return Given {
                name: row.name.clone(),
                label: self.without(&row.label),
                value: String::new(),
                doubt: String::new(),
                source: self.without(source.trim()),
            };
        }
        Given {
            name: row.name.clone(),
            label: self.without(&row.label),
            value: row.figure.as_ref().map(|figure| figure.text.clone()).unwrap_or_default(),
            doubt: row.doubt_stated.clone(),
            source: self.without(source.trim()),
        }
    }

    #[cfg(test)]
    pub(super) fn all(&self) -> &BTreeSet<String> {
        &self.0
    }
}

// Every number of every figure below `value`.
fn figures(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(object) => {
            if let (Some(Value::String(number)), Some(Value::String(doubt)), true) =
                (object.get("number"), object.get("doubt"), object.contains_key("si"))
            {
                found.extend(numbers(number).into_iter().chain(numbers(doubt)));
            }
            object.values().for_each(|below| figures(below, found));
        }
        Value::Array(items) => items.iter().for_each(|below| figures(below, found)),
        _ => {}
    }
}

// The numbers that stand in a condition as its author wrote it.
fn constants(math: &Math, found: &mut BTreeSet<String>) {
    found.extend(numbers(&linear(math)));
}

/// The numbers in `text`, without the spaces that group their digits.
pub(super) fn numbers(text: &str) -> Vec<String> {
    let (mut found, mut rest) = (Vec::new(), text);
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
        let end = end_of_number(rest, start);
        found.push(plain(rest.get(start..end).unwrap_or("")));
        rest = rest.get(end..).unwrap_or("");
    }
    found
}

// Digits run on through a point, a comma or a space that groups them, as long as a digit follows.
fn end_of_number(text: &str, start: usize) -> usize {
    let mut end = start;
    let mut letters = text.get(start..).unwrap_or("").char_indices().peekable();
    while let Some((at, letter)) = letters.next() {
        let joins = matches!(letter, '.' | ',' | '\u{202f}' | '\u{2009}' | '\u{a0}' | '_');
        let followed = letters.peek().is_some_and(|(_, next)| next.is_ascii_digit());
        if !(letter.is_ascii_digit() || joins && followed) {
            break;
        }
        end = start + at + letter.len_utf8();
    }
    end
}

fn plain(number: &str) -> String {
    number.chars().filter(|c| !matches!(c, '\u{202f}' | '\u{2009}' | '\u{a0}' | '_')).map(|c| if c == ',' { '.' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::{Secrets, blind_form, blind_html, numbers};
    use crate::output::fixture::{emptiest, fullest, hostile};
    use crate::output::reader::well_formed_page;

    #[test]
    fn numbers_are_found_as_they_are_printed() {
        assert_eq!(numbers("(18.14 ± 0.34) kN, 1\u{202f}850 kg; C4 3,5"), ["18.14", "0.34", "1850", "4", "3.5"]);
    }

    #[test]
    fn nothing_that_was_worked_stands_on_the_page_or_the_form() {
        for sheet in [fullest(), emptiest(), hostile()] {
            let secrets = Secrets::of(&sheet);
            let page = blind_html(&sheet);
            well_formed_page(&page);
            let (_, body) = page.split_once("<body class=\"blind\">").expect("a body");
            for text in [body.to_string(), blind_form(&sheet)] {
                let text = text.replace(&sheet.record.calculation, "");
                let told: Vec<String> = numbers(&text).into_iter().filter(|number| secrets.all().contains(number)).collect();
                assert!(told.iter().all(|number| number.len() < 3), "{told:?} in {}", sheet.path);
            }
        }
        assert!(Secrets::of(&fullest()).all().len() > 10);
    }
}
