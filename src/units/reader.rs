//! The unit a value is shown in when the author named none: one prefix chosen by its size (SP 811 7.9).

use crate::units::compose::{Part, compose};
use crate::units::dimension::{Dimension, exponent};
use crate::units::nature::Nature;
use crate::units::parse::{parse, word};
use crate::units::unit::{Facts, System, Unit};
use std::collections::BTreeMap;
use std::sync::LazyLock;

// A ladder: units in growing order, each with the least coherent SI value for which it is taken.
type Ladder = &'static [(f64, &'static str)];

#[rustfmt::skip]
const SI: &[(Dimension, Nature, Ladder)] = &[
    (Dimension::FORCE, Nature::Plain, &[(0.0, "µN"), (1e-3, "mN"), (0.1, "N"), (1e3, "kN"), (1e6, "MN")]),
    (Dimension::LENGTH, Nature::Plain, &[(0.0, "nm"), (1e-7, "µm"), (1e-4, "mm"), (1.0, "m"), (1e3, "km")]),
    (Dimension::MASS, Nature::Plain, &[(0.0, "mg"), (1e-4, "g"), (0.1, "kg"), (1e3, "t")]),
    (Dimension::TIME, Nature::Plain, &[(0.0, "ms"), (0.1, "s"), (120.0, "min"), (7200.0, "h")]),
    (Dimension::ENERGY, Nature::Energy, &[(0.0, "µJ"), (1e-3, "mJ"), (0.1, "J"), (1e3, "kJ"), (1e6, "MJ")]),
    (Dimension::ENERGY, Nature::Plain, &[(0.0, "mN·m"), (0.1, "N·m"), (1e3, "kN·m")]),
    (Dimension::ENERGY, Nature::Torque, &[(0.0, "mN·m"), (0.1, "N·m"), (1e3, "kN·m"), (1e6, "MN·m")]),
    (Dimension::POWER, Nature::Plain, &[(0.0, "mW"), (0.1, "W"), (1e3, "kW"), (1e6, "MW")]),
    (Dimension::PRESSURE, Nature::Plain, &[(0.0, "Pa"), (1e3, "kPa"), (1e6, "MPa"), (1e9, "GPa")]),
    (Dimension::AREA, Nature::Plain, &[(0.0, "mm²"), (0.01, "m²")]),
    (Dimension::VOLUME, Nature::Plain, &[(0.0, "mL"), (1e-3, "L"), (0.1, "m³")]),
    (Dimension::whole(4, 0, 0, 0), Nature::Plain, &[(0.0, "mm⁴"), (1e-2, "m⁴")]),
    (Dimension::SPEED, Nature::Plain, &[(0.0, "mm/s"), (0.1, "m/s")]),
    (Dimension::ACCELERATION, Nature::Plain, &[(0.0, "m/s²")]),
    (Dimension::FREQUENCY, Nature::Rotation, &[(0.0, "r/min")]),
    (Dimension::FREQUENCY, Nature::Frequency, &[(0.0, "Hz"), (1e3, "kHz")]),
    (Dimension::STIFFNESS, Nature::Plain, &[(0.0, "N/m"), (1e3, "kN/m"), (1e6, "MN/m")]),
    (Dimension::DENSITY, Nature::Plain, &[(0.0, "kg/m³")]),
    (Dimension::whole(-2, 1, -2, 0), Nature::Plain, &[(0.0, "N/m³"), (1e3, "kN/m³")]),
    (Dimension::NONE, Nature::Angle, &[(0.0, "°")]),
    (Dimension::NONE, Nature::Slope, &[(0.0, "%grade")]),
    (Dimension::TEMPERATURE, Nature::TemperaturePoint, &[(0.0, "°C")]),
    (Dimension::TEMPERATURE, Nature::TemperatureDifference, &[(0.0, "K")]),
];

