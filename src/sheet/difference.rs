//! What two states of a sheet have not in common, told by what it means: inputs, results, verdicts, machines, sources.
//! The order of lines, layout and a change of names alone are not among it.

use crate::sheet::snapshot::{Decided, Rigged, Snapshot, Stated, Worked};
use crate::units;
use crate::words::{counted, say, word};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Everything that differs, each list in the order of the newer sheet.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema, Default)]
pub struct Difference {
    /// Title, number, revision, date and people that changed.
    pub head: Vec<Change>,
    /// Names that changed while what they stand for did not.
    pub renamed: Vec<Change>,
    /// Inputs, assumptions, ratings and settings: value, doubt or state.
    pub inputs: Vec<Change>,
    /// Sources and references alone.
    pub sources: Vec<Change>,
    /// Machines and trains.
    pub machines: Vec<Change>,
    /// Results whose value or doubt moved.
    pub results: Vec<Moved>,
    /// Names of results that came or went.
    pub named: Vec<Change>,
    /// Verdicts that turned, and checks that came or went.
    pub verdicts: Vec<Change>,
    /// Checks whose utilisation moved while the verdict stands.
    pub utilisations: Vec<Change>,
    /// Whether the prose, or who and when, changed.
    pub telling: bool,
    /// Whether what the fences say changed at all.
    pub calculation: bool,
}

/// One thing that changed. `from` is empty for what came, `to` for what went.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Change {
    /// What changed: a name, or the title of a check.
    pub what: String,
    /// What it is, in words, or which side of it changed; perhaps empty.
    pub label: String,
    /// Before.
    pub from: String,
    /// Now.
    pub to: String,
}

/// A result that moved.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Moved {
    /// Full name, with the item in a list.
    pub name: String,
    /// Before, as printed.
    pub from: String,
    /// Now, as printed.
    pub to: String,
    /// By how much, with sign and the unit of the newer sheet; empty when only its doubt moved.
    pub by: String,
    /// The same in per cent of the earlier value; empty when that was 0.
    pub percent: String,
    /// The same against the expanded uncertainty of the earlier value: "0.4 U"; empty without one.
    pub against_doubt: String,
    /// The change in the coherent SI unit.
    pub si: f64,
    // How many expanded uncertainties that is; endless where there was no doubt.
    #[serde(skip)]
    doubts: f64,
}

impl Moved {
    /// How many expanded uncertainties of its earlier value it has moved; endless where that had no doubt.
    pub fn by_doubt(&self) -> f64 {
        self.doubts
    }
}

impl Difference {
    /// Whether nothing differs.
    pub fn is_empty(&self) -> bool {
        !self.telling && !self.calculation && self.head.is_empty() && !self.moved()
    }

    /// Whether anything that is worked, stated or decided differs.
    pub fn moved(&self) -> bool {
        let lists = [&self.inputs, &self.sources, &self.machines, &self.named, &self.verdicts, &self.utilisations];
        !self.results.is_empty() || lists.iter().any(|list| !list.is_empty())
    }

    /// One line: `1 input changed, 7 results moved, 1 verdict flipped`.
    pub fn summary(&self) -> String {
        let turned = self.verdicts.iter().filter(|change| !change.from.is_empty() && !change.to.is_empty()).count();
        let other = self.verdicts.len() - turned;
        let counts = [
            (self.inputs.len(), say!("1 input changed"), say!("{count} inputs changed")),
            (self.sources.len(), say!("1 source changed"), say!("{count} sources changed")),
            (self.machines.len(), say!("1 machine changed"), say!("{count} machines changed")),
            (self.results.len(), say!("1 result moved"), say!("{count} results moved")),
            (self.named.len(), say!("1 result came or went"), say!("{count} results came or went")),
            (turned, say!("1 verdict flipped"), say!("{count} verdicts flipped")),
            (other, say!("1 check came or went"), say!("{count} checks came or went")),
        ];
        let words: Vec<String> =
            counts.iter().filter(|(count, _, _)| *count > 0).map(|(count, one, several)| counted(*count, one, several)).collect();
        match (words.as_slice(), self.telling || !self.head.is_empty(), self.calculation) {
            ([], false, false) => say!("nothing changed").to_string(),
            ([], true, false) => say!("text changed, calculation unchanged").to_string(),
            ([], _, true) => say!("written otherwise, with the same inputs, results and verdicts").to_string(),
            (words, _, _) => words.join(", "),
        }
    }
}

