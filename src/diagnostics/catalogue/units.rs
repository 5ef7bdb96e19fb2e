//! Findings about units, dimensions and stated doubts.

use crate::diagnostics::{Finding, Severity, findings};

findings! {
    /// A unit is not known.
    ///
    /// A unit is read only straight after a number. If a quantity of that name was meant, write the product out:
    /// `2 * x`.
    "unit-unknown" => UnitUnknown { word: String, near: Vec<String>, is_name: bool, divided: bool }

    /// A unit has more than one meaning in the trade and must be spelt out.
    ///
    /// A bare `ton` is anything from 907 kg to 1016 kg, or a force; `lbs` may be a mass or a force; `ft-lb` an energy or a
    /// torque. The candidates are offered with what each means.
    "unit-ambiguous" => UnitAmbiguous { spelling: String, candidates: Vec<(String, String)>, reason: String, is_name: bool }

    /// A unit is put together in a way that cannot be read: a prefix its unit does not take, two solidi, a bad power.
    "unit-malformed" => UnitMalformed { unit: String, reason: String, mend: Option<String> }

    /// A unit was accepted, with a remark on how it is read or printed.
    "unit-remark" => UnitRemark { unit: String, remark: String }

    /// Two sides of a sum, a difference or a comparison are different quantities.
    ///
    /// Dimensions are checked before anything is evaluated. A length cannot be added to a force; a mass cannot be compared
    /// with a force, because a mass weighs what the local gravity makes of it: write `weight(mass)`. A torque and an energy
    /// have the same dimension and are still different things: work is torque times the angle turned.
    "unit-mismatch" => UnitMismatch { verb: String, left: String, right: String, mend: Option<String> }

    /// A value is not the quantity that is needed.
    ///
    /// A load, an effort or a tension is a force. A mass is turned into a force by `weight(mass)`.
    "quantity-mismatch" => QuantityMismatch { wanted_by: String, expected: String, found: String, mend: Option<String> }

    /// A number stands where an angle is needed.
    ///
    /// `sin(30)` may mean degrees or radians, and the two differ by a factor of 57. Write the unit: `30 deg`, `0.5 rad`. A
    /// slope in per cent becomes an angle only through `atan`.
    "angle-needed" => AngleNeeded { wanted_by: String, found: String }

    /// A count must be a whole number, stated without doubt.
    ///
    /// Rope parts, sheaves, starts and teeth are counted, not measured; the number of items of a list must be known before
    /// anything is worked.
    "not-a-count" => NotACount { what: String }

    /// An exponent is not a plain number, or the base has a dimension and the exponent is not a fixed number.
    "exponent-wrong" => ExponentWrong { found: String }

    /// A temperature on a scale with its own zero is multiplied, divided or added to another.
    "temperature-point" => TemperaturePoint { verb: String }

    /// A stated doubt is not the same quantity as its value.
    "doubt-mismatch" => DoubtMismatch { value: String, doubt: String }

    /// A doubt in per cent on a value in per cent can be read two ways.
    ///
    /// `12 % ± 2 %` may mean 10 % to 14 %, or 11.76 % to 12.24 %. Write `(12 ± 2) %` for the first and `12 % ± 2 % of value`
    /// for the second.
    "doubt-two-ways" => DoubtTwoWays { number: String, doubt: String }

    /// A doubt is negative, or not a number.
    "doubt-negative" => DoubtNegative { found: String }

    /// The resolution of a value is of another quantity than the value.
    "resolution-mismatch" => ResolutionMismatch { value: String, resolution: String }

    /// `repeats` stands behind a list of two or more readings of one thing.
    ///
    /// The spread of the readings is their doubt (JCGM 100, 4.2), and one reading has no spread.
    "repeats-too-few" => RepeatsTooFew { found: String }

    /// A value is asked to be shown in a unit of another quantity.
    "shown-in-wrong" => ShownInWrong { unit: String, unit_quantity: String, quantity: String }

    /// The parts of a quantity such as `5 ft 6 in` are not units of one quantity, each smaller than the one before.
    "parts-unlike" => PartsUnlike { first: String, second: String }
}

// Why two quantities that are often taken for each other are kept apart.
fn two_apart(one: &str, other: &str) -> Option<String> {
    match (one, other) {
        ("mass", "force") | ("force", "mass") => Some("a mass is not a force: it weighs what the local gravity makes of it".into()),
        ("torque", "energy") | ("energy", "torque") => Some("a torque does work only through the angle it turns".into()),
        ("speed", "force") | ("force", "speed") => Some("`kn` is the knot, a speed; the kilonewton is written `kN`".into()),
        _ => None,
    }
}

