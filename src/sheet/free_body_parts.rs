//! A body cut free, as plain data: every force on it with its giver, the couples where it is seen along an axis, its drawing.

use crate::sheet::parts::SketchPart;
use schemars::JsonSchema;
use serde::Serialize;

/// A body cut free, with everything that acts on it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FreeBodyPart {
    /// Its drawing.
    #[serde(flatten)]
    pub sketch: SketchPart,
    /// The forces: they leave nothing over.
    pub forces: Vec<ForceOn>,
    /// The couples about the axis it is seen along: they leave nothing over.
    pub couples: Vec<CoupleOn>,
}

/// A force on a body that was cut free.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ForceOn {
    /// The sheet's name of it.
    pub symbol: String,
    /// Its size as printed.
    pub text: String,
    /// What exerts it.
    pub from: String,
    /// Its part to the right, N.
    pub right: f64,
    /// Its part upward, N.
    pub up: f64,
}

/// A couple on a body that was cut free.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CoupleOn {
    /// The sheet's name of it.
    pub symbol: String,
    /// Its size as printed.
    pub text: String,
    /// What exerts it.
    pub from: String,
    /// Against the clock, N m.
    pub against_clock: f64,
}
