//! What a finished sheet consists of: plain data, every number text and full precision both. Nothing else is printed.

pub use crate::sheet::budget_parts::{Budget, BudgetRow, CorrelationRow, CoverageUsed, Named, SecondOrderRow};
pub use crate::sheet::check_parts::CheckRow;
pub use crate::sheet::comparing_parts::{AgreementRow, LawReport, LawRow, LawTrial};
pub use crate::sheet::draw_parts::{PropagationBin, PropagationReport, PropagationResult, PropagationRow};
pub use crate::sheet::exercise_parts::{ExerciseGiven, ExerciseReport, ExerciseStep};
pub use crate::sheet::figure_parts::{Figure, FigureParts};
pub use crate::sheet::house_parts::{HouseStyle, Part};
pub use crate::sheet::impact_parts::{MoveOfCheck, MoveOfResult, MoveRow};
pub use crate::sheet::kind_parts::{ConditionRow, FieldRow, Formula, FormulaGroup, KindCaution, KindReport, OptionRow, PortsRow, Runs};
pub use crate::sheet::reading_parts::{Alarm, ReadCell, ReadColumn, ReadGroup, ReadResults, ReadRow, ReadingsReport, ResultRow};
pub use crate::sheet::sign_parts::{SignOff, SignatureRow, Stale};
pub use crate::sheet::study_parts::{StudyColumn, StudyReport, StudyRow};
pub use crate::sheet::title_parts::{AnswerLine, AnswerPart, Cell, RevisionRow, TitleBlock};
pub use crate::sheet::train_parts::{BalanceRow, Joint, TrainReport};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The number of this arrangement of the JSON; it moves when a field changes its meaning or goes.
pub const SCHEMA: u32 = 1;

/// One document, evaluated and ready to print.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Sheet {
    /// [`SCHEMA`].
    pub schema: u32,
    /// Path from the project root.
    pub path: String,
    /// Number, title and people.
    pub title_block: TitleBlock,
    /// Computed, never typed: `draft`, `for review`, `checked`, `approved`, `superseded` or `void`.
    pub status: String,
    /// The signatures that it follows from.
    pub sign_off: SignOff,
    /// Whether everything in the source could be worked.
    pub complete: bool,
    /// What a brief sheet leaves out, in words; empty for a whole one.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub left_out: String,
    /// The answer in five lines: question, governing check, what it allows, what it rests on, what is open.
    pub answer: Vec<AnswerLine>,
    /// Headings of the prose.
    pub outline: Vec<Heading>,
    /// The author's document in reading order, with the working in place.
    pub blocks: Vec<Block>,
    /// What was taken as given.
    pub inputs: Vec<InputRow>,
    /// What was assumed.
    pub assumptions: Vec<InputRow>,
    /// Ropes, blocks and anchors with their ratings.
    pub gear: Vec<GearRow>,
    /// Instruments with what is stated of them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub instruments: Vec<GearRow>,
    /// Which inputs go together, and how far.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub correlations: Vec<CorrelationRow>,
    /// Kinds written in this document, in its order.
    pub kinds: Vec<KindReport>,
    /// Machines in the order of the document.
    pub machines: Vec<MachineReport>,
    /// Trains in the order of the document.
    pub trains: Vec<TrainReport>,
    /// What was tried at other values than its own, in the order of the document.
    pub studies: Vec<StudyReport>,
    /// What was read of machines, in the order of the document.
    pub readings: Vec<ReadingsReport>,
    /// Laws in the order of the document.
    pub laws: Vec<LawReport>,
    /// Predictions beside measurements, in the order of the document.
    pub agreements: Vec<AgreementRow>,
    /// Questions to learners with their answers, in the order of the document.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub exercises: Vec<ExerciseReport>,
    /// Distributions of results, in the order of the document.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub propagations: Vec<PropagationReport>,
    /// Checks, the governing one first.
    pub checks: Vec<CheckRow>,
    /// Where the doubt of each checked quantity comes from.
    pub budgets: Vec<Budget>,
    /// What moves with each doubtful input, for one standard uncertainty of it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub moves: Vec<MoveRow>,
    /// Budgets that were asked for by name, of whatever quantity; not part of the JSON.
    #[serde(skip)]
    pub asked: Vec<Budget>,
    /// How doubts are expanded.
    pub coverage: CoverageUsed,
    /// How the verdicts were reached, in words.
    pub decision_rule: String,
    /// Every symbol with its meaning.
    pub nomenclature: Vec<Symbol>,
    /// The revision record, first to last.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub revisions: Vec<RevisionRow>,
    /// Cautions chosen by what the sheet contains.
    pub cautions: Vec<CautionRow>,
    /// The one line that says whose word outranks this sheet.
    pub deference: String,
    /// Findings, for this document.
    pub notices: Vec<Notice>,
    /// Every named value, for machines to read.
    pub values: Vec<NamedValue>,
    /// What made this sheet.
    pub record: ToolRecord,
    /// How its house has it set; no part of the JSON.
    #[serde(skip)]
    pub house: HouseStyle,
    /// The same in the voice of its house, where that is another.
    #[serde(skip)]
    pub as_set: Option<Box<Sheet>>,
}

