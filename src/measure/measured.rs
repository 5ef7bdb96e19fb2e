//! A value with what it owes to each independent source of doubt.

use crate::measure::doubt::combine;

/// A value in coherent units, with one contribution for each independent source of doubt, in the order of the sources.
///
/// A contribution is the sensitivity to the source times its standard uncertainty, sign kept, so that doubts shared by two
/// quantities cancel or add as they should.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Measured {
    /// The value.
    pub value: f64,
    /// The signed contributions; sources beyond the end contribute nothing.
    pub row: Vec<f64>,
}

impl Measured {
    /// A value without doubt.
    pub fn exact(value: f64) -> Measured {
        Measured { value, row: Vec::new() }
    }

    /// The combined standard uncertainty.
    pub fn standard_uncertainty(&self) -> f64 {
        combine(&self.row)
    }

    /// Whether no source contributes.
    pub fn is_exact(&self) -> bool {
        self.row.iter().all(|part| *part == 0.0)
    }
}
