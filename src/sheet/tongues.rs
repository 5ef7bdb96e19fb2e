//! The texts of a model and of a sheet that are not the page's own: those of the program's kinds are said in the language of the
//! page, and whatever else is in another language is marked with it.

use crate::kinds;
use crate::model::studies::Asks;
use crate::model::{Entry, Model, Owner, Placed, Role};
use crate::sheet::parts::{KindReport, Notice, Sheet};
use crate::words::{DecimalSign, Language, in_english, say, theirs, voice, word};
use std::sync::Arc;

/// Whose a text is.
#[derive(Clone, Copy)]
enum Whose<'k> {
    /// The author's of the sheet.
    Author,
    /// That of the document of one of the program's own kinds.
    Kind(&'k str),
}

impl<'k> Whose<'k> {
    /// Of what the kind `word` says.
    fn of(word: &'k str) -> Self {
        if kinds::words().any(|own| own == word) { Whose::Kind(word) } else { Whose::Author }
    }

    /// `text` as the page has it.
    fn told(self, text: &str) -> String {
        match self {
            Whose::Author => theirs(text),
            Whose::Kind(_) if voice().language == Language::English => in_english(text),
            Whose::Kind(word) => kinds::german(word, text).map_or_else(|| said(text), with_its_sign),
        }
    }
}

// The tables write their numbers with a comma, as German does; a house that keeps to points has points there too.
fn with_its_sign(german: &str) -> String {
    let mut out = german.to_string();
    if voice().decimal_sign == DecimalSign::Point {
        let bytes = german.as_bytes();
        let signs = german.match_indices(',').filter(|(at, _)| {
            let digit = |at: Option<usize>| at.and_then(|at| bytes.get(at)).is_some_and(u8::is_ascii_digit);
            digit(at.checked_sub(1)) && digit(Some(at + 1))
        });
        signs.for_each(|(at, _)| out.replace_range(at..=at, "."));
    }
    out
}

/// `model` with its texts as the page has them; none where every text is in the language of the page.
pub(super) fn marked(model: &Model) -> Option<Model> {
    let page = voice().language.tag();
    if voice().author.is_like(&page) && page.as_str() == "en" {
        return None;
    }
    let mut own = model.clone();
    let whose: Vec<Whose<'_>> = model.machines.iter().map(|machine| Whose::of(&machine.kind)).collect();
    for entry in &mut own.entries {
        let found = match entry.owner {
            Owner::Instance(at) => model.instances.get(at).and_then(|instance| whose.get(instance.machine)).copied(),
            Owner::Machine(at) => whose.get(at).copied(),
            Owner::Train(_) => Some(Whose::Kind("train")),
            _ => Some(Whose::Author),
        };
        // What every machine has is the program's, whoever wrote the rest of its kind.
        let shared = matches!((entry.owner, found), (Owner::Instance(_), Some(Whose::Author))) && every_has(&entry.local);
        mark_entry(entry, if shared { Whose::Kind("every") } else { found.unwrap_or(Whose::Kind("every")) });
    }
    for (machine, whose) in own.machines.iter_mut().zip(whose) {
        put(&mut machine.label, Whose::Author);
        put(&mut machine.kind_label, whose);
        // What was chosen is looked at by sketches, and said where it is printed.
        machine.choices.iter_mut().for_each(|(_, label, _)| put(label, whose));
        for at in &machine.instances {
            let Some(instance) = own.instances.get_mut(*at) else { continue };
            for caution in &mut instance.cautions {
                let (text, source) = Arc::make_mut(caution);
                [text, source].into_iter().for_each(|text| put(text, whose));
            }
            instance.conditions.iter_mut().for_each(|condition| condition.says = whose.told(&condition.says).into());
        }
    }
    for train in &mut own.trains {
        [&mut train.label, &mut train.effort_label].into_iter().for_each(|text| put(text, Whose::Author));
    }
    own.gear.iter_mut().for_each(|gear| [&mut gear.label, &mut gear.edition].into_iter().for_each(|text| put(text, Whose::Author)));
    own.instruments.iter_mut().for_each(|instrument| put(&mut instrument.label, Whose::Author));
    for check in &mut own.checks {
        put(&mut check.title, Whose::Author);
        check.evidence.iter_mut().for_each(|(_, text)| put(text, Whose::Author));
    }
    for readings in &mut own.readings {
        put(&mut readings.label, Whose::Author);
        readings.trials.iter_mut().for_each(|trial| put(&mut trial.remark, Whose::Author));
    }
    own.laws.iter_mut().for_each(|law| put(&mut law.label, Whose::Author));
    for agreement in &mut own.agreements {
        put(&mut agreement.title, Whose::Author);
        agreement.evidence.iter_mut().for_each(|(_, text)| put(text, Whose::Author));
    }
    for exercise in &mut own.exercises {
        put(&mut exercise.question, Whose::Author);
        exercise.situation.iter_mut().chain(&mut exercise.hints).for_each(|text| put(text, Whose::Author));
        exercise.steps.iter_mut().for_each(|step| put(&mut step.label, Whose::Author));
    }
    let varied = own.studies.iter_mut().filter_map(|study| match &mut study.asks {
        Asks::Results(results) => Some(results),
        _ => None,
    });
    let drawn = own.propagations.iter_mut().map(|drawn| &mut drawn.results);
    varied.chain(drawn).flatten().for_each(|shown| put(&mut shown.label, Whose::Author));
    own.correlations.iter_mut().flat_map(|correlation| &mut correlation.evidence).for_each(|(_, text)| put(text, Whose::Author));
    let head = &mut own.head;
    [&mut head.title, &mut head.question].into_iter().for_each(|text| put(text, Whose::Author));
    head.cells
        .iter_mut()
        .filter(|(label, _)| ["Project", "Client"].contains(&label.as_str()))
        .for_each(|(_, value)| put(value, Whose::Author));
    head.revisions.iter_mut().for_each(|line| put(&mut line.why, Whose::Author));
    for placed in own.layout.values_mut().flatten() {
        if let Placed::Kind { label, .. } = placed {
            put(label, Whose::Author);
        }
    }
    Some(own)
}

