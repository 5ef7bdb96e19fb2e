//! The registers: what was taken, what was assumed, and the gear with its ratings.

use crate::model::tree::{EntryId, TreeForm};
use crate::model::{Entry, Role};
use crate::sheet::parts::{Cell, Figure, GearRow, InputRow, NamedPlace};
use crate::sheet::symbols::{anchor, symbol};
use crate::sheet::working::{Setter, joined};
use crate::sheet::{doubts, figures};
use crate::source::Sources;
use crate::syntax::ast::{EvidenceWord, Meaning};
use crate::words::{between_numbers, say, word};
use std::borrow::Cow;

/// The state of an assumption that nobody has made sure of yet.
pub const OPEN: &str = "open";
/// The state of an assumption that somebody has made sure of.
pub const CONFIRMED: &str = "confirmed";
/// The state of what was taken because nothing was stated.
pub const BY_CONVENTION: &str = "by convention";

/// The states of assumptions in the order in which they are listed.
pub(super) const STATES: [&str; 3] = [OPEN, CONFIRMED, BY_CONVENTION];

/// The row of an input, an assumption, a rating or a setting.
pub(super) fn row(setter: &Setter<'_>, id: EntryId) -> InputRow {
    let entry = setter.model.entry(id);
    let kind = evidence_kind(entry);
    let (evidence, source, worked_from) = match sources(entry, kind) {
        // A value that is worked from other lines has its source there.
        source if source.is_empty() && kind.is_empty() => worked_from(setter, entry),
        source => (kind, source, Vec::new()),
    };
    InputRow {
        anchor: anchor(&entry.name),
        name: entry.name.clone(),
        // Under the heading of its machine or its gear a value needs no owner's name.
        symbol: symbol(
            if setter.inside.is_some() || matches!(entry.role, Role::Rating | Role::Instrument) { &entry.local } else { &entry.name },
            Vec::new(),
        ),
        label: entry.label.clone(),
        figure: listed(setter.printed.of(id)).map(|figure| as_stated(setter, id, figure)),
        doubt_stated: doubts::stated(setter, id),
        evidence: word(evidence).into(),
        source,
        effect: texts(entry, EvidenceWord::Effect),
        state: word(state(entry)).into(),
        confirmed: texts(entry, EvidenceWord::Confirmed),
        confirm_by: texts(entry, EvidenceWord::ConfirmBy),
        worked_from,
        stated_in_line: None,
    }
}

/// The row of a setting of a machine; one without a source tells in which line of the sheet it is stated.
pub(super) fn setting(setter: &Setter<'_>, id: EntryId, sources: &Sources) -> InputRow {
    let mut row = row(setter, id);
    if row.evidence.is_empty() && row.source.is_empty() {
        let span = setter.model.entry(id).span;
        let start = sources.in_file(span).start;
        row.stated_in_line = sources.file(span.home.file).map(|file| file.text.lines().line_of(start));
    }
    row
}

// A list stands in one cell, item by item.
fn listed(figures: &[Figure]) -> Option<Figure> {
    let mut first = figures.first().cloned()?;
    if figures.len() > 1 {
        let text = figures.iter().map(|figure| figure.text.as_str()).collect::<Vec<_>>().join(between_numbers());
        first.number.clone_from(&text);
        first.doubt.clear();
        first.unit.clear();
        first.unit_spoken.clear();
        first.text = text;
    }
    Some(first)
}

/// Whether an entry is stated and not worked.
pub(super) fn is_stated(entry: &Entry) -> bool {
    !matches!(entry.role, Role::Working | Role::Relation | Role::Node | Role::Law)
}

/// Whether an entry belongs in the register of assumptions.
pub(super) fn is_assumption(entry: &Entry) -> bool {
    matches!(entry.role, Role::Assume | Role::Gravity { declared: false } | Role::Travel { given: false })
}

// How an assumption stands. What the program took because nothing was stated is by convention: stating it is all the
// confirmation there is.
fn state(entry: &Entry) -> &'static str {
    match entry.role {
        Role::Assume if entry.evidence.iter().any(|(word, _)| *word == EvidenceWord::Confirmed) => CONFIRMED,
        Role::Assume => OPEN,
        _ if is_assumption(entry) => BY_CONVENTION,
        _ => "",
    }
}

