//! Which names a piece of text may use, and what each stands for.

use crate::model::members::Named;
use crate::model::mends::meant;
use crate::model::tree::EntryId;
use crate::model::{Member, Members, Model};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// What a name stands for in a sheet.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Bound {
    /// A value.
    Entry(EntryId),
    /// A machine.
    Machine(usize),
    /// A train.
    Train(usize),
    /// A piece of gear.
    Gear(usize),
    /// What was read of a machine.
    Readings(usize),
    /// An instrument.
    Instrument(usize),
    /// A law.
    Law(usize),
    /// The names of a used file.
    Used(usize),
    /// Something that could not be made out; its finding has been put down.
    Quiet,
}

/// The names of one file.
#[derive(Debug, Clone, Default)]
pub(super) struct Scope {
    pub(super) names: BTreeMap<String, (Bound, Span)>,
    /// The gravity that `weight` and `mass` use.
    pub(super) gravity: Option<EntryId>,
    /// A file it uses could not be read, so that any name may be one of its.
    pub(super) blind: bool,
    /// Names that are defined further down, with their places.
    pub(super) later: BTreeMap<String, Span>,
    /// The name that the statement being read defines.
    pub(super) now: String,
    /// Words at the head of statements with a fault: each may be the name that one of them was to define.
    pub(super) spoiled: BTreeSet<String>,
    /// Kinds that are described further down, with their places.
    pub(super) later_kinds: BTreeMap<String, Span>,
}

/// Where an expression looks its names up.
#[derive(Clone, Copy)]
pub(super) enum Lookup<'l> {
    /// In a sheet.
    Sheet { scopes: &'l [Scope], scope: usize },
    /// Inside a kind, bound for a machine at work; what is wrong with a name is found out only where it is to be told.
    Kind { members: &'l Members, gravity: Option<EntryId>, telling: bool },
}

/// What a path was found to be.
pub(super) enum Found {
    /// A value.
    Entry(EntryId),
    /// The number pi.
    Pi,
    /// Left open on purpose; what is missing.
    Missing(String),
    /// Known, but it has no value here; why.
    Without(String),
    /// Quiet: its finding has been put down elsewhere.
    Quiet,
    /// Known, but not a value: what it is, and what may be asked of it.
    NotValue { what: String, members: Vec<String> },
    /// Not known: the part of the path that is not, near misses, and whether it comes later or is what is being defined.
    Unknown { part: usize, near: Vec<String>, of: String, later: Option<Span>, itself: bool },
}

impl Lookup<'_> {
    /// The gravity that holds here.
    pub(super) fn gravity(&self) -> Option<EntryId> {
        match self {
            Lookup::Sheet { scopes, scope } => scopes.get(*scope).and_then(|scope| scope.gravity),
            Lookup::Kind { gravity, .. } => *gravity,
        }
    }

    /// The law of that name.
    pub(super) fn law(&self, name: &str) -> Option<usize> {
        let Lookup::Sheet { scopes, scope } = self else { return None };
        match scopes.get(*scope)?.names.get(name)? {
            (Bound::Law(law), _) => Some(*law),
            _ => None,
        }
    }

    /// Finds the value that `parts` name.
    pub(super) fn find(&self, parts: &[&str], model: &Model) -> Found {
        match self {
            Lookup::Kind { members, telling, .. } => match parts {
                ["pi"] => Found::Pi,
                [name] if let Some(Member::Value(id)) = members.get(name) => Found::Entry(*id),
                [name] if !telling => match members.get(name) {
                    Some(Member::Value(id)) => Found::Entry(*id),
                    _ => Found::Quiet,
                },
                [name] => member(*members, name, 0, "this kind"),
                _ => Found::Unknown { part: 1, near: Vec::new(), of: "a name inside a kind".into(), later: None, itself: false },
            },
            Lookup::Sheet { scopes, scope } => in_sheet(scopes, *scope, parts, 0, model),
        }
    }
}

fn in_sheet(scopes: &[Scope], at: usize, parts: &[&str], depth: usize, model: &Model) -> Found {
    let Some(scope) = scopes.get(at) else { return Found::Quiet };
    let Some(first) = parts.get(depth) else { return Found::Quiet };
    let rest = parts.get(depth + 1..).unwrap_or_default();
    let Some((bound, _)) = scope.names.get(*first) else {
        if *first == "pi" && rest.is_empty() {
            return Found::Pi;
        }
        if scope.blind || scope.spoiled.contains(*first) {
            return Found::Quiet;
        }
        let mut near = meant(first, scope.names.keys().map(String::as_str));
        if near.is_empty() {
            near = within(scope, first, model);
        }
        let itself = *first == scope.now;
        return Found::Unknown { part: depth, near, of: String::new(), later: scope.later.get(*first).copied(), itself };
    };
    match bound {
        Bound::Quiet => Found::Quiet,
        Bound::Entry(id) => match rest {
            [] => Found::Entry(*id),
            _ => Found::Unknown {
                part: depth + 1,
                near: Vec::new(),
                of: format!("`{first}`, which is a value,"),
                later: None,
                itself: false,
            },
        },
        Bound::Used(used) => match rest {
            [] => Found::NotValue { what: "a used file".into(), members: scopes.get(*used).map(visible).unwrap_or_default() },
            _ => in_sheet(scopes, *used, parts, depth + 1, model),
        },
        Bound::Gear(gear) => gear_value(model, *gear, first, rest, depth),
        Bound::Instrument(instrument) => instrument_value(model, *instrument, first, rest, depth),
        Bound::Law(law) => law_value(model, *law, first, rest, depth),
        Bound::Machine(machine) => machine_value(model, *machine, first, rest, depth),
        Bound::Train(train) => train_value(model, *train, first, rest, depth),
        Bound::Readings(readings) => model.readings.get(*readings).map_or(Found::Quiet, |readings| readings.find(first, rest, depth)),
    }
}