/// What `new` has that `old` has not, and the other way.
pub fn difference(old: &Snapshot, new: &Snapshot) -> Difference {
    let names = renamed(old, new);
    let now = |name: &str| now(name, &names);
    let mut found = Difference {
        telling: old.telling != new.telling,
        calculation: old.calculation != new.calculation,
        renamed: names.iter().map(|(from, to)| change(to, "renamed", from, to)).collect(),
        ..Difference::default()
    };
    for (what, from, to) in [("number", &old.number, &new.number), ("title", &old.title, &new.title), ("status", &old.status, &new.status)]
    {
        if from != to {
            found.head.push(change(what, "", from, to));
        }
    }
    let cells = paired(&old.head, &new.head, |cell| cell.0.clone(), |cell| cell.0.clone());
    for (from, to) in cells {
        let text = |cell: Option<&(String, String)>| cell.map(|cell| cell.1.clone()).unwrap_or_default();
        let what = to.or(from).map(|cell| cell.0.to_lowercase()).unwrap_or_default();
        if text(from) != text(to) {
            found.head.push(change(&what, "", &text(from), &text(to)));
        }
    }
    for (from, to) in paired(&old.inputs, &new.inputs, |input| now(&input.name), |input| input.name.clone()) {
        input(from, to, &mut found);
    }
    for (from, to) in paired(&old.machines, &new.machines, |machine| now(&machine.name), |machine| machine.name.clone()) {
        rigged(from, to, &names, &mut found.machines);
    }
    let mut tops: BTreeSet<String> = BTreeSet::new();
    for (from, to) in paired(&old.results, &new.results, |result| now(&result.name), |result| result.name.clone()) {
        match (from, to) {
            (Some(from), Some(to)) => moved(from, to, &mut found.results),
            (Some(one), None) | (None, Some(one)) => {
                // All that a machine has comes and goes with it, and is told once.
                let owner =
                    found.machines.iter().any(|change| change.what == top(&one.name) && (change.from.is_empty() || change.to.is_empty()));
                let told = |texts: &[String]| texts.join(", ");
                if !owner && tops.insert(one.name.clone()) {
                    let (before, after) =
                        if from.is_some() { (told(&one.texts), String::new()) } else { (String::new(), told(&one.texts)) };
                    found.named.push(change(&one.name, "", &before, &after));
                }
            }
            (None, None) => {}
        }
    }
    for (from, to) in paired(&old.checks, &new.checks, |check| check.title.clone(), |check| check.title.clone()) {
        let (Some(before), Some(after)) = (from, to) else {
            let verdict = |check: Option<&Decided>| check.map(|check| check.verdict.clone()).unwrap_or_default();
            let title = from.or(to).map(|check| check.title.clone()).unwrap_or_default();
            found.verdicts.push(change(&title, "", &verdict(from), &verdict(to)));
            continue;
        };
        let of = |check: &Decided| match check.utilisation.as_str() {
            "" => word(&check.verdict).to_string(),
            share => format!("{}, {share}", word(&check.verdict)),
        };
        if before.verdict != after.verdict {
            found.verdicts.push(change(&after.title, "", &of(before), &of(after)));
        } else if before.utilisation != after.utilisation {
            found.utilisations.push(change(&after.title, &after.verdict, &before.utilisation, &after.utilisation));
        }
        if before.reference != after.reference {
            found.sources.push(change(&after.title, say!("reference"), &before.reference, &after.reference));
        }
    }
    found
}

fn change(what: &str, label: &str, from: &str, to: &str) -> Change {
    Change { what: what.into(), label: label.into(), from: from.into(), to: to.into() }
}

