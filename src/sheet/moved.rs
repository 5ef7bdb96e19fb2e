//! The results and the checks that move when one value takes a step, the most moved first.

use crate::measure::Measured;
use crate::model::tree::{EntryId, Shape, Tree, TreeForm};
use crate::model::{Check, Entry, Model, Owner, Role};
use crate::program::{Evaluation, Margin, Moves};
use crate::sheet::budgets::{in_unit_of, percent};
use crate::sheet::checks::{figure_of_margin, utilisation};
use crate::sheet::impact::rests_on_nothing;
use crate::sheet::impact_parts::{MovedCheck, MovedValue};
use crate::sheet::independent::SUMMARY;
use crate::sheet::inputs;
use crate::sheet::parts::Figure;
use crate::sheet::verdicts::decide;
use crate::sheet::working::Setter;
use crate::syntax::ast::Relation;
use crate::units::{significant, spaced};
use std::collections::BTreeSet;

/// What takes the step: entries that are one and the same value, and which item of them, from 0; by its name on this sheet.
pub(super) struct Target {
    pub(super) ids: Vec<EntryId>,
    pub(super) item: Option<usize>,
    pub(super) name: String,
}

/// The sheet after the step.
pub(super) enum Shift<'s> {
    /// To first order; the same step can be taken the other way.
    Small(Moves<'s>),
    /// Worked anew.
    Anew(Box<(Model, Evaluation)>),
}

impl<'s> Shift<'s> {
    pub(super) fn small(setter: &'s Setter<'_>, target: &Target, item: usize, by: f64) -> Self {
        let values: Vec<(EntryId, usize)> = target.ids.iter().map(|id| (*id, item)).collect();
        Shift::Small(setter.evaluation.moved(&values, by))
    }

    pub(super) fn anew(worked: (Model, Evaluation)) -> Self {
        Shift::Anew(Box::new(worked))
    }

    // What an item of an entry comes to after the step; none where it has no value there.
    fn value(&self, setter: &Setter<'_>, id: EntryId, item: usize, now: f64) -> Option<f64> {
        match self {
            Shift::Small(moves) => Some(now + moves.at(*setter.evaluation.program.entries.get(id.0)?.get(item)?)),
            Shift::Anew(worked) => {
                let (model, evaluation) = &**worked;
                let entry = setter.model.entry(id);
                let at = model.entries.iter().position(|other| other.name == entry.name && other.role == entry.role)?;
                evaluation.entry(EntryId(at))?.get(item).map(|found| found.value)
            }
        }
    }

    // Demand, capacity and what there is to spare of a check, after the step and after the same step back.
    fn check(&self, setter: &Setter<'_>, at: usize) -> Option<Sides> {
        match self {
            Shift::Small(moves) => {
                let (demand, capacity) = sides(setter.evaluation, at)?;
                let margin = setter.evaluation.margin(demand, capacity)?;
                let of = |place: usize| Some(setter.evaluation.at(place)?.value + moves.at(place));
                let by = moves.at(capacity) - moves.at(demand);
                Some(Sides { demand: of(demand)?, capacity: of(capacity)?, margin: margin.moved(by), back: Some(margin.moved(-by)) })
            }
            Shift::Anew(worked) => {
                let (model, evaluation) = &**worked;
                let check = model.checks.get(at)?;
                if !evaluated(evaluation, check) {
                    return None;
                }
                let (demand, capacity) = sides(evaluation, at)?;
                let (left, right) = (evaluation.at(demand)?.value, evaluation.at(capacity)?.value);
                Some(Sides { demand: left, capacity: right, margin: evaluation.margin(demand, capacity)?, back: None })
            }
        }
    }
}

struct Sides {
    demand: f64,
    capacity: f64,
    margin: Margin,
    back: Option<Margin>,
}

/// Demand and capacity of a check that was evaluated.
pub(super) fn places(setter: &Setter<'_>, check: usize) -> Option<(usize, usize)> {
    setter.model.checks.get(check).filter(|check| evaluated(setter.evaluation, check)).and_then(|_| sides(setter.evaluation, check))
}

fn sides(evaluation: &Evaluation, check: usize) -> Option<(usize, usize)> {
    let (demand, capacity) = evaluation.program.checks.get(check).copied()?;
    demand.zip(capacity)
}

fn evaluated(evaluation: &Evaluation, check: &Check) -> bool {
    let known = |tree: &Tree| evaluation.knows(tree) && !matches!(tree.form, TreeForm::Missing(_));
    known(check.demand()) && known(check.capacity())
}

