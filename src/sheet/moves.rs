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

/// The rows of all doubtful inputs that move anything, in the order of the sheet.
pub(super) fn rows(setter: &Setter<'_>, names: &[(String, EntryId)]) -> Vec<MoveRow> {
    let inputs = inputs(setter);
    if inputs.is_empty() {
        return Vec::new();
    }
    let results = results(setter, names);
    let wanted: BTreeSet<usize> = results.iter().map(|(_, _, place)| *place).collect();
    let owed = setter.evaluation.owed(&wanted);
    let mut rows = Vec::new();
    for ((id, item), sources) in inputs {
        let entry = setter.model.entry(id);
        let Some(figure) = setter.printed.of(id).get(item).or(setter.printed.of(id).first()) else { continue };
        let squares = sources.iter().filter_map(|source| setter.evaluation.standard_uncertainty(*source)).map(|u| u * u);
        let name = if entry.shape == Shape::Single { entry.name.clone() } else { format!("{}[{}]", entry.name, item + 1) };
        let mut moved: Vec<(f32, MoveOfResult)> = Vec::new();
        for (name, id, place) in &results {
            let row = owed.get(place).map_or(&[][..], Vec::as_slice);
            moved.extend(result(setter, (name, *id, *place), of(row, &sources)));
        }
        moved.sort_by(|a, b| b.0.total_cmp(&a.0));
        let checks = checks(setter, &sources);
        if !moved.is_empty() || !checks.is_empty() {
            rows.push(MoveRow {
                anchor: anchor(&entry.name),
                symbol: symbol(&name, Vec::new()),
                name,
                step: signed(&in_unit_of(figure, libm::sqrt(squares.sum::<f64>()))),
                checks,
                results: moved.into_iter().map(|(_, row)| row).collect(),
            });
        }
    }
    rows
}

// The inputs that state doubts, item by item, with their sources. Readings are too many, and each moves little.
fn inputs(setter: &Setter<'_>) -> BTreeMap<(EntryId, usize), Vec<usize>> {
    let mut inputs: BTreeMap<(EntryId, usize), Vec<usize>> = BTreeMap::new();
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
    inputs
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

fn checks(setter: &Setter<'_>, sources: &[usize]) -> Vec<MoveOfCheck> {
    let rule = setter.model.head.decision_rule();
    let mut rows: Vec<(f32, MoveOfCheck)> = Vec::new();
    for (at, check) in setter.model.checks.iter().enumerate() {
        let Some((demand, capacity)) = places(setter, at) else { continue };
        let (by, more) = (of(setter.evaluation.parts(demand), sources), of(setter.evaluation.parts(capacity), sources));
        let Some(margin) = setter.evaluation.margin(demand, capacity).filter(|margin| margin.uncertainty > 0.0) else { continue };
        let change = more - by;
        let strict = matches!(check.relation, Relation::Below | Relation::Above);
        let verdict = |margin: Margin| decide(margin, strict, rule, setter.style.coverage).0;
        let now = verdict(margin);
        let other = [change, -change].into_iter().map(|by| verdict(margin.moved(by))).find(|then| *then != now);
        let part = change / margin.uncertainty;
        if change == 0.0 || (part * part < SLIGHT && other.is_none()) {
            continue;
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
        rows.push((used.map_or(0.0, |(before, then)| size(then - before)), row));
    }
    rows.sort_by(|a, b| b.1.verdict.is_empty().cmp(&a.1.verdict.is_empty()).reverse().then(b.0.total_cmp(&a.0)));
    rows.into_iter().map(|(_, row)| row).collect()
}
