//! What the stated doubts of a value mean, in words.

use crate::measure::{Repeats, coverage_factor};
use crate::model::StatedDoubt;
use crate::model::tree::{EntryId, Tree, TreeForm};
use crate::sheet::working::Setter;
use crate::syntax::ast::Meaning;
use crate::units::{significant, spaced, typed};
use crate::words::{between_numbers, say};

/// Every doubt stated with an entry, one after the other.
pub(super) fn stated(setter: &Setter<'_>, id: EntryId) -> String {
    let doubts = &setter.model.entry(id).doubts;
    let read = read_with(setter, id);
    let words = doubts.iter().enumerate().map(|(number, doubt)| match doubt.meaning {
        Meaning::Repeats => repeats(setter, id, number, doubt),
        _ => limits(setter, doubt),
    });
    read.into_iter().chain(words).collect::<Vec<_>>().join("; ")
}

// What a reading was before anything was taken off it, and what was.
fn read_with(setter: &Setter<'_>, id: EntryId) -> Option<String> {
    let reading = setter.model.entry(id).reading.as_ref()?;
    let instrument = setter.model.instruments.get(reading.instrument)?;
    let value = |id: EntryId| setter.printed.of(id).first().map(|figure| figure.text.clone()).unwrap_or_default();
    let shown = match &reading.shown.form {
        TreeForm::Constant(_) | TreeForm::Negative(_) => say!("read as {figure}", figure = as_typed(setter, &reading.shown)),
        TreeForm::List(items) => {
            say!("read as {figure}", figure = items.iter().map(|item| as_typed(setter, item)).collect::<Vec<_>>().join(between_numbers()))
        }
        _ => say!("read").to_string(),
    };
    let mut words =
        say!("{shown} by {name}", shown = shown, name = instrument.name) + if reading.inverted { say!(", upside down") } else { "" };
    if let Some(zero) = instrument.zero {
        words += &say!("; its zero, {figure}, taken off", figure = value(zero));
    }
    match (reading.inverted, instrument.own_weight, instrument.hook_weight) {
        (true, Some(own), None) => words += &say!("; its own weight, {figure}, added", figure = value(own)),
        (true, None, Some(hook)) => words += &say!("; twice the weight of its hook, {figure}, added", figure = value(hook)),
        _ => {}
    }
    if !instrument.calibrations.is_empty() {
        words += say!("; the doubt of its calibration shared with its other readings");
    }
    Some(words)
}

// The size as stated, with what it means.
fn limits(setter: &Setter<'_>, doubt: &StatedDoubt) -> String {
    let size = as_typed(setter, &doubt.amount);
    let share = if doubt.of_value { say!(" of value") } else { "" };
    let short = |number: f64, digits: usize| {
        let text = significant(number, digits);
        if text.contains(['.', ',']) { text.trim_end_matches('0').trim_end_matches(['.', ',']).to_string() } else { text }
    };
    let meaning = match doubt.meaning {
        Meaning::Resolution => return say!("resolution {size}, half a step either way (rectangular)", size = size),
        Meaning::Limits => say!("limits of error (rectangular)").to_string(),
        Meaning::Triangular => say!("limits, the middle likelier (triangular)").to_string(),
        Meaning::Arcsine => say!("limits, the ends likelier (arcsine)").to_string(),
        Meaning::Trapezoidal(top) => say!("limits with a flat top {share} of the base (trapezoidal)", share = short(top, 3)),
        Meaning::Expanded(k) => say!("expanded (k = {k})", k = significant(k, 3)),
        Meaning::Level(level) => {
            let k = coverage_factor(level, doubt.degrees).map(|k| format!(", k = {}", significant(k, 3))).unwrap_or_default();
            let distribution = if doubt.degrees.is_some() { say!("Student's t") } else { say!("normal") };
            say!("interval of {level} % ({distribution}{k})", level = short(100.0 * level, 6), distribution = distribution, k = k)
        }
        Meaning::Scatter => return say!("what the trials leave open of the line").into(),
        Meaning::Standard | Meaning::Repeats => say!("standard uncertainty").to_string(),
    };
    let degrees = doubt.degrees.map(|degrees| format!(", {}", of_freedom(&short(degrees, 4)))).unwrap_or_default();
    format!("± {size}{share}, {meaning}{degrees}")
}

fn of_freedom(number: &str) -> String {
    if number == "1" { say!("1 degree of freedom").to_string() } else { say!("{number} degrees of freedom", number = number) }
}

// Every reading as it was written, and what their spread comes to in the unit of the value.
fn repeats(setter: &Setter<'_>, id: EntryId, number: usize, doubt: &StatedDoubt) -> String {
    let readings: Vec<String> = match &doubt.amount.form {
        TreeForm::List(items) => items.iter().map(|item| as_typed(setter, item)).collect(),
        _ => Vec::new(),
    };
    let listed = say!("mean of {count} readings: {readings}", count = readings.len(), readings = readings.join(between_numbers()));
    let evaluation = setter.evaluation;
    let source = evaluation.program.sources.iter().find(|source| source.entry == id.0 && source.doubt == number);
    let values: Option<Vec<f64>> =
        source.and_then(|source| source.amounts.iter().map(|place| evaluation.values.get(*place).copied()).collect());
    let Some(found) = values.and_then(|values| Repeats::of(&values)) else { return listed };
    let unit = setter.model.entry(id).shown_in.as_ref();
    let size = |si: f64| spaced(&significant(si / unit.map_or(1.0, |unit| unit.scale), 2), unit.map_or("", |unit| unit.symbol.as_str()));
    say!(
        "{listed}; standard deviation {deviation}, of the mean {of_mean}, {freedom}",
        listed = listed,
        deviation = size(found.deviation),
        of_mean = size(found.of_mean),
        freedom = of_freedom(&(readings.len().saturating_sub(1)).to_string())
    )
}

fn as_typed(setter: &Setter<'_>, tree: &Tree) -> String {
    match &tree.form {
        TreeForm::Constant(constant) => {
            let part = |(number, unit): &(String, Option<crate::units::Unit>)| {
                spaced(&typed(number), unit.as_ref().map_or("", |unit| unit.symbol.as_str()))
            };
            constant.parts.iter().map(part).collect::<Vec<_>>().join(" ")
        }
        TreeForm::Negative(of) => format!("\u{2212}{}", as_typed(setter, of)),
        TreeForm::Entry(id) => setter.printed.of(*id).first().map_or(say!("as worked").into(), |figure| figure.text.clone()),
        _ => say!("as worked").into(),
    }
}
