//! What moves with one value: every step of the flat list when that value takes a small step, to first order; or the whole
//! sheet worked anew, where the value is a count that a small step would make no sense of.

use crate::diagnostics::Sink;
use crate::model::studies::Substitute;
use crate::model::tree::EntryId;
use crate::model::{Material, Model, resolve_with};
use crate::program::carry::follow;
use crate::program::lower::{Program, lower};
use crate::program::operations::{Operation, slopes};
use crate::program::residue;
use crate::program::run::{Evaluation, evaluate};
use crate::source::FileId;
use std::collections::BTreeMap;

/// By how much every step moves.
#[derive(Debug, Clone, PartialEq)]
pub struct Moves<'e> {
    evaluation: &'e Evaluation,
    changes: Vec<f64>,
}

impl Moves<'_> {
    /// The change of the value at `place`, in SI units; nothing where it is no more than rounding.
    pub fn at(&self, place: usize) -> f64 {
        let change = self.changes.get(place).copied().unwrap_or(0.0);
        let size = self.evaluation.sizes.get(place).copied().unwrap_or(0.0);
        if residue::is_rounding(change.abs(), size) { 0.0 } else { change }
    }
}

impl Evaluation {
    /// What every step moves by when each of these values (an entry, and which of its items, from 0) moves by `by` in SI units,
    /// all else held: the exact derivatives of the program, as the doubts are carried by, times that step.
    pub fn moved(&self, values: &[(EntryId, usize)], by: f64) -> Moves<'_> {
        let seeds = values.iter().filter_map(|(id, item)| stated_at(&self.program, *id, *item)).map(|place| (place, by)).collect();
        let walk = Walk { program: &self.program, values: &self.values, seeds };
        Moves { evaluation: self, changes: walk.changes() }
    }
}

/// The sheet worked anew with the whole number `si` in the place of an entry.
pub fn worked_with(root: FileId, material: &Material, model: &Model, entry: EntryId, si: f64) -> (Model, Evaluation) {
    let mut sink = Sink::new();
    let model = resolve_with(root, material, Substitute::new(model, entry, si), &mut sink);
    let program = lower(&model, &mut sink);
    let evaluation = evaluate(program, &model, &mut sink);
    (model, evaluation)
}

// Where a value stands before its own doubts are added to it: what is made from a reading without its doubts, as the line of
// a law is, starts there too. A value that passes on another one is moved where its first doubt is added.
fn stated_at(program: &Program, id: EntryId, item: usize) -> Option<usize> {
    let mut place = program.entries.get(id.0)?.get(item).copied()?;
    while let Some(Operation::Add(value, doubt)) = program.operations.get(place)
        && let Some(Operation::Doubt(source)) = program.operations.get(*doubt)
        && program.sources.get(*source).is_some_and(|source| source.entry == id.0)
    {
        let another = program.entries.iter().enumerate().any(|(at, places)| at != id.0 && places.contains(value));
        if another {
            break;
        }
        place = *value;
    }
    Some(place)
}

struct Walk<'w> {
    program: &'w Program,
    values: &'w [f64],
    seeds: BTreeMap<usize, f64>,
}

impl Walk<'_> {
    fn changes(&self) -> Vec<f64> {
        let mut changes: Vec<f64> = Vec::with_capacity(self.program.operations.len());
        for (at, operation) in self.program.operations.iter().enumerate() {
            let next = match operation {
                Operation::Sought(number) => self.sought(*number, &mut changes),
                _ => self.step(at, &changes),
            };
            changes.push(next);
        }
        changes
    }

    fn step(&self, at: usize, changes: &[f64]) -> f64 {
        let own = self.seeds.get(&at).copied().unwrap_or(0.0);
        let Some(operation) = self.program.operations.get(at) else { return own };
        let value = |place: usize| self.values.get(place).copied().unwrap_or(f64::NAN);
        let passed = slopes(*operation, value(at), value).into_iter().flatten().map(|(operand, slope)| {
            let change = changes.get(operand).copied().unwrap_or(0.0);
            // What stands still asks nothing of a slope without bound.
            if change == 0.0 { 0.0 } else { slope * change }
        });
        own + passed.sum::<f64>()
    }

    // As doubts pass through a load that is sought: with it held fast the known value and the one that has to meet it move by so
    // much; that difference, divided by how the latter follows the load, is what the load moves by. What the trial puts behind
    // the load is taken away again.
    fn sought(&self, number: usize, changes: &mut Vec<f64>) -> f64 {
        let Some((sought, target)) = self.program.sought.get(number).and_then(|sought| Some((sought, sought.target?))) else { return 0.0 };
        let before = changes.len();
        changes.push(0.0);
        for at in sought.place + 1..=target {
            let next = self.step(at, changes);
            changes.push(next);
        }
        let met = changes.last().copied().unwrap_or(0.0);
        changes.truncate(before);
        let known = changes.get(sought.known).copied().unwrap_or(0.0);
        if known == met { 0.0 } else { (known - met) / follow(self.program, self.values, sought.place, target) }
    }
}
