//! Findings about `vary` and `size`.

use crate::diagnostics::{Finding, Severity, findings};

findings! {
    /// A `vary` or `size` statement lacks one of its parts.
    ///
    /// `vary NAME over FROM .. TO showing RESULT` shows results over a range; behind the range may stand `by STEP` or
    /// `in N steps`. `size NAME over FROM .. TO, least for CONDITION` finds the least (or `greatest`) value that serves; a
    /// condition is a comparison, the title of a check above, or `every check`. In place of the range a list may stand:
    /// `over [2 kN, 3.2 kN, 5 kN]`. `size` may leave the range out.
    "study-incomplete" => StudyIncomplete { word: String, missing: String, example: String }

    /// What stands behind `vary` or `size` has no value of its own that could be replaced.
    ///
    /// What can be varied: a `take`, an `assume`, a line of working, a rating of gear (`rope.rated`) and a setting of a
    /// machine (`falls.parts`), also one that stands at its default.
    "not-varied" => NotVaried { name: String, reason: String }

    /// A range runs from the lesser value to the greater.
    "range-upside-down" => RangeUpsideDown { from: String, to: String }

    /// A range or list has nothing in it to try.
    "range-empty" => RangeEmpty { reason: String }

    /// A step must lead from the first value of the range towards the last.
    "step-wrong" => StepWrong { reason: String }

    /// More values than fit into a table that anybody reads.
    "too-many-trials" => TooManyTrials { count: String, most: usize }

    /// A count is tried at whole numbers only.
    "fractional-count" => FractionalCount { name: String }

    /// A title in quotation marks names a check above that is to hold.
    "check-title-unknown" => CheckTitleUnknown { title: String, near: Vec<String>, all: Vec<String>, later: bool }

    /// `every check` means every check above that depends on what is sized; here none does.
    "no-check-depends" => NoCheckDepends { name: String, checks: usize }

    /// A result, or a condition, is the same whatever value is tried.
    "result-unmoved" => ResultUnmoved { name: String }

    /// Without a range, `size` searches outward from the present value by doubling and halving it.
    "no-start" => NoStart { name: String, reason: String }
}

impl Finding for StudyIncomplete {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` without {}", self.word, self.missing)
    }
    fn label(&self) -> String {
        format!("expected {}", self.missing)
    }
    fn help(&self) -> Option<String> {
        Some(format!("write it as in `{}`", self.example))
    }
}

impl Finding for NotVaried {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` cannot be varied", self.name)
    }
    fn label(&self) -> String {
        self.reason.clone()
    }
    fn why(&self) -> Option<String> {
        Some("a trial puts another value in the place of one that the sheet states or works out itself".into())
    }
    fn help(&self) -> Option<String> {
        Some("name an input, an assumption, a line of working, a rating of gear or a setting of a machine".into())
    }
}

impl Finding for RangeUpsideDown {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a range that ends below its beginning".into()
    }
    fn label(&self) -> String {
        format!("from {} to {}", self.from, self.to)
    }
    fn help(&self) -> Option<String> {
        Some("put the lesser value first".into())
    }
}

impl Finding for RangeEmpty {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "nothing to try".into()
    }
    fn label(&self) -> String {
        self.reason.clone()
    }
    fn help(&self) -> Option<String> {
        Some("give two ends that differ, or a list of values".into())
    }
}

impl Finding for StepWrong {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a step that leads nowhere".into()
    }
    fn label(&self) -> String {
        self.reason.clone()
    }
    fn help(&self) -> Option<String> {
        Some("give `by` a step above zero, or `in` a whole number of steps, as in `in 12 steps`".into())
    }
}

impl Finding for TooManyTrials {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("{} values to try", self.count)
    }
    fn label(&self) -> String {
        format!("{} at most", self.most)
    }
    fn why(&self) -> Option<String> {
        Some("each value is a row of a table, and the whole sheet is worked for it".into())
    }
    fn help(&self) -> Option<String> {
        Some("take a longer step or a shorter range".into())
    }
}

impl Finding for FractionalCount {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is a count", self.name)
    }
    fn label(&self) -> String {
        "not a whole number without doubt".into()
    }
    fn help(&self) -> Option<String> {
        Some("write whole numbers, as in `over 2 .. 8`".into())
    }
}

impl Finding for CheckTitleUnknown {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("no check above is called \"{}\"", self.title)
    }
    fn label(&self) -> String {
        if self.later { "its check comes further down".into() } else { "not the title of a check".into() }
    }
    fn help(&self) -> Option<String> {
        let quoted = |titles: &[String]| titles.iter().map(|title| format!("\"{title}\"")).collect::<Vec<_>>().join(", ");
        Some(if self.later {
            "a sheet is read from top to bottom: move this line below the check".into()
        } else if !self.near.is_empty() {
            format!("did you mean {}?", quoted(&self.near))
        } else if self.all.is_empty() {
            "there is no check above this line; a comparison may stand here instead".into()
        } else {
            format!("the checks above are {}", quoted(&self.all))
        })
    }
}

impl Finding for NoCheckDepends {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("no check depends on `{}`", self.name)
    }
    fn label(&self) -> String {
        match self.checks {
            0 => "there is no check above this line".into(),
            1 => "the one check above is the same whatever its value".into(),
            count => format!("the {count} checks above are the same whatever its value"),
        }
    }
    fn help(&self) -> Option<String> {
        Some("put this line below the checks that are meant, or write the condition out".into())
    }
}

impl Finding for ResultUnmoved {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("this does not depend on `{}`", self.name)
    }
    fn label(&self) -> String {
        "the same at every value".into()
    }
    fn help(&self) -> Option<String> {
        Some("leave it out, or see whether another name was meant".into())
    }
}

impl Finding for NoStart {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("nothing to search outward from for `{}`", self.name)
    }
    fn label(&self) -> String {
        self.reason.clone()
    }
    fn help(&self) -> Option<String> {
        Some("give a range, as in `over 1 kN .. 20 kN`".into())
    }
}
