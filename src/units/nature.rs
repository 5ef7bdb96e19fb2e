//! What a dimension cannot tell: torque against energy, angle against ratio, temperature against difference.

use crate::units::dimension::Dimension;

/// The nature of a quantity, beside its dimension.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Nature {
    /// Nothing more than the dimension says.
    #[default]
    Plain,
    /// A plane angle.
    Angle,
    /// A moment of force: `N·m`, `lbf·ft`.
    Torque,
    /// Work, heat: `J`, `ft·lbf`.
    Energy,
    /// An angle for each unit of time: `rad/s`, `r/min`.
    Rotation,
    /// Events for each unit of time: `Hz`.
    Frequency,
    /// Rise over run.
    Slope,
    /// A temperature on a scale: `20 °C`.
    TemperaturePoint,
    /// A difference of temperatures.
    TemperatureDifference,
}

// The named quantities; the first row that fits a dimension and nature gives the name.
#[rustfmt::skip]
const NAMES: &[(Dimension, Nature, &str)] = &[
    (Dimension::NONE, Nature::Plain, "ratio"),
    (Dimension::NONE, Nature::Angle, "angle"),
    (Dimension::NONE, Nature::Slope, "slope"),
    (Dimension::LENGTH, Nature::Plain, "length"),
    (Dimension::MASS, Nature::Plain, "mass"),
    (Dimension::TIME, Nature::Plain, "time"),
    (Dimension::TEMPERATURE, Nature::Plain, "temperature"),
    (Dimension::TEMPERATURE, Nature::TemperaturePoint, "temperature"),
    (Dimension::TEMPERATURE, Nature::TemperatureDifference, "temperature difference"),
    (Dimension::FORCE, Nature::Plain, "force"),
    (Dimension::ENERGY, Nature::Torque, "torque"),
    (Dimension::ENERGY, Nature::Energy, "energy"),
    (Dimension::ENERGY, Nature::Plain, "torque or energy"),
    (Dimension::POWER, Nature::Plain, "power"),
    (Dimension::PRESSURE, Nature::Plain, "pressure"),
    (Dimension::AREA, Nature::Plain, "area"),
    (Dimension::VOLUME, Nature::Plain, "volume"),
    (Dimension::whole(4, 0, 0, 0), Nature::Plain, "second moment of area"),
    (Dimension::SPEED, Nature::Plain, "speed"),
    (Dimension::ACCELERATION, Nature::Plain, "acceleration"),
    (Dimension::FREQUENCY, Nature::Rotation, "rotational speed"),
    (Dimension::FREQUENCY, Nature::Frequency, "frequency"),
    (Dimension::FREQUENCY, Nature::Plain, "rate"),
    (Dimension::STIFFNESS, Nature::Plain, "stiffness"),
    (Dimension::DENSITY, Nature::Plain, "density"),
    (Dimension::whole(-2, 1, -2, 0), Nature::Plain, "specific weight"),
    (Dimension::whole(-1, 1, 0, 0), Nature::Plain, "linear density"),
    (Dimension::whole(-2, 1, 0, 0), Nature::Plain, "areal density"),
    (Dimension::whole(2, 1, 0, 0), Nature::Plain, "moment of inertia"),
    (Dimension::whole(1, 1, -1, 0), Nature::Plain, "momentum"),
    (Dimension::whole(0, 1, -1, 0), Nature::Plain, "mass flow"),
    (Dimension::whole(3, 0, -1, 0), Nature::Plain, "volume flow"),
    (Dimension::whole(-1, 1, -1, 0), Nature::Plain, "dynamic viscosity"),
    (Dimension::whole(2, 0, -1, 0), Nature::Plain, "kinematic viscosity"),
];

/// The name of a quantity: `force`, `torque`, `torque or energy`; the dimension itself when it has no name here.
pub fn quantity_name(dimension: Dimension, nature: Nature) -> String {
    let named = |wanted: Nature| NAMES.iter().find(|row| row.0 == dimension && row.1 == wanted).map(|row| row.2.to_owned());
    named(nature).or_else(|| named(Nature::Plain)).unwrap_or_else(|| dimension.to_string())
}

/// The quantity words of fields, as in `field radius length`.
const QUANTITIES: &[(&str, Dimension, Nature)] = &[
    ("force", Dimension::FORCE, Nature::Plain),
    ("mass", Dimension::MASS, Nature::Plain),
    ("length", Dimension::LENGTH, Nature::Plain),
    ("angle", Dimension::NONE, Nature::Angle),
    ("slope", Dimension::NONE, Nature::Slope),
    ("ratio", Dimension::NONE, Nature::Plain),
    ("count", Dimension::NONE, Nature::Plain),
    ("torque", Dimension::ENERGY, Nature::Torque),
    ("energy", Dimension::ENERGY, Nature::Energy),
    ("power", Dimension::POWER, Nature::Plain),
    ("pressure", Dimension::PRESSURE, Nature::Plain),
    ("area", Dimension::AREA, Nature::Plain),
    ("volume", Dimension::VOLUME, Nature::Plain),
    ("time", Dimension::TIME, Nature::Plain),
    ("speed", Dimension::SPEED, Nature::Plain),
    ("acceleration", Dimension::ACCELERATION, Nature::Plain),
    ("stiffness", Dimension::STIFFNESS, Nature::Plain),
    ("temperature", Dimension::TEMPERATURE, Nature::TemperaturePoint),
    ("density", Dimension::DENSITY, Nature::Plain),
    ("linear_density", Dimension::whole(-1, 1, 0, 0), Nature::Plain),
    ("rotation", Dimension::FREQUENCY, Nature::Rotation),
];

/// The dimension and nature that a quantity word asks for, as in `field radius length`.
pub fn quantity(word: &str) -> Option<(Dimension, Nature)> {
    QUANTITIES.iter().find(|(known, ..)| *known == word).map(|(_, dimension, nature)| (*dimension, *nature))
}

/// The words that [`quantity`] knows.
pub fn quantities() -> impl Iterator<Item = &'static str> {
    QUANTITIES.iter().map(|(word, ..)| *word)
}
