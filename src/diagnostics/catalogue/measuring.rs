//! Findings about instruments, and about doubts that go together.

use crate::diagnostics::{Finding, Severity, findings};

findings! {
    /// `by` names an instrument, which an `instrument` statement above describes.
    ///
    /// ```text
    /// instrument balance "spring balance, 300 N"
    ///     resolution   2 N
    ///     calibration  ± 1 % of value (k=2) from "certificate 118"
    /// take pull = 152 N by balance measured "on the hauling part"
    /// ```
    "not-an-instrument" => NotAnInstrument { name: String, known: Vec<String> }

    /// What an instrument shows and what is said of it are in one sort of unit.
    ///
    /// A balance that shows newtons has its resolution, its zero and its calibration in a unit of force. A calibration may
    /// also be a share of the reading: `calibration ± 1 % of value (k=2)`.
    "instrument-mismatch" => InstrumentMismatch { instrument: String, what: String, wanted: String, found: String }

    /// An instrument that is used upside down carries a weight of its own besides the pull.
    ///
    /// State one of two: `own weight` where its scale was set to zero as it hangs upside down, or `hook weight` (hook and
    /// rod) where it was set to zero upright. README, "Instruments", gives the statics.
    "inverted-weight" => InvertedWeight { instrument: String, both: bool }

    /// A correlation is stated between two inputs that have doubts of their own.
    ///
    /// Correlations between worked values follow from those of the inputs. An input without doubt cannot go together with
    /// anything.
    "correlation-not-input" => CorrelationNotInput { name: String, reason: String }

    /// Each pair of inputs has one correlation, and an input goes entirely with itself.
    "correlation-twice" => CorrelationTwice { first: String, second: String, same: bool }

    /// A correlation coefficient lies from -1 to 1.
    ///
    /// 1: both are off the same way always; 0: one says nothing of the other; -1: when one is high the other is low.
    "correlation-range" => CorrelationRange { found: String }

    /// The correlations stated cannot all be true of one set of inputs.
    ///
    /// If A goes with B and B with C, A cannot go far against C. Stated to two digits, correlations that were worked from
    /// readings can come out so; state them with all their digits.
    "correlation-impossible" => CorrelationImpossible { inputs: Vec<String>, found: String, bounds: Option<(String, String)> }

    /// A doubt is so wide that the bend of the formula counts, and a first-order uncertainty leaves that out.
    ///
    /// Where the formula is flat, as a square at nought or a cosine at 0°, to first order no doubt passes at all. JCGM 100:2008,
    /// 5.1.2, note, gives the terms of the next order. `terms second order` in the head of the sheet counts them in;
    /// `propagate` draws the distribution itself, which may then be far from symmetric.
    ///
    /// ```text
    /// sheet 12 "Offset"
    ///     terms second order
    /// take off = 0 mm ± 5 mm from "tape"
    /// shortfall = 1 m * (1 - cos(atan(off / 1 m)))
    /// ```
    "second-order" => SecondOrder { name: String, first: String, second: String }
}

impl Finding for SecondOrder {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        let what = if self.name.is_empty() { "this".into() } else { format!("`{}`", self.name) };
        format!("the doubt of {what} needs terms of second order")
    }
    fn label(&self) -> String {
        format!("standard uncertainty to first order {}, with terms of second order {}", self.first, self.second)
    }
    fn why(&self) -> Option<String> {
        Some("the formula bends within the doubt of its inputs, or is flat there, and its slope alone tells the doubt wrong".into())
    }
    fn help(&self) -> Option<String> {
        Some("put `terms second order` into the head of the sheet, or draw the distribution with `propagate`".into())
    }
}

impl Finding for NotAnInstrument {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is not an instrument", self.name)
    }
    fn label(&self) -> String {
        "expected the name of an instrument".into()
    }
    fn why(&self) -> Option<String> {
        Some("the zero and the calibration of what a value was read with belong to that value".into())
    }
    fn help(&self) -> Option<String> {
        Some(match self.known.as_slice() {
            [] => format!("describe it above, as in `instrument {}` with its `resolution` and `calibration`", self.name),
            known => format!("instruments of this sheet: `{}`", known.join("`, `")),
        })
    }
}

impl Finding for InstrumentMismatch {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("{} does not suit the instrument `{}`", self.what, self.instrument)
    }
    fn label(&self) -> String {
        format!("expected {}, found {}", self.wanted, self.found)
    }
    fn why(&self) -> Option<String> {
        Some("zero and calibration are taken off what the instrument shows, which has to be one sort of quantity".into())
    }
    fn help(&self) -> Option<String> {
        Some("state it in a unit of what the instrument shows; a calibration may be a share of the reading, `± 1 % of value`".into())
    }
}

impl Finding for InvertedWeight {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        if self.both {
            format!("`{}` states two weights for use upside down", self.instrument)
        } else {
            format!("`{}` states no weight for use upside down", self.instrument)
        }
    }
    fn label(&self) -> String {
        "used upside down here".into()
    }
    fn why(&self) -> Option<String> {
        Some("upside down its case or its hook hangs in the pull, and the scale knows nothing of it".into())
    }
    fn help(&self) -> Option<String> {
        Some(
            "state `own weight` if the scale was set to zero upside down, or `hook weight` if it was set to zero upright; one of the two"
                .into(),
        )
    }
}

impl Finding for CorrelationNotInput {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("no correlation can be stated for `{}`", self.name)
    }
    fn label(&self) -> String {
        self.reason.clone()
    }
    fn why(&self) -> Option<String> {
        Some("a correlation says how the doubts of two inputs go together".into())
    }
    fn help(&self) -> Option<String> {
        Some("name two inputs that state a doubt with `±`, `resolution` or `repeats`".into())
    }
}

impl Finding for CorrelationTwice {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        if self.same {
            format!("`{}` goes with itself already", self.first)
        } else {
            format!("the correlation of `{}` and `{}` is stated already", self.first, self.second)
        }
    }
    fn label(&self) -> String {
        "a second statement".into()
    }
    fn help(&self) -> Option<String> {
        Some(if self.same { "name two different inputs".into() } else { "keep one of the two".into() })
    }
}

impl Finding for CorrelationRange {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a correlation lies from \u{2212}1 to 1".into()
    }
    fn label(&self) -> String {
        format!("this is {}", self.found)
    }
    fn why(&self) -> Option<String> {
        Some("beyond that two doubts could cancel more than there is of them".into())
    }
}

impl Finding for CorrelationImpossible {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("the correlations of `{}` cannot all be true", self.inputs.join("`, `"))
    }
    fn label(&self) -> String {
        match &self.bounds {
            Some((low, high)) => format!("beside the others this has to lie from {low} to {high}; it is {}", self.found),
            None => "with this one they contradict each other".into(),
        }
    }
    fn why(&self) -> Option<String> {
        Some("their matrix is not positive semidefinite: some combination of the inputs would have a negative variance".into())
    }
    fn help(&self) -> Option<String> {
        Some("look for a sign or a pair that was exchanged, and state coefficients that were worked from readings with all digits".into())
    }
}
