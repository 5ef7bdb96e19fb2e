//! The tree of `vary`, `size` and `propagate`: what is tried, at which values, and what is asked of each trial.

use crate::source::Extent;
use crate::syntax::ast::{Comparison, Expression, Path, Quoted, Setting, UnitText};

/// `vary`: results over a run of values of one name
#[derive(Debug, Clone, PartialEq)]
pub struct Vary {
    /// What is varied.
    pub name: Path,
    /// The values it is tried at.
    pub trials: Trials,
    /// The results to show; at least one.
    pub showing: Vec<Shown>,
    /// Where.
    pub at: Extent,
}

/// The values something is tried at.
#[derive(Debug, Clone, PartialEq)]
pub enum Trials {
    /// `over [2 kN, 3.2 kN, 5 kN]`, or the name of a list.
    Listed(Expression),
    /// `over 4 deg .. 16 deg by 2 deg`
    Between {
        /// The first value.
        from: Expression,
        /// The last value.
        to: Expression,
        /// How the way between them is cut up.
        step: Option<Step>,
    },
}

/// How a range is cut up.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// `by 2 deg`
    By(Expression),
    /// `in 12 steps`
    In {
        /// How many.
        count: f64,
        /// Where the number stands.
        at: Extent,
    },
}

/// A result to show: `haul.effort "effort at the hand" as lbf`
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// What.
    pub value: Expression,
    /// What it is, in words.
    pub label: Option<Quoted>,
    /// The unit it is to be shown in.
    pub shown_in: Option<UnitText>,
}

/// `size`: the least or greatest value for which conditions hold
#[derive(Debug, Clone, PartialEq)]
pub struct Size {
    /// What is sized.
    pub name: Path,
    /// The values it is tried at; without them it is searched outward from its present value.
    pub trials: Option<Trials>,
    /// Which end of what serves is asked for.
    pub goal: Goal,
    /// What must hold; at least one.
    pub demands: Vec<Demand>,
    /// Where.
    pub at: Extent,
}

/// Which end of what serves is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Goal {
    /// `least`
    Least,
    /// `greatest`
    Greatest,
}

/// One thing that must hold.
#[derive(Debug, Clone, PartialEq)]
pub enum Demand {
    /// `every check`
    Every(Extent),
    /// The check of that title.
    Titled(Quoted),
    /// A comparison of its own.
    Holds(Comparison),
}

/// `propagate`: the distributions of results, by draws
#[derive(Debug, Clone, PartialEq)]
pub struct Propagate {
    /// The results; at least one.
    pub results: Vec<Shown>,
    /// How they are drawn.
    pub settings: Vec<Setting>,
    /// Where the line stands.
    pub at: Extent,
}
