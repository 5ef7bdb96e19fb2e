//! Unit factors for comparing (a table), held here on purpose a second time: a case must not be judged by the very
//! table it tests. From the definitions of 1959 (yard and pound), g_n of the 3rd CGPM and NIST SP 811 (2008) B.8.

// The digits are those of the definitions; what a double cannot hold of them is rounded once, on reading.
#[expect(clippy::excessive_precision, reason = "the published digits are kept whole")]
const FACTORS: &[(&str, f64)] = &[
    ("", 1.0),
    ("1", 1.0),
    ("%", 0.01),
    ("‰", 0.001),
    ("%grade", 0.01),
    ("m", 1.0),
    ("km", 1000.0),
    ("cm", 0.01),
    ("mm", 0.001),
    ("µm", 1e-6),
    ("nm", 1e-9),
    ("in", 0.0254),
    ("ft", 0.3048),
    ("yd", 0.9144),
    ("mi", 1609.344),
    ("nmi", 1852.0),
    ("kg", 1.0),
    ("g", 0.001),
    ("mg", 1e-6),
    ("µg", 1e-9),
    ("t", 1000.0),
    ("lb", 0.45359237),
    ("oz", 0.028349523125),
    ("slug", 8896443230521.0 / 609600000000.0),
    ("ton_short", 907.18474),
    ("ton_long", 1016.0469088),
    ("s", 1.0),
    ("ms", 0.001),
    ("min", 60.0),
    ("h", 3600.0),
    ("d", 86400.0),
    ("rad", 1.0),
    ("deg", std::f64::consts::PI / 180.0),
    ("°", std::f64::consts::PI / 180.0),
    ("rev", std::f64::consts::TAU),
    ("r", std::f64::consts::TAU),
    ("N", 1.0),
    ("kN", 1000.0),
    ("MN", 1e6),
    ("mN", 0.001),
    ("kgf", 9.80665),
    ("tf", 9806.65),
    ("lbf", 4.4482216152605),
    ("ozf", 0.27801385095378125),
    ("kip", 4448.2216152605),
    ("tonf_short", 8896.443230521),
    ("tonf_long", 9964.01641818352),
    ("Pa", 1.0),
    ("kPa", 1000.0),
    ("MPa", 1e6),
    ("bar", 1e5),
    ("psi", 8896443230521.0 / 1290320000.0),
    ("J", 1.0),
    ("kJ", 1000.0),
    ("MJ", 1e6),
    ("W", 1.0),
    ("kW", 1000.0),
    ("hp", 745.69987158227022),
    ("PS", 735.49875),
    ("rpm", std::f64::consts::PI / 30.0),
    ("K", 1.0),
    ("Hz", 1.0),
    ("L", 0.001),
    ("gal", 0.003785411784),
];

/// What one `unit` is in coherent SI units; none when a part of it is not in the table. Products are joined by `·`, at
/// most one `/` divides, powers are written `^2` or `²`.
pub fn factor(unit: &str) -> Option<f64> {
    let (over, under) = unit.split_once('/').unwrap_or((unit, ""));
    let under = under.trim_start_matches('(').trim_end_matches(')');
    Some(product(over)? / product(under)?)
}

fn product(unit: &str) -> Option<f64> {
    if unit.is_empty() {
        return Some(1.0);
    }
    unit.split('·').map(power).product()
}

fn power(unit: &str) -> Option<f64> {
    let plain: String = unit
        .chars()
        .map(|c| match c {
            '²' => "^2".to_string(),
            '³' => "^3".to_string(),
            '⁴' => "^4".to_string(),
            '⁻' => "^-".to_string(),
            '¹' => "1".to_string(),
            other => other.to_string(),
        })
        .collect();
    let plain = plain.replace("^-^", "^-");
    let (word, exponent) = match plain.split_once('^') {
        Some((word, exponent)) => (word, exponent.parse::<i32>().ok()?),
        None => (plain.as_str(), 1),
    };
    let (_, factor) = FACTORS.iter().find(|(symbol, _)| *symbol == word)?;
    Some(factor.powi(exponent))
}

#[cfg(test)]
mod tests {
    use super::factor;
    use approx::assert_relative_eq;

    // NIST SP 811 (2008), B.8, as printed.
    #[test]
    fn compound_units_agree_with_the_printed_table() {
        let printed = [
            ("lbf·ft", 1.355818, 1e-6),
            ("ft·lbf/min", 2.259697e-2, 1e-8),
            ("lbf/in²", 6894.757, 1e-3),
            ("m/s^2", 1.0, 1e-12),
            ("kgf·m", 9.80665, 1e-12),
            ("lb/ft³", 16.01846, 1e-5),
        ];
        for (unit, si, epsilon) in printed {
            assert_relative_eq!(factor(unit).expect("it is in the table"), si, epsilon = epsilon);
        }
        assert_eq!(factor("furlng"), None);
    }
}
