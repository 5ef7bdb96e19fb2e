//! The answers beside the one that was asked for: the same machines on the same load, raising where the sheet lets them
//! hold and holding where it lets them raise, so that a sheet can say within what range of efforts nothing moves.

use crate::model::elaborate::{Work, each_name};
use crate::model::resolve::Resolver;
use crate::model::tree::EntryId;
use crate::model::{Direction, FrictionState, Instance, Member, Members, Other, Owner, State};
use crate::syntax::ast::{Guard, Kind, KindItem};
use std::collections::BTreeSet;
use std::sync::Arc;

/// Word, direction and friction of every state; the second pair is of interest only where a kind keeps starting and
/// moving friction apart.
const STATES: &[(&str, Direction, FrictionState, bool)] = &[
    ("raising", Direction::Raising, FrictionState::Starting, false),
    ("holding", Direction::Holding, FrictionState::Moving, false),
    ("keeping", Direction::Raising, FrictionState::Moving, true),
    ("resting", Direction::Holding, FrictionState::Starting, true),
];

/// The words of the other states, for names such as `slip.holding.effort`.
pub(super) fn words() -> impl Iterator<Item = &'static str> {
    STATES.iter().map(|(word, ..)| *word)
}

impl Resolver<'_> {
    /// Puts `stages` (machine and its place at work, effort first) to work in the states that were not asked for, on the
    /// force `load`, or on what the stated load beside it asks for in each.
    pub(super) fn other_states(
        &mut self,
        prefix: &str,
        stages: &[(usize, usize)],
        (load, end): (EntryId, Option<usize>),
        state: State,
    ) -> Vec<Other> {
        let works = |at: &usize| self.model.instances.get(*at).is_some_and(|instance| !instance.broken && instance.loaded);
        if !stages.iter().all(|(_, at)| works(at)) {
            return Vec::new();
        }
        let mut named = stages.iter().map(|(machine, _)| *machine).chain(end);
        let two_frictions = named.any(|machine| {
            let kind = self.model.machines.get(machine).and_then(|machine| self.kinds.get(&machine.kind));
            kind.is_some_and(|source| source.reach().two_frictions)
        });
        let mut others = Vec::new();
        for (word, direction, friction, second) in STATES {
            let asked = State { direction: Some(*direction), friction: Some(*friction) };
            let same_friction = !two_frictions || state.friction() == *friction;
            if (*second && !two_frictions) || (state.direction() == *direction && same_friction) {
                continue;
            }
            let mut instances = Vec::new();
            let asks = match end {
                Some(end) => {
                    let name = self.model.machines.get(end).map(|machine| machine.name.clone()).unwrap_or_default();
                    let Some(force) = self.load_in(end, format!("{prefix}.{word}.{name}"), asked) else { continue };
                    force
                }
                None => load,
            };
            let mut carried = Some(asks);
            for (machine, main) in stages.iter().rev() {
                let Some(force) = carried else { break };
                let name = self.model.machines.get(*machine).map(|machine| machine.name.clone()).unwrap_or_default();
                let called =
                    if stages.len() == 1 && prefix == name { format!("{prefix}.{word}") } else { format!("{prefix}.{word}.{name}") };
                let Some(instance) = self.elaborate_beside(*machine, *main, called, asked, force) else { break };
                instances.push(instance);
                carried = self.value_of(instance, "effort");
            }
            instances.reverse();
            let effort = carried.filter(|_| instances.len() == stages.len());
            others.push(Other { state: asked, word, instances, effort, load: asks, end });
        }
        others
    }

    /// Puts a machine to work beside its place `main`, in another state: only what its effort and its limits rest on.
    pub(super) fn elaborate_beside(&mut self, machine: usize, main: usize, prefix: String, state: State, load: EntryId) -> Option<usize> {
        let stated = self.model.machines.get(machine)?;
        let source = self.kinds.get(&stated.kind).cloned()?;
        let first = self.model.instances.get(main)?;
        let at = self.model.instances.len();
        let mut work = Work::new(Owner::Instance(at), stated, prefix.clone(), state, stated.span);
        let reach = source.reach();
        work.only = Some(Arc::clone(&reach.for_effort));
        work.members = reach.taken_over(&first.members);
        work.members.insert("load", Member::Value(load));
        work.members.extend(first.members.get("load_travel").map(|travel| ("load_travel", travel.clone())));
        let beside = Instance::new(first.machine, first.train, prefix, state, true, true);
        self.model.instances.push(beside);
        self.body(&source, &mut work);
        self.ends_fit(&mut work);
        self.keep(at, work);
        Some(at)
    }
}

