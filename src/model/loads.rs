//! Loads stated with `load`: the force they ask for in the state of the train that moves them. A load that rubs or rolls
//! pulls harder when it is drawn up than when it is held.

use crate::model::elaborate::Work;
use crate::model::resolve::Resolver;
use crate::model::scope::Bound;
use crate::model::tree::EntryId;
use crate::model::{Direction, FrictionState, Instance, Owner, State};
use crate::syntax::ast::{Station, Train};
use std::sync::Arc;

impl Resolver<'_> {
    /// Notes the state in which `train` moves the load it ends at; the first train that names a load decides.
    pub(super) fn driven(&mut self, train: &Train) {
        let Some(Station::Named(path)) = train.stations.last() else { return };
        let name = path.parts.iter().map(|part| part.text.as_str()).collect::<Vec<_>>().join(".");
        let mut state = State::default();
        for setting in &train.settings {
            match setting.words.first().map(|word| word.text.as_str()) {
                Some("raising") => state.direction = Some(Direction::Raising),
                Some("holding") => state.direction = Some(Direction::Holding),
                Some("lowering") => state.direction = Some(Direction::Lowering),
                Some("starting") => state.friction = Some(FrictionState::Starting),
                Some("moving") => state.friction = Some(FrictionState::Moving),
                _ => {}
            }
        }
        self.driven.entry(name).or_insert(state);
    }

    /// Works a load by itself; it is also named as the end of a train.
    pub(super) fn put_load(&mut self, at: usize) {
        let Some(machine) = self.model.machines.get_mut(at).filter(|machine| !machine.broken) else { return };
        if let Some(state) = self.driven.get(&machine.name) {
            machine.state = *state;
        }
        let (name, state) = (machine.name.clone(), machine.state);
        let travel = self.unit_travel(&format!("{name}.load_travel"), Owner::Machine(at), None);
        self.elaborate(at, None, name, state, None, travel);
    }

    /// The stated load that `station` names; none when it names a force, or nothing.
    pub(super) fn load_at(&self, station: Option<&Station>) -> Option<usize> {
        let Some(Station::Named(path)) = station else { return None };
        match self.bound(path) {
            Some(Bound::Machine(machine)) => self.model.machines.get(machine).filter(|found| found.ends.load.is_none()).map(|_| machine),
            _ => None,
        }
    }

    /// The force of the stated load `machine` in `state`, worked anew under `prefix` when it was worked in another.
    pub(super) fn load_in(&mut self, machine: usize, prefix: String, state: State) -> Option<EntryId> {
        let stated = self.model.machines.get(machine)?.clone();
        let main = *stated.instances.first()?;
        let first = self.model.instances.get(main)?.clone();
        if (first.state.direction(), first.state.friction()) == (state.direction(), state.friction()) {
            return self.value_of(main, "load");
        }
        let source = self.kinds.get(&stated.kind).cloned()?;
        let at = self.model.instances.len();
        let mut work = Work::new(Owner::Instance(at), &stated, prefix.clone(), state, stated.span);
        work.loaded = false;
        let reach = source.reach();
        work.only = Some(Arc::clone(&reach.for_load));
        work.members = reach.taken_over(&first.members);
        let beside = Instance::new(first.machine, first.train, prefix, state, first.loaded, true);
        self.model.instances.push(beside);
        self.elaborate_load(at, machine, &source, work);
        // Its own name goes on standing for what it is by itself.
        self.model.machines.get_mut(machine).into_iter().for_each(|machine| machine.instances.retain(|instance| *instance != at));
        self.value_of(at, "load")
    }
}