// Each of `new` with its fellow of `old`, then those of `old` that have none.
fn paired<'s, T>(
    old: &'s [T],
    new: &'s [T],
    old_key: impl Fn(&T) -> String,
    new_key: impl Fn(&T) -> String,
) -> Vec<(Option<&'s T>, Option<&'s T>)> {
    let mut before: BTreeMap<String, Vec<&T>> = BTreeMap::new();
    for one in old.iter().rev() {
        before.entry(old_key(one)).or_default().push(one);
    }
    let mut pairs: Vec<(Option<&T>, Option<&T>)> = Vec::new();
    for one in new {
        pairs.push((before.get_mut(&new_key(one)).and_then(Vec::pop), Some(one)));
    }
    // Several may share a key; what is left of it has gone.
    for one in old {
        let left = before.get_mut(&old_key(one)).and_then(Vec::pop);
        pairs.extend(left.map(|one| (Some(one), None)));
    }
    pairs
}

fn same(a: f64, b: f64) -> bool {
    a == b || (a - b).abs() <= 1e-12 * a.abs().max(b.abs())
}

fn input(from: Option<&Stated>, to: Option<&Stated>, found: &mut Difference) {
    let told = |input: Option<&Stated>| input.map(|input| input.text.clone()).unwrap_or_default();
    let Some(one) = to.or(from) else { return };
    let label = |side: &str| match (one.label.as_str(), side) {
        ("", side) => side.to_string(),
        (label, "") => label.to_string(),
        (label, side) => format!("{label}, {side}"),
    };
    let (Some(before), Some(after)) = (from, to) else {
        found.inputs.push(change(&one.name, &label(&one.sort), &told(from), &told(to)));
        return;
    };
    if !same(before.si, after.si) || before.text.is_empty() != after.text.is_empty() {
        found.inputs.push(change(&after.name, &label(""), &before.text, &after.text));
    } else if before.doubt != after.doubt {
        let doubt = |input: &Stated| if input.doubt.is_empty() { say!("no doubt stated").to_string() } else { input.doubt.clone() };
        found.inputs.push(change(&after.name, &label(say!("doubt")), &doubt(before), &doubt(after)));
    } else if before.sort != after.sort {
        found.inputs.push(change(&after.name, &label(say!("standing")), word(&before.sort), word(&after.sort)));
    }
    if before.state != after.state {
        found.inputs.push(change(&after.name, &label(say!("state")), word(&before.state), word(&after.state)));
    }
    if before.source != after.source {
        found.sources.push(change(&after.name, &label(say!("source")), &before.source, &after.source));
    }
}

fn rigged(from: Option<&Rigged>, to: Option<&Rigged>, names: &BTreeMap<String, String>, found: &mut Vec<Change>) {
    let told = |machine: Option<&Rigged>| {
        machine.map(|machine| machine.facts.iter().map(|(_, value)| value.as_str()).collect::<Vec<_>>().join(", ")).unwrap_or_default()
    };
    let Some(one) = to.or(from) else { return };
    let (Some(before), Some(after)) = (from, to) else {
        found.push(change(&one.name, "", &told(from), &told(to)));
        return;
    };
    for (old, new) in paired(&before.facts, &after.facts, |fact| fact.0.clone(), |fact| fact.0.clone()) {
        let text = |fact: Option<&(String, String)>| fact.map(|fact| fact.1.clone()).unwrap_or_default();
        let before = text(old).split(" → ").map(|station| now(station, names)).collect::<Vec<_>>().join(" → ");
        let after = text(new);
        if before != after {
            let label = new.or(old).map(|fact| fact.0.clone()).unwrap_or_default();
            found.push(change(&one.name, &label, &before, &after));
        }
    }
}

