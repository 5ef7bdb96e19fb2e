//! Names that a used file shares with the sheet or with another used file: they are told apart by the names under which the
//! files are used, in the form in which the sheet itself asks for them.

use crate::model::Entry;
use crate::model::resolve::Resolver;
use crate::model::scope::Bound;
use crate::source::FileId;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

impl Resolver<'_> {
    /// Puts the names under which its file is used before each name of a used file that is defined in another file as well.
    pub(super) fn tell_apart(&mut self) {
        if self.files.len() < 2 {
            return;
        }
        let entries = self.model.entries.iter().map(|entry| (&entry.name, entry.span.home.file));
        let gear = self.model.gear.iter().map(|gear| (&gear.name, gear.span.home.file));
        let instruments = self.model.instruments.iter().map(|instrument| (&instrument.name, instrument.span.home.file));
        let mut files: BTreeMap<&String, BTreeSet<FileId>> = BTreeMap::new();
        for (name, file) in entries.chain(gear).chain(instruments) {
            files.entry(name).or_default().insert(file);
        }
        let shared: BTreeSet<String> = files.into_iter().filter(|(_, files)| files.len() > 1).map(|(name, _)| name.clone()).collect();
        if shared.is_empty() {
            return;
        }
        let used_as = self.used_as();
        let told_apart = |name: &mut String, file: FileId| {
            if let Some(before) = used_as.get(&file).filter(|before| !before.is_empty() && shared.contains(name)) {
                name.insert_str(0, before);
            }
        };
        for Entry { name, span, .. } in &mut self.model.entries {
            told_apart(name, span.home.file);
        }
        self.model.gear.iter_mut().for_each(|gear| told_apart(&mut gear.name, gear.span.home.file));
        self.model.instruments.iter_mut().for_each(|instrument| told_apart(&mut instrument.name, instrument.span.home.file));
    }

    // What stands before the names of each file where the sheet asks for them, `locker.` or `yard.locker.`, by the shortest way.
    fn used_as(&self) -> BTreeMap<FileId, String> {
        let mut before: BTreeMap<usize, String> = BTreeMap::from([(0, String::new())]);
        let mut waiting = VecDeque::from([0]);
        while let Some(at) = waiting.pop_front() {
            let here = before.get(&at).cloned().unwrap_or_default();
            let named = self.scopes.get(at).into_iter().flat_map(|scope| &scope.names).filter_map(|(name, (bound, _))| match bound {
                Bound::Used(used) => Some((*used, format!("{here}{name}."))),
                _ => None,
            });
            let beside = self.brought.iter().filter(|(by, _)| *by == at).map(|(_, used)| (*used, here.clone()));
            for (used, written) in beside.chain(named).collect::<Vec<_>>() {
                before.entry(used).or_insert_with(|| {
                    waiting.push_back(used);
                    written
                });
            }
        }
        self.files.iter().filter_map(|(file, scope)| Some((*file, before.get(scope)?.clone()))).collect()
    }
}
