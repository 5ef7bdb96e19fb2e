//! What can be wrong with unit text, each with its reason and, where there is one, the way to mend it.

use std::ops::Range;

/// One of the things a refused spelling may have meant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Candidate {
    /// What to write instead.
    pub write: String,
    /// What that means.
    pub means: String,
}

/// Why unit text was refused. Ranges are bytes within the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum UnitFault {
    /// No unit has this spelling.
    Unknown {
        /// The word.
        word: String,
        /// Where it stands.
        at: Range<usize>,
        /// Spellings that are near, best first.
        near: Vec<String>,
    },
    /// The spelling is read in more than one way in the trade, or is not allowed in a calculation.
    Ambiguous {
        /// The spelling.
        spelling: String,
        /// Where it stands.
        at: Range<usize>,
        /// What may be written instead; empty when nothing in mechanics answers to it.
        candidates: Vec<Candidate>,
        /// Why it is refused.
        reason: String,
    },
    /// The unit does not take this prefix.
    Prefix {
        /// The word.
        word: String,
        /// The prefix.
        prefix: String,
        /// The unit.
        unit: String,
        /// Where the word stands.
        at: Range<usize>,
        /// What to write instead, when there is a unit for it.
        mend: Option<String>,
    },
    /// More than one solidus, or a product after a solidus without brackets.
    TwoSolidi {
        /// From the second sign on.
        at: Range<usize>,
    },
    /// An exponent that cannot be read, is zero, or is beyond twelve.
    Power {
        /// The exponent as written.
        written: String,
        /// Where it stands.
        at: Range<usize>,
    },
    /// A temperature on a scale within a product, quotient or power.
    AffineInProduct {
        /// The symbol of the scale.
        symbol: String,
        /// The difference to write instead.
        difference: String,
        /// Where it stands.
        at: Range<usize>,
    },
    /// The factor cannot be held in a binary64 number.
    TooLarge {
        /// The whole text.
        at: Range<usize>,
    },
    /// A sign out of place, a bracket left open, or nothing where a unit should stand.
    Malformed {
        /// Where the reading stopped.
        at: Range<usize>,
    },
}

impl UnitFault {
    /// Where the fault stands, in bytes within the unit text.
    pub fn at(&self) -> Range<usize> {
        match self {
            UnitFault::Unknown { at, .. }
            | UnitFault::Ambiguous { at, .. }
            | UnitFault::Prefix { at, .. }
            | UnitFault::TwoSolidi { at }
            | UnitFault::Power { at, .. }
            | UnitFault::AffineInProduct { at, .. }
            | UnitFault::TooLarge { at }
            | UnitFault::Malformed { at } => at.clone(),
        }
    }

    /// The same fault in a longer text, of which `by` bytes stand before.
    pub(crate) fn moved(mut self, by: usize) -> UnitFault {
        match &mut self {
            UnitFault::Unknown { at, .. }
            | UnitFault::Ambiguous { at, .. }
            | UnitFault::Prefix { at, .. }
            | UnitFault::TwoSolidi { at }
            | UnitFault::Power { at, .. }
            | UnitFault::AffineInProduct { at, .. }
            | UnitFault::TooLarge { at }
            | UnitFault::Malformed { at } => *at = at.start + by..at.end + by,
        }
        self
    }

    /// The reason, and the way to mend it.
    pub fn words(&self) -> (String, Option<String>) {
        match self {
            UnitFault::Unknown { word, near, .. } => {
                let mend = match near.as_slice() {
                    [] => None,
                    near => Some(format!("write {}", listed(near.iter().map(|name| format!("`{name}`")).collect()))),
                };
                (format!("no unit is written `{word}`"), mend)
            }
            UnitFault::Ambiguous { candidates, reason, .. } => {
                let choices = candidates.iter().map(|one| format!("`{}` ({})", one.write, one.means)).collect::<Vec<_>>();
                (reason.clone(), if choices.is_empty() { None } else { Some(format!("write {}", listed(choices))) })
            }
            UnitFault::Prefix { word, prefix, unit, mend, .. } => {
                (format!("`{word}` puts the prefix `{prefix}` on `{unit}`, which does not take it"), mend.clone())
            }
            UnitFault::TwoSolidi { .. } => (
                "one solidus in a unit, and everything after it in brackets: without them the reader cannot tell what is divided"
                    .to_owned(),
                Some("put the denominator in brackets, as in `W/(m²·K)`".to_owned()),
            ),
            UnitFault::Power { written, .. } => (
                format!("`{written}` is not an exponent of a unit: a whole number from -12 to 12, not zero, is wanted"),
                Some("write the exponent as in `m^2`, `s^-1` or `mm⁴`".to_owned()),
            ),
            UnitFault::AffineInProduct { symbol, difference, .. } => (
                format!("{symbol} is a point on a scale and cannot be multiplied, divided or raised"),
                Some(format!("write the difference, `{difference}` or `K`")),
            ),
            UnitFault::TooLarge { .. } => ("the factor of this unit is beyond what a number here can hold".to_owned(), None),
            UnitFault::Malformed { .. } => (
                "a unit is words joined by `·` or `/` without spaces, each with an exponent if it has one".to_owned(),
                Some("write it as in `kN·m`, `m/s^2` or `W/(m²·K)`".to_owned()),
            ),
        }
    }
}

fn listed(mut names: Vec<String>) -> String {
    let last = names.pop().unwrap_or_default();
    if names.is_empty() { last } else { format!("{} or {last}", names.join(", ")) }
}
