//! What is printed of exercises: of the answers, for those who teach and mark; of the questions, for those who learn.

use crate::sheet::parts::{Figure, Math};
use schemars::JsonSchema;
use serde::Serialize;

/// A question to learners with its answer.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ExerciseReport {
    /// Printed number, `Q1`.
    pub number: String,
    /// Anchor.
    pub anchor: String,
    /// The question.
    pub question: String,
    /// What has to be known beforehand, in the author's words.
    pub situation: Vec<String>,
    /// What is given.
    pub givens: Vec<ExerciseGiven>,
    /// Results on the way to the answer.
    pub steps: Vec<ExerciseStep>,
    /// The answer as mathematics.
    pub asked: Math,
    /// The answer; none where it could not be worked.
    pub answer: Option<Figure>,
    /// How far an answer may be off, in words.
    pub accepts: String,
    /// The least answer that is accepted.
    pub least: Option<Figure>,
    /// The greatest.
    pub greatest: Option<Figure>,
    /// What it counts; empty where nothing is said.
    pub marks: String,
    /// Hints, in the author's words.
    pub hints: Vec<String>,
}

/// A value that is given to learners.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ExerciseGiven {
    /// What it is, in words; the name where nothing is said.
    pub what: String,
    /// Its symbol.
    pub symbol: Math,
    /// The value as printed.
    pub value: String,
}

/// A result on the way to an answer.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ExerciseStep {
    /// What asks for it.
    pub asks: String,
    /// The result as mathematics.
    pub formula: Math,
    /// The result; none where it could not be worked.
    pub answer: Option<Figure>,
    /// Whether learners are shown it, as a step that is worked for them.
    pub shown: bool,
}