// The names that an expression is made of, where it is more than a number.
fn worked_from(setter: &Setter<'_>, entry: &Entry) -> (&'static str, String, Vec<NamedPlace>) {
    // Beside its own gear or machine a value needs no owner's name.
    let owner = entry.name.strip_suffix(&entry.local).unwrap_or_default();
    let alone = matches!(entry.value.form, TreeForm::Entry(_));
    let mut places: Vec<NamedPlace> = Vec::new();
    entry.value.each_entry(&mut |id| {
        let name = setter.model.entry(id).name.as_str();
        let place = NamedPlace { name: name.strip_prefix(owner).unwrap_or(name).replace('_', " "), anchor: anchor(name) };
        if !places.contains(&place) {
            places.push(place);
        }
    });
    let names: Vec<&str> = places.iter().map(|place| place.name.as_str()).collect();
    let (evidence, source) = match names.as_slice() {
        [] => ("", String::new()),
        [one] if alone => ("as", (*one).to_string()),
        [one] => ("worked from", (*one).to_string()),
        [all @ .., last] => ("worked from", say!("{one} and {other}", one = all.join(", "), other = last)),
    };
    (evidence, source, places)
}

fn texts(entry: &Entry, wanted: EvidenceWord) -> String {
    joined(entry.evidence.iter().filter(|(word, _)| *word == wanted).map(|(_, text)| text.as_str()))
}

// What the author said of where it comes from; a source of another sort than the first keeps its word.
fn sources(entry: &Entry, kind: &str) -> String {
    let said =
        entry.evidence.iter().filter(|(word, _)| !matches!(word, EvidenceWord::Effect | EvidenceWord::Confirmed | EvidenceWord::ConfirmBy));
    let said = said.map(|(word, text)| match word_of(*word) {
        "" | "because" => Cow::Borrowed(text.as_str()),
        word if word == kind || kind.contains(' ') => Cow::Borrowed(text.as_str()),
        word => format!("{} {text}", crate::words::word(word)).into(),
    });
    joined(said)
}

fn evidence_kind(entry: &Entry) -> &'static str {
    if is_assumption(entry) {
        return "assumed";
    }
    if entry.role == (Role::Field { given: false }) {
        return "default of the kind";
    }
    let first = entry.evidence.iter().map(|(word, _)| *word).find(|word| !matches!(word, EvidenceWord::Ref | EvidenceWord::Effect));
    first.map_or("", word_of)
}

fn word_of(word: EvidenceWord) -> &'static str {
    match word {
        EvidenceWord::From => "from",
        EvidenceWord::Measured => "measured",
        EvidenceWord::Marked => "marked",
        EvidenceWord::Weighed => "weighed",
        EvidenceWord::Drawing => "drawing",
        EvidenceWord::Because => "because",
        EvidenceWord::Ref | EvidenceWord::Effect | EvidenceWord::Confirmed | EvidenceWord::ConfirmBy => "",
    }
}

// An input keeps the figures and the unit its author wrote, doubt and all; what that doubt means stands beside it.
fn as_stated(setter: &Setter<'_>, id: EntryId, figure: Figure) -> Figure {
    let entry = setter.model.entry(id);
    let [doubt] = entry.doubts.as_slice() else { return figure };
    if doubt.of_value || doubt.meaning == Meaning::Resolution {
        return figure;
    }
    let (sign, value) = match &entry.value.form {
        TreeForm::Negative(of) => ("-", &of.form),
        form => ("", form),
    };
    let (TreeForm::Constant(value), TreeForm::Constant(amount)) = (value, &doubt.amount.form) else { return figure };
    match (value.parts.as_slice(), amount.parts.as_slice(), setter.evaluation.entry(id).as_deref()) {
        ([(value, unit)], [(amount, other)], Some([found])) if unit == other && &entry.shown_in == unit => {
            figures::doubted(&format!("{sign}{value}"), amount, unit.as_ref(), found.value, found.uncertainty)
        }
        _ => figure,
    }
}

/// The row of an instrument.
pub(super) fn instrument(setter: &Setter<'_>, at: usize) -> Option<GearRow> {
    let instrument = setter.model.instruments.get(at)?;
    let ratings = instrument.values().into_iter().map(|id| row(setter, id)).collect();
    Some(GearRow {
        anchor: anchor(&instrument.name),
        name: instrument.name.clone(),
        label: instrument.label.clone(),
        ratings,
        facts: Vec::new(),
    })
}

/// The row of a piece of gear.
pub(super) fn gear(setter: &Setter<'_>, at: usize) -> Option<GearRow> {
    let gear = setter.model.gear.get(at)?;
    let ratings =
        ["rated", "breaking", "design_factor"].iter().filter_map(|name| gear.ratings.get(*name)).map(|id| row(setter, *id)).collect();
    let cell = |label: &str, value: String| Cell { label: label.into(), value };
    let mut facts: Vec<Cell> = Vec::new();
    facts.extend((!gear.edition.is_empty()).then(|| cell(say!("edition"), gear.edition.clone())));
    facts.extend(gear.inspect_by.map(|by| cell(say!("to be inspected by"), crate::words::date(&by.to_string()))));
    Some(GearRow { anchor: anchor(&gear.name), name: gear.name.clone(), label: gear.label.clone(), ratings, facts })
}
