//! What an expression is a quantity of: its dimension, and the nature that dimension cannot tell.

use crate::units::{Dimension, Nature, Unit};

/// Dimension and nature of a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Quantity {
    /// Exponents of length, mass, time and temperature.
    pub dimension: Dimension,
    /// Torque or energy, angle or number, and the like.
    pub nature: Nature,
}

impl Quantity {
    /// A plain number.
    pub const RATIO: Quantity = Quantity { dimension: Dimension::NONE, nature: Nature::Plain };
    /// A plane angle.
    pub const ANGLE: Quantity = Quantity { dimension: Dimension::NONE, nature: Nature::Angle };
    /// A force.
    pub const FORCE: Quantity = Quantity { dimension: Dimension::FORCE, nature: Nature::Plain };
    /// A length.
    pub const LENGTH: Quantity = Quantity { dimension: Dimension::LENGTH, nature: Nature::Plain };
    /// A mass.
    pub const MASS: Quantity = Quantity { dimension: Dimension::MASS, nature: Nature::Plain };
    /// An acceleration.
    pub const ACCELERATION: Quantity = Quantity { dimension: Dimension::ACCELERATION, nature: Nature::Plain };
    /// A torque.
    pub const TORQUE: Quantity = Quantity { dimension: Dimension::ENERGY, nature: Nature::Torque };

    /// A quantity without a nature of its own.
    pub fn plain(dimension: Dimension) -> Self {
        Quantity { dimension, nature: Nature::Plain }
    }

    /// Whether it is a bare number.
    pub fn is_number(self) -> bool {
        self.dimension.is_none() && matches!(self.nature, Nature::Plain | Nature::Slope)
    }

    /// Whether `unit` measures it. What may serve as torque or as work is measured by either's unit.
    pub fn is_of(self, unit: &Unit) -> bool {
        let either = self.dimension == Dimension::ENERGY && self.nature == Nature::Plain;
        self.dimension == unit.dimension && (either || self.nature == unit.nature)
    }

    /// Its name in the trade: "force", "torque", "ratio" ...
    pub fn name(self) -> String {
        crate::units::quantity_name(self.dimension, self.nature)
    }

    /// The product. None when it has no meaning (a temperature on a scale multiplied).
    pub fn times(self, other: Quantity) -> Option<Quantity> {
        if self.is_point() || other.is_point() {
            return None;
        }
        let dimension = self.dimension.times(other.dimension);
        let nature = match (self.nature, other.nature) {
            _ if other.is_number() => keep(self),
            _ if self.is_number() => keep(other),
            // Work is torque times the angle turned; that is how a torque becomes an energy.
            (Nature::Torque, Nature::Angle) | (Nature::Angle, Nature::Torque) => Nature::Energy,
            (Nature::Angle, Nature::Frequency) | (Nature::Frequency, Nature::Angle) => Nature::Rotation,
            (Nature::Rotation, _) | (_, Nature::Rotation) if dimension.is_none() => Nature::Angle,
            (Nature::Angle, Nature::Plain) | (Nature::Plain, Nature::Angle) if dimension == Dimension::FREQUENCY => Nature::Rotation,
            _ => Nature::Plain,
        };
        Some(Quantity { dimension, nature })
    }

    /// The quotient. None when it has no meaning.
    pub fn over(self, other: Quantity) -> Option<Quantity> {
        if self.is_point() || other.is_point() {
            return None;
        }
        let dimension = self.dimension.over(other.dimension);
        let nature = match (self.nature, other.nature) {
            _ if other.is_number() => keep(self),
            (Nature::Energy, Nature::Angle) => Nature::Torque,
            (Nature::Energy, Nature::Torque) => Nature::Angle,
            (Nature::Angle, Nature::Plain) if dimension == Dimension::FREQUENCY => Nature::Rotation,
            (Nature::Angle, Nature::Rotation) => Nature::Plain,
            (Nature::Rotation, Nature::Angle) => Nature::Frequency,
            _ => Nature::Plain,
        };
        Some(Quantity { dimension, nature })
    }

    /// The power with exponent `numerator / denominator`. None when the dimension cannot take it.
    pub fn power(self, numerator: i32, denominator: i32) -> Option<Quantity> {
        if self.is_point() {
            return None;
        }
        if numerator == denominator {
            return Some(self);
        }
        Some(Quantity::plain(self.dimension.power(numerator, denominator)?))
    }

    /// What a sum of the two is a quantity of; none when they cannot be added or compared.
    pub fn meets(self, other: Quantity) -> Option<Quantity> {
        if self.dimension != other.dimension {
            return None;
        }
        let nature = match (self.nature, other.nature) {
            (a, b) if a == b => a,
            // A force times a length may serve as a torque or as an energy; a number as a slope.
            (Nature::Plain, b @ (Nature::Torque | Nature::Energy | Nature::Rotation | Nature::Frequency)) => b,
            (a @ (Nature::Torque | Nature::Energy | Nature::Rotation | Nature::Frequency), Nature::Plain) => a,
            (Nature::Plain, Nature::Slope) | (Nature::Slope, Nature::Plain) => Nature::Plain,
            (Nature::Plain, Nature::TemperatureDifference) | (Nature::TemperatureDifference, Nature::Plain) => {
                Nature::TemperatureDifference
            }
            _ => return None,
        };
        Some(Quantity { dimension: self.dimension, nature })
    }

    /// What `self + other` is: like [`Quantity::meets`], with a temperature on a scale moved by a difference.
    pub fn plus(self, other: Quantity) -> Option<Quantity> {
        match (self.is_point(), other.is_point()) {
            (true, true) => None,
            (true, false) | (false, true) if self.dimension == other.dimension => {
                Some(Quantity { dimension: self.dimension, nature: Nature::TemperaturePoint })
            }
            _ => self.meets(other),
        }
    }

    /// What `self - other` is.
    pub fn minus(self, other: Quantity) -> Option<Quantity> {
        match (self.is_point(), other.is_point()) {
            (true, true) => Some(Quantity { dimension: self.dimension, nature: Nature::TemperatureDifference }),
            (true, false) if self.dimension == other.dimension => Some(self),
            (false, true) => None,
            _ => self.meets(other),
        }
    }

    fn is_point(self) -> bool {
        self.nature == Nature::TemperaturePoint
    }
}

// A slope times a number is a number: the mark of a slope is only kept as long as it is one.
fn keep(quantity: Quantity) -> Nature {
    if quantity.nature == Nature::Slope { Nature::Plain } else { quantity.nature }
}