// The machines and pieces of gear that have something of that name, as it would be asked of them.
fn within(scope: &Scope, name: &str, model: &Model) -> Vec<String> {
    let has = |bound: &Bound| match bound {
        Bound::Machine(at) => model.machines.get(*at).is_some_and(|machine| {
            let worked = |at: &usize| model.instances.get(*at).is_some_and(|instance| instance.members.contains_key(name));
            machine.fields.contains_key(name) || machine.instances.iter().any(worked)
        }),
        Bound::Train(at) => model.trains.get(*at).is_some_and(|train| train.members.contains_key(name)),
        Bound::Gear(at) => model.gear.get(*at).is_some_and(|gear| gear.ratings.contains_key(name)),
        _ => false,
    };
    scope.names.iter().filter(|(_, (bound, _))| has(bound)).map(|(of, _)| format!("{of}.{name}")).take(3).collect()
}

/// What a path leads to, through the used files it may name.
pub(super) fn bound(scopes: &[Scope], at: usize, parts: &[&str]) -> Option<Bound> {
    let scope = scopes.get(at)?;
    let (first, rest) = parts.split_first()?;
    match (scope.names.get(*first), rest) {
        (Some((Bound::Used(used), _)), [_, ..]) => bound(scopes, *used, rest),
        (Some((bound, _)), []) => Some(bound.clone()),
        (None, _) if scope.blind => Some(Bound::Quiet),
        (Some((Bound::Quiet, _)), _) => Some(Bound::Quiet),
        _ => None,
    }
}

fn visible(scope: &Scope) -> Vec<String> {
    scope.names.keys().cloned().collect()
}

pub(super) fn member(members: &dyn Named, name: &str, part: usize, of: &str) -> Found {
    match members.member(name) {
        Some(Member::Value(id)) => Found::Entry(*id),
        Some(Member::Without(why)) => Found::Without(why.clone()),
        Some(Member::Quiet) => Found::Quiet,
        None => {
            let near = meant(name, members.names());
            Found::Unknown { part, near, of: of.into(), later: None, itself: false }
        }
    }
}

fn law_value(model: &Model, law: usize, first: &str, rest: &[&str], depth: usize) -> Found {
    let Some(law) = model.laws.get(law) else { return Found::Quiet };
    match rest {
        [name] => member(&law.members, name, depth + 1, &format!("the law `{first}`")),
        _ => Found::NotValue { what: "a law".into(), members: law.members.keys().cloned().collect() },
    }
}

fn gear_value(model: &Model, gear: usize, first: &str, rest: &[&str], depth: usize) -> Found {
    let Some(gear) = model.gear.get(gear) else { return Found::Quiet };
    match rest {
        [rating] => match gear.ratings.get(*rating) {
            Some(id) => Found::Entry(*id),
            None if gear.unread => Found::Quiet,
            None if *rating == "rated" && gear.ratings.contains_key("breaking") => {
                Found::Missing(format!("`{first}` states a breaking load and no design factor"))
            }
            None if *rating == "rated" => Found::Missing(format!("`{first}` states no rated load")),
            None if *rating == "breaking" => Found::Missing(format!("`{first}` states no breaking load")),
            None if *rating == "design_factor" => Found::Missing(format!("`{first}` states no design factor")),
            None => {
                let near = meant(rating, ["rated", "breaking", "design_factor"]);
                Found::Unknown { part: depth + 1, near, of: format!("the gear `{first}`"), later: None, itself: false }
            }
        },
        _ => Found::NotValue { what: "a piece of gear".into(), members: ["rated", "breaking", "design_factor"].map(String::from).to_vec() },
    }
}

fn instrument_value(model: &Model, instrument: usize, first: &str, rest: &[&str], depth: usize) -> Found {
    let Some(instrument) = model.instruments.get(instrument) else { return Found::Quiet };
    let locals: BTreeMap<&str, EntryId> = instrument.values().into_iter().map(|id| (model.entry(id).local.as_str(), id)).collect();
    match rest {
        [name] => match locals.get(name) {
            Some(id) => Found::Entry(*id),
            None => {
                let near = meant(name, locals.into_keys());
                Found::Unknown { part: depth + 1, near, of: format!("the instrument `{first}`"), later: None, itself: false }
            }
        },
        _ => Found::NotValue { what: "an instrument".into(), members: locals.into_keys().map(String::from).collect() },
    }
}

