//! Dimensions: exponents of length, mass, time and temperature, kept in twelfths so that roots stay exact.

use std::fmt;

// One whole exponent, in the units in which exponents are kept.
const WHOLE: i32 = 12;

/// The dimension of a quantity. Plane angle has dimension one (SI Brochure 9, 2.3.3); it is told apart by its nature.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Dimension {
    length: i32,
    mass: i32,
    time: i32,
    temperature: i32,
}

impl Dimension {
    /// Dimension one: ratios, angles, counts.
    pub const NONE: Dimension = Dimension::whole(0, 0, 0, 0);
    /// Length, L.
    pub const LENGTH: Dimension = Dimension::whole(1, 0, 0, 0);
    /// Mass, M.
    pub const MASS: Dimension = Dimension::whole(0, 1, 0, 0);
    /// Time, T.
    pub const TIME: Dimension = Dimension::whole(0, 0, 1, 0);
    /// Thermodynamic temperature, Θ.
    pub const TEMPERATURE: Dimension = Dimension::whole(0, 0, 0, 1);
    /// Force, L·M·T⁻².
    pub const FORCE: Dimension = Dimension::whole(1, 1, -2, 0);
    /// Energy, and also torque, L²·M·T⁻².
    pub const ENERGY: Dimension = Dimension::whole(2, 1, -2, 0);
    /// Power, L²·M·T⁻³.
    pub const POWER: Dimension = Dimension::whole(2, 1, -3, 0);
    /// Pressure and stress, L⁻¹·M·T⁻².
    pub const PRESSURE: Dimension = Dimension::whole(-1, 1, -2, 0);
    /// Area, L².
    pub const AREA: Dimension = Dimension::whole(2, 0, 0, 0);
    /// Volume, L³.
    pub const VOLUME: Dimension = Dimension::whole(3, 0, 0, 0);
    /// Speed, L·T⁻¹.
    pub const SPEED: Dimension = Dimension::whole(1, 0, -1, 0);
    /// Acceleration, L·T⁻².
    pub const ACCELERATION: Dimension = Dimension::whole(1, 0, -2, 0);
    /// Frequency and rotational speed, T⁻¹.
    pub const FREQUENCY: Dimension = Dimension::whole(0, 0, -1, 0);
    /// Stiffness and line load, M·T⁻².
    pub const STIFFNESS: Dimension = Dimension::whole(0, 1, -2, 0);
    /// Density, L⁻³·M.
    pub const DENSITY: Dimension = Dimension::whole(-3, 1, 0, 0);

    /// The dimension with these whole exponents.
    pub const fn whole(length: i32, mass: i32, time: i32, temperature: i32) -> Dimension {
        Dimension { length: length * WHOLE, mass: mass * WHOLE, time: time * WHOLE, temperature: temperature * WHOLE }
    }

    /// The exponents of length, mass, time and temperature, in twelfths.
    pub const fn twelfths(self) -> [i32; 4] {
        [self.length, self.mass, self.time, self.temperature]
    }

    /// The whole exponents, or `None` when one of them is a fraction.
    pub fn exponents(self) -> Option<[i32; 4]> {
        let parts = self.twelfths();
        parts.iter().all(|part| part % WHOLE == 0).then(|| parts.map(|part| part / WHOLE))
    }

    /// The dimension of a product.
    pub fn times(self, other: Dimension) -> Dimension {
        self.each(other, i32::saturating_add)
    }

    /// The dimension of a quotient.
    pub fn over(self, other: Dimension) -> Dimension {
        self.each(other, i32::saturating_sub)
    }

    /// The dimension raised to `num / den`; `None` when an exponent would not be a whole number of twelfths.
    pub fn power(self, num: i32, den: i32) -> Option<Dimension> {
        let one = |part: i32| {
            let product = i64::from(part) * i64::from(num);
            let den = i64::from(den);
            if den == 0 || product % den != 0 { None } else { i32::try_from(product / den).ok() }
        };
        Some(Dimension { length: one(self.length)?, mass: one(self.mass)?, time: one(self.time)?, temperature: one(self.temperature)? })
    }

    /// Whether this is dimension one.
    pub fn is_none(self) -> bool {
        self == Dimension::NONE
    }

    fn each(self, other: Dimension, join: fn(i32, i32) -> i32) -> Dimension {
        Dimension {
            length: join(self.length, other.length),
            mass: join(self.mass, other.mass),
            time: join(self.time, other.time),
            temperature: join(self.temperature, other.temperature),
        }
    }
}

/// `L·M·T⁻²`, in the order of the four bases; `1` for dimension one; `L^(1/2)` for a fraction.
impl fmt::Display for Dimension {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_none() {
            return out.write_str("1");
        }
        let mut first = true;
        for (letter, part) in ["L", "M", "T", "Θ"].iter().zip(self.twelfths()) {
            if part == 0 {
                continue;
            }
            if !first {
                out.write_str("·")?;
            }
            first = false;
            write!(out, "{letter}{}", exponent(part))?;
        }
        Ok(())
    }
}

/// The exponent of `twelfths`, as it is set after a letter: nothing, `²`, `⁻¹`, `^(1/2)`.
pub(crate) fn exponent(twelfths: i32) -> String {
    if twelfths == WHOLE {
        return String::new();
    }
    if twelfths % WHOLE == 0 {
        return raised(twelfths / WHOLE);
    }
    let mut den = WHOLE;
    let mut num = twelfths;
    for step in [2, 2, 3] {
        if num % step == 0 && den % step == 0 {
            num /= step;
            den /= step;
        }
    }
    format!("^({num}/{den})")
}

/// A whole number in superscript figures.
pub(crate) fn raised(number: i32) -> String {
    number
        .to_string()
        .chars()
        .map(|sign| match sign {
            '-' => '⁻',
            '1' => '¹',
            '2' => '²',
            '3' => '³',
            '4' => '⁴',
            '5' => '⁵',
            '6' => '⁶',
            '7' => '⁷',
            '8' => '⁸',
            '9' => '⁹',
            _ => '⁰',
        })
        .collect()
}
