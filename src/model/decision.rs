//! The rule by which the verdicts of a sheet are reached, as its head states it or by its duty, and how results are expanded.

use crate::diagnostics::catalogue::machines::HeadValue;
use crate::model::Head;
use crate::model::resolve::Resolver;
use crate::model::settings::{Matched, plain};

impl Head {
    /// The rule by which verdicts are reached: as stated, else a guard band for a lift or a pull and simple acceptance for
    /// anything else.
    pub fn decision_rule(&self) -> DecisionRule {
        self.rule.unwrap_or(if self.moves_loads() { DecisionRule::GuardBand } else { DecisionRule::SimpleAcceptance })
    }

    /// Whether the duty is `lift` or `pull`.
    pub fn moves_loads(&self) -> bool {
        let duty = self.duty.trim();
        duty.eq_ignore_ascii_case("lift") || duty.eq_ignore_ascii_case("pull")
    }
}

impl Resolver<'_> {
    /// Reads `rule`, `coverage` or `terms` in the head of a sheet.
    pub(super) fn head_decides(&mut self, found: &Matched<'_>, is_root: bool) {
        let written = plain(found.rest);
        let wanted = match found.name.as_str() {
            "rule" => match rule(&written) {
                Some(rule) if is_root => return self.model.head.rule = Some(rule),
                Some(_) => return,
                None => RULES,
            },
            "coverage" => match coverage(&written) {
                Some(coverage) if is_root => return self.model.head.coverage = Some(coverage),
                Some(_) => return,
                None => COVERAGES,
            },
            _ => match written.split_whitespace().collect::<Vec<_>>().as_slice() {
                [order @ ("first" | "second"), "order"] if is_root => return self.model.head.second_order = *order == "second",
                ["first" | "second", "order"] => return,
                _ => "`first order` or `second order`",
            },
        };
        self.put(found.rest_at, &HeadValue { name: found.name.clone(), found: written, wanted: wanted.into() });
    }
}

/// What a difference of capacity and demand must be for a check to be accepted (after ILAC-G8:09/2019, 4.2).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DecisionRule {
    /// No less than nothing.
    SimpleAcceptance,
    /// No less than its expanded uncertainty.
    GuardBand,
    /// The chance that it is no less than nothing is at least this, from 0.5 to below 1.
    Probability(f64),
}

/// How standard uncertainties are expanded (JCGM 100:2008, 6.2 and 6.3).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Expansion {
    /// By this coverage factor.
    Factor(f64),
    /// To this level of confidence, from 0.5 to below 1.
    Level(f64),
}

/// What may stand after `coverage` in the head of a sheet.
const COVERAGES: &str = "`factor` with a number from 1 to 10, such as `factor 2`, or `level` with a level of confidence from 50 % to below 100 %, such as `level 95 %`";

/// The expansion that `text` names.
fn coverage(text: &str) -> Option<Expansion> {
    let words: Vec<&str> = text.split_whitespace().collect();
    match words.as_slice() {
        ["factor", factor] => factor.parse().ok().filter(|factor| (1.0..=10.0).contains(factor)).map(Expansion::Factor),
        ["level", level @ ..] => share(level).map(Expansion::Level),
        _ => None,
    }
}

/// What may stand after `rule` in the head of a sheet.
const RULES: &str =
    "`simple acceptance`, `guard band`, or `probability` with a chance from 50 % to below 100 %, such as `probability 95 %`";

/// The decision rule that `text` names.
fn rule(text: &str) -> Option<DecisionRule> {
    let words: Vec<&str> = text.split_whitespace().collect();
    match words.as_slice() {
        ["simple", "acceptance"] => Some(DecisionRule::SimpleAcceptance),
        ["guard", "band"] => Some(DecisionRule::GuardBand),
        ["probability", chance @ ..] => share(chance).map(DecisionRule::Probability),
        _ => None,
    }
}

// From a half to below one, written as such or in per cent.
fn share(words: &[&str]) -> Option<f64> {
    let written = words.concat();
    let (number, whole) = written.strip_suffix('%').map_or((written.as_str(), 1.0), |number| (number, 100.0));
    let share = number.parse::<f64>().ok()? / whole;
    (0.5..1.0).contains(&share).then_some(share)
}

#[cfg(test)]
mod tests {
    use super::DecisionRule::{GuardBand, Probability, SimpleAcceptance};
    use super::{Expansion, coverage, rule};

    #[test]
    fn a_coverage_is_a_factor_or_a_level() {
        assert_eq!(coverage("factor 2"), Some(Expansion::Factor(2.0)));
        for text in ["level 95 %", "level 95%", "level 0.95"] {
            assert_eq!(coverage(text), Some(Expansion::Level(0.95)), "{text}");
        }
        for text in ["", "2", "95 %", "factor", "factor 0", "factor 20", "factor -2", "factor NaN", "level 40 %", "level 100 %", "level"] {
            assert_eq!(coverage(text), None, "{text}");
        }
    }

    #[test]
    fn rules_are_read_by_their_words_and_a_chance_by_either_writing() {
        assert_eq!(rule("simple acceptance"), Some(SimpleAcceptance));
        assert_eq!(rule("guard  band"), Some(GuardBand));
        for text in ["probability 95 %", "probability 95%", "probability 0.95"] {
            assert_eq!(rule(text), Some(Probability(0.95)), "{text}");
        }
        for text in [
            "",
            "guard",
            "simple",
            "probability",
            "probability 49 %",
            "probability 100 %",
            "probability 95",
            "probability NaN",
            "guard band 2",
        ] {
            assert_eq!(rule(text), None, "{text}");
        }
    }
}