#[rustfmt::skip]
const US: &[(Dimension, Nature, Ladder)] = &[
    (Dimension::FORCE, Nature::Plain, &[(0.0, "lbf"), (444_822.161_526_05, "kip")]),
    (Dimension::LENGTH, Nature::Plain, &[(0.0, "in"), (0.3048, "ft"), (1609.344, "mi")]),
    (Dimension::MASS, Nature::Plain, &[(0.0, "lb")]),
    (Dimension::ENERGY, Nature::Energy, &[(0.0, "ft·lbf")]),
    (Dimension::ENERGY, Nature::Plain, &[(0.0, "lbf·ft")]),
    (Dimension::ENERGY, Nature::Torque, &[(0.0, "lbf·in"), (1.355_817_948_331_400_3, "lbf·ft")]),
    (Dimension::POWER, Nature::Plain, &[(0.0, "ft·lbf/s"), (74.5, "hp")]),
    (Dimension::PRESSURE, Nature::Plain, &[(0.0, "psi"), (6_894_757.3, "ksi")]),
    (Dimension::AREA, Nature::Plain, &[(0.0, "in²"), (0.092_903_04, "ft²")]),
    (Dimension::VOLUME, Nature::Plain, &[(0.0, "in³"), (0.028_316_846_592, "ft³")]),
    (Dimension::whole(4, 0, 0, 0), Nature::Plain, &[(0.0, "in⁴")]),
    (Dimension::SPEED, Nature::Plain, &[(0.0, "ft/min"), (0.3048, "ft/s")]),
    (Dimension::ACCELERATION, Nature::Plain, &[(0.0, "ft/s²")]),
    (Dimension::STIFFNESS, Nature::Plain, &[(0.0, "lbf/in")]),
    (Dimension::DENSITY, Nature::Plain, &[(0.0, "lb/ft³")]),
    (Dimension::whole(-2, 1, -2, 0), Nature::Plain, &[(0.0, "lbf/ft³")]),
    (Dimension::TEMPERATURE, Nature::TemperaturePoint, &[(0.0, "°F")]),
    (Dimension::TEMPERATURE, Nature::TemperatureDifference, &[(0.0, "Δ°F")]),
];

// The units of all ladders, read once.
static READY: LazyLock<BTreeMap<&'static str, Unit>> = LazyLock::new(|| {
    let steps = SI.iter().chain(US).flat_map(|(_, _, ladder)| ladder.iter());
    steps.filter_map(|(_, symbol)| Some((*symbol, parse(symbol).ok()?.with_hint(None)))).collect()
});

/// The unit to show `value_si` in, or `None` for a plain number.
///
/// A dimension that has no unit of its own gets one composed from `kg`, `m`, `s`, `K`, or from `lb` or `lbf`, `ft`, `s`, `°R`.
pub fn for_reader(value_si: f64, dimension: Dimension, nature: Nature, us_customary: bool) -> Option<Unit> {
    if dimension.is_none() && nature == Nature::Plain {
        return None;
    }
    let choose = |table: &[(Dimension, Nature, Ladder)], nature: Nature| {
        let (_, _, ladder) = table.iter().find(|row| row.0 == dimension && row.1 == nature)?;
        let size = if value_si.is_finite() { value_si.abs() } else { 0.0 };
        // Nothing is best shown as nothing of a unit without a prefix.
        let step = if size == 0.0 && !us_customary {
            ladder.iter().find(|step| READY.get(step.1).is_some_and(|unit| unit.scale == 1.0))
        } else {
            None
        };
        let step = step.or_else(|| ladder.iter().rev().find(|step| size >= step.0))?;
        READY.get(step.1).cloned()
    };
    let tables: &[&[(Dimension, Nature, Ladder)]] = if us_customary { &[US, SI] } else { &[SI] };
    tables
        .iter()
        .find_map(|table| choose(table, nature))
        .or_else(|| tables.iter().take(1).find_map(|table| choose(table, Nature::Plain)))
        .or_else(|| composed(dimension, us_customary))
}

fn composed(dimension: Dimension, us_customary: bool) -> Option<Unit> {
    let Some([length, mass, time, temperature]) = dimension.exponents() else { return Some(coherent(dimension)) };
    // Where time enters with mass, US practice builds on the force: lbf = M L T⁻².
    let powers = match (us_customary, mass != 0 && time != 0) {
        (false, _) => [("kg", mass), ("m", length), ("s", time), ("K", temperature)],
        (true, true) => [("lbf", mass), ("ft", length - mass), ("s", time + 2 * mass), ("°R", temperature)],
        (true, false) => [("lb", mass), ("ft", length), ("s", time), ("°R", temperature)],
    };
    let parts: Option<Vec<Part>> = powers
        .iter()
        .filter(|(_, power)| *power != 0)
        .map(|(symbol, power)| Some(Part { unit: word(symbol, 0..0).ok()?, power: *power }))
        .collect();
    compose(&parts?)
}

// Fractions of exponents: the coherent SI unit, whose factor is one whatever the exponents.
fn coherent(dimension: Dimension) -> Unit {
    let [length, mass, time, temperature] = dimension.twelfths();
    let bases = [("kg", mass), ("m", length), ("s", time), ("K", temperature)];
    let symbol = bases.iter().filter(|(_, power)| *power != 0).map(|(base, power)| format!("{base}{}", exponent(*power)));
    let symbol = symbol.collect::<Vec<_>>().join("·");
    Unit::new(Facts { spoken: symbol.clone(), symbol, dimension, system: System::Si, ..(*Unit::one()).clone() })
}
