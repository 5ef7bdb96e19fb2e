//! Names bound, dimensions checked, machines and trains turned into plain definitions in a settled order.
//!
//! *Takes and gives*: the trees of a file and of all it uses, and the kinds it names, in; a [`Model`] out.
//! *Never*: evaluates anything but whole counts, which decide how many items a list has and which relation holds.
//! *To add*: a function is a row in `functions.rs`; a setting every machine or sheet understands is a row in
//! `settings.rs`.

mod clashes;
mod correlations;
pub(crate) mod counts;
pub mod dates;
mod decision;
mod definitions;
mod direction;
mod elaborate;
pub mod exercises;
mod expressions;
mod faults;
pub mod functions;
mod guards;
mod head;
mod inspections;
mod instruments;
mod items;
mod kind_names;
mod laws;
mod loads;
mod machines;
mod members;
mod mends;
mod own_work;
pub mod propagations;
pub mod quantity;
mod reading_cells;
mod reading_results;
pub mod readings;
mod resolve;
pub mod revisions;
mod scope;
mod seeking;
mod settings;
mod states;
pub mod studies;
mod trains;
pub mod tree;
mod trial;

pub use correlations::Correlation;
pub use decision::{DecisionRule, Expansion};
pub use direction::{Direction, FrictionState, State};
pub use exercises::Exercise;
pub use head::Head;
pub use inspections::{Gear, inspections};
pub use instruments::{Instrument, Reading};
pub use items::Wording;
pub use laws::{Agreement, Law};
pub use members::Members;
pub use readings::Readings;
pub use resolve::{resolve, resolve_with};
pub use seeking::{Known, Sought};

use crate::model::propagations::Propagation;
use crate::model::quantity::Quantity;
use crate::model::studies::{Study, Substitute};
use crate::model::tree::{EntryId, Range, Shape, Tree};
use crate::source::{FileId, Home, Span};
use crate::syntax::ast::{Ast, EvidenceWord, Kind, Meaning, Relation};
use crate::units::Unit;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, OnceLock};

/// A kind as written, and where. Its tree is shared, so that a copy costs nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct KindSource {
    /// Its tree.
    pub kind: Arc<Kind>,
    /// The fence it stands in.
    pub home: Home,
    // What other states need of it, and what each of its items has that is the same for every machine; worked out when it is
    // first asked for.
    reach: Arc<OnceLock<states::Reach>>,
    items: Arc<OnceLock<Vec<items::Item>>>,
}

impl KindSource {
    /// A kind that stands in `home`.
    pub fn new(kind: Kind, home: Home) -> Self {
        KindSource { kind: Arc::new(kind), home, reach: Arc::default(), items: Arc::default() }
    }

    /// The same kind, standing in another home.
    #[must_use]
    pub fn moved(&self, home: Home) -> Self {
        KindSource { home, ..self.clone() }
    }

    fn reach(&self) -> &states::Reach {
        self.reach.get_or_init(|| states::Reach::of(&self.kind))
    }

    fn items(&self) -> &[items::Item] {
        self.items.get_or_init(|| self.kind.items.iter().map(items::Item::of).collect())
    }
}

/// The trees of one file, fence by fence, with the number of the fragment each stands in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FileTrees {
    /// Fragment and tree, in reading order.
    pub fences: Vec<(u32, Arc<Ast>)>,
    /// Fragments that are inline values, with what they say.
    pub inlines: Vec<(u32, crate::syntax::ast::Stated)>,
}

/// Everything a sheet is made from.
#[derive(Debug, Clone, Default)]
pub struct Material {
    /// The trees of every file that is reached.
    pub files: BTreeMap<FileId, Arc<FileTrees>>,
    /// Where each `use` leads, by the file it stands in and the path as written. A path that leads nowhere is
    /// absent; its finding has been put down.
    pub uses: BTreeMap<(FileId, String), FileId>,
    /// The tables that readings name by file, by the file that asks and the path as written, each with its own file.
    pub tables: BTreeMap<(FileId, String), (FileId, crate::syntax::ast::Table)>,
    /// Files among them that are lists of gear and no documents: what is found in one is told in the sheet that uses it.
    pub lists: BTreeSet<FileId>,
    /// The kinds that come with the program, by word, as far as a machine names them.
    pub kinds: BTreeMap<String, KindSource>,
    /// The words of all kinds that come with the program and are not defined anew, for a word that is misspelt.
    pub offered: BTreeSet<&'static str>,
    /// What holds where the head of the document does not say otherwise.
    pub preferences: Preferences,
}

