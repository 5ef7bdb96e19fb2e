//! The typed tree of one fence. Places are [`Extent`]s counted from the start of the fence's text; the model adds
//! the home, so that moving a fence down the page leaves its tree as it was.

use crate::source::Extent;

pub use crate::syntax::comparing::{Agreement, Law};
pub use crate::syntax::doubts::{Doubt, Meaning};
pub use crate::syntax::measuring::{By, Correlation, DoubtAlone, Instrument};
pub use crate::syntax::readings::{Cell, Column, ColumnBy, Readings, Row, Table};
pub use crate::syntax::studies::{Demand, Goal, Propagate, Shown, Size, Step, Trials, Vary};

/// All statements of one fence, in order. What could not be read is among them as [`Statement::Broken`].
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ast {
    /// The statements.
    pub statements: Vec<Statement>,
}

/// One statement: a line at the margin with the indented lines that belong to it.
#[derive(Debug, Clone, PartialEq)]
pub enum Statement {
    /// `sheet SL-07 "Hauling the workboat up the slip"`
    Sheet(SheetHead),
    /// `take boat = 1850 kg ± 30 kg from "ticket"`
    Take(Input),
    /// `assume mu = 0.16 because "greased ways"`
    Assume(Input),
    /// `gear rope "12 mm three-strand"` with `rated`, `breaking`, `design factor`
    Gear(Gear),
    /// `instrument balance "spring balance"` with `resolution`, `zero`, `calibration`
    Instrument(Instrument),
    /// `correlation V, phi = 0.86 from "five sets"`
    Correlation(Correlation),
    /// `load = weight(boat)`: a working line
    Definition(Definition),
    /// `machine falls = tackle` with its settings
    Machine(Machine),
    /// `train haul: crew -> falls -> slip -> load`
    Train(Train),
    /// `check "hauling part": falls.hauling_part <= rope.rated`
    Check(Check),
    /// `vary falls.parts over 2 .. 8 showing haul.effort`
    Vary(Vary),
    /// `size falls.parts over 2 .. 8, least for haul.effort <= 2 * person`
    Size(Size),
    /// `law bench_law of efforts against loads`
    Law(Law),
    /// `agreement "effort at the hand": falls.effort with pull`
    Agreement(Agreement),
    /// `propagate haul.effort` with `draws`, `seed`, `interval`, `level`, `digits`
    Propagate(Propagate),
    /// `kind whip_on_jib "single whip on a jib"` with its body
    Kind(Kind),
    /// `use "gear/ropes.md" as locker`
    Use(Use),
    /// `readings bench of falls, raising` with its table
    Readings(Box<Readings>),
    /// A statement that could not be read; its finding has been put down.
    Broken(Broken),
}

/// A name as written, with Greek letters turned into their English names (`μ` and `mu` are one name).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Name {
    /// The name, normalised.
    pub text: String,
    /// Where.
    pub at: Extent,
}

/// A name or a dotted chain of names: `boat`, `haul.falls.effort`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Path {
    /// One or more names.
    pub parts: Vec<Name>,
    /// Where.
    pub at: Extent,
}

/// Text between quotation marks, without them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Quoted {
    /// The text, `\"` and `\\` undone.
    pub text: String,
    /// Where, marks included.
    pub at: Extent,
}

/// An expression with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Expression {
    /// What it is.
    pub form: Form,
    /// Where.
    pub at: Extent,
}

/// The forms of an expression.
#[derive(Debug, Clone, PartialEq)]
pub enum Form {
    /// A number with or without units: `4`, `2.5 kN`, `9.81 m/s^2`, `5 ft 6 in`, `30° 15′`. Never empty.
    Quantity(Vec<Term>),
    /// A name, perhaps dotted.
    Name(Path),
    /// An item of a list, counted from 1: `part[i]`.
    Item {
        /// The list.
        list: Path,
        /// Which one.
        index: Box<Expression>,
    },
    /// `[5 %, 5 %, 8 %]`
    List(Vec<Expression>),
    /// `-x`
    Negative(Box<Expression>),
    /// `a + b` and the like.
    Binary {
        /// The operator.
        operator: Operator,
        /// Where the operator stands.
        operator_at: Extent,
        /// Left side.
        left: Box<Expression>,
        /// Right side.
        right: Box<Expression>,
    },
    /// `sqrt(x)`, `max(a, b)`, `weight(boat)`, `count(list)`
    Call {
        /// The function.
        function: Name,
        /// What it is given.
        arguments: Vec<Expression>,
    },
    /// `sum(part[i] for i from 1 to parts)`, `product(...)`
    Over {
        /// Sum or product.
        fold: Fold,
        /// What is added or multiplied.
        body: Box<Expression>,
        /// The running index.
        running: Running,
    },
}

