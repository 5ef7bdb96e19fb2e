//! The tree of `instrument` and `correlation`, and of what a value was read with.

use crate::source::Extent;
use crate::syntax::ast::{Doubt, Evidence, Expression, Name, Path, Quoted, Setting};

/// `instrument balance "spring balance, 300 N"` with `resolution`, `zero`, `calibration`, `own weight`, `hook weight`
#[derive(Debug, Clone, PartialEq)]
pub struct Instrument {
    /// The name.
    pub name: Name,
    /// What it is, in words.
    pub label: Option<Quoted>,
    /// Its lines.
    pub settings: Vec<Setting>,
    /// Where the head line stands.
    pub at: Extent,
}

/// What a value was read with: `by balance`, `by balance inverted`.
#[derive(Debug, Clone, PartialEq)]
pub struct By {
    /// The instrument.
    pub instrument: Path,
    /// Where it is said that it was used upside down.
    pub inverted: Option<Extent>,
    /// Where, from the `by`.
    pub at: Extent,
}

/// `correlation V, phi = 0.86 from "five sets"`
#[derive(Debug, Clone, PartialEq)]
pub struct Correlation {
    /// One input.
    pub first: Path,
    /// The other.
    pub second: Path,
    /// The coefficient.
    pub value: Expression,
    /// Where it comes from.
    pub evidence: Vec<Evidence>,
    /// Where.
    pub at: Extent,
}

/// A doubt that stands alone, with its evidence: what follows `calibration`.
#[derive(Debug, Clone, PartialEq)]
pub struct DoubtAlone {
    /// How much, and what it means.
    pub doubt: Doubt,
    /// Where it comes from.
    pub evidence: Vec<Evidence>,
}