fn put(text: &mut String, whose: Whose<'_>) {
    *text = whose.told(text);
}

// Whether `name` is worked in the document of what every machine has.
fn every_has(name: &str) -> bool {
    kinds::document("every").is_some_and(|document| document.contains(&format!("    relation {name} \"")))
}

// What the program states of itself: in the language of the page where the table of words has it, and else in English.
fn said(text: &str) -> String {
    let found = word(text);
    if found != text {
        return found.to_string();
    }
    // What readings rest on is what every machine rests on.
    let shared = kinds::german("every", text).filter(|_| voice().language == Language::German);
    shared.map_or_else(|| in_english(text), with_its_sign)
}

fn mark_entry(entry: &mut Entry, whose: Whose<'_>) {
    // What the program states of itself is in its table of words.
    let ours = match entry.role {
        Role::Gravity { declared } => !declared,
        Role::Travel { given } => !given,
        _ => matches!(entry.owner, Owner::Readings(_)) || entry.role == Role::Law,
    };
    // A force that is known in place of the load is called so by the program.
    let known = entry.label.strip_prefix("known: ").filter(|_| entry.name.contains(".known."));
    if let Some(name) = known {
        entry.label = say!("known: {name}", name = word(name));
    } else if ours
        || matches!(entry.role, Role::Gravity { .. } | Role::Rating | Role::Instrument | Role::Travel { .. })
            && word(&entry.label) != entry.label
    {
        entry.label = said(&entry.label);
    } else {
        put(&mut entry.label, whose);
    }
    // What is stated of a setting of a kind, the author states.
    let source = if entry.role == (Role::Field { given: true }) { Whose::Author } else { whose };
    for (_, text) in &mut entry.evidence {
        *text = if ours { said(text) } else { source.told(text) };
    }
}

/// Marks what of a finished sheet did not come from the model.
pub(super) fn mark_sheet(sheet: &mut Sheet) {
    sheet.outline.iter_mut().for_each(|heading| put(&mut heading.text, Whose::Author));
    sheet.kinds.iter_mut().for_each(mark_kind);
    for machine in &mut sheet.machines {
        let whose = Whose::of(&machine.kind);
        machine.choices.iter_mut().for_each(|cell| [&mut cell.label, &mut cell.value].into_iter().for_each(|text| put(text, whose)));
    }
}

/// Findings are in English: one wording that can be looked up.
pub fn mark_notices(notices: &mut [Notice]) {
    let texts = notices.iter_mut().flat_map(|notice| [&mut notice.headline, &mut notice.why, &mut notice.help]);
    texts.for_each(|text| *text = in_english(text));
}

/// Why a piece of gear has no rating, as the page says it.
pub(super) fn unrated(why: &str) -> String {
    let found = why.strip_prefix('`').and_then(|why| why.split_once("` "));
    match found {
        Some((name, "states no rated load")) => say!("{name} states no rated load", name = name),
        Some((name, "states no breaking load")) => say!("{name} states no breaking load", name = name),
        Some((name, "states no design factor")) => say!("{name} states no design factor", name = name),
        Some((name, "states a breaking load and no design factor")) => {
            say!("{name} states a breaking load and no design factor", name = name)
        }
        _ => in_english(&why.replace('`', "")),
    }
}

/// A name that stands in the text of the kind `word` as it is written in a sheet.
pub(super) fn named(word: &str, name: &str) -> String {
    match Whose::of(word) {
        Whose::Kind(_) => in_english(name),
        Whose::Author => theirs(name),
    }
}

// A kind that a sheet writes is in the language of its author; one of the program's own is the program's, and its names of
// settings and choices stay as they are written in a sheet.
fn mark_kind(kind: &mut KindReport) {
    let word = kind.name.clone();
    let whose = Whose::of(&word);
    let choices = kind.options.iter_mut().flat_map(|row| row.choices.iter_mut().chain([&mut row.default]));
    choices.for_each(|choice| *choice = named(&word, choice));
    let mut texts = vec![&mut kind.label];
    texts.extend(kind.fields.iter_mut().flat_map(|row| [&mut row.label, &mut row.source]));
    texts.extend(kind.options.iter_mut().map(|row| &mut row.label));
    let formulas = kind.formulas.iter_mut().flat_map(|group| &mut group.alternatives);
    texts.extend(formulas.flat_map(|formula| [&mut formula.label, &mut formula.reference]));
    let conditions = kind.limits.iter_mut().chain(&mut kind.questions).chain(&mut kind.sustains);
    texts.extend(conditions.flat_map(|row| [&mut row.says, &mut row.reference]));
    texts.extend(kind.cautions.iter_mut().flat_map(|caution| [&mut caution.text, &mut caution.source]));
    texts.extend(&mut kind.sources);
    texts.into_iter().for_each(|text| put(text, whose));
}
