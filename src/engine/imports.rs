//! Which files use which, and the groups of files that use each other in a ring. They are found before anything is worked, so
//! that no result depends on the order in which files are asked for.

use crate::source::{FileId, Span};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// A `use` whose file was found.
#[derive(Debug, Clone)]
pub(super) struct Import {
    /// The file it stands in.
    pub(super) from: FileId,
    /// Where.
    pub(super) span: Span,
    /// The path as written.
    pub(super) written: String,
    /// The file that it means.
    pub(super) to: FileId,
}

/// The imports of everything that one document reaches.
#[derive(Debug)]
pub(super) struct Imports {
    all: Vec<Import>,
    // The number of the group of each file; those of one group lead to each other.
    groups: BTreeMap<FileId, usize>,
}

impl Imports {
    pub(super) fn new(all: Vec<Import>) -> Self {
        let (mut next, mut back): (Ways, Ways) = (BTreeMap::new(), BTreeMap::new());
        for import in &all {
            next.entry(import.from).or_default().insert(import.to);
            back.entry(import.to).or_default().insert(import.from);
        }
        // Strongly connected components by two passes, the second against the imports, from the file that ended last.
        let mut seen = BTreeSet::new();
        let mut ended = Vec::new();
        for from in next.keys().chain(back.keys()) {
            walk(*from, &next, &mut seen, &mut ended);
        }
        let (mut seen, mut groups) = (BTreeSet::new(), BTreeMap::new());
        for (number, from) in ended.into_iter().rev().enumerate() {
            let mut group = Vec::new();
            walk(from, &back, &mut seen, &mut group);
            groups.extend(group.into_iter().map(|file| (file, number)));
        }
        Imports { all, groups }
    }

    pub(super) fn all(&self) -> &[Import] {
        &self.all
    }

    /// Whether `import` is part of a ring: its file leads back to where it stands.
    pub(super) fn in_ring(&self, import: &Import) -> bool {
        self.group(import.from) == self.group(import.to)
    }

    /// The group that `file` is in.
    pub(super) fn group(&self, file: FileId) -> Option<usize> {
        self.groups.get(&file).copied()
    }

    /// The shortest ring that begins with `import`, from the file it stands in. Among rings of one length `rank` decides.
    pub(super) fn ring<R: Ord>(&self, import: &Import, rank: impl Fn(FileId) -> R) -> Vec<FileId> {
        let mut came: BTreeMap<FileId, FileId> = BTreeMap::new();
        let mut waiting = VecDeque::from([import.to]);
        while let Some(file) = waiting.pop_front() {
            if file == import.from {
                break;
            }
            let mut next: Vec<FileId> = self.all.iter().filter(|other| other.from == file).map(|other| other.to).collect();
            next.sort_by_key(|file| rank(*file));
            for other in next {
                if other != import.to && !came.contains_key(&other) {
                    came.insert(other, file);
                    waiting.push_back(other);
                }
            }
        }
        let mut ring = Vec::new();
        let mut at = import.from;
        while at != import.to {
            let Some(before) = came.get(&at) else { break };
            at = *before;
            ring.push(at);
        }
        if import.to != import.from {
            ring.reverse();
            ring.insert(0, import.from);
        } else {
            ring = vec![import.from];
        }
        ring
    }
}

type Ways = BTreeMap<FileId, BTreeSet<FileId>>;

// Goes from `from` wherever `ways` lead and nobody has been, and adds each file when all behind it have been seen.
fn walk(from: FileId, ways: &Ways, seen: &mut BTreeSet<FileId>, ended: &mut Vec<FileId>) {
    if !seen.insert(from) {
        return;
    }
    let behind = |file: FileId| ways.get(&file).into_iter().flatten().copied().collect::<Vec<_>>();
    let mut way = vec![(from, behind(from))];
    while let Some((file, left)) = way.last_mut() {
        match left.pop() {
            Some(next) if seen.insert(next) => way.push((next, behind(next))),
            Some(_) => {}
            None => {
                ended.push(*file);
                way.pop();
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Import, Imports};
    use crate::source::{Extent, FileId, Home};

    fn imports(edges: &[(u32, u32)]) -> Imports {
        let import = |(from, to): &(u32, u32)| Import {
            from: FileId(*from),
            span: Home::file(FileId(*from)).span(Extent::default()),
            written: to.to_string(),
            to: FileId(*to),
        };
        Imports::new(edges.iter().map(import).collect())
    }

    #[test]
    fn rings_are_found_whatever_leads_to_them() {
        // 0 leads to the ring 1, 2, 3, which has a shorter way by 4, and to 5, which uses itself.
        let found = imports(&[(0, 1), (1, 2), (2, 3), (3, 1), (1, 4), (4, 1), (0, 5), (5, 5), (5, 6)]);
        let of = |from: u32, to: u32| found.all().iter().find(|import| (import.from.0, import.to.0) == (from, to)).expect("an import");
        let in_ring: Vec<(u32, u32)> =
            found.all().iter().filter(|import| found.in_ring(import)).map(|import| (import.from.0, import.to.0)).collect();
        assert_eq!(in_ring, [(1, 2), (2, 3), (3, 1), (1, 4), (4, 1), (5, 5)]);
        let group = |file: u32| found.group(FileId(file));
        assert!(group(1).is_some() && [2, 3, 4].iter().all(|file| group(*file) == group(1)));
        assert!([0, 5, 6].iter().all(|file| group(*file) != group(1)) && group(0) != group(5) && group(5) != group(6));
        let ring = |from, to| found.ring(of(from, to), |file| file).into_iter().map(|file| file.0).collect::<Vec<_>>();
        assert_eq!(ring(1, 2), [1, 2, 3]);
        assert_eq!(ring(3, 1), [3, 1, 2]);
        assert_eq!(ring(4, 1), [4, 1]);
        assert_eq!(ring(5, 5), [5]);
    }
}
