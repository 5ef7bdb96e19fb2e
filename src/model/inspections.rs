//! Gear, when it is due for inspection, and the checks that lean on it.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::gear::InspectionDue;
use crate::model::dates::Day;
use crate::model::tree::EntryId;
use crate::model::{Check, Model};
use crate::source::{FileId, Span};
use std::collections::{BTreeMap, BTreeSet};

/// A piece of gear.
#[derive(Debug, Clone, PartialEq)]
pub struct Gear {
    /// Name.
    pub name: String,
    /// What it is.
    pub label: String,
    /// Where.
    pub span: Span,
    /// Its ratings by name: rated, breaking, design_factor.
    pub ratings: BTreeMap<String, EntryId>,
    /// A line of it has a fault, so that a rating may be stated there.
    pub unread: bool,
    /// The edition of what it is rated by, as stated; perhaps empty.
    pub edition: String,
    /// The day by which it is to be inspected.
    pub inspect_by: Option<Day>,
    /// Where that is stated.
    pub inspect_at: Span,
}

impl Model {
    /// The gear that `check` leans on, by its place in [`Model::gear`], through whatever lines lie between.
    pub fn gear_of(&self, check: &Check) -> Vec<usize> {
        let mut open: Vec<EntryId> = Vec::new();
        let mut met: BTreeSet<EntryId> = BTreeSet::new();
        for side in [&check.left, &check.right] {
            side.each_entry(&mut |id| open.push(id));
        }
        while let Some(id) = open.pop() {
            if met.insert(id) {
                self.entry(id).value.each_entry(&mut |id| open.push(id));
            }
        }
        let leaned_on = |at: &usize| self.gear.get(*at).is_some_and(|gear| gear.ratings.values().any(|id| met.contains(id)));
        (0..self.gear.len()).filter(leaned_on).collect()
    }
}

/// Tells gear whose inspection was due before `on`: where it is stated in the sheet itself, otherwise at the first check that
/// leans on it.
pub fn inspections(root: FileId, model: &Model, on: Option<Day>, sink: &mut Sink) {
    let Some(on) = on else { return };
    let late = |at: usize| model.gear.get(at).and_then(|gear| Some((gear, gear.inspect_by.filter(|by| *by < on)?)));
    let mut told: BTreeSet<usize> = BTreeSet::new();
    for at in 0..model.gear.len() {
        let Some((gear, by)) = late(at).filter(|(gear, _)| gear.span.home.file == root) else { continue };
        told.insert(at);
        sink.push(gear.inspect_at, &InspectionDue { gear: gear.name.clone(), by: by.to_string(), on: on.to_string() });
    }
    for check in &model.checks {
        for at in model.gear_of(check) {
            let Some((gear, by)) = late(at).filter(|_| told.insert(at)) else { continue };
            sink.push(check.span, &InspectionDue { gear: gear.name.clone(), by: by.to_string(), on: on.to_string() });
        }
    }
}
