//! What a kind of machine is, as plain data: its ends, settings, formulas and limits, without a number of any machine.
//! Part of the sheet, like the rest of `parts.rs`.

use crate::sheet::free_body_parts::FreeBodyPart;
use crate::sheet::parts::{Math, SketchPart};
use schemars::JsonSchema;
use serde::Serialize;

/// A kind as its document describes it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct KindReport {
    /// Anchor made from the word: `kind-tackle`.
    pub anchor: String,
    /// Its word, as a machine names it.
    pub name: String,
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// Whether it is a load, which is moved, and not a machine, which moves.
    pub is_load: bool,
    /// Its ends, one row for each statement of them.
    pub ports: Vec<PortsRow>,
    /// What a machine of this kind may state.
    pub fields: Vec<FieldRow>,
    /// What a machine of this kind may choose.
    pub options: Vec<OptionRow>,
    /// Its relations and nodes in order, the alternatives of one name together.
    pub formulas: Vec<FormulaGroup>,
    /// Where it is refused.
    pub limits: Vec<ConditionRow>,
    /// What is asked about.
    pub questions: Vec<ConditionRow>,
    /// When it holds its load by itself.
    pub sustains: Vec<ConditionRow>,
    /// Its cautions.
    pub cautions: Vec<KindCaution>,
    /// The publications it names, each once, in order. Reasons such as "derived here", which begin with a small letter,
    /// stand beside their formulas only.
    pub sources: Vec<String>,
    /// On a reference page: the sketch of the first worked case.
    pub sketch: Option<SketchPart>,
    /// The same case: the body it moves, or a part that its title names, cut free.
    pub free_body: Option<FreeBodyPart>,
    /// The name of the machine that sketch is drawn from; empty without a sketch.
    pub sketch_of: String,
}

/// The ends of a machine.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PortsRow {
    /// In words: "from load (a force) to effort (a force)".
    pub text: String,
    /// When they are these, in words; perhaps empty.
    pub when: String,
}

/// A field of a kind.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FieldRow {
    /// As it is written in a machine: `sheave loss`.
    pub name: String,
    /// The symbol.
    pub symbol: Math,
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// What it is a quantity of: `length`, `ratio`, `count` ...
    pub quantity: String,
    /// For a list, how many items; one stated value stands for all.
    pub each: Option<Math>,
    /// Whether a machine must state it.
    pub required: bool,
    /// The value when it is not stated.
    pub default: Option<Math>,
    /// Where the default, or the meaning, comes from; perhaps empty.
    pub source: String,
}

/// An option of a kind.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OptionRow {
    /// As it is written in a machine: `friction rule`.
    pub name: String,
    /// What it decides, in words; perhaps empty.
    pub label: String,
    /// What may be chosen, as written after the name.
    pub choices: Vec<String>,
    /// What holds when nothing is chosen; empty when a machine must choose.
    pub default: String,
}

/// The formulas of one name. Of several alternatives exactly one holds in a machine at work.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FormulaGroup {
    /// The name in the source.
    pub name: String,
    /// The symbol, with its index where it is a list.
    pub symbol: Math,
    /// Whether it is a force at a named place.
    pub node: bool,
    /// Its alternatives in order; at least one.
    pub alternatives: Vec<Formula>,
}

/// One alternative of a name.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Formula {
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// The right-hand side.
    pub formula: Math,
    /// What its index runs over.
    pub runs: Option<Runs>,
    /// When it holds, in words; empty when it always does.
    pub when: String,
    /// References joined by "; "; perhaps empty.
    pub reference: String,
}

/// What an index runs over, both ends included.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Runs {
    /// The index.
    pub index: Math,
    /// First value.
    pub from: Math,
    /// Last value.
    pub to: Math,
}

/// A limit or a question, turned round to what brings it about; or what a machine holds its load by.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ConditionRow {
    /// The comparison: for a limit or question the case in which it speaks, otherwise as written.
    pub case: Math,
    /// What it says.
    pub says: String,
    /// When it is asked at all, in words; perhaps empty.
    pub when: String,
    /// References joined by "; "; perhaps empty.
    pub reference: String,
}

/// A caution of a kind.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct KindCaution {
    /// What it says.
    pub text: String,
    /// When it is printed, in words; perhaps empty.
    pub when: String,
    /// Where it comes from; perhaps empty.
    pub source: String,
}