fn moved(from: &Worked, to: &Worked, found: &mut Vec<Moved>) {
    let several = to.si.len().max(from.si.len()) > 1;
    for at in 0..to.si.len().max(from.si.len()) {
        let item = |worked: &Worked| {
            let (text, si, value) = (worked.texts.get(at)?.clone(), *worked.si.get(at)?, *worked.values.get(at)?);
            Some((text, si, value, worked.doubts.get(at).copied().unwrap_or(0.0)))
        };
        let name = if several { format!("{}[{}]", to.name, at + 1) } else { to.name.clone() };
        let (before, after) = (item(from), item(to));
        let blank = |name, from: String, to: String| Moved {
            name,
            from,
            to,
            by: String::new(),
            percent: String::new(),
            against_doubt: String::new(),
            si: 0.0,
            doubts: 0.0,
        };
        let (Some((was, old_si, old, old_doubt)), Some((is, new_si, new, new_doubt))) = (&before, &after) else {
            if let Some((text, ..)) = before.or(after) {
                let gone = to.si.get(at).is_none();
                found.push(if gone { blank(name, text, String::new()) } else { blank(name, String::new(), text) });
            }
            continue;
        };
        let valued = !same(*old_si, *new_si);
        // Units of print may differ; both doubts are put into the newer one.
        let scale = if *new != 0.0 && *old != 0.0 { (old_si / old) / (new_si / new) } else { 1.0 };
        let doubted = (old_doubt * scale - new_doubt).abs() > 1e-9 * new_doubt.abs().max((old_doubt * scale).abs());
        if !valued && !doubted {
            continue;
        }
        let mut one = blank(name, was.clone(), is.clone());
        if valued {
            one.si = new_si - old_si;
            let by = new - old * scale;
            let unit = if to.unit.is_empty() { String::new() } else { format!("\u{a0}{}", to.unit) };
            one.by = format!("{}{}{unit}", if by > 0.0 { "+" } else { "" }, units::significant(by, 3));
            if *old_si != 0.0 {
                let percent = 100.0 * (new_si - old_si) / old_si.abs();
                one.percent = format!("{}{}\u{a0}%", if percent > 0.0 { "+" } else { "" }, units::significant(percent, 3));
            }
            one.doubts = f64::INFINITY;
            if *old_doubt > 0.0 {
                one.doubts = (by / (old_doubt * scale)).abs();
                one.against_doubt = format!("{}\u{a0}U", units::significant(one.doubts, 2));
            }
        }
        found.push(one);
    }
}

fn top(name: &str) -> &str {
    name.split('.').next().unwrap_or(name)
}

// The name that `name` of the earlier sheet goes by now. The last part of a name of several is its kind's own word.
fn now(name: &str, names: &BTreeMap<String, String>) -> String {
    if names.is_empty() {
        return name.to_string();
    }
    let parts: Vec<&str> = name.split('.').collect();
    let last = parts.len() - 1;
    let own = |at: usize| at < last || last == 0;
    let parts = parts.iter().enumerate().map(|(at, part)| if own(at) { names.get(*part).map_or(*part, String::as_str) } else { *part });
    parts.collect::<Vec<_>>().join(".")
}

// Names of the earlier sheet that stand for the same under another name: all their values agree, and nothing else does.
fn renamed(old: &Snapshot, new: &Snapshot) -> BTreeMap<String, String> {
    let gone = owned(old, new);
    let come = owned(new, old);
    let mut names = BTreeMap::new();
    let mut taken: BTreeSet<&str> = BTreeSet::new();
    for (name, members) in &gone {
        let mut fellows = come.iter().filter(|(other, others)| !taken.contains(*other) && alike(members, others));
        if let (Some((fellow, _)), None) = (fellows.next(), fellows.next()) {
            taken.insert(fellow);
            names.insert((*name).to_string(), (*fellow).to_string());
        }
    }
    names
}

type Members<'s> = BTreeMap<&'s str, (Vec<f64>, &'s str)>;

// What stands under each first part of a name that `other` does not have: values and label by the rest of the name.
fn owned<'s>(sheet: &'s Snapshot, other: &Snapshot) -> BTreeMap<&'s str, Members<'s>> {
    let theirs: BTreeSet<&str> =
        other.inputs.iter().map(|input| top(&input.name)).chain(other.results.iter().map(|result| top(&result.name))).collect();
    let mut found: BTreeMap<&str, Members<'_>> = BTreeMap::new();
    let inputs = sheet.inputs.iter().map(|input| (input.name.as_str(), vec![input.si], input.label.as_str()));
    let results = sheet.results.iter().map(|result| (result.name.as_str(), result.si.clone(), ""));
    for (name, values, label) in inputs.chain(results) {
        let owner = top(name);
        if !theirs.contains(owner) {
            found.entry(owner).or_default().insert(name.strip_prefix(owner).unwrap_or(""), (values, label));
        }
    }
    found
}

fn alike(one: &Members<'_>, other: &Members<'_>) -> bool {
    one.len() == other.len()
        && one.iter().zip(other).all(|((name, (values, label)), (other_name, (others, other_label)))| {
            name == other_name
                && label == other_label
                && values.len() == others.len()
                && values.iter().zip(others).all(|(a, b)| same(*a, *b))
        })
}
