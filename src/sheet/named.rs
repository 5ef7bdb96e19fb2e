//! The values of a sheet that go by a name, for its JSON, its comparisons and whatever asks for one of them.

use crate::model::tree::{EntryId, Shape};
use crate::model::{Entry, Member, Owner, Role};
use crate::sheet::brief;
use crate::sheet::parts::NamedValue;
use crate::sheet::working::Setter;
use crate::source::Numbered;
use std::collections::BTreeSet;

/// The values of those names, as they are printed.
pub(super) fn values(setter: &Setter<'_>, names: Vec<(String, EntryId)>) -> Vec<NamedValue> {
    names.into_iter().map(|(name, id)| named(setter, name, id)).collect()
}

/// Every value that goes by a name, in the order of the document, with its name.
pub(super) fn names(setter: &Setter<'_>) -> Vec<(String, EntryId)> {
    let beside =
        |owner: Owner| matches!(owner, Owner::Instance(at) if setter.model.instances.get(at).is_some_and(|instance| instance.beside));
    let listed = |entry: &Entry| !matches!(entry.role, Role::Passed | Role::Reading | Role::Gravity { .. }) && !beside(entry.owner);
    let told = |entry: &Entry| !setter.brief || brief::lists(entry);
    let entries = setter.model.entries.iter().enumerate().filter(|(_, entry)| listed(entry) && told(entry));
    let mut values: Vec<(String, EntryId)> = entries.map(|(at, entry)| (entry.name.clone(), EntryId(at))).collect();
    if setter.brief {
        return values;
    }
    // A train's forces go by two names: that of the machine and that of the train.
    let mut taken = Numbered::default();
    for (_, id) in &values {
        taken.number(&setter.model.entry(*id).name);
    }
    let (mut more, mut added) = (Vec::new(), BTreeSet::new());
    for train in &setter.model.trains {
        let mut also = |owners: &[&str], local: &str, member: &Member| {
            let Member::Value(id) = member else { return };
            let entry = setter.model.entry(*id);
            // Most members go by this very name.
            if entry.role == Role::Passed || listed(entry) && is_called(&entry.name, owners, local) {
                return;
            }
            let name = [owners, &[local]].concat().join(".");
            if taken.find(&name).is_none() && added.insert(name.clone()) {
                more.push((name, *id));
            }
        };
        // The travel of the first machine goes by its own name.
        for (name, member) in train.members.iter().filter(|(name, _)| *name != "first_travel") {
            also(&[&train.name], name, member);
        }
        for instance in train.instances.iter().filter_map(|at| setter.model.instances.get(*at)) {
            let Some(machine) = setter.model.machines.get(instance.machine) else { continue };
            for (name, member) in instance.members.iter() {
                also(&[&train.name, &machine.name], name, member);
            }
        }
    }
    values.append(&mut more);
    values
}

// Whether `name` is that of `local` below its owners.
fn is_called(name: &str, owners: &[&str], local: &str) -> bool {
    let mut rest = name;
    for owner in owners {
        let Some(below) = rest.strip_prefix(owner).and_then(|rest| rest.strip_prefix('.')) else { return false };
        rest = below;
    }
    rest == local
}

fn named(setter: &Setter<'_>, name: String, id: EntryId) -> NamedValue {
    let entry = setter.model.entry(id);
    let figures = setter.printed.of(id);
    let is_list = entry.shape != Shape::Single;
    NamedValue {
        name,
        quantity: entry.quantity.name(),
        figure: if is_list { None } else { figures.first().cloned() },
        items: if is_list { figures.to_vec() } else { Vec::new() },
    }
}