/// A heading of the prose.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Heading {
    /// 1 to 6.
    pub level: u8,
    /// Plain text.
    pub text: String,
    /// Anchor.
    pub anchor: String,
}

/// A stretch of the document.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "block", rename_all = "snake_case")]
pub enum Block {
    /// Prose as clean HTML, values set in.
    Prose {
        /// HTML.
        html: String,
    },
    /// Inputs and assumptions of one fence, by their place in the registers.
    Inputs {
        /// The rows.
        rows: Vec<InputRow>,
    },
    /// Gear of one fence.
    Gear {
        /// The rows.
        rows: Vec<GearRow>,
    },
    /// Instruments of one fence.
    Instruments {
        /// The rows.
        rows: Vec<GearRow>,
    },
    /// Correlations of one fence, by their place in `correlations`.
    Correlations {
        /// Places.
        indices: Vec<usize>,
    },
    /// Lines of working.
    Working {
        /// The lines.
        lines: Vec<WorkingLine>,
    },
    /// In a brief sheet, what lines of working come to.
    Results {
        /// The rows.
        rows: Vec<WorkedValue>,
    },
    /// A machine, by its place in `machines`.
    Machine {
        /// Place.
        index: usize,
    },
    /// A train, by its place in `trains`.
    Train {
        /// Place.
        index: usize,
    },
    /// Checks of one fence, by their place in `checks`.
    Checks {
        /// Places.
        indices: Vec<usize>,
    },
    /// A study, by its place in `studies`.
    Study {
        /// Place.
        index: usize,
    },
    /// Readings, by their place in `readings`.
    Readings {
        /// Place.
        index: usize,
    },
    /// A law, by its place in `laws`.
    Law {
        /// Place.
        index: usize,
    },
    /// Agreements of one fence, by their place in `agreements`.
    Agreements {
        /// Places.
        indices: Vec<usize>,
    },
    /// An exercise, by its place in `exercises`.
    Exercise {
        /// Place.
        index: usize,
    },
    /// Draws, by their place in `propagations`.
    Propagation {
        /// Place.
        index: usize,
    },
    /// A kind written in this document.
    Kind {
        /// Its report, by its place in `kinds`.
        index: usize,
        /// Its word.
        name: String,
        /// What it is.
        label: String,
        /// Its text, as the author wrote it.
        source: String,
    },
    /// A statement that could not be worked, with what is wrong.
    Broken {
        /// Its text.
        source: String,
        /// Its findings, by their place in `notices`.
        notices: Vec<usize>,
    },
}

/// What a line of working comes to.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WorkedValue {
    /// Anchor made from the name.
    pub anchor: String,
    /// The name in the source.
    pub name: String,
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// The result; none when it could not be worked, and for a list.
    pub result: Option<Figure>,
    /// For a list, its items.
    pub items: Vec<Figure>,
}

