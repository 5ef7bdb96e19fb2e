//! A value with its doubt, as it is handed on to be printed or judged.

use crate::measure::coverage::{Coverage, CoverageRule, Freedom};

/// A value in the coherent unit of its quantity, with its standard uncertainty and what is known of the degrees of freedom of that.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Measured {
    /// The value.
    pub value: f64,
    /// Its standard uncertainty; nothing when it has none.
    pub uncertainty: f64,
    /// The degrees of freedom of the uncertainty.
    pub freedom: Freedom,
}

impl Measured {
    /// A value without doubt.
    pub fn exact(value: f64) -> Measured {
        Measured { value, uncertainty: 0.0, freedom: Freedom::Endless }
    }

    /// The factor it is expanded by under `rule`.
    pub fn coverage(&self, rule: CoverageRule) -> Coverage {
        Coverage::new(rule, self.freedom)
    }

    /// Its expanded uncertainty under `rule`.
    pub fn expanded(&self, rule: CoverageRule) -> f64 {
        if self.uncertainty > 0.0 { self.coverage(rule).k * self.uncertainty } else { 0.0 }
    }
}
