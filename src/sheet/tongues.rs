//! The texts of a model and of a sheet that are not the page's own: each is marked with the language that it is in.

use crate::kinds;
use crate::model::studies::Asks;
use crate::model::{Entry, Model, Owner, Placed, Role};
use crate::sheet::parts::{KindReport, Notice, Sheet};
use crate::words::{in_english, theirs, voice, word};

/// Marks a text.
type Mark = fn(&str) -> String;

/// `model` with its texts marked; none where every text is in the language of the page.
pub(super) fn marked(model: &Model) -> Option<Model> {
    let page = voice().language.tag();
    if voice().author.is_like(&page) && page.as_str() == "en" {
        return None;
    }
    let mut own = model.clone();
    let ours: Vec<bool> = model.machines.iter().map(|machine| kinds::words().any(|word| word == machine.kind)).collect();
    for entry in &mut own.entries {
        let of_kind = match entry.owner {
            Owner::Instance(at) => model.instances.get(at).and_then(|instance| ours.get(instance.machine)).copied().unwrap_or(true),
            Owner::Machine(at) => ours.get(at).copied().unwrap_or(true),
            Owner::Train(_) => true,
            _ => false,
        };
        mark_entry(entry, if of_kind { in_english } else { theirs });
    }
    for (machine, ours) in own.machines.iter_mut().zip(ours) {
        put(&mut machine.label, theirs);
        let mark: Mark = if ours { in_english } else { theirs };
        put(&mut machine.kind_label, mark);
        // What was chosen is looked at by sketches, and marked where it is printed.
        machine.choices.iter_mut().for_each(|(_, label, _)| put(label, mark));
        for at in &machine.instances {
            let Some(instance) = own.instances.get_mut(*at) else { continue };
            instance.cautions.iter_mut().for_each(|(text, source)| [text, source].into_iter().for_each(|text| put(text, mark)));
            instance.conditions.iter_mut().for_each(|condition| put(&mut condition.says, mark));
        }
    }
    for train in &mut own.trains {
        [&mut train.label, &mut train.effort_label].into_iter().for_each(|text| put(text, theirs));
    }
    own.gear.iter_mut().for_each(|gear| [&mut gear.label, &mut gear.edition].into_iter().for_each(|text| put(text, theirs)));
    own.instruments.iter_mut().for_each(|instrument| put(&mut instrument.label, theirs));
    for check in &mut own.checks {
        put(&mut check.title, theirs);
        check.evidence.iter_mut().for_each(|(_, text)| put(text, theirs));
    }
    for readings in &mut own.readings {
        put(&mut readings.label, theirs);
        readings.trials.iter_mut().for_each(|trial| put(&mut trial.remark, theirs));
    }
    own.laws.iter_mut().for_each(|law| put(&mut law.label, theirs));
    for agreement in &mut own.agreements {
        put(&mut agreement.title, theirs);
        agreement.evidence.iter_mut().for_each(|(_, text)| put(text, theirs));
    }
    for exercise in &mut own.exercises {
        put(&mut exercise.question, theirs);
        exercise.situation.iter_mut().chain(&mut exercise.hints).for_each(|text| put(text, theirs));
        exercise.steps.iter_mut().for_each(|step| put(&mut step.label, theirs));
    }
    let varied = own.studies.iter_mut().filter_map(|study| match &mut study.asks {
        Asks::Results(results) => Some(results),
        _ => None,
    });
    let drawn = own.propagations.iter_mut().map(|drawn| &mut drawn.results);
    varied.chain(drawn).flatten().for_each(|shown| put(&mut shown.label, theirs));
    own.correlations.iter_mut().flat_map(|correlation| &mut correlation.evidence).for_each(|(_, text)| put(text, theirs));
    let head = &mut own.head;
    [&mut head.title, &mut head.question].into_iter().for_each(|text| put(text, theirs));
    head.cells.iter_mut().filter(|(label, _)| ["Project", "Client"].contains(&label.as_str())).for_each(|(_, value)| put(value, theirs));
    head.revisions.iter_mut().for_each(|line| put(&mut line.why, theirs));
    for placed in own.layout.values_mut().flatten() {
        if let Placed::Kind { label, .. } = placed {
            put(label, theirs);
        }
    }
    Some(own)
}

