//! The answers beside the one that was asked for: the same machines on the same load, raising where the sheet lets them
//! hold and holding where it lets them raise, so that a sheet can say within what range of efforts nothing moves.

use crate::model::elaborate::{Work, each_name};
use crate::model::resolve::Resolver;
use crate::model::tree::EntryId;
use crate::model::{Direction, FrictionState, Instance, KindSource, Member, Other, Owner, State};
use crate::syntax::ast::{Guard, KindItem};
use std::collections::{BTreeMap, BTreeSet};

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
        let named = stages.iter().map(|(machine, _)| *machine).chain(end);
        let sources: Vec<KindSource> =
            named.filter_map(|machine| self.kinds.get(&self.model.machines.get(machine)?.kind).cloned()).collect();
        let two_frictions = sources.iter().any(|source| {
            rests_on(source, &|guard| matches!(guard, Guard::State(word) if word.text == "starting" || word.text == "moving"))
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
        let stated = self.model.machines.get(machine)?.clone();
        let source = self.kinds.get(&stated.kind).cloned()?;
        let first = self.model.instances.get(main)?.clone();
        let at = self.model.instances.len();
        let mut work = Work::new(Owner::Instance(at), &stated, prefix.clone(), state, stated.span);
        work.only = Some(needed_for("effort", &source));
        // What neither direction nor load can change is taken over from the machine as it was asked for.
        let same = unmoved(&source);
        work.members =
            first.members.iter().filter(|(name, _)| same.contains(*name)).map(|(name, member)| (name.clone(), member.clone())).collect();
        work.members.insert("load".into(), Member::Value(load));
        work.members.extend(first.members.get("load_travel").map(|travel| ("load_travel".to_string(), travel.clone())));
        self.model.instances.push(Instance {
            prefix,
            state,
            members: BTreeMap::new(),
            relations: Vec::new(),
            nodes: Vec::new(),
            fields: Vec::new(),
            conditions: Vec::new(),
            cautions: Vec::new(),
            beside: true,
            ..first
        });
        self.body(&source, &mut work);
        self.ends_fit(&mut work);
        self.keep(at, work);
        Some(at)
    }
}

/// The names that `end` of a kind (`effort`, or the `load` of a kind of load) rests on, its limits and its self-holding
/// with them: all that another state needs.
pub(super) fn needed_for(end: &str, source: &KindSource) -> BTreeSet<String> {
    let mut wanted: Vec<String> = vec![end.into()];
    for item in &source.kind.items {
        if let KindItem::Limit(condition) | KindItem::Sustains(condition) = item {
            each_name(&condition.comparison.left, &mut wanted);
            each_name(&condition.comparison.right, &mut wanted);
        }
    }
    let mut needed = BTreeSet::new();
    while let Some(name) = wanted.pop() {
        if !needed.insert(name.clone()) {
            continue;
        }
        for item in &source.kind.items {
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
    needed
}

// The names whose counts a guard compares.
fn compared(guard: &Guard, names: &mut Vec<String>) {
    match guard {
        Guard::Any(guards) | Guard::All(guards) => guards.iter().for_each(|guard| compared(guard, names)),
        Guard::Compare(comparison) => {
            each_name(&comparison.left, names);
            each_name(&comparison.right, names);
        }
        Guard::State(_) | Guard::Is { .. } | Guard::Given { .. } => {}
    }
}

fn rests_on(source: &KindSource, is: &dyn Fn(&Guard) -> bool) -> bool {
    source.kind.items.iter().any(|item| match item {
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

/// The names of a kind that come out the same in every state and under every load, so that they need not be worked twice.
pub(super) fn unmoved(source: &KindSource) -> BTreeSet<String> {
    let state = |guard: &Guard| matches!(guard, Guard::State(_));
    let mut moved: BTreeSet<String> = ["load".to_string()].into();
    // Definitions stand before their uses, so one pass from top to bottom finds everything that moves.
    for item in &source.kind.items {
        let (KindItem::Relation(definition) | KindItem::Node(definition)) = item else { continue };
        let mut names = Vec::new();
        each_name(&definition.value, &mut names);
        if names.iter().any(|name| moved.contains(name)) || definition.when.as_ref().is_some_and(|guard| asks(guard, &state)) {
            moved.insert(definition.name.text.clone());
        }
    }
    let names = source.kind.items.iter().filter_map(|item| match item {
        KindItem::Field(field) => Some(field.name.text.clone()),
        KindItem::Relation(definition) | KindItem::Node(definition) => Some(definition.name.text.clone()),
        _ => None,
    });
    names.filter(|name| !moved.contains(name)).collect()
}
