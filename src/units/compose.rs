//! Products and quotients of units: factor, dimension, nature, symbol and the unit in words.

use crate::units::dimension::{Dimension, raised};
use crate::units::factor::Factor;
use crate::units::nature::Nature;
use crate::units::unit::{System, Unit};

/// One unit of a product, with its exponent; negative in the denominator.
#[derive(Debug, Clone)]
pub(crate) struct Part {
    pub unit: Unit,
    pub power: i32,
}

/// The product of the parts; `None` when its factor cannot be held in binary64.
pub(crate) fn compose(parts: &[Part]) -> Option<Unit> {
    let mut factor = Factor::one();
    let mut dimension = Dimension::NONE;
    let mut system = System::Convention;
    for part in parts {
        factor = factor.times(&part.unit.factor.power(part.power)?);
        dimension = dimension.times(part.unit.dimension.power(part.power, 1)?);
        system = system.with(part.unit.system);
    }
    let scale = factor.to_f64();
    if !(1e-290..=1e290).contains(&scale) {
        return None;
    }
    let hint = parts.iter().find_map(|part| part.unit.hint.clone());
    Some(Unit {
        symbol: symbol(parts),
        spoken: spoken(parts),
        factor,
        scale,
        offset: 0.0,
        dimension,
        nature: nature(parts, dimension),
        system,
        hint,
    })
}

fn is_angle(part: &Part) -> bool {
    part.unit.nature == Nature::Angle
}

// The order of force and length tells torque from work (SP 811 B.8); torque through an angle is work.
fn nature(parts: &[Part], dimension: Dimension) -> Nature {
    let above: Vec<&Part> = parts.iter().filter(|part| part.power > 0 && !is_angle(part)).collect();
    let below = parts.iter().any(|part| part.power < 0 && !is_angle(part));
    let turns: i32 = parts.iter().filter(|part| is_angle(part)).map(|part| part.power).sum();
    if dimension == Dimension::ENERGY {
        let dimensions: Vec<Dimension> = above.iter().map(|part| part.unit.dimension.power(part.power, 1).unwrap_or_default()).collect();
        let energy = above.iter().any(|part| part.unit.nature == Nature::Energy);
        return match (dimensions.as_slice(), below, turns) {
            ([Dimension::FORCE, Dimension::LENGTH], false, 0) => Nature::Torque,
            ([Dimension::FORCE, Dimension::LENGTH], false, 1) => Nature::Energy,
            ([Dimension::LENGTH, Dimension::FORCE], false, 0) => Nature::Energy,
            ([Dimension::POWER, Dimension::TIME] | [Dimension::TIME, Dimension::POWER], false, 0) => Nature::Energy,
            (_, _, 0) if energy => Nature::Energy,
            _ => Nature::Plain,
        };
    }
    match (dimension, turns) {
        (Dimension::NONE, 1) => Nature::Angle,
        (Dimension::FREQUENCY, 1) => Nature::Rotation,
        _ => Nature::Plain,
    }
}

fn symbol(parts: &[Part]) -> String {
    let side = |above: bool| -> Vec<String> {
        let wanted = parts.iter().filter(|part| (part.power > 0) == above);
        wanted
            .filter(|part| part.unit.symbol != "1")
            .map(|part| format!("{}{}", bound(&part.unit.symbol, part.power), figures(part.power)))
            .collect()
    };
    let (above, below) = (side(true), side(false));
    match (above.as_slice(), below.as_slice()) {
        ([], []) => "1".to_owned(),
        (_, []) => above.join("·"),
        ([], _) => {
            let negative = parts.iter().filter(|part| part.power < 0);
            negative.map(|part| format!("{}{}", bound(&part.unit.symbol, part.power), raised(part.power))).collect::<Vec<_>>().join("·")
        }
        (_, [one]) => format!("{}/{one}", above.join("·")),
        _ => format!("{}/({})", above.join("·"), below.join("·")),
    }
}

// A symbol that is itself a product or quotient, such as `mi/h`, is bracketed where an exponent or a solidus would bind
// to a part of it.
fn bound(symbol: &str, power: i32) -> String {
    let loose = symbol.contains('/') || (power != 1 && symbol.contains('·')) || (power.abs() != 1 && symbol.contains(['²', '³']));
    if loose { format!("({symbol})") } else { symbol.to_owned() }
}

// The size of an exponent as it is set; one is left out.
fn figures(power: i32) -> String {
    if power.abs() == 1 { String::new() } else { raised(power.abs()) }
}

fn spoken(parts: &[Part]) -> String {
    let side = |above: bool| {
        let wanted = parts.iter().filter(|part| (part.power > 0) == above && part.unit.symbol != "1");
        wanted
            .map(|part| match part.power.abs() {
                1 => part.unit.spoken.clone(),
                2 => format!("{} squared", part.unit.spoken),
                3 => format!("{} cubed", part.unit.spoken),
                power => format!("{} to the power {power}", part.unit.spoken),
            })
            .collect::<Vec<_>>()
            .join(" ")
    };
    match (side(true), side(false)) {
        (above, below) if below.is_empty() => above,
        (above, below) => format!("{above} per {below}").trim_start().to_owned(),
    }
}