/// The units a document is printed in where neither a line nor its head says: those of the house.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Preferences {
    /// The system of units: US customary when true.
    pub us_customary: Option<bool>,
    /// Units to print results in, one a quantity.
    pub units: Vec<Unit>,
}

/// A document with every name bound.
#[derive(Debug, Clone, Default)]
pub struct Model {
    /// Every value, in an order in which each rests only on earlier ones.
    pub entries: Vec<Entry>,
    /// Machines.
    pub machines: Vec<Machine>,
    /// Machines at work: once for a machine alone, once for each train it stands in.
    pub instances: Vec<Instance>,
    /// Trains.
    pub trains: Vec<Train>,
    /// Gear.
    pub gear: Vec<Gear>,
    /// What was read of machines.
    pub readings: Vec<Readings>,
    /// Instruments.
    pub instruments: Vec<Instrument>,
    /// Correlations of inputs.
    pub correlations: Vec<Correlation>,
    /// Checks.
    pub checks: Vec<Check>,
    /// Lines through readings.
    pub laws: Vec<Law>,
    /// Predictions beside what was measured.
    pub agreements: Vec<Agreement>,
    /// Questions to learners.
    pub exercises: Vec<Exercise>,
    /// What is tried at other values than its own.
    pub studies: Vec<Study>,
    /// Results whose distributions are drawn.
    pub propagations: Vec<Propagation>,
    /// A value to put in place of one entry's own.
    pub(crate) substitute: Option<Substitute>,
    /// The head of the sheet.
    pub head: Head,
    /// What each fence of the document put on the page.
    pub layout: BTreeMap<u32, Vec<Placed>>,
    /// The inline values, by fragment.
    pub inlines: BTreeMap<u32, Inline>,
    /// The kinds this document writes, in order.
    pub kinds: Vec<KindSource>,
    /// Files that were used, each once, in order.
    pub used: Vec<FileId>,
    /// Loads that are worked out from something else that is known.
    pub sought: Vec<Sought>,
}

/// A value with a name.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Full name: `haul.falls.effort`.
    pub name: String,
    /// What is said of it; shared by all machines at work that have the line of a kind.
    pub wording: Arc<Wording>,
    /// Where it is defined.
    pub span: Span,
    /// What it is; for an indexed definition, what each item is.
    pub value: Tree,
    /// The index of an indexed definition.
    pub index: Option<Box<Range>>,
    /// What it is a quantity of.
    pub quantity: Quantity,
    /// One value or a list.
    pub shape: Shape,
    /// What part it plays.
    pub role: Role,
    /// The doubts stated with it, each a source of its own.
    pub doubts: Vec<StatedDoubt>,
    /// How it was read, when an instrument is named.
    pub reading: Option<Reading>,
    /// The unit it is to be shown in, as asked, or taken over from what it is made of.
    pub shown_in: Option<Unit>,
    /// Whether the author asked for that unit, so that it is kept however the number reads.
    pub asked: bool,
    /// The machine at work or the train it belongs to.
    pub owner: Owner,
}

/// What part an entry plays on the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// `take`
    Take,
    /// `assume`
    Assume,
    /// The sheet's gravity; `declared` when the head of the sheet gives it.
    Gravity {
        /// Given in the sheet head.
        declared: bool,
    },
    /// A working line.
    Working,
    /// A rating of a piece of gear.
    Rating,
    /// What is stated of an instrument.
    Instrument,
    /// A field of a machine; `given` when the sheet states it, otherwise the default of the kind.
    Field {
        /// Stated on the sheet.
        given: bool,
    },
    /// The travel of a load; `given` when the sheet states it.
    Travel {
        /// Stated on the sheet.
        given: bool,
    },
    /// What was read: one cell of a table of readings.
    Reading,
    /// A relation of a kind.
    Relation,
    /// A node of a kind.
    Node,
    /// What a law gives.
    Law,
    /// Plumbing that is not shown: a list put together, a load passed on.
    Passed,
}