/// The checks that move: those first whose verdict changes, then those that use most more or less of their capacity.
pub(super) fn checks(setter: &Setter<'_>, shift: &Shift<'_>) -> Vec<MovedCheck> {
    let rule = setter.model.head.decision_rule();
    let mut rows: Vec<(f64, MovedCheck)> = Vec::new();
    for (at, check) in setter.model.checks.iter().enumerate() {
        let Some((demand, capacity)) = places(setter, at) else { continue };
        let margin = setter.evaluation.margin(demand, capacity);
        let sides = setter.evaluation.at(demand).zip(setter.evaluation.at(capacity));
        let (Some(margin), Some((demand, capacity))) = (margin, sides) else { continue };
        let strict = matches!(check.relation, Relation::Below | Relation::Above);
        let verdict = |margin: Margin| decide(margin, strict, rule, setter.style.coverage).0;
        let now = figure_of_margin(setter, check, margin);
        let before = utilisation(demand.value, capacity.value);
        let mut row = MovedCheck {
            number: format!("C{}", at + 1),
            title: check.title.clone(),
            utilisation: before.map(share).unwrap_or_default(),
            utilisation_then: String::new(),
            margin: now.clone(),
            margin_change: String::new(),
            margin_change_si: None,
            verdict: verdict(margin).words().into(),
            verdict_then: "NOT EVALUATED".into(),
            verdict_back: String::new(),
            changes: true,
        };
        let mut moved = f64::INFINITY;
        if let Some(then) = shift.check(setter, at) {
            let change = then.margin.value - margin.value;
            if change == 0.0 && then.demand == demand.value && then.capacity == capacity.value {
                continue;
            }
            let after = utilisation(then.demand, then.capacity);
            (row.utilisation, row.utilisation_then) =
                before.zip(after).map(|(before, after)| told_apart(before, after)).unwrap_or_default();
            row.margin_change = now.as_ref().map(|now| signed(&in_unit_of(now, change))).unwrap_or_default();
            row.margin_change_si = Some(change);
            row.verdict_then = verdict(then.margin).words().into();
            row.verdict_back = then.back.map(|back| verdict(back).words().to_string()).unwrap_or_default();
            row.changes = row.verdict_then != row.verdict || (!row.verdict_back.is_empty() && row.verdict_back != row.verdict);
            moved = before.zip(after).map_or(0.0, |(before, after)| (after - before).abs());
        }
        rows.push((moved, row));
    }
    rows.sort_by(|a, b| b.1.changes.cmp(&a.1.changes).then(size(b.0).total_cmp(&size(a.0))));
    rows.into_iter().map(|(_, row)| row).collect()
}

/// The results that move, and the other values inside machines that do; `doubtful` says that the step is the standard
/// uncertainty of an input.
pub(super) fn results(
    setter: &Setter<'_>,
    names: &[(String, EntryId)],
    target: &Target,
    shift: &Shift<'_>,
    doubtful: bool,
) -> (Vec<MovedValue>, Vec<MovedValue>) {
    let summaries = summaries(setter.model);
    let stepped: Vec<usize> =
        target.ids.iter().filter_map(|id| setter.evaluation.program.entries.get(id.0)?.get(target.item?).copied()).collect();
    let mut seen: BTreeSet<EntryId> = target.ids.iter().copied().collect();
    let (mut first, mut rest) = (Vec::new(), Vec::new());
    // What a train comes to goes by its machine's name too; it is told by that of the train.
    for main in [true, false] {
        for (name, id) in names {
            let entry = setter.model.entry(*id);
            if is_main(entry, summaries.contains(name)) != main || !is_worked(entry) || !seen.insert(*id) {
                continue;
            }
            let rows = if main { &mut first } else { &mut rest };
            for (item, place) in setter.evaluation.program.entries.get(id.0).into_iter().flatten().enumerate() {
                if !stepped.contains(place) {
                    rows.extend(value(setter, shift, (name, *id, item), doubtful));
                }
            }
        }
    }
    for (at, stated) in setter.model.agreements.iter().enumerate() {
        first.extend(agreement(setter, shift, at, &stated.title, doubtful));
    }
    for rows in [&mut first, &mut rest] {
        rows.sort_by(|a, b| b.share.map_or(f32::INFINITY, size).total_cmp(&a.share.map_or(f32::INFINITY, size)));
    }
    (first, rest)
}

// How much is moved, for the order of rows. What rounding alone tells apart is alike, and stays in the order of the sheet.
pub(super) fn size(moved: f64) -> f32 {
    moved.abs() as f32
}

// The names of what machines that stand alone and trains come to.
pub(super) struct Summaries<'m>(BTreeSet<&'m str>);

