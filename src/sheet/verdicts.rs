//! Verdicts: what a difference of capacity and demand comes to under the decision rule of the sheet.
//!
//! The words after ILAC-G8:09/2019, 4.2.3; the chances after JCGM 106:2012, clause 7.

use crate::measure::{CoverageRule, conformity};
use crate::model::{DecisionRule, Head};
use crate::program::Margin;
use crate::sheet::figures::{coverage_words, level};
use crate::words::{say, word};

/// The verdict of a check that could be evaluated, from the gravest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Verdict {
    Pass,
    PassWithin,
    FailWithin,
    Fail,
}

impl Verdict {
    /// The words.
    pub fn words(self) -> &'static str {
        match self {
            Verdict::Pass => say!("PASS"),
            Verdict::PassWithin => say!("PASS WITHIN UNCERTAINTY"),
            Verdict::FailWithin => say!("FAIL WITHIN UNCERTAINTY"),
            Verdict::Fail => say!("FAIL"),
        }
    }

    /// The class of the style sheet.
    pub fn class(self) -> &'static str {
        match self {
            Verdict::Pass => "pass",
            Verdict::PassWithin => "pass-within",
            Verdict::FailWithin => "fail-within",
            Verdict::Fail => "fail",
        }
    }

    /// Whether `rule` accepts it. Simple acceptance asks nothing of the doubt.
    pub fn accepted(self, rule: DecisionRule) -> bool {
        match self {
            Verdict::Pass => true,
            Verdict::PassWithin => rule == DecisionRule::SimpleAcceptance,
            Verdict::FailWithin | Verdict::Fail => false,
        }
    }
}

/// What `margin` comes to; `strict` when the comparison asks for more than nothing. With it, where there is doubt, the chance
/// that the verdict is wrong: that the comparison is in truth the other way. Student's t stands behind the chance where it does
/// behind U.
pub(super) fn decide(margin: Margin, strict: bool, rule: DecisionRule, coverage: CoverageRule) -> (Verdict, Option<f64>) {
    let holds = if strict { margin.value > 0.0 } else { margin.value >= 0.0 };
    if margin.uncertainty <= 0.0 {
        return (if holds { Verdict::Pass } else { Verdict::Fail }, None);
    }
    let found = margin.measured();
    let degrees = match coverage {
        CoverageRule::Factor(_) => None,
        CoverageRule::Level(_) => found.coverage(coverage).degrees(),
    };
    let chance = conformity(margin.value, margin.uncertainty, degrees);
    let (clears, misses) = match rule {
        DecisionRule::Probability(wanted) => (chance >= wanted, 1.0 - chance >= wanted),
        DecisionRule::SimpleAcceptance | DecisionRule::GuardBand => {
            let band = found.expanded(coverage);
            (margin.beyond(band) >= 0.0, margin.beyond(-band) < 0.0)
        }
    };
    let verdict = match (holds, clears, misses) {
        (true, true, _) => Verdict::Pass,
        (true, false, _) => Verdict::PassWithin,
        (false, _, false) => Verdict::FailWithin,
        (false, _, true) => Verdict::Fail,
    };
    // Worked from the other side, so that a small chance keeps its figures.
    (verdict, Some(if holds { conformity(-margin.value, margin.uncertainty, degrees) } else { chance }))
}

/// A chance as printed: two figures, and nothing finer than a first-order uncertainty can tell.
pub(super) fn chance(chance: f64) -> String {
    let percent = 100.0 * chance;
    let number =
        if percent < 0.01 { say!("below {limit}", limit = crate::units::typed("0.01")) } else { crate::units::significant(percent, 2) };
    crate::units::spaced(&number, "%")
}

/// How the verdicts were reached: the rule, whence it comes, and what each word means under it.
pub(super) fn rule_words(head: &Head, coverage: CoverageRule) -> String {
    let rule = head.decision_rule();
    let whence = match (head.rule, head.moves_loads()) {
        (Some(_), _) => say!("as the head of the sheet states").to_owned(),
        (None, true) => say!("the default where the duty is {duty}", duty = word(&head.duty.trim().to_ascii_lowercase())),
        (None, false) => say!("the default where the duty is neither lift nor pull").to_owned(),
    };
    let band = say!(
        "PASS: the difference is at least U. PASS WITHIN UNCERTAINTY: the comparison holds, by less than U. FAIL WITHIN UNCERTAINTY: it does not hold, by no more than U. FAIL: it does not hold, by more than U."
    );
    let (name, meaning) = match rule {
        DecisionRule::SimpleAcceptance => {
            (say!("simple acceptance").to_owned(), say!("{band} Accepted: PASS and PASS WITHIN UNCERTAINTY.", band = band))
        }
        DecisionRule::GuardBand => (
            say!("guard band w = U").to_owned(),
            say!("{band} Accepted: PASS alone; PASS WITHIN UNCERTAINTY lies in the guard band and is not accepted.", band = band),
        ),
        DecisionRule::Probability(wanted) => {
            let wanted = level(wanted);
            let meaning = say!(
                "PASS: the comparison holds with a chance of at least {wanted}. PASS WITHIN UNCERTAINTY: it holds, with less. FAIL WITHIN UNCERTAINTY: it does not hold, but the chance of that is less than {wanted}. FAIL: that chance is at least {wanted}. Accepted: PASS alone.",
                wanted = wanted
            );
            (say!("probability of conformity {wanted}", wanted = wanted), meaning)
        }
    };
    let (expanded, shape) = match coverage {
        CoverageRule::Factor(k) => (format!("{}u", crate::sheet::figures::factor(k)), say!("a normal distribution")),
        CoverageRule::Level(_) => (
            say!("ku at {level}", level = coverage_words(coverage)),
            say!("a normal distribution, or Student's t where k is that of Student's t"),
        ),
    };
    say!(
        "Decision rule: {name}, {whence} (after ILAC-G8:09/2019). Verdicts are decided on capacity less demand, unrounded, with the standard uncertainty u of that difference, in which doubts that both sides share cancel; U = {expanded}. {meaning} A difference without doubt gives PASS or FAIL. The chance of a wrong verdict is the chance that the comparison is in truth the other way, from {shape} (JCGM 106:2012, 7). NOT EVALUATED: there is no capacity, or something it rests on could not be worked; it is not accepted.",
        name = name,
        whence = whence,
        expanded = expanded,
        meaning = meaning,
        shape = shape
    )
}