/// Whom an entry belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Owner {
    /// The sheet.
    Sheet,
    /// A used file.
    Used,
    /// A machine as stated, by its place in [`Model::machines`].
    Machine(usize),
    /// A machine at work, by its place in [`Model::instances`].
    Instance(usize),
    /// A train, by its place in [`Model::trains`].
    Train(usize),
    /// Readings, by their place in [`Model::readings`].
    Readings(usize),
}

/// A doubt as stated.
#[derive(Debug, Clone, PartialEq)]
pub struct StatedDoubt {
    /// How much; for repeats, the list of readings.
    pub amount: Tree,
    /// Whether the amount is a share of the value.
    pub of_value: bool,
    /// What the amount means.
    pub meaning: Meaning,
    /// Its degrees of freedom; endless when there are none.
    pub degrees: Option<f64>,
    /// The estimate of variance it rests on, when other doubts rest on the same one: their squares are added before they
    /// are divided by its degrees of freedom.
    pub pool: Option<usize>,
}

/// Something a statement put on the page.
#[derive(Debug, Clone, PartialEq)]
pub enum Placed {
    /// An input or assumption.
    Input(EntryId),
    /// A piece of gear.
    Gear(usize),
    /// An instrument.
    Instrument(usize),
    /// A correlation.
    Correlation(usize),
    /// A working line.
    Working(EntryId),
    /// A machine.
    Machine(usize),
    /// A train.
    Train(usize),
    /// A check.
    Check(usize),
    /// A study.
    Study(usize),
    /// Readings.
    Readings(usize),
    /// A law.
    Law(usize),
    /// An agreement.
    Agreement(usize),
    /// An exercise.
    Exercise(usize),
    /// Draws.
    Propagation(usize),
    /// A kind.
    Kind {
        /// Its word.
        name: String,
        /// What it is.
        label: String,
        /// Its text.
        span: Span,
        /// Its tree, by its place in [`Model::kinds`].
        at: usize,
    },
    /// A statement that could not be read.
    Broken(Span),
}

/// An inline value.
#[derive(Debug, Clone, PartialEq)]
pub struct Inline {
    /// What it is.
    pub value: Tree,
    /// The unit asked for, or taken over.
    pub shown_in: Option<Unit>,
    /// Whether it was asked for.
    pub asked: bool,
}

/// A machine as stated.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// Name.
    pub name: String,
    /// What it is.
    pub label: String,
    /// The word of its kind.
    pub kind: String,
    /// What its kind is, in words.
    pub kind_label: String,
    /// What its ends take and give.
    pub ends: Ends,
    /// The file that describes its kind.
    pub kind_file: FileId,
    /// Where.
    pub span: Span,
    /// Fields that were stated, by name.
    pub fields: Arc<BTreeMap<String, EntryId>>,
    /// Options: name, label, choice.
    pub choices: Vec<(String, String, String)>,
    /// Whether something is wrong with its statement, so that nothing can be worked from it.
    pub broken: bool,
    /// The load it is given when it stands alone.
    pub load: Option<EntryId>,
    /// The travel of that load.
    pub load_travel: Option<EntryId>,
    /// What is known instead of the load, when it stands alone.
    pub known: Option<Known>,
    /// Direction stated, when it stands alone.
    pub state: State,
    /// Its other states, when it stands alone.
    pub others: Vec<Other>,
    /// Where it is at work, by place in [`Model::instances`].
    pub instances: Vec<usize>,
}

/// What the ends of a machine take and give: a force, or a torque.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ends {
    /// What its load is; none for a kind of load, which is only moved and moves nothing.
    pub load: Option<Quantity>,
    /// What its effort is; for a kind of load, what it asks for.
    pub effort: Quantity,
}

/// A name inside a machine at work.
#[derive(Debug, Clone, PartialEq)]
pub enum Member {
    /// A value.
    Value(EntryId),
    /// No value, and why: for a name that the kind knows but that does not hold here.
    Without(String),
    /// A value that could not be made out; its finding has been put down.
    Quiet,
}

