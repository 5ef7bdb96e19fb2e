//! The ways a doubt is stated, and the standard uncertainty of each (JCGM 100:2008).

use crate::measure::quantiles::coverage_factor;

/// A doubt as the author stated it. Sizes are half-widths or uncertainties, in the unit of the value; a sign is ignored.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// Limits `± a` with nothing said about what lies between: a rectangular distribution.
    Limits(f64),
    /// Limits within which the middle is likelier than the ends: a triangular distribution.
    Triangular(f64),
    /// Limits within which the ends are likelier than the middle, as of a thing that swings between them.
    Arcsine(f64),
    /// Limits with a flat top: a symmetric trapezoid.
    Trapezoidal {
        /// Half the width of the base.
        half: f64,
        /// The width of the top as a share of the base, from 0 to 1.
        top: f64,
    },
    /// The step of a scale or of a display.
    Resolution(f64),
    /// The half-width of an interval that holds the value with a stated probability.
    Level {
        /// The half-width.
        size: f64,
        /// The probability, above 0 and below 1.
        level: f64,
        /// Degrees of freedom, above 0; endless when there are none, and the distribution is then normal.
        degrees: Option<f64>,
    },
    /// An expanded uncertainty with its coverage factor: `± U (k=2)`.
    Expanded {
        /// The expanded uncertainty.
        size: f64,
        /// The coverage factor; must be above zero.
        k: f64,
    },
    /// A standard uncertainty: `± u (u)`.
    Standard(f64),
}

impl Doubt {
    /// The standard uncertainty, by the clause that [`Doubt::basis`] names.
    ///
    /// `None` when the size is not finite, or the factor, the share, the level or the degrees of freedom are out of range.
    pub fn standard(self) -> Option<f64> {
        let size = match self {
            Doubt::Limits(half) => half.abs() / libm::sqrt(3.0),
            Doubt::Triangular(half) => half.abs() / libm::sqrt(6.0),
            Doubt::Arcsine(half) => half.abs() / libm::sqrt(2.0),
            Doubt::Trapezoidal { half, top } if (0.0..=1.0).contains(&top) => half.abs() * libm::sqrt((1.0 + top * top) / 6.0),
            Doubt::Trapezoidal { .. } => return None,
            Doubt::Resolution(step) => step.abs() / libm::sqrt(12.0),
            Doubt::Level { size, level, degrees } => size.abs() / coverage_factor(level, degrees)?,
            Doubt::Expanded { size, k } if k > 0.0 && k.is_finite() => size.abs() / k,
            Doubt::Expanded { .. } => return None,
            Doubt::Standard(size) => size.abs(),
        };
        size.is_finite().then_some(size)
    }

    /// How the standard uncertainty was found, with its clause.
    pub fn basis(self) -> String {
        match self {
            Doubt::Limits(_) => "limits, rectangular: a/√3 (JCGM 100:2008 4.3.7)".to_owned(),
            Doubt::Triangular(_) => "limits, triangular: a/√6 (JCGM 100:2008 4.3.9)".to_owned(),
            Doubt::Arcsine(_) => "limits, arcsine: a/√2 (JCGM 101:2008 6.4.6)".to_owned(),
            Doubt::Trapezoidal { top, .. } => format!("limits, trapezoidal with β = {top}: a √((1 + β²)/6) (JCGM 100:2008 4.3.9)"),
            Doubt::Resolution(_) => "resolution δ: δ/√12 (JCGM 100:2008 F.2.2.1)".to_owned(),
            Doubt::Level { level, degrees: None, .. } => {
                format!("interval of {} %, normal (JCGM 100:2008 4.3.4)", 100.0 * level)
            }
            Doubt::Level { level, degrees: Some(degrees), .. } => {
                format!("interval of {} %, Student's t with {degrees} degrees of freedom (JCGM 100:2008 G.3)", 100.0 * level)
            }
            Doubt::Expanded { k, .. } => format!("expanded, U/k with k = {k} (JCGM 100:2008 4.3.3)"),
            Doubt::Standard(_) => "standard uncertainty as stated".to_owned(),
        }
    }
}

/// The combined standard uncertainty of independent contributions: the root of the sum of their squares (JCGM 100 5.1.2).
///
/// Each item is a sensitivity times a standard uncertainty. Scaled by the greatest, so that no square overflows.
pub fn combine<'r>(row: impl IntoIterator<Item = &'r f64, IntoIter: Clone>) -> f64 {
    let row = row.into_iter();
    let greatest = row.clone().fold(0.0_f64, |most, part| if part.abs() > most || part.is_nan() { part.abs() } else { most });
    if greatest == 0.0 || !greatest.is_finite() {
        return greatest;
    }
    let sum: f64 = row.map(|part| (part / greatest) * (part / greatest)).sum();
    greatest * libm::sqrt(sum)
}

/// The expanded uncertainty `k u` (JCGM 100 6.2.1).
pub fn expanded(u: f64, k: f64) -> f64 {
    k * u
}
