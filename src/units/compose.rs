//! Products and quotients of units: factor, dimension, nature, symbol and the unit in words.

use crate::units::dimension::{Dimension, raised};
use crate::units::factor::Factor;
use crate::units::nature::Nature;
use crate::units::unit::{Facts, System, Unit};

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
    Some(Unit::new(Facts {
        symbol: symbol(parts),
        spoken: spoken(parts),
        factor,
        scale,
        offset: 0.0,
        dimension,
        nature: nature(parts, dimension),
        system,
        hint,
    }))
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
        wanted.filter(|part| part.unit.symbol != "1").map(|part| powered(&part.unit.symbol, part.power.abs())).collect()
    };
    let (above, below) = (side(true), side(false));
    match (above.as_slice(), below.as_slice()) {
        ([], []) => "1".to_owned(),
        (_, []) => above.join("·"),
        ([], _) => {
            let negative = parts.iter().filter(|part| part.power < 0);
            negative.map(|part| powered(&part.unit.symbol, part.power)).collect::<Vec<_>>().join("·")
        }
        (_, [one]) => format!("{}/{one}", above.join("·")),
        _ => format!("{}/({})", above.join("·"), below.join("·")),
    }
}

// A symbol with its exponent. The exponent of `cm³` is multiplied by the new one; a symbol that is itself a product or
// quotient, such as `mi/h`, is bracketed where an exponent or a solidus would bind to a part of it.
fn powered(symbol: &str, power: i32) -> String {
    let shown = |power: i32| if power == 1 { String::new() } else { raised(power) };
    let loose = symbol.contains('/') || (power != 1 && symbol.contains('·'));
    if loose {
        return format!("({symbol}){}", shown(power));
    }
    let plain = symbol.trim_end_matches(['²', '³', '⁴']);
    match symbol.strip_prefix(plain) {
        Some("²") => format!("{plain}{}", shown(2 * power)),
        Some("³") => format!("{plain}{}", shown(3 * power)),
        Some("⁴") => format!("{plain}{}", shown(4 * power)),
        _ => format!("{symbol}{}", shown(power)),
    }
}

// Above the line one after another; below it, everything after "per" (SP 811 9.5 and 9.7).
fn spoken(parts: &[Part]) -> String {
    let side = |above: bool| {
        let wanted = parts.iter().filter(|part| (part.power > 0) == above && part.unit.symbol != "1");
        wanted.map(|part| raised_words(&part.unit, part.power.abs())).collect::<Vec<_>>()
    };
    let (above, below) = (side(true).join(" "), side(false));
    match below.as_slice() {
        [] => above,
        [one] => format!("{above} per {one}").trim_start().to_owned(),
        several => format!("{above} per ({})", several.join(" ")).trim_start().to_owned(),
    }
}

// A power of a length is an area or a volume and is named before it, "square metre"; any other after it, "second squared".
fn raised_words(unit: &Unit, power: i32) -> String {
    let name = &unit.spoken;
    match (power, unit.dimension == Dimension::LENGTH) {
        (1, _) => name.clone(),
        (2, true) => format!("square {name}"),
        (3, true) => format!("cubic {name}"),
        (2, false) => format!("{name} squared"),
        (3, false) => format!("{name} cubed"),
        _ => format!("{name} to the power {power}"),
    }
}

#[cfg(test)]
mod tests {
    use crate::units::parse;

    // NIST SP 811 9.5 to 9.7: how names of products, quotients and powers are spelled out.
    #[test]
    fn compounds_are_spoken_as_people_say_them() {
        for (text, spoken) in [
            ("N·m", "newton metre"),
            ("m/s^2", "metre per second squared"),
            ("kg/m^3", "kilogram per cubic metre"),
            ("mm^2", "square millimetre"),
            ("W/(m²·K)", "watt per (square metre kelvin)"),
            ("s^-1", "per second"),
        ] {
            assert_eq!(parse(text).map(|unit| unit.spoken.clone()), Ok(spoken.to_owned()), "{text}");
        }
    }

    #[test]
    fn exponents_of_exponents_are_multiplied() {
        for (text, symbol) in [("1/cc", "cm⁻³"), ("cc^2", "cm⁶"), ("kg/cc", "kg/cm³"), ("mph^2", "(mi/h)²"), ("1/mph", "(mi/h)⁻¹")]
        {
            assert_eq!(parse(text).map(|unit| unit.symbol.clone()), Ok(symbol.to_owned()), "{text}");
        }
    }

    #[test]
    fn a_fault_stands_where_it_was_written() {
        for text in ["kX", "  kX", "\u{a0}kX "] {
            let at = parse(text).map_err(|fault| fault.at()).expect_err(text);
            assert_eq!(text.get(at), Some("kX"), "{text:?}");
        }
    }
}
