//! What a sheet comes to, without how it is told or laid out: what another day's sheet is compared with.

use crate::sheet::parts::{Figure, InputRow, MachineReport, NamedValue, Sheet, TitleBlock, TrainReport};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A sheet reduced to its names, numbers and verdicts.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
pub struct Snapshot {
    /// Number of the sheet, perhaps empty.
    pub number: String,
    /// Title.
    pub title: String,
    /// Its status.
    pub status: String,
    /// Revision, date and people, as the head has them.
    pub head: Vec<(String, String)>,
    /// Digest of what its fences say.
    pub calculation: String,
    /// Digest of everything else.
    pub telling: String,
    /// What was stated: inputs, assumptions, ratings, settings of machines.
    pub inputs: Vec<Stated>,
    /// What was worked.
    pub results: Vec<Worked>,
    /// What was checked.
    pub checks: Vec<Decided>,
    /// Machines and trains, as they are rigged.
    pub machines: Vec<Rigged>,
}

/// A value that its author stated.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Stated {
    /// Full name.
    pub name: String,
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// "input", "assumption", "rating" or "setting".
    pub sort: String,
    /// The value as printed; empty when it could not be worked.
    pub text: String,
    /// In the coherent SI unit.
    pub si: f64,
    /// The doubt as stated, in words; empty when none.
    pub doubt: String,
    /// The evidence with its word; perhaps empty.
    pub source: String,
    /// State of an assumption: "open", "confirmed" or "by convention"; else empty.
    pub state: String,
}

/// A value that was worked; a list has several.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Worked {
    /// Full name.
    pub name: String,
    /// As printed, item by item.
    pub texts: Vec<String>,
    /// Unit of print.
    pub unit: String,
    /// In the unit of print.
    pub values: Vec<f64>,
    /// In the coherent SI unit.
    pub si: Vec<f64>,
    /// Expanded uncertainties in the unit of print.
    pub doubts: Vec<f64>,
}

/// A check with its verdict.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Decided {
    /// What is checked.
    pub title: String,
    /// The verdict in words.
    pub verdict: String,
    /// Demand over capacity as printed; empty when there is none.
    pub utilisation: String,
    /// Reference, perhaps empty.
    pub reference: String,
}

/// How a machine or a train stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Rigged {
    /// Its name.
    pub name: String,
    /// What is true of it: kind, direction, choices, stations; each with its label.
    pub facts: Vec<(String, String)>,
}

/// The snapshot of `sheet`.
pub fn snapshot(sheet: &Sheet) -> Snapshot {
    let mut inputs: Vec<Stated> = Vec::new();
    let mut state = |rows: &mut dyn Iterator<Item = &InputRow>, sort: &str| {
        inputs.extend(rows.filter(|row| !derived(row)).map(|row| stated(row, sort)));
    };
    state(&mut sheet.inputs.iter(), "input");
    state(&mut sheet.assumptions.iter(), "assumption");
    state(&mut sheet.gear.iter().flat_map(|gear| &gear.ratings), "rating");
    state(&mut sheet.machines.iter().flat_map(|machine| &machine.settings), "setting");
    let known = |name: &str| inputs.iter().any(|input| input.name == name);
    let by_name: BTreeMap<&str, &NamedValue> = sheet.values.iter().map(|value| (value.name.as_str(), value)).collect();
    // A force of a train goes by the name of its machine as well; what is one value is told once.
    let again = |value: &NamedValue| {
        let fellow = value.name.split_once('.').filter(|(_, rest)| rest.contains('.')).and_then(|(_, rest)| by_name.get(rest));
        fellow.is_some_and(|fellow| fellow.figure == value.figure && fellow.items == value.items)
    };
    let results = sheet.values.iter().filter(|value| !known(&value.name) && !again(value)).map(|value| {
        let figures: Vec<&Figure> = value.figure.iter().chain(&value.items).collect();
        Worked {
            name: value.name.clone(),
            texts: figures.iter().map(|figure| figure.text.clone()).collect(),
            unit: figures.first().map(|figure| figure.unit.clone()).unwrap_or_default(),
            values: figures.iter().map(|figure| figure.value).collect(),
            si: figures.iter().map(|figure| figure.si).collect(),
            doubts: figures.iter().map(|figure| figure.expanded()).collect(),
        }
    });
    let results = results.collect();
    let checks = sheet.checks.iter().map(|check| Decided {
        title: check.title.clone(),
        verdict: check.verdict.clone(),
        utilisation: check.utilisation.as_ref().map(|figure| figure.text.clone()).unwrap_or_default(),
        reference: check.reference.clone(),
    });
    Snapshot {
        number: sheet.title_block.number.clone(),
        title: sheet.title_block.title.clone(),
        status: sheet.status.clone(),
        head: head(&sheet.title_block),
        calculation: sheet.record.calculation.clone(),
        telling: sheet.record.telling.clone(),
        inputs,
        results,
        checks: checks.collect(),
        machines: sheet.machines.iter().map(machine).chain(sheet.trains.iter().map(train)).collect(),
    }
}

fn head(block: &TitleBlock) -> Vec<(String, String)> {
    let words = [("Question", &block.question), ("Language", &block.language)].into_iter().filter(|(_, text)| !text.is_empty());
    let words = words.map(|(label, text)| (label.to_string(), text.clone()));
    block.cells.iter().map(|cell| (cell.label.clone(), cell.value.clone())).chain(words).collect()
}

// A setting that only passes on another value of the sheet, or was never stated, is no input of its own.
fn derived(row: &InputRow) -> bool {
    matches!(row.evidence.as_str(), "as" | "worked from" | "default of the kind")
}

fn stated(row: &InputRow, sort: &str) -> Stated {
    Stated {
        name: row.name.clone(),
        label: row.label.clone(),
        sort: sort.to_string(),
        text: row.figure.as_ref().map(|figure| figure.text.clone()).unwrap_or_default(),
        si: row.figure.as_ref().map_or(0.0, |figure| figure.si),
        doubt: row.doubt_stated.clone(),
        source: [row.evidence.as_str(), row.source.as_str()].iter().filter(|part| !part.is_empty()).copied().collect::<Vec<_>>().join(" "),
        state: row.state.clone(),
    }
}

fn machine(machine: &MachineReport) -> Rigged {
    let mut facts = vec![
        ("kind".to_string(), machine.kind.clone()),
        ("direction".to_string(), machine.direction.clone()),
        ("friction".to_string(), machine.friction_state.clone()),
    ];
    facts.extend(machine.choices.iter().map(|choice| (choice.label.clone(), choice.value.clone())));
    Rigged { name: machine.name.clone(), facts }
}

fn train(train: &TrainReport) -> Rigged {
    let facts = vec![("stations".to_string(), train.stations.join(" → ")), ("direction".to_string(), train.direction.clone())];
    Rigged { name: train.name.clone(), facts }
}
