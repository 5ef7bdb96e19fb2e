//! The ways a doubt is stated, and the standard uncertainty of each (JCGM 100:2008).

/// A doubt as the author stated it. Sizes are half-widths or uncertainties, in the unit of the value; a sign is ignored.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// Limits `± a` with nothing said about what lies between: a rectangular distribution.
    Limits(f64),
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
    /// The standard uncertainty: `a/√3` for limits (JCGM 100 4.3.7), `U/k` (4.3.3), or as stated.
    ///
    /// `None` when the size is not finite or the coverage factor is not above zero.
    pub fn standard(self) -> Option<f64> {
        let size = match self {
            Doubt::Limits(half) => half.abs() / libm::sqrt(3.0),
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