/// One number with its unit, as in `5 ft`.
#[derive(Debug, Clone, PartialEq)]
pub struct Term {
    /// The number as typed, e.g. `1_850.0`; grouping marks allowed by the grammar are kept.
    pub typed: String,
    /// Its value.
    pub number: f64,
    /// The unit as typed, if any: `kN`, `m/s^2`, `%`.
    pub unit: Option<UnitText>,
    /// Where, unit included.
    pub at: Extent,
}

/// A unit as typed. What it means is for the model to find out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitText {
    /// As typed.
    pub text: String,
    /// Where.
    pub at: Extent,
}

/// The operators of arithmetic.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Operator {
    /// `+`
    Add,
    /// `-`
    Subtract,
    /// `*`
    Multiply,
    /// `/`
    Divide,
    /// `^`
    Power,
}

/// What an index runs over.
#[derive(Debug, Clone, PartialEq)]
pub struct Running {
    /// The index.
    pub index: Name,
    /// First value, a count.
    pub from: Box<Expression>,
    /// Last value, a count.
    pub to: Box<Expression>,
}

/// A fold over an index.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fold {
    /// `sum`
    Sum,
    /// `product`
    Product,
}

/// `a <= b`
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Left side.
    pub left: Expression,
    /// Which way.
    pub relation: Relation,
    /// Right side.
    pub right: Expression,
    /// Where the sign stands.
    pub relation_at: Extent,
    /// Where.
    pub at: Extent,
}

/// The signs of comparison.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Relation {
    /// `<=`, `≤`
    AtMost,
    /// `<`
    Below,
    /// `>=`, `≥`
    AtLeast,
    /// `>`
    Above,
    /// `=`: only in the guards of a kind, and only between counts.
    Equal,
}

/// A word of evidence with its text: `from "ticket"`, `ref "BS 1"`, `measured "on site"`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Evidence {
    /// Which word.
    pub word: EvidenceWord,
    /// What it says.
    pub text: Quoted,
    /// Where, word included.
    pub at: Extent,
}

/// The words of evidence.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum EvidenceWord {
    /// `from`: a source in general
    From,
    /// `measured`
    Measured,
    /// `marked`: read off a tag or a plate
    Marked,
    /// `weighed`
    Weighed,
    /// `drawing`
    Drawing,
    /// `because`: the basis of an assumption
    Because,
    /// `effect`: what becomes of the result when the assumption is wrong
    Effect,
    /// `ref`: a reference for a line of working
    Ref,
    /// `confirmed`: how an assumption was made sure, by whom and when
    Confirmed,
    /// `confirm by`: when or before what an assumption is to be made sure
    ConfirmBy,
}

/// An expression with its doubt and its evidence: the right-hand side of an input or of a setting.
#[derive(Debug, Clone, PartialEq)]
pub struct Stated {
    /// The value.
    pub value: Expression,
    /// Whether the value is a list of readings of one thing (`repeats`), and where that is said.
    pub repeats: Option<Extent>,
    /// The doubt.
    pub doubt: Option<Doubt>,
    /// The step of what it was read from (`resolution 2 N`).
    pub resolution: Option<Expression>,
    /// The instrument it was read with.
    pub by: Option<By>,
    /// The unit it is to be shown in (`as kN`).
    pub shown_in: Option<UnitText>,
    /// The evidence, in the order written.
    pub evidence: Vec<Evidence>,
}