fn put(text: &mut String, mark: Mark) {
    *text = mark(text);
}

// What the program states of itself: in the language of the page where the table of words has it, and else in English.
fn said(text: &str) -> String {
    let found = word(text);
    if found == text { in_english(text) } else { found.to_string() }
}

fn mark_entry(entry: &mut Entry, mark: Mark) {
    // What the program states of itself is in its table of words.
    let ours = match entry.role {
        Role::Gravity { declared } => !declared,
        Role::Travel { given } => !given,
        _ => matches!(entry.owner, Owner::Readings(_)) || entry.role == Role::Law,
    };
    if ours
        || matches!(entry.role, Role::Gravity { .. } | Role::Rating | Role::Instrument | Role::Travel { .. })
            && word(&entry.label) != entry.label
    {
        entry.label = said(&entry.label);
    } else {
        put(&mut entry.label, mark);
    }
    // What is stated of a setting of a kind, the author states.
    let source: Mark = if entry.role == (Role::Field { given: true }) { theirs } else { mark };
    for (_, text) in &mut entry.evidence {
        *text = if ours { said(text) } else { source(text) };
    }
}

/// Marks what of a finished sheet did not come from the model.
pub(super) fn mark_sheet(sheet: &mut Sheet) {
    sheet.outline.iter_mut().for_each(|heading| put(&mut heading.text, theirs));
    sheet.kinds.iter_mut().for_each(mark_kind);
    for machine in &mut sheet.machines {
        let mark: Mark = if kinds::words().any(|word| word == machine.kind) { in_english } else { theirs };
        machine.choices.iter_mut().for_each(|cell| [&mut cell.label, &mut cell.value].into_iter().for_each(|text| put(text, mark)));
    }
}

/// Findings are in English.
pub fn mark_notices(notices: &mut [Notice]) {
    for notice in notices {
        put(&mut notice.headline, in_english);
        put(&mut notice.why, in_english);
        put(&mut notice.help, in_english);
    }
}

// A kind that a sheet writes is in the language of its author; one of the program's own is in English, and so is its author.
fn mark_kind(kind: &mut KindReport) {
    // What the language calls a quantity, a case and an end is in English whatever its author speaks.
    let mut words: Vec<&mut String> = kind.ports.iter_mut().flat_map(|row| [&mut row.text, &mut row.when]).collect();
    words.extend(kind.fields.iter_mut().map(|row| &mut row.quantity));
    words.extend(kind.formulas.iter_mut().flat_map(|group| &mut group.alternatives).map(|formula| &mut formula.when));
    words.extend(kind.limits.iter_mut().chain(&mut kind.questions).chain(&mut kind.sustains).map(|row| &mut row.when));
    words.extend(kind.cautions.iter_mut().map(|caution| &mut caution.when));
    words.into_iter().for_each(|text| put(text, in_english));
    let mut texts = vec![&mut kind.label];
    texts.extend(kind.fields.iter_mut().flat_map(|row| [&mut row.label, &mut row.source]));
    texts.extend(kind.options.iter_mut().flat_map(|row| std::iter::once(&mut row.label).chain(&mut row.choices)));
    let formulas = kind.formulas.iter_mut().flat_map(|group| &mut group.alternatives);
    texts.extend(formulas.flat_map(|formula| [&mut formula.label, &mut formula.reference]));
    let conditions = kind.limits.iter_mut().chain(&mut kind.questions).chain(&mut kind.sustains);
    texts.extend(conditions.flat_map(|row| [&mut row.says, &mut row.reference]));
    texts.extend(kind.cautions.iter_mut().flat_map(|caution| [&mut caution.text, &mut caution.source]));
    texts.extend(&mut kind.sources);
    texts.into_iter().for_each(|text| put(text, theirs));
}