// A near miss; with what it means where capitals alone tell it from another.
fn spelt(unit: &str) -> String {
    match unit {
        "kN" => "`kN` (kilonewton)".into(),
        "kn" => "`kn` (knot, a speed)".into(),
        other => format!("`{other}`"),
    }
}

fn article(quantity: &str) -> String {
    if quantity == "ratio" {
        return "a plain number".into();
    }
    let vowel = quantity.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {quantity}", if vowel { "an" } else { "a" })
}

impl UnitUnknown {
    // `m2` is meant for a power.
    fn power(&self) -> Option<String> {
        let figure = self.word.chars().next_back().filter(|last| "23".contains(*last))?;
        let base = self.word.get(..self.word.len() - 1).filter(|base| !base.is_empty() && base.chars().all(char::is_alphabetic))?;
        Some(format!("`{base}{}` or `{base}^{figure}`", if figure == '2' { '²' } else { '³' }))
    }
}

impl Finding for UnitUnknown {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("no unit is written `{}`", self.word)
    }
    fn label(&self) -> String {
        if self.is_name {
            "this is the name of a value; straight after a number it is read as a unit".into()
        } else {
            "read as a unit, because it stands straight after a number".into()
        }
    }
    fn help(&self) -> Option<String> {
        match (self.is_name, self.near.as_slice()) {
            (true, _) if self.divided => Some(format!("to divide by the value, put spaces round the stroke: ` / {}`", self.word)),
            (true, _) => Some(format!("to multiply by the value, write `* {}`", self.word)),
            (false, _) if self.power().is_some() => self.power().map(|power| format!("a power in a unit is raised: write {power}")),
            (false, []) => Some("`parbuckle explain units` lists the units".into()),
            (false, near) => Some(format!("did you mean {}?", near.iter().map(|unit| spelt(unit)).collect::<Vec<_>>().join(" or "))),
        }
    }
}