fn machine_value(model: &Model, machine: usize, first: &str, rest: &[&str], depth: usize) -> Found {
    let Some(machine) = model.machines.get(machine) else { return Found::Quiet };
    if machine.broken {
        return Found::Quiet;
    }
    match (rest, machine.instances.as_slice()) {
        ([name], [only]) => instance_value(model, *only, name, depth + 1, &format!("the machine `{first}`")),
        ([name], instances) => {
            if let Some(field) = machine.fields.get(*name) {
                return Found::Entry(*field);
            }
            match instances {
                [] => Found::Without(format!("`{first}` is not at work yet: the train it stands in comes further down")),
                _ => {
                    let trains = instances.iter().filter_map(|at| model.instances.get(*at)).map(|i| format!("`{}.{name}`", i.prefix));
                    Found::Without(format!("`{first}` stands in several trains: say {}", trains.collect::<Vec<_>>().join(" or ")))
                }
            }
        }
        ([state, name], _) if machine.others.iter().any(|other| other.word == *state) => {
            let other = machine.others.iter().find(|other| other.word == *state);
            match other.and_then(|other| other.instances.first()) {
                Some(instance) => instance_value(model, *instance, name, depth + 2, &format!("the machine `{first}`, {state},")),
                None => Found::Quiet,
            }
        }
        ([state, name], _) if super::states::words().any(|word| word == *state) => Found::Without(in_that_state(first, state, name)),
        (_, instances) => {
            let members = instances.first().and_then(|at| model.instances.get(*at)).map(|i| i.members.keys().map(String::from).collect());
            Found::NotValue { what: "a machine".into(), members: members.unwrap_or_default() }
        }
    }
}

fn instance_value(model: &Model, instance: usize, name: &str, part: usize, of: &str) -> Found {
    match model.instances.get(instance) {
        Some(instance) if instance.broken && !instance.members.contains_key(name) => Found::Quiet,
        Some(instance) => member(&instance.members, name, part, of),
        None => Found::Quiet,
    }
}

fn train_value(model: &Model, train: usize, first: &str, rest: &[&str], depth: usize) -> Found {
    let Some(train) = model.trains.get(train) else { return Found::Quiet };
    if train.broken {
        return Found::Quiet;
    }
    let stage = |name: &str| {
        let named = |at: &&usize| {
            let machine = model.instances.get(**at).and_then(|instance| model.machines.get(instance.machine));
            machine.is_some_and(|machine| machine.name.rsplit('.').next() == Some(name))
        };
        train.instances.iter().find(named).copied()
    };
    match rest {
        [name] => match stage(name) {
            Some(_) => Found::NotValue { what: "a machine".into(), members: train.members.keys().map(String::from).collect() },
            None => member(&train.members, name, depth + 1, &format!("the train `{first}`")),
        },
        [state, name] if train.others.iter().any(|other| other.word == *state) => {
            let other = train.others.iter().find(|other| other.word == *state);
            match (*name, other.and_then(|other| other.effort)) {
                ("effort", Some(effort)) => Found::Entry(effort),
                ("load", _) => other.map_or(Found::Quiet, |other| Found::Entry(other.load)),
                _ => Found::Without(format!(
                    "of `{first}` in another state only the effort is worked; ask `{first}.{state}.<machine>` for a force in between"
                )),
            }
        }
        [state, machine, name] if train.others.iter().any(|other| other.word == *state) => {
            let place = train.instances.iter().position(|at| Some(*at) == stage(machine));
            let other = train.others.iter().find(|other| other.word == *state);
            match place.and_then(|place| other.and_then(|other| other.instances.get(place))) {
                Some(instance) => instance_value(model, *instance, name, depth + 3, &format!("the machine `{first}.{state}.{machine}`")),
                None => {
                    Found::Unknown { part: depth + 2, near: Vec::new(), of: format!("the train `{first}`"), later: None, itself: false }
                }
            }
        }
        [state, name] if super::states::words().any(|word| word == *state) => Found::Without(in_that_state(first, state, name)),
        [machine, name] => match stage(machine) {
            Some(instance) => instance_value(model, instance, name, depth + 2, &format!("the machine `{first}.{machine}`")),
            None => Found::Unknown { part: depth + 1, near: Vec::new(), of: format!("the train `{first}`"), later: None, itself: false },
        },
        _ => Found::NotValue { what: "a train".into(), members: train.members.keys().map(String::from).collect() },
    }
}

fn in_that_state(of: &str, state: &str, name: &str) -> String {
    format!(
        "`{of}` is worked in that state already, or makes no difference of it: ask `{of}.{name}` (`{state}` names another state than the stated one)"
    )
}
