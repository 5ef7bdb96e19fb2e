//! What moves with what: for each doubtful input the results and checks that one standard uncertainty of it moves, by what they
//! owe to it. Everything is read off the doubts that were carried; nothing is worked anew.

use crate::model::tree::{EntryId, Shape};
use crate::model::{Owner, Role};
use crate::program::Margin;
use crate::sheet::budgets::in_unit_of;
use crate::sheet::checks::{figure_of_margin, utilisation};
use crate::sheet::impact::rests_on_nothing;
use crate::sheet::impact_parts::{MoveOfCheck, MoveOfResult, MoveRow};
use crate::sheet::moved::{is_main, is_worked, places, signed, size, summaries, told_apart};
use crate::sheet::symbols::{anchor, symbol};
use crate::sheet::verdicts::decide;
use crate::sheet::working::Setter;
use crate::syntax::ast::Relation;
use crate::units::{significant, spaced};
use std::collections::{BTreeMap, BTreeSet};

/// Below this share of the variance of a result an input hardly moves it.
const SLIGHT: f64 = 0.01;

type Row = [(usize, f64)];
/// An entry, and which of its items.
type Input = (EntryId, usize);

/// The rows of all doubtful inputs that move anything, in the order of the sheet.
pub(super) fn rows(setter: &Setter<'_>, names: &[(String, EntryId)]) -> Vec<MoveRow> {
    let inputs = inputs(setter);
    if inputs.is_empty() {
        return Vec::new();
    }
    let results = results(setter, names);
    let wanted: BTreeSet<usize> = results.iter().map(|(_, _, place)| *place).collect();
    let owed = setter.evaluation.owed(&wanted);
    let row_of = |place: &usize| owed.get(place).map_or(&[][..], Vec::as_slice);
    // A result rests on a few inputs of many: each is asked what it owes, and not each input of each.
    let met = Met::new(&inputs);
    let mut moved: Vec<Moved> = inputs.iter().map(|_| Moved::default()).collect();
    for (name, id, place) in &results {
        for input in met.by(&[row_of(place)]) {
            let (Some((_, sources)), Some(moved)) = (inputs.get(input), moved.get_mut(input)) else { continue };
            moved.results.extend(result(setter, (name, *id, *place), of(row_of(place), sources)));
        }
    }
    for at in 0..setter.model.checks.len() {
        let Some((demand, capacity)) = places(setter, at) else { continue };
        for input in met.by(&[setter.evaluation.parts(demand), setter.evaluation.parts(capacity)]) {
            let (Some((_, sources)), Some(moved)) = (inputs.get(input), moved.get_mut(input)) else { continue };
            moved.checks.extend(check(setter, at, (demand, capacity), sources));
        }
    }
    let rows = inputs.iter().zip(moved).filter_map(|(((id, item), sources), moved)| {
        let entry = setter.model.entry(*id);
        let figure = setter.printed.of(*id).get(*item).or(setter.printed.of(*id).first())?;
        let squares = sources.iter().filter_map(|source| setter.evaluation.standard_uncertainty(*source)).map(|u| u * u);
        let name = if entry.shape == Shape::Single { entry.name.clone() } else { format!("{}[{}]", entry.name, item + 1) };
        let (checks, results) = moved.in_order();
        (!results.is_empty() || !checks.is_empty()).then(|| MoveRow {
            anchor: anchor(&entry.name),
            symbol: symbol(&name, Vec::new()),
            name,
            step: signed(&in_unit_of(figure, libm::sqrt(squares.sum::<f64>()))),
            checks,
            results,
        })
    });
    rows.collect()
}

/// What one input moves, each with how far.
#[derive(Default)]
struct Moved {
    checks: Vec<(f32, MoveOfCheck)>,
    results: Vec<(f32, MoveOfResult)>,
}

impl Moved {
    // What moves most goes first, and before it the checks whose verdict would be another.
    fn in_order(mut self) -> (Vec<MoveOfCheck>, Vec<MoveOfResult>) {
        self.results.sort_by(|a, b| b.0.total_cmp(&a.0));
        self.checks.sort_by(|a, b| b.1.verdict.is_empty().cmp(&a.1.verdict.is_empty()).reverse().then(b.0.total_cmp(&a.0)));
        (self.checks.into_iter().map(|(_, row)| row).collect(), self.results.into_iter().map(|(_, row)| row).collect())
    }
}

/// Which input each source of doubt belongs to.
struct Met(BTreeMap<usize, usize>);

impl Met {
    fn new(inputs: &[(Input, Vec<usize>)]) -> Self {
        Met(inputs.iter().enumerate().flat_map(|(at, (_, sources))| sources.iter().map(move |source| (*source, at))).collect())
    }

    // The inputs that rows owe anything to, each once, in the order of the sheet.
    fn by(&self, rows: &[&Row]) -> BTreeSet<usize> {
        rows.iter().flat_map(|row| row.iter()).filter_map(|(source, _)| self.0.get(source).copied()).collect()
    }
}