/// One line of working: symbol, formula, substitution, result, reference.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WorkingLine {
    /// Printed number, `12` or `12.3`; unique in the sheet.
    pub number: String,
    /// Anchor made from the name, stable while the name is.
    pub anchor: String,
    /// The name in the source.
    pub name: String,
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// The symbol.
    pub symbol: Math,
    /// The formula, right-hand side.
    pub formula: Math,
    /// The formula with values and units put in; none when it would say nothing new.
    pub substitution: Option<Math>,
    /// The result; none when it could not be worked.
    pub result: Option<Figure>,
    /// For an indexed line: each item's result, first to last.
    pub items: Vec<Figure>,
    /// Reference, perhaps empty.
    pub reference: String,
    /// Anchors of the lines and inputs it was worked from.
    pub worked_from: Vec<String>,
}

/// Mathematics as data; the page turns it into MathML, the terminal into one line of text.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "m", rename_all = "snake_case")]
pub enum Math {
    /// A number as printed.
    Number { text: String },
    /// A value put into a formula: number, doubt-free, with its unit upright.
    Value { number: String, unit: String },
    /// A symbol: `F` with subscript `max`; `italic` for a single letter or Greek, words upright.
    Symbol { base: String, subscript: String, italic: bool, index: Vec<Math> },
    /// A sum, difference or comparison: the items with the operators between them.
    Infix { operator: String, left: Box<Math>, right: Box<Math> },
    /// A product: set with a thin space, a dot or a cross as needed.
    Product { left: Box<Math>, right: Box<Math> },
    /// A fraction.
    Fraction { over: Box<Math>, under: Box<Math> },
    /// A power.
    Power { base: Box<Math>, exponent: Box<Math> },
    /// A square root.
    Root { of: Box<Math> },
    /// `−x`
    Minus { of: Box<Math> },
    /// `|x|`
    Absolute { of: Box<Math> },
    /// `(x)`
    Parentheses { of: Box<Math> },
    /// `sin(x)`, `max(a, b)`
    Call { name: String, arguments: Vec<Math> },
    /// A sum or product over an index; `sign` is `∑` or `∏`.
    Over { sign: String, index: String, from: Box<Math>, to: Box<Math>, body: Box<Math> },
    /// `[a, b, c]`
    List { items: Vec<Math> },
}

/// An input, an assumption, or a setting of a machine.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct InputRow {
    /// Anchor.
    pub anchor: String,
    /// The name in the source.
    pub name: String,
    /// The symbol.
    pub symbol: Math,
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// The value with its doubt.
    pub figure: Option<Figure>,
    /// The doubt as stated and what it means: "± 30 kg, limits of error"; empty when none.
    pub doubt_stated: String,
    /// Kind of evidence: "from", "measured", "weighed", "assumed", "default" ...; empty when none.
    pub evidence: String,
    /// The source or basis; empty when none was stated.
    pub source: String,
    /// For an assumption: what becomes of the result when it is wrong.
    pub effect: String,
    /// State of an assumption: "open", "confirmed", or "by convention" where nobody stated it; else empty.
    pub state: String,
    /// For a confirmed assumption: how, by whom and when it was made sure.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub confirmed: String,
    /// When or before what an assumption is to be made sure; perhaps empty.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub confirm_by: String,
    /// For a value that is worked from others: those, in the order of its expression.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub worked_from: Vec<NamedPlace>,
    /// For a setting that has no source but the sheet itself: the line of the sheet that states it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stated_in_line: Option<usize>,
}

/// A name and where it stands.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct NamedPlace {
    /// The name in words.
    pub name: String,
    /// Its anchor.
    pub anchor: String,
}

/// A piece of gear.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct GearRow {
    /// Anchor.
    pub anchor: String,
    /// The name in the source.
    pub name: String,
    /// What it is.
    pub label: String,
    /// Rated, breaking, design factor ... each with its source.
    pub ratings: Vec<InputRow>,
    /// What is stated beside them: the edition, the day of the next inspection.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub facts: Vec<Cell>,
}