impl Finding for UnitAmbiguous {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` has more than one meaning", self.spelling)
    }
    fn label(&self) -> String {
        if self.is_name {
            return "this is the name of a value; straight after a number it is read as a unit".into();
        }
        "say which is meant".into()
    }
    fn why(&self) -> Option<String> {
        (!self.reason.is_empty() && !self.is_name).then(|| self.reason.clone())
    }
    fn help(&self) -> Option<String> {
        if self.is_name {
            return Some(format!(
                "to multiply by the value, write `* {}`; for a unit, `parbuckle explain {0}` says what to write",
                self.spelling
            ));
        }
        let lines: Vec<String> = self.candidates.iter().map(|(write, means)| format!("`{write}` for {means}")).collect();
        (!lines.is_empty()).then(|| format!("write {}", lines.join("; ")))
    }
}

impl Finding for UnitMalformed {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("the unit `{}` cannot be read", self.unit)
    }
    fn label(&self) -> String {
        self.reason.clone()
    }
    fn help(&self) -> Option<String> {
        self.mend.clone()
    }
}

impl Finding for UnitRemark {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Note
    }
    fn headline(&self) -> String {
        format!("a remark on `{}`", self.unit)
    }
    fn label(&self) -> String {
        self.remark.clone()
    }
}

impl Finding for UnitMismatch {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("cannot {} {} and {}", self.verb, article(&self.left), article(&self.right))
    }
    fn label(&self) -> String {
        format!("{} on the left, {} on the right", article(&self.left), article(&self.right))
    }
    fn why(&self) -> Option<String> {
        two_apart(&self.left, &self.right)
    }
    fn help(&self) -> Option<String> {
        self.mend.clone()
    }
}

impl Finding for QuantityMismatch {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("{} must be {}, not {}", self.wanted_by, article(&self.expected), article(&self.found))
    }
    fn label(&self) -> String {
        format!("this is {}", article(&self.found))
    }
    fn why(&self) -> Option<String> {
        (self.expected == "force" && self.found == "mass")
            .then(|| "kg and lb are masses; what pulls on a rope is their weight, which depends on the gravity of the place".into())
    }
    fn help(&self) -> Option<String> {
        self.mend.clone()
    }
}

impl Finding for AngleNeeded {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("{} needs an angle, not {}", self.wanted_by, article(&self.found))
    }
    fn label(&self) -> String {
        format!("this is {}", article(&self.found))
    }
    fn why(&self) -> Option<String> {
        Some(if self.found == "slope" {
            "a grade of 20 % is 11.3 degrees: the two are different scales".into()
        } else {
            "a bare number could be degrees or radians, a factor of 57 apart".into()
        })
    }
    fn help(&self) -> Option<String> {
        Some(if self.found == "slope" {
            "write `atan(...)` round the slope".into()
        } else {
            "give it a unit, as in `30 deg` or `0.5 rad`".into()
        })
    }
}

impl Finding for NotACount {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("{} must be a whole number without doubt", self.what)
    }
    fn label(&self) -> String {
        "not a whole number known beforehand".into()
    }
    fn why(&self) -> Option<String> {
        Some("how many there are settles which lines are worked at all, so it is no matter of measuring".into())
    }
    fn help(&self) -> Option<String> {
        Some("write a whole number, such as `3`, or what comes to one from whole numbers without `±`".into())
    }
}

impl Finding for ExponentWrong {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "an exponent must be a plain number".into()
    }
    fn label(&self) -> String {
        self.found.clone()
    }
}

impl Finding for TemperaturePoint {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("a temperature on a scale cannot be {}", self.verb)
    }
    fn label(&self) -> String {
        "°C and °F count from a zero of their own".into()
    }
    fn help(&self) -> Option<String> {
        Some("use kelvins (`K`), or a difference of temperatures (`Δ°C`)".into())
    }
}

impl Finding for DoubtMismatch {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("the doubt of {} cannot be {}", article(&self.value), article(&self.doubt))
    }
    fn label(&self) -> String {
        format!("this is {}", article(&self.doubt))
    }
    fn help(&self) -> Option<String> {
        Some("write it in a unit of the value, as in `1850 kg ± 30 kg`, or as `± 2 % of value`".into())
    }
}

impl Finding for DoubtTwoWays {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a doubt in per cent of a value in per cent can be read two ways".into()
    }
    fn label(&self) -> String {
        "percentage points, or per cent of the value?".into()
    }
    fn help(&self) -> Option<String> {
        Some(format!("write `({} ± {}) %` for percentage points, or add `of value` for a share of the value", self.number, self.doubt))
    }
}

impl Finding for DoubtNegative {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a doubt must be zero or more".into()
    }
    fn label(&self) -> String {
        self.found.clone()
    }
}

impl Finding for ResolutionMismatch {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("the resolution of {} cannot be {}", article(&self.value), article(&self.resolution))
    }
    fn label(&self) -> String {
        format!("this is {}", article(&self.resolution))
    }
    fn help(&self) -> Option<String> {
        Some("write the step of the scale in a unit of the value, as in `152 N resolution 2 N`".into())
    }
}

impl Finding for RepeatsTooFew {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "repeats need two readings or more".into()
    }
    fn label(&self) -> String {
        self.found.clone()
    }
    fn why(&self) -> Option<String> {
        Some("the doubt of a mean is found from the spread of its readings".into())
    }
    fn help(&self) -> Option<String> {
        Some("list the readings, as in `[152 N, 156 N, 154 N] repeats`, or state the doubt of a single one with `±`".into())
    }
}

impl Finding for ShownInWrong {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("{} cannot be shown in `{}`", article(&self.quantity), self.unit)
    }
    fn label(&self) -> String {
        format!("a unit of {}", self.unit_quantity)
    }
    fn why(&self) -> Option<String> {
        two_apart(&self.quantity, &self.unit_quantity)
    }
    fn help(&self) -> Option<String> {
        Some(match (self.quantity.as_str(), self.unit_quantity.as_str()) {
            ("mass", "force") => "write `weight(...)` round the mass".into(),
            ("force", "mass") => "write `mass(...)` round the force, or a unit of force such as `kN`".into(),
            (quantity, _) => format!("write a unit of {quantity}, or leave `as {}` out", self.unit),
        })
    }
}

impl Finding for PartsUnlike {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` and `{}` do not make one quantity", self.first, self.second)
    }
    fn label(&self) -> String {
        "two numbers side by side".into()
    }
    fn help(&self) -> Option<String> {
        if self.first == self.second {
            return Some(
                "if the second is the doubt of the first, write `±` between them; if it is another value, give it a line of its own".into(),
            );
        }
        Some("side by side stand only parts of one quantity, the larger first: `5 ft 6 in`, `30° 15′`; to multiply, write `*`".into())
    }
}