// The inputs that state doubts, item by item, with their sources. Readings are too many, and each moves little.
fn inputs(setter: &Setter<'_>) -> Vec<(Input, Vec<usize>)> {
    let mut inputs: BTreeMap<Input, Vec<usize>> = BTreeMap::new();
    let mut met: BTreeMap<(usize, usize), usize> = BTreeMap::new();
    for (at, source) in setter.evaluation.program.sources.iter().enumerate() {
        let item = met.entry((source.entry, source.doubt)).or_default();
        let entry = setter.model.entry(EntryId(source.entry));
        let beside = matches!(entry.owner, Owner::Instance(at) if setter.model.instances.get(at).is_some_and(|instance| instance.beside));
        if rests_on_nothing(entry) && entry.role != Role::Reading && !beside {
            inputs.entry((EntryId(source.entry), *item)).or_default().push(at);
        }
        *item += 1;
    }
    inputs.into_iter().collect()
}

// The author's lines and what machines and trains come to, as far as they have a doubt: name, entry, place.
fn results(setter: &Setter<'_>, names: &[(String, EntryId)]) -> Vec<(String, EntryId, usize)> {
    let summaries = summaries(setter.model);
    let (mut found, mut seen) = (Vec::new(), BTreeSet::new());
    for (name, id) in names {
        let entry = setter.model.entry(*id);
        if !is_main(entry, summaries.contains(name)) || !is_worked(entry) || !seen.insert(*id) || setter.evaluation.entry(*id).is_none() {
            continue;
        }
        for (item, place) in setter.evaluation.program.entries.get(id.0).into_iter().flatten().enumerate() {
            if setter.evaluation.at(*place).is_some_and(|found| found.uncertainty > 0.0) {
                let name = if entry.shape == Shape::Single { name.clone() } else { format!("{name}[{}]", item + 1) };
                found.push((name, *id, *place));
            }
        }
    }
    found
}

// What a row owes to the sources of one input: they pass through one slope, so the sign is that of any of them.
fn of(row: &Row, sources: &[usize]) -> f64 {
    let parts = sources.iter().filter_map(|source| row.binary_search_by_key(source, |(at, _)| *at).ok().and_then(|at| row.get(at)));
    let (square, sign) = parts.fold((0.0, 1.0), |(square, sign), (_, part)| (square + part * part, if *part < 0.0 { -1.0 } else { sign }));
    sign * libm::sqrt(square)
}

fn result(setter: &Setter<'_>, (name, id, place): (&str, EntryId, usize), change: f64) -> Option<(f32, MoveOfResult)> {
    let found = setter.evaluation.at(place)?;
    let part = change / found.uncertainty;
    if part * part < SLIGHT {
        return None;
    }
    let figure = setter.printed.of(id).first()?;
    let share = (found.value != 0.0).then(|| change / found.value.abs());
    let row = MoveOfResult {
        name: name.to_string(),
        anchor: anchor(&setter.model.entry(id).name),
        change: signed(&in_unit_of(figure, change)),
        percent: share.map(|share| signed(&spaced(&significant(share * 100.0, 2), "%"))).unwrap_or_default(),
    };
    Some((share.map_or(f32::INFINITY, size), row))
}

// What becomes of a check when its two sides move by what they owe to `sources`; none where that is slight.
fn check(setter: &Setter<'_>, at: usize, (demand, capacity): (usize, usize), sources: &[usize]) -> Option<(f32, MoveOfCheck)> {
    let check = setter.model.checks.get(at)?;
    let (by, more) = (of(setter.evaluation.parts(demand), sources), of(setter.evaluation.parts(capacity), sources));
    let margin = setter.evaluation.margin(demand, capacity).filter(|margin| margin.uncertainty > 0.0)?;
    let change = more - by;
    let strict = matches!(check.relation, Relation::Below | Relation::Above);
    let verdict = |margin: Margin| decide(margin, strict, setter.model.head.decision_rule(), setter.style.coverage).0;
    let now = verdict(margin);
    let other = [change, -change].into_iter().map(|by| verdict(margin.moved(by))).find(|then| *then != now);
    let part = change / margin.uncertainty;
    if change == 0.0 || (part * part < SLIGHT && other.is_none()) {
        return None;
    }
    let sides = setter.evaluation.at(demand).zip(setter.evaluation.at(capacity)).map(|(left, right)| (left.value, right.value));
    let used = sides.and_then(|(left, right)| utilisation(left, right).zip(utilisation(left + by, right + more)));
    let (before, then) = used.map(|(before, then)| told_apart(before, then)).unwrap_or_default();
    let row = MoveOfCheck {
        number: format!("C{}", at + 1),
        anchor: anchor(&format!("check-{}", at + 1)),
        utilisation: before,
        utilisation_then: then,
        change: figure_of_margin(setter, check, margin).map(|now| signed(&in_unit_of(&now, change))).unwrap_or_default(),
        verdict: other.map(|then| then.words().to_string()).unwrap_or_default(),
    };
    Some((used.map_or(0.0, |(before, then)| size(then - before)), row))
}
