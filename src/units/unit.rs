//! A unit as it was read: its printed symbol, exact factor, dimension and nature.

use crate::units::dimension::Dimension;
use crate::units::factor::Factor;
use crate::units::nature::Nature;
use std::ops::Deref;
use std::sync::Arc;

/// Where a unit is at home.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum System {
    /// SI, and the units accepted for use with it.
    Si,
    /// Other metric units: kgf, bar, the units of the CGS system.
    Metric,
    /// US customary.
    Us,
    /// Imperial (United Kingdom).
    Imperial,
    /// At home everywhere: a revolution, a knot, a percentage.
    Convention,
}

impl System {
    /// The system of a product: the one that is most particular.
    pub(crate) fn with(self, other: System) -> System {
        let rank = |system: System| match system {
            System::Convention => 0,
            System::Si => 1,
            System::Metric => 2,
            System::Imperial => 3,
            System::Us => 4,
        };
        if rank(other) > rank(self) { other } else { self }
    }
}

/// A unit of measurement, simple or composed. A number in it has the coherent SI value `number * scale + offset`.
///
/// Every value on a sheet carries one, so what it says is shared between its copies.
#[derive(Debug, Clone)]
pub struct Unit(Arc<Facts>);

/// What a unit says of itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// The symbol as it is printed: `kN`, `lbf·ft`, `W/(m²·K)`.
    pub symbol: String,
    /// The unit in words, for a listener.
    pub spoken: String,
    /// The exact factor to the coherent SI unit.
    pub factor: Factor,
    /// The binary64 number nearest to the factor.
    pub scale: f64,
    /// What is added after scaling, in kelvin; zero except for a temperature on a scale.
    pub offset: f64,
    /// The dimension.
    pub dimension: Dimension,
    /// The nature.
    pub nature: Nature,
    /// Where the unit is at home.
    pub system: System,
    /// A word to the author when the spelling was accepted but is not the one that is printed.
    pub hint: Option<String>,
}

impl Deref for Unit {
    type Target = Facts;

    fn deref(&self) -> &Facts {
        &self.0
    }
}

impl PartialEq for Unit {
    fn eq(&self, other: &Unit) -> bool {
        Arc::ptr_eq(&self.0, &other.0) || self.0 == other.0
    }
}

impl Unit {
    /// A unit that says this of itself.
    pub(crate) fn new(facts: Facts) -> Unit {
        Unit(Arc::new(facts))
    }

    /// The same unit with another word to the author.
    #[must_use]
    pub(crate) fn with_hint(mut self, hint: Option<String>) -> Unit {
        if self.hint != hint {
            Arc::make_mut(&mut self.0).hint = hint;
        }
        self
    }

    /// The unit one: a plain number.
    pub fn one() -> Unit {
        Unit::new(Facts {
            symbol: "1".to_owned(),
            spoken: "one".to_owned(),
            factor: Factor::one(),
            scale: 1.0,
            offset: 0.0,
            dimension: Dimension::NONE,
            nature: Nature::Plain,
            system: System::Convention,
            hint: None,
        })
    }

    /// The value of `number` of this unit, in the coherent SI unit.
    pub fn to_si(&self, number: f64) -> f64 {
        number * self.scale + self.offset
    }

    /// The number of this unit that has the coherent SI value `value`.
    pub fn from_si(&self, value: f64) -> f64 {
        (value - self.offset) / self.scale
    }
}