/// An indented line under a statement, not yet read: its words are for the model to match with field names,
/// and the rest is then read by [`crate::syntax::stated`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setting {
    /// The line without indentation, comment and line end.
    pub text: String,
    /// Where that text stands.
    pub at: Extent,
    /// The plain words the line begins with (letters, digits, `_`), each with its place: `sheave`, `loss` of
    /// `sheave loss 5 %`. A word that ends in a mark of arithmetic, a dot or a bracket is not among them.
    pub words: Vec<Name>,
}

/// `sheet SL-07 "Title"`
#[derive(Debug, Clone, PartialEq)]
pub struct SheetHead {
    /// The number of the sheet, as written.
    pub number: Option<Name>,
    /// Its title.
    pub title: Option<Quoted>,
    /// `revision B`, `date 2026-03-14`, `duty pull`, `gravity 9.81 m/s^2` ...
    pub settings: Vec<Setting>,
    /// Where the head line stands.
    pub at: Extent,
}

/// `take` and `assume`
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// The name.
    pub name: Name,
    /// What it is, in words.
    pub label: Option<Quoted>,
    /// Value, doubt, evidence (also from indented lines).
    pub stated: Stated,
    /// Where.
    pub at: Extent,
}

/// `gear`
#[derive(Debug, Clone, PartialEq)]
pub struct Gear {
    /// The name.
    pub name: Name,
    /// What it is, in words.
    pub label: Option<Quoted>,
    /// `rated 2.4 kN from "tag"` and the like.
    pub settings: Vec<Setting>,
    /// Where the head line stands.
    pub at: Extent,
}

/// A working line, or a relation or node of a kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Definition {
    /// The name.
    pub name: Name,
    /// What it is, in words.
    pub label: Option<Quoted>,
    /// The index of an indexed definition, with what it runs over: `t[i] = ... for i from 1 to parts`.
    pub running: Option<Running>,
    /// The right-hand side.
    pub value: Expression,
    /// The unit it is to be shown in.
    pub shown_in: Option<UnitText>,
    /// When it holds; only in a kind.
    pub when: Option<Guard>,
    /// References.
    pub evidence: Vec<Evidence>,
    /// Where.
    pub at: Extent,
}

/// `machine`
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// Its name.
    pub name: Name,
    /// What it is, in words.
    pub label: Option<Quoted>,
    /// Its kind.
    pub kind: Name,
    /// Whether it was stated with `load` rather than `machine`: something that is moved, and not what moves it.
    pub is_load: bool,
    /// Its settings.
    pub settings: Vec<Setting>,
    /// Where the head line stands.
    pub at: Extent,
}

/// `train`, from effort to load
#[derive(Debug, Clone, PartialEq)]
pub struct Train {
    /// Its name.
    pub name: Name,
    /// What it is, in words.
    pub label: Option<Quoted>,
    /// Effort, machines, load, in the order written; at least two.
    pub stations: Vec<Station>,
    /// `raising`, `load travel 12 m` ...
    pub settings: Vec<Setting>,
    /// Where the head line stands.
    pub at: Extent,
}

/// One station of a train.
#[derive(Debug, Clone, PartialEq)]
pub enum Station {
    /// A name: a machine, or at the ends an effort or load.
    Named(Path),
    /// A label in quotation marks: `"crew of two"`.
    Label(Quoted),
}

/// `check`
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// What is checked, in words.
    pub title: Quoted,
    /// Demand and capacity.
    pub comparison: Comparison,
    /// References.
    pub evidence: Vec<Evidence>,
    /// Where.
    pub at: Extent,
}

/// `kind`
#[derive(Debug, Clone, PartialEq)]
pub struct Kind {
    /// Its word.
    pub name: Name,
    /// What it is, in words.
    pub label: Option<Quoted>,
    /// Its body, in order.
    pub items: Vec<KindItem>,
    /// Where the head line stands.
    pub at: Extent,
}

/// One line of the body of a kind.
#[derive(Debug, Clone, PartialEq)]
pub enum KindItem {
    /// `field parts count "rope parts at the running block" default 1 from "..."`
    Field(Field),
    /// `option rove "how it is rove": to advantage | to disadvantage default to disadvantage`
    Choice(Choice),
    /// `from load : force to effort : force`
    Ports(Ports),
    /// `relation K "tension ratio" = 1 + sheave_loss when ...`
    Relation(Definition),
    /// `node hauling_part "tension in the hauling part" = effort`
    Node(Definition),
    /// `limit parts >= 1 "a tackle has at least one part" when ... ref "..."`
    Limit(Condition),
    /// `question friction <= 1 "..."`
    Question(Condition),
    /// `sustains friction_angle >= slope "..."`
    Sustains(Condition),
    /// `caution "..." when ... ref "..."`
    Caution(Caution),
    /// A line that could not be read; its finding has been put down.
    Broken(Broken),
}

