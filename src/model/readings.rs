//! What was read of a machine, trial by trial, with what follows from it. All values are entries of the model like any
//! other, so that one program works them.

use crate::diagnostics::nearest;
use crate::model::scope::{Found, member};
use crate::model::tree::EntryId;
use crate::model::{Direction, FrictionState, Member};
use crate::source::{FileId, Span};
use std::collections::BTreeMap;

/// A block of readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// Name.
    pub name: String,
    /// What it is.
    pub label: String,
    /// Where its head line stands.
    pub span: Span,
    /// The machine or train that was tested.
    pub of: Option<Tested>,
    /// Its name as written; empty when none is.
    pub of_name: String,
    /// Which friction counts, where the head says so.
    pub friction: Option<FrictionState>,
    /// The trials, in the order of the table.
    pub trials: Vec<Trial>,
    /// The columns that hold readings, in the order of the table.
    pub columns: Vec<Column>,
    /// The trials of each direction, with what follows from them: raising, holding, lowering. Directions are never mixed.
    pub groups: Vec<Group>,
    /// Lists over all trials, where there are several groups; empty with one, whose own lists these are.
    pub each: BTreeMap<String, Member>,
    /// Names of the whole block, where there are several groups.
    pub members: BTreeMap<String, Member>,
    /// Raising and lowering at equal loads.
    pub pairs: Option<Pairs>,
    /// The machine or train whose own velocity ratio stands in for one that was not measured.
    pub ratio_of: Option<String>,
    /// The velocity ratio of the machine or train itself.
    pub own_ratio: Option<EntryId>,
    /// The file the table stands in, when it is not in the fence.
    pub file: Option<FileId>,
    /// Whether something is wrong with the table, so that nothing can be worked from it.
    pub broken: bool,
}

/// What was tested.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tested {
    /// A machine alone, by its place in [`crate::model::Model::machines`].
    Machine(usize),
    /// A train, by its place in [`crate::model::Model::trains`].
    Train(usize),
}

/// One row of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Trial {
    /// What it is called: the cell of the column `trial`, or its number.
    pub label: String,
    /// Which way.
    pub direction: Direction,
    /// What the author says of it.
    pub remark: String,
    /// Where.
    pub span: Span,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Read {
    /// The load.
    Load,
    /// The effort.
    Effort,
    /// How far the load went.
    LoadTravel,
    /// How far the effort went.
    EffortTravel,
}

impl Read {
    /// All of them.
    pub const ALL: [Read; 4] = [Read::Load, Read::Effort, Read::LoadTravel, Read::EffortTravel];

    /// Its name in names.
    pub fn name(self) -> &'static str {
        match self {
            Read::Load => "load",
            Read::Effort => "effort",
            Read::LoadTravel => "load_travel",
            Read::EffortTravel => "effort_travel",
        }
    }

    /// Its name in words.
    pub fn words(self) -> &'static str {
        match self {
            Read::Load => "load",
            Read::Effort => "effort",
            Read::LoadTravel => "load travel",
            Read::EffortTravel => "effort travel",
        }
    }
}

/// A column of readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// What it holds.
    pub read: Read,
    /// The instrument it was read with, as written; empty when none is named.
    pub instrument: String,
    /// One reading a trial.
    pub cells: Vec<CellRead>,
}

/// One reading.
#[derive(Debug, Clone, PartialEq)]
pub struct CellRead {
    /// As it stands in the table.
    pub text: String,
    /// What was read, with its sources of doubt.
    pub read: EntryId,
    /// What is reckoned with: the same, or the weight of a mass.
    pub value: EntryId,
}

/// The trials of one direction.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// Which way.
    pub direction: Direction,
    /// What its names begin with: `bench`, or `bench.raising` where there are several.
    pub prefix: String,
    /// Its trials, by their place in [`Readings::trials`].
    pub trials: Vec<usize>,
    /// Lists, one item a trial: `load`, `effort`, `mechanical_advantage` ...
    pub each: BTreeMap<String, Member>,
    /// Names of all its trials together: `efficiency` ...
    pub members: BTreeMap<String, Member>,
    /// The lists that are worked from the readings, in order.
    pub worked: Vec<EntryId>,
    /// The values of all trials together, in order.
    pub pooled: Vec<EntryId>,
}

impl Group {
    /// The list of that name, when it has one.
    pub fn list(&self, name: &str) -> Option<EntryId> {
        value(self.each.get(name))
    }

    /// The value of that name, when it has one.
    pub fn value(&self, name: &str) -> Option<EntryId> {
        value(self.members.get(name))
    }
}

fn value(member: Option<&Member>) -> Option<EntryId> {
    match member {
        Some(Member::Value(id)) => Some(*id),
        _ => None,
    }
}

/// Raising and lowering at equal loads.
#[derive(Debug, Clone, PartialEq)]
pub struct Pairs {
    /// Names: `load`, `raising_effort`, `lowering_effort`, `frictionless_effort`, `friction`; lists, one item a load.
    pub each: BTreeMap<String, Member>,
    /// The lists that are worked, in order.
    pub worked: Vec<EntryId>,
}

impl Readings {
    /// The group of that direction.
    pub fn group(&self, direction: Direction) -> Option<&Group> {
        self.groups.iter().find(|group| group.direction == direction)
    }

    /// Finds what `rest` names behind the name `first` of these readings.
    pub(super) fn find(&self, first: &str, rest: &[&str], depth: usize) -> Found {
        if self.broken {
            return Found::Quiet;
        }
        let of = format!("the readings `{first}`");
        let only = match self.groups.as_slice() {
            [only] => Some(only),
            _ => None,
        };
        let (each, members) = only.map_or((&self.each, &self.members), |only| (&only.each, &only.members));
        let mut known: Vec<String> = members.keys().cloned().chain(each.keys().map(|name| format!("each.{name}"))).collect();
        match rest {
            ["each", name] => member(each, name, depth + 2, &of),
            ["pairs", name] => match &self.pairs {
                Some(pairs) => member(&pairs.each, name, depth + 2, &of),
                None => Found::Without(format!("`{first}` has no trials raising and lowering at one load")),
            },
            [word, name @ ..] if direction(word).is_some() => {
                let group = direction(word).and_then(|direction| self.group(direction));
                match (group, name) {
                    (None, _) => Found::Without(format!("`{first}` has no trial {word}")),
                    (Some(group), ["each", name]) => member(&group.each, name, depth + 3, &format!("{of}, {word},")),
                    (Some(group), [name]) => member(&group.members, name, depth + 2, &format!("{of}, {word},")),
                    (Some(group), _) => Found::NotValue { what: "readings".into(), members: group.members.keys().cloned().collect() },
                }
            }
            [name] if *name != "each" && *name != "pairs" => match members.get(*name) {
                None if each.contains_key(*name) => {
                    Found::Without(format!("`{first}` has a {} for each trial: ask `{first}.each.{name}[1]`", name.replace('_', " ")))
                }
                None => {
                    let near = nearest(name, known.iter().map(String::as_str)).into_iter().map(String::from).collect();
                    Found::Unknown { part: depth + 1, near, of, later: None, itself: false }
                }
                Some(_) => member(members, name, depth + 1, &of),
            },
            _ => {
                known.sort();
                Found::NotValue { what: "readings".into(), members: known }
            }
        }
    }
}

/// The direction of that word.
pub(super) fn direction(word: &str) -> Option<Direction> {
    [Direction::Raising, Direction::Holding, Direction::Lowering].into_iter().find(|direction| direction.word() == word)
}