pub(super) fn summaries(model: &Model) -> Summaries<'_> {
    let alone = model.machines.iter().filter(|machine| machine.ends.load.is_some() && machine.load.is_some() || machine.known.is_some());
    Summaries(alone.map(|machine| machine.name.as_str()).chain(model.trains.iter().map(|train| train.name.as_str())).collect())
}

impl Summaries<'_> {
    pub(super) fn contains(&self, name: &str) -> bool {
        name.rsplit_once('.').is_some_and(|(owner, word)| SUMMARY.contains(&word) && self.0.contains(owner))
    }
}

pub(super) fn is_main(entry: &Entry, summary: bool) -> bool {
    match entry.owner {
        _ if summary => true,
        Owner::Sheet | Owner::Used => true,
        Owner::Readings(_) => !entry.name.contains(".each.") && !entry.name.contains('['),
        Owner::Machine(_) | Owner::Instance(_) | Owner::Train(_) => false,
    }
}

// A result of its own: worked, and not a setting that passes another value on.
pub(super) fn is_worked(entry: &Entry) -> bool {
    let passes_on = matches!(entry.value.form, TreeForm::Entry(_)) && entry.doubts.is_empty() && inputs::is_stated(entry);
    !rests_on_nothing(entry) && !passes_on && entry.role != Role::Passed
}

fn value(setter: &Setter<'_>, shift: &Shift<'_>, (name, id, item): (&str, EntryId, usize), doubtful: bool) -> Option<MovedValue> {
    let entry = setter.model.entry(id);
    let found = setter.evaluation.entry(id)?.get(item).copied()?;
    let now = setter.printed.of(id).get(item).cloned()?;
    let then = shift.value(setter, id, item, found.value);
    let name = if entry.shape == Shape::Single { name.to_string() } else { format!("{name}[{}]", item + 1) };
    moved(name, entry.label.clone(), now, found, then, doubtful)
}

fn agreement(setter: &Setter<'_>, shift: &Shift<'_>, at: usize, title: &str, doubtful: bool) -> Option<MovedValue> {
    let stated = setter.model.agreements.get(at)?;
    let (predicted, measured) = setter.evaluation.program.agreements.get(at).copied()?;
    let (predicted, measured) = (predicted?, measured?);
    if !setter.evaluation.knows(&stated.predicted) || !setter.evaluation.knows(&stated.measured) {
        return None;
    }
    let difference = setter.evaluation.margin(predicted, measured)?.measured();
    let now = crate::sheet::figures::figure(difference, stated.predicted.quantity, stated.shown_in.as_ref(), setter.style);
    let then = match shift {
        Shift::Small(moves) => Some(difference.value + moves.at(measured) - moves.at(predicted)),
        Shift::Anew(worked) => {
            let (model, evaluation) = &**worked;
            let known = model.agreements.get(at).is_some_and(|one| evaluation.knows(&one.predicted) && evaluation.knows(&one.measured));
            let places = evaluation.program.agreements.get(at).filter(|_| known).and_then(|(a, b)| a.zip(*b));
            places.and_then(|(predicted, measured)| evaluation.margin(predicted, measured)).map(|margin| margin.value)
        }
    };
    moved(format!("agreement \"{title}\""), "measured less predicted".into(), now, difference, then, doubtful)
}

// A row where there is a change.
fn moved(name: String, label: String, now: Figure, found: Measured, then: Option<f64>, doubtful: bool) -> Option<MovedValue> {
    let change = then.map(|then| then - found.value).filter(|change| change.is_finite());
    if change == Some(0.0) {
        return None;
    }
    let share = change.filter(|_| found.value != 0.0).map(|change| change / found.value.abs());
    let of_variance = change.filter(|_| doubtful && found.uncertainty > 0.0).map(|change| {
        let part = change / found.uncertainty;
        part * part
    });
    Some(MovedValue {
        change: change.map_or("no value".into(), |change| signed(&in_unit_of(&now, change))),
        change_si: change,
        share,
        percent: share.map(|share| signed(&spaced(&significant(share * 100.0, 2), "%"))).unwrap_or_default(),
        variance_percent: of_variance.map(percent).unwrap_or_default(),
        of_variance,
        name,
        label,
        now,
    })
}

/// A number with its sign before it, whichever it is.
pub(super) fn signed(number: &str) -> String {
    if number.starts_with(['−', '-']) { number.to_string() } else { format!("+{number}") }
}

fn share(ratio: f64) -> String {
    crate::units::places(ratio, 2)
}

// Two shares with as many decimals as it takes to tell them apart, five at most.
pub(super) fn told_apart(before: f64, after: f64) -> (String, String) {
    let printed = |places: usize| (crate::units::places(before, places), crate::units::places(after, places));
    (2..5).map(printed).find(|(before, after)| before != after).unwrap_or_else(|| printed(5))
}