/// What another state needs of a kind.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Reach {
    /// Of each item, whether its effort rests on what it defines, its limits and its self-holding with it.
    pub(super) for_effort: Arc<[bool]>,
    /// The same for the load of a kind of load.
    pub(super) for_load: Arc<[bool]>,
    /// The names that come out the same in every state and under every load, so that they need not be worked twice.
    pub(super) unmoved: BTreeSet<Arc<str>>,
    /// Whether it keeps starting and moving friction apart.
    pub(super) two_frictions: bool,
}

impl Reach {
    /// The values that neither direction nor load can change, taken over from a machine that is at work already.
    pub(super) fn taken_over(&self, members: &Members) -> Members {
        let mut taken = Members::with_room(self.for_effort.len().min(64));
        taken.extend(self.unmoved.iter().filter_map(|name| Some((Arc::clone(name), members.get(name)?.clone()))));
        taken
    }

    /// What other states need of `kind`.
    pub(super) fn of(kind: &Kind) -> Reach {
        let friction = |guard: &Guard| matches!(guard, Guard::State(word) if word.text == "starting" || word.text == "moving");
        Reach {
            for_effort: needed_for("effort", kind),
            for_load: needed_for("load", kind),
            unmoved: unmoved(kind),
            two_frictions: rests_on(kind, &friction),
        }
    }
}

fn needed_for(end: &str, kind: &Kind) -> Arc<[bool]> {
    let mut wanted: Vec<&str> = vec![end];
    for item in &kind.items {
        if let KindItem::Limit(condition) | KindItem::Sustains(condition) = item {
            each_name(&condition.comparison.left, &mut wanted);
            each_name(&condition.comparison.right, &mut wanted);
        }
    }
    let mut needed: BTreeSet<&str> = BTreeSet::new();
    while let Some(name) = wanted.pop() {
        if !needed.insert(name) {
            continue;
        }
        for item in &kind.items {
            let (KindItem::Relation(definition) | KindItem::Node(definition)) = item else { continue };
            if definition.name.text != name {
                continue;
            }
            each_name(&definition.value, &mut wanted);
            if let Some(running) = &definition.running {
                each_name(&running.from, &mut wanted);
                each_name(&running.to, &mut wanted);
            }
            if let Some(guard) = &definition.when {
                compared(guard, &mut wanted);
            }
        }
    }
    let is_needed = |item: &KindItem| match item {
        KindItem::Relation(definition) | KindItem::Node(definition) => needed.contains(definition.name.text.as_str()),
        _ => true,
    };
    kind.items.iter().map(is_needed).collect()
}

// The names whose counts a guard compares.
fn compared<'g>(guard: &'g Guard, names: &mut Vec<&'g str>) {
    match guard {
        Guard::Any(guards) | Guard::All(guards) => guards.iter().for_each(|guard| compared(guard, names)),
        Guard::Compare(comparison) => {
            each_name(&comparison.left, names);
            each_name(&comparison.right, names);
        }
        Guard::State(_) | Guard::Is { .. } | Guard::Given { .. } => {}
    }
}

fn rests_on(kind: &Kind, is: &dyn Fn(&Guard) -> bool) -> bool {
    kind.items.iter().any(|item| match item {
        KindItem::Relation(definition) | KindItem::Node(definition) => definition.when.as_ref().is_some_and(|guard| asks(guard, is)),
        KindItem::Limit(condition) | KindItem::Question(condition) | KindItem::Sustains(condition) => {
            condition.when.as_ref().is_some_and(|guard| asks(guard, is))
        }
        _ => false,
    })
}

fn asks(guard: &Guard, is: &dyn Fn(&Guard) -> bool) -> bool {
    match guard {
        Guard::Any(guards) | Guard::All(guards) => guards.iter().any(|guard| asks(guard, is)),
        other => is(other),
    }
}

fn unmoved(kind: &Kind) -> BTreeSet<Arc<str>> {
    let state = |guard: &Guard| matches!(guard, Guard::State(_));
    let mut moved: BTreeSet<&str> = ["load"].into();
    // Definitions stand before their uses, so one pass from top to bottom finds everything that moves.
    for item in &kind.items {
        let (KindItem::Relation(definition) | KindItem::Node(definition)) = item else { continue };
        let mut names = Vec::new();
        each_name(&definition.value, &mut names);
        if names.iter().any(|name| moved.contains(name)) || definition.when.as_ref().is_some_and(|guard| asks(guard, &state)) {
            moved.insert(&definition.name.text);
        }
    }
    let names = kind.items.iter().filter_map(|item| match item {
        KindItem::Field(field) => Some(field.name.text.as_str()),
        KindItem::Relation(definition) | KindItem::Node(definition) => Some(definition.name.text.as_str()),
        _ => None,
    });
    names.filter(|name| !moved.contains(name)).map(Arc::from).collect()
}