/// A field of a kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Its name.
    pub name: Name,
    /// What kind of quantity: `force`, `length`, `angle`, `ratio`, `count` ...
    pub quantity: Name,
    /// For a list, how many: `each sheaves`. One stated value stands for all.
    pub each: Option<Expression>,
    /// What it is, in words.
    pub label: Option<Quoted>,
    /// Whether it may be left out without a default.
    pub optional: bool,
    /// The value when it is left out.
    pub default: Option<Expression>,
    /// Where the default, or the meaning, comes from.
    pub evidence: Vec<Evidence>,
    /// Where.
    pub at: Extent,
}

/// An option of a kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Its name.
    pub name: Name,
    /// What it decides, in words.
    pub label: Option<Quoted>,
    /// What may be chosen, each one or more words joined by single spaces.
    pub choices: Vec<Words>,
    /// What holds when nothing is chosen.
    pub default: Option<Words>,
    /// Where.
    pub at: Extent,
}

/// One or more plain words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    /// Joined by single spaces.
    pub text: String,
    /// Where.
    pub at: Extent,
}

/// The two ends of a machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Ports {
    /// `load : force`; none for a kind of load, which only gives one (`gives load : force`).
    pub from: Option<Port>,
    /// `effort : force`
    pub to: Port,
    /// When these are the ends; a kind may have several lines of which one holds.
    pub when: Option<Guard>,
    /// Where.
    pub at: Extent,
}

/// One end.
#[derive(Debug, Clone, PartialEq)]
pub struct Port {
    /// The name the relations use.
    pub name: Name,
    /// `force` or `torque`.
    pub quantity: Name,
}

/// A condition with what it says when it fails.
#[derive(Debug, Clone, PartialEq)]
pub struct Condition {
    /// What must hold.
    pub comparison: Comparison,
    /// What it means.
    pub says: Quoted,
    /// When it is asked at all.
    pub when: Option<Guard>,
    /// References.
    pub evidence: Vec<Evidence>,
    /// Where.
    pub at: Extent,
}

/// A caution to print with the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Caution {
    /// What it says.
    pub says: Quoted,
    /// When it is printed.
    pub when: Option<Guard>,
    /// References.
    pub evidence: Vec<Evidence>,
    /// Where.
    pub at: Extent,
}

/// When a line of a kind holds. Settled before anything is evaluated.
#[derive(Debug, Clone, PartialEq)]
pub enum Guard {
    /// Any of these (`or`).
    Any(Vec<Guard>),
    /// All of these (`and`).
    All(Vec<Guard>),
    /// `raising`, `holding`, `lowering`, `starting`, `moving`
    State(Name),
    /// `rove is to advantage`, `rove is not to advantage`
    Is {
        /// The option.
        option: Name,
        /// The choice.
        choice: Words,
        /// With `not`.
        negated: bool,
    },
    /// `angle is given`, `angle is not given`
    Given {
        /// The field.
        field: Name,
        /// With `not`.
        negated: bool,
    },
    /// `parts > 1`: between counts
    Compare(Comparison),
}

/// `use "gear/ropes.md" as locker pinned "sha256:..."`
#[derive(Debug, Clone, PartialEq)]
pub struct Use {
    /// The file, as written.
    pub path: Quoted,
    /// The name its names stand under; without it they stand beside our own.
    pub name: Option<Name>,
    /// The digest that the file is held to, as written.
    pub pinned: Option<Quoted>,
    /// Where.
    pub at: Extent,
}

/// Text that could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Broken {
    /// The name it would have defined, if that much could be read, so that its uses stay quiet.
    pub name: Option<Name>,
    /// The text.
    pub text: String,
    /// Where.
    pub at: Extent,
}