/// A machine at work.
#[derive(Debug, Clone, PartialEq)]
pub struct Instance {
    /// Its place in [`Model::machines`].
    pub machine: usize,
    /// The train it stands in.
    pub train: Option<usize>,
    /// What its names begin with: `falls`, or `haul.falls` when it stands in several trains.
    pub prefix: String,
    /// Which way.
    pub state: State,
    /// Its names.
    pub members: Members,
    /// Its relations in order.
    pub relations: Vec<EntryId>,
    /// Its nodes in order.
    pub nodes: Vec<EntryId>,
    /// Fields of the kind that stand at their default, or that were spread over a list.
    pub fields: Vec<EntryId>,
    /// Limits and questions.
    pub conditions: Vec<Condition>,
    /// Cautions: text and source.
    pub cautions: Vec<Arc<(String, String)>>,
    /// Whether something is wrong, so that its values are not to be printed.
    pub broken: bool,
    /// Whether it carries a load.
    pub loaded: bool,
    /// Whether it is worked only for an answer beside the one that was asked for.
    pub beside: bool,
}

/// What a condition is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// Where the relations stop being true.
    Limit,
    /// Unusual enough to ask.
    Question,
    /// Holds its load by itself.
    Sustains,
}

/// A condition of a kind, bound for one machine at work.
#[derive(Debug, Clone, PartialEq)]
pub struct Condition {
    /// What it is for.
    pub purpose: Purpose,
    /// Left side.
    pub left: Tree,
    /// Which way.
    pub relation: Relation,
    /// Right side.
    pub right: Tree,
    /// What it means.
    pub says: Arc<str>,
    /// Where it stands in the kind.
    pub span: Span,
}

/// A train.
#[derive(Debug, Clone, PartialEq)]
pub struct Train {
    /// Name.
    pub name: String,
    /// What it is.
    pub label: String,
    /// Where.
    pub span: Span,
    /// What does the pulling, as written.
    pub effort_label: String,
    /// What is moved, as written.
    pub load_label: String,
    /// Its machines at work, effort first.
    pub instances: Vec<usize>,
    /// Which way.
    pub state: State,
    /// Its names.
    pub members: Members,
    /// Its relations in order.
    pub relations: Vec<EntryId>,
    /// Its other states.
    pub others: Vec<Other>,
    /// Whether something is wrong, so that nothing can be worked from it.
    pub broken: bool,
}

/// The same machines on the same load in another state, for the answers beside the one that was asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Other {
    /// Which way, and which friction.
    pub state: State,
    /// The word it goes by in names.
    pub word: &'static str,
    /// The machines at work, effort first.
    pub instances: Vec<usize>,
    /// The effort; none when a machine gives none in that state.
    pub effort: Option<EntryId>,
    /// The load in that state.
    pub load: EntryId,
    /// The stated load that asks for it; none when the load is a force, the same in every state.
    pub end: Option<usize>,
}

/// A check.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// What is checked.
    pub title: String,
    /// Where.
    pub span: Span,
    /// Left side as written.
    pub left: Tree,
    /// The sign as written.
    pub relation: Relation,
    /// Right side as written.
    pub right: Tree,
    /// References.
    pub evidence: Vec<(EvidenceWord, String)>,
}

impl Check {
    /// The demand: the side that must not be the greater.
    pub fn demand(&self) -> &Tree {
        match self.relation {
            Relation::AtLeast | Relation::Above => &self.right,
            Relation::AtMost | Relation::Below | Relation::Equal => &self.left,
        }
    }

    /// The capacity: the side that must not be the lesser.
    pub fn capacity(&self) -> &Tree {
        match self.relation {
            Relation::AtLeast | Relation::Above => &self.left,
            Relation::AtMost | Relation::Below | Relation::Equal => &self.right,
        }
    }
}

impl Model {
    /// The entry with that place.
    ///
    /// # Panics
    /// Never for an [`EntryId`] of this model: they are only handed out by it.
    #[expect(clippy::indexing_slicing, reason = "ids are only made by pushing an entry")]
    pub fn entry(&self, id: EntryId) -> &Entry {
        &self.entries[id.0]
    }

    /// Adds an entry.
    pub(crate) fn push(&mut self, mut entry: Entry) -> EntryId {
        if let Some(substitute) = &mut self.substitute {
            substitute.apply(&mut entry);
        }
        let stated = matches!(
            entry.role,
            Role::Take
                | Role::Assume
                | Role::Gravity { .. }
                | Role::Rating
                | Role::Instrument
                | Role::Reading
                | Role::Field { given: true }
        );
        if !entry.asked
            && !stated
            && let Some(unit) = self.head.preferred.iter().find(|unit| entry.quantity.is_of(unit))
        {
            entry.shown_in = Some(unit.clone());
            entry.asked = true;
        }
        self.entries.push(entry);
        EntryId(self.entries.len() - 1)
    }
}
