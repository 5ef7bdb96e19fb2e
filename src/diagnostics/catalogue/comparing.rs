//! Findings about `law` and `agreement`.

use crate::diagnostics::{Finding, Severity, findings};

findings! {
    /// A `law` lacks one of its parts.
    ///
    /// `law NAME of EFFORTS against LOADS` draws a straight line through two lists of as many readings: the effort at each
    /// load. `law NAME of READINGS, raising` takes them from a block of readings. Below it may stand `errors in both`, for a line that takes account of the stated doubts of both readings, and
    /// `velocity ratio VALUE`, for the limiting efficiency.
    "law-incomplete" => LawIncomplete { missing: String }

    /// An `agreement` lacks one of its parts.
    ///
    /// `agreement "title": PREDICTED with MEASURED` sets a prediction beside what was measured, with the doubt of their
    /// difference. `as UNIT` and `ref "..."` may follow.
    "agreement-incomplete" => AgreementIncomplete { missing: String }

    /// A law is drawn through a list of efforts and a list of as many loads.
    ///
    /// Both are lists of the sheet: `take pulls = [31 N, 58 N, 84 N] measured "..."`. The first effort belongs to the first load.
    /// Or it is drawn through readings, `law NAME of bench`, of one direction: `law NAME of bench, raising`.
    "law-lists" => LawLists { found: String }

    /// A line through two points has no scatter, so nothing is known of its doubt.
    ///
    /// At least three trials are needed, and five or more at loads spread over the range of use are good practice.
    "law-too-few" => LawTooFew { trials: usize }

    /// No line can be drawn through the readings.
    ///
    /// The loads must differ from one another. With `errors in both` every trial must state a doubt of its own for its load or
    /// its effort: that is what the trials are weighed by.
    "law-without-line" => LawWithoutLine { name: String, reason: String }

    /// The effort of the law does not rise with the load.
    ///
    /// Friction and load both ask for more effort the greater the load; a line that falls points to a mistake in the readings, to
    /// lists in different order, or to `of` and `against` the wrong way round.
    "law-falls" => LawFalls { name: String, slope: String }

    /// A law holds between the least and the greatest load that were tested.
    ///
    /// Beyond them the effort is extrapolated: friction need not stay in proportion, and the doubt that is printed counts the
    /// scatter of the trials alone.
    "outside-tested-range" => OutsideTestedRange { name: String, load: String, from: String, to: String }

    /// A law is used with one load in brackets, as in `bench_law(350 N)`.
    "law-argument" => LawArgument { name: String, found: String }
}

impl Finding for LawIncomplete {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`law` without {}", self.missing)
    }
    fn label(&self) -> String {
        format!("expected {}", self.missing)
    }
    fn help(&self) -> Option<String> {
        Some("write it as in `law bench_law of pulls against loads`".into())
    }
}

impl Finding for AgreementIncomplete {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`agreement` without {}", self.missing)
    }
    fn label(&self) -> String {
        format!("expected {}", self.missing)
    }
    fn help(&self) -> Option<String> {
        Some("write it as in `agreement \"effort at the hand\": falls.effort with pull`".into())
    }
}

impl Finding for LawLists {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a law without pairs of readings".into()
    }
    fn label(&self) -> String {
        self.found.clone()
    }
    fn help(&self) -> Option<String> {
        Some(
            "give a list of efforts and a list of as many loads, as in `law bench_law of pulls against loads`, or the name of readings"
                .into(),
        )
    }
}

impl Finding for LawTooFew {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        match self.trials {
            1 => "one trial makes no law".into(),
            trials => format!("{trials} trials make no law"),
        }
    }
    fn label(&self) -> String {
        "three are needed at least".into()
    }
    fn why(&self) -> Option<String> {
        Some("a line goes through any two points, whatever their errors: its doubt shows only in how further points miss it".into())
    }
    fn help(&self) -> Option<String> {
        Some("add trials at other loads; five or more, spread over the range of use, are good practice".into())
    }
}

impl Finding for LawWithoutLine {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("no line for the law `{}`", self.name)
    }
    fn label(&self) -> String {
        self.reason.clone()
    }
    fn help(&self) -> Option<String> {
        Some("see `parbuckle explain law-without-line`".into())
    }
}

impl Finding for LawFalls {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("the effort of `{}` does not rise with the load", self.name)
    }
    fn label(&self) -> String {
        format!("slope {}", self.slope)
    }
    fn why(&self) -> Option<String> {
        Some("a limiting mechanical advantage and a limiting efficiency mean nothing on such a line".into())
    }
    fn help(&self) -> Option<String> {
        Some(
            "compare the order of the two lists, and which of them stands behind `of` (the efforts) and which behind `against` (the loads)"
                .into(),
        )
    }
}

impl Finding for OutsideTestedRange {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("`{}` is used outside its tested range", self.name)
    }
    fn label(&self) -> String {
        format!("{} was never tested", self.load)
    }
    fn why(&self) -> Option<String> {
        Some(format!(
            "the trials went from {} to {}; beyond them friction need not stay in proportion, and the printed doubt knows nothing of that",
            self.from, self.to
        ))
    }
    fn help(&self) -> Option<String> {
        Some("add trials that take this load in, or state what speaks for the extrapolation".into())
    }
}

impl Finding for LawArgument {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is given something other than one load", self.name)
    }
    fn label(&self) -> String {
        self.found.clone()
    }
    fn help(&self) -> Option<String> {
        Some(format!("write one load in the brackets, as in `{}(350 N)`", self.name))
    }
}
