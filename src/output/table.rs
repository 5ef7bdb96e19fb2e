//! Results, inputs, checks and gear of a sheet as tables for other programs: CSV as RFC 4180 has it, numbers at full precision
//! beside their unit and standard uncertainty.

use crate::sheet::accepted;
use crate::sheet::parts::{Figure, InputRow, Sheet};
use csv::{Terminator, WriterBuilder};

/// Which table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Table {
    /// What was worked, a line for each value and each item of a list.
    Results,
    /// What was stated: inputs, assumptions, ratings, settings of machines.
    Inputs,
    /// Demand, capacity and verdict.
    Checks,
    /// Ratings of gear.
    Gear,
}

/// The table as CSV; every line ends with carriage return and line feed.
pub fn table(sheet: &Sheet, which: Table) -> String {
    let rows = match which {
        Table::Results => results(sheet),
        Table::Inputs => inputs(sheet),
        Table::Checks => checks(sheet),
        Table::Gear => gear(sheet),
    };
    let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    for row in rows {
        // Rows of one length into memory: nothing here can fail.
        let _ = writer.write_record(&row);
    }
    writer.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default()
}

fn head(columns: &[&str]) -> Vec<Vec<String>> {
    vec![columns.iter().map(|column| column.to_string()).collect()]
}

// The shortest digits that read back to the same number.
fn number(value: f64) -> String {
    format!("{value:?}")
}

// Value, standard uncertainty and unit; empty where it could not be worked.
fn figure(figure: Option<&Figure>) -> [String; 3] {
    figure.map_or_else(Default::default, |figure| [number(figure.value), number(figure.standard_uncertainty), figure.unit.clone()])
}

fn results(sheet: &Sheet) -> Vec<Vec<String>> {
    let mut rows = head(&["name", "quantity", "value", "standard uncertainty", "unit"]);
    let quantity = |name: &str| {
        let named = |name: &str| sheet.values.iter().find(|value| value.name == name).map(|value| value.quantity.clone());
        named(name).or_else(|| named(name.rsplit_once('[')?.0)).unwrap_or_default()
    };
    let worked = accepted(sheet).into_iter();
    rows.extend(worked.map(|one| vec![one.name.clone(), quantity(&one.name), number(one.value), number(one.doubt), one.unit]));
    rows
}

fn inputs(sheet: &Sheet) -> Vec<Vec<String>> {
    let mut rows = head(&[
        "sort",
        "name",
        "label",
        "value",
        "standard uncertainty",
        "unit",
        "doubt as stated",
        "evidence",
        "source",
        "effect",
        "state",
    ]);
    let mut add = |sort: &str, row: &InputRow| {
        let [value, doubt, unit] = figure(row.figure.as_ref());
        let words = [&row.doubt_stated, &row.evidence, &row.source, &row.effect, &row.state].map(String::clone);
        rows.push([sort.to_string(), row.name.clone(), row.label.clone(), value, doubt, unit].into_iter().chain(words).collect());
    };
    sheet.inputs.iter().for_each(|row| add("input", row));
    sheet.assumptions.iter().for_each(|row| add("assumption", row));
    sheet.gear.iter().flat_map(|gear| &gear.ratings).for_each(|row| add("rating", row));
    sheet.machines.iter().flat_map(|machine| &machine.settings).for_each(|row| add("setting", row));
    rows
}

fn checks(sheet: &Sheet) -> Vec<Vec<String>> {
    let mut rows = head(&[
        "number",
        "title",
        "demand",
        "demand standard uncertainty",
        "demand unit",
        "capacity",
        "capacity standard uncertainty",
        "capacity unit",
        "utilisation",
        "margin",
        "margin standard uncertainty",
        "margin unit",
        "verdict",
        "accepted",
        "chance of a wrong verdict",
        "governing",
        "remark",
        "reference",
        "line",
    ]);
    for check in &sheet.checks {
        let mut row = vec![check.number.clone(), check.title.clone()];
        row.extend(figure(check.demand.as_ref()));
        row.extend(figure(check.capacity.as_ref()));
        row.push(check.utilisation.as_ref().map(|figure| number(figure.value)).unwrap_or_default());
        row.extend(figure(check.margin.as_ref()));
        row.push(check.verdict.clone());
        row.push(check.accepted.map(|accepted| accepted.to_string()).unwrap_or_default());
        row.push(check.chance_of_error.map(number).unwrap_or_default());
        row.extend([check.governing.to_string(), check.remark.clone(), check.reference.clone(), check.line.to_string()]);
        rows.push(row);
    }
    rows
}

fn gear(sheet: &Sheet) -> Vec<Vec<String>> {
    let mut rows = head(&[
        "gear",
        "label",
        "stated",
        "value",
        "standard uncertainty",
        "unit",
        "doubt as stated",
        "evidence",
        "source",
        "edition",
        "to be inspected by",
    ]);
    for gear in &sheet.gear {
        for row in &gear.ratings {
            // `rope.rated`: what is stated is what stands behind the name of the piece.
            let stated = row.name.strip_prefix(&gear.name).map_or(row.name.as_str(), |rest| rest.trim_start_matches('.'));
            let words = [&row.doubt_stated, &row.evidence, &row.source].map(String::clone);
            let names = [gear.name.clone(), gear.label.clone(), stated.to_string()];
            let fact = |label: &str| gear.facts.iter().find(|fact| fact.label == label).map(|fact| fact.value.clone()).unwrap_or_default();
            let facts = [fact("edition"), fact("to be inspected by")];
            rows.push(names.into_iter().chain(figure(row.figure.as_ref())).chain(words).chain(facts).collect());
        }
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::{Table, table};
    use crate::output::fixture::{emptiest, fullest};

    #[test]
    fn every_table_is_square_and_comes_back_through_a_reader() {
        for sheet in [fullest(), emptiest()] {
            for which in [Table::Results, Table::Inputs, Table::Checks, Table::Gear] {
                let text = table(&sheet, which);
                let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(text.as_bytes());
                let width = reader.headers().expect("a head").len();
                let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
                assert!(rows.iter().all(|row| row.len() == width) && text.ends_with("\r\n"), "{which:?}: {text}");
                if which == Table::Checks {
                    let titles: Vec<&str> = rows.iter().filter_map(|row| row.get(1)).collect();
                    assert_eq!(titles, sheet.checks.iter().map(|check| check.title.as_str()).collect::<Vec<_>>());
                }
            }
        }
    }
}
