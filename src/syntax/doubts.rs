//! The tree of a stated doubt: how much, and what that means.

use crate::source::Extent;
use crate::syntax::ast::Expression;

/// A stated doubt: `± 30 kg`, `± 2 % of value`, `± 0.4 kN (k=2)`, `± 0.2 kN (u)`.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// How much.
    pub amount: Expression,
    /// Whether the amount is a share of the value (`of value`).
    pub of_value: bool,
    /// What the amount means.
    pub meaning: Meaning,
    /// How many degrees of freedom it is stated to have (`(95 %, 12 degrees of freedom)`); endless when nothing is said.
    pub degrees: Option<f64>,
    /// Where, from the `±`.
    pub at: Extent,
}

/// What a stated doubt means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Meaning {
    /// Limits of error, rectangular (JCGM 100, 4.3.7): `± a`, `± a (rectangular)`.
    Limits,
    /// Limits, values in the middle likelier (JCGM 100, 4.3.9): `± a (triangular)`.
    Triangular,
    /// Limits, values at the ends likelier, as of a thing that swings between them: `± a (arcsine)`.
    Arcsine,
    /// Limits with a flat top, which is this share of the base (JCGM 100, 4.3.9): `± a (trapezoidal 0.5)`.
    Trapezoidal(f64),
    /// The limits of a level of confidence, as a share of one (JCGM 100, 4.3.4): `± a (95 %)`.
    Level(f64),
    /// Expanded, with its coverage factor: `± a (k=2)`.
    Expanded(f64),
    /// Standard: `± a (u)`.
    Standard,
    /// A step of a scale or of a display, half of it either way (JCGM 100, F.2.2.1): `resolution a`.
    Resolution,
    /// Readings of one thing, of which the mean is the value (JCGM 100, 4.2): `[a, b, c] repeats`.
    Repeats,
    /// What the trials leave open of a line through them: their scatter about it, or their stated doubts. Never written.
    Scatter,
}