/// A machine, worked.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MachineReport {
    /// Anchor.
    pub anchor: String,
    /// The name in the source.
    pub name: String,
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// The word of its kind.
    pub kind: String,
    /// What the kind is, in words.
    pub kind_label: String,
    /// A load that is stated by what makes it pull, and not a machine.
    pub is_load: bool,
    /// The document that describes the kind; empty for a kind that comes with the program.
    pub kind_path: String,
    /// `raising`, `holding` or `lowering`.
    pub direction: String,
    /// `starting` or `moving`.
    pub friction_state: String,
    /// The train it stands in; empty when it stands alone.
    pub train: String,
    /// Its settings, given and default.
    pub settings: Vec<InputRow>,
    /// Options with what was chosen.
    pub choices: Vec<Cell>,
    /// Its summary: one row a quantity, ideal beside actual.
    pub summary: Vec<SummaryRow>,
    /// Forces at its nodes.
    pub nodes: Vec<WorkingLine>,
    /// Its relations, shown as working.
    pub relations: Vec<WorkingLine>,
    /// What effort raises, within what range nothing moves, what stops it running back; empty when it stands in a train.
    pub answers: Vec<EffortAnswer>,
    /// Whether it holds its load by itself, in words with the margin; empty when the kind does not say.
    pub sustains: String,
    /// Its sketch.
    pub sketch: Option<SketchPart>,
    /// The body it moves, or a part that its title names, cut free.
    pub free_body: Option<crate::sheet::free_body_parts::FreeBodyPart>,
}

/// One of the answers every machine gives about its effort.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct EffortAnswer {
    /// "Least effort that raises it" ...
    pub question: String,
    /// The answer in words.
    pub answer: String,
    /// Its figure, where it is one.
    pub figure: Option<Figure>,
}

/// One row of a machine's summary.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SummaryRow {
    /// "Effort", "Mechanical advantage", "Efficiency", "Velocity ratio", "Work in" ...
    pub quantity: String,
    /// Without friction.
    pub ideal: Option<Figure>,
    /// With friction.
    pub actual: Option<Figure>,
    /// Anchor of the line it comes from; perhaps empty.
    pub anchor: String,
}

/// A drawing and its text equivalent. The shapes are printed by the output room.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SketchPart {
    /// One line that names it.
    pub title: String,
    /// What it shows, in sentences.
    pub description: String,
    /// The drawing; not part of the JSON.
    #[serde(skip)]
    pub drawing: crate::kinds::sketching::Drawing,
}

/// A symbol with its meaning.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Symbol {
    /// The symbol.
    pub symbol: Math,
    /// The name in the source.
    pub name: String,
    /// What it is.
    pub meaning: String,
    /// Anchor of where it is defined.
    pub anchor: String,
}

/// A caution.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CautionRow {
    /// What it says.
    pub text: String,
    /// Where it comes from; perhaps empty.
    pub source: String,
}

/// A finding cooked for readers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Notice {
    /// Stable name.
    pub slug: String,
    /// `error`, `warning`, `note`.
    pub severity: String,
    /// The headline.
    pub headline: String,
    /// The main place.
    pub place: Place,
    /// Places that set the expectation.
    pub others: Vec<Place>,
    /// Why it matters; perhaps empty.
    pub why: String,
    /// How to mend it; perhaps empty.
    pub help: String,
    /// Text to put at the main place, when the mend is certain.
    pub replacement: Option<String>,
}

/// A place in a file, with its line.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Place {
    /// Path from the project root.
    pub path: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Width in characters, at least 1, within the line.
    pub width: usize,
    /// The line itself, without its end.
    pub excerpt: String,
    /// What is said about it; perhaps empty.
    pub label: String,
}

/// A named value for machines to read.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct NamedValue {
    /// Full name: `haul.falls.effort`.
    pub name: String,
    /// What it is a quantity of: "force", "length", "ratio" ...
    pub quantity: String,
    /// The value; none when it could not be worked.
    pub figure: Option<Figure>,
    /// For a list, its items.
    pub items: Vec<Figure>,
}

/// What made this sheet, and from what.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ToolRecord {
    /// `parbuckle`.
    pub program: String,
    /// Its version.
    pub version: String,
    /// Digest of the document and the files it uses, hexadecimal.
    pub digest: String,
    /// Digest of what the fences of the document and of the files it uses say, whatever their layout, comments and places.
    pub calculation: String,
    /// Digest of all else the document says: prose, and who and when.
    pub telling: String,
    /// The files used, with their own digests, in order of path.
    pub files: Vec<Cell>,
}
