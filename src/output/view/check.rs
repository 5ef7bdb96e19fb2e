//! Checks as the templates print them, and the bar that shows a utilisation against its limit.

use crate::output::mathml::mathml;
use crate::output::view::line::{Quantity, Shared};
use crate::sheet::parts::{CheckRow, Figure};
use serde::Serialize;

/// A check.
#[derive(Debug, Serialize)]
pub(super) struct Check<'a> {
    id: String,
    anchor: &'a str,
    number: &'a str,
    title: &'a str,
    statement_html: String,
    demand: Option<Quantity<'a>>,
    capacity: Option<Quantity<'a>>,
    utilisation: Option<Quantity<'a>>,
    verdict: &'a str,
    class: &'static str,
    margin: Option<Quantity<'a>>,
    chance: &'a str,
    remark: &'a str,
    reference: &'a str,
    governing: bool,
    bar: Option<Bar>,
}

impl<'a> Check<'a> {
    pub fn new(row: &'a CheckRow, shared: &mut Shared<'_>) -> Self {
        Check {
            id: shared.claim(&row.anchor),
            anchor: shared.link(&row.anchor),
            number: &row.number,
            title: &row.title,
            statement_html: mathml(&row.statement, true),
            demand: Quantity::maybe(&row.demand),
            capacity: Quantity::maybe(&row.capacity),
            utilisation: Quantity::maybe(&row.utilisation),
            verdict: &row.verdict,
            class: class(&row.verdict_class),
            margin: Quantity::maybe(&row.margin),
            chance: &row.chance,
            remark: &row.remark,
            reference: &row.reference,
            governing: row.governing,
            bar: row.utilisation.as_ref().and_then(|utilisation| Bar::new(utilisation, share(row))),
        }
    }
}

/// The standard uncertainty of the difference in limits, so that a whisker that meets the limit says WITHIN UNCERTAINTY.
fn share(row: &CheckRow) -> f64 {
    let (Some(margin), Some(capacity)) = (&row.margin, &row.capacity) else { return 0.0 };
    if margin.unit == capacity.unit {
        margin.standard_uncertainty / capacity.value
    } else {
        margin.standard_uncertainty * (margin.si / margin.value) / capacity.si
    }
}

/// The class with a shape of its own; a verdict this room does not know has the shape of one that was not reached.
fn class(name: &str) -> &'static str {
    match name {
        "pass" => "pass",
        "pass-within" => "pass-within",
        "fail-within" => "fail-within",
        "fail" => "fail",
        _ => "not-evaluated",
    }
}

/// Lengths along the bar in per cent of its width.
#[derive(Debug, PartialEq, Serialize)]
pub(super) struct Bar {
    /// End of the demand.
    end: String,
    /// Where the limit stands.
    limit: String,
    /// How far the demand goes beyond the limit; empty when it does not.
    beyond: String,
    /// The whisker, from and to; empty when there is no doubt.
    low: String,
    high: String,
    /// Whether the demand runs off the paper.
    broken: bool,
}

/// The most that is shown to scale, in limits; beyond it the bar is broken off.
const MOST: f64 = 2.5;

impl Bar {
    /// None for a utilisation that no bar can show. `share` is a standard uncertainty in limits.
    fn new(utilisation: &Figure, share: f64) -> Option<Bar> {
        let ratio = utilisation.si;
        if !ratio.is_finite() || ratio < 0.0 {
            return None;
        }
        // The whisker is at k = 2.
        let doubt = 2.0 * share;
        let doubt = if doubt.is_finite() { doubt.abs() } else { 0.0 };
        let reach = (ratio + doubt) * 1.06;
        // At least a quarter more than the limit, so that the limit always has paper behind it.
        let whole = reach.clamp(1.25, MOST);
        let place = |at: f64| percent(at.clamp(0.0, whole) / whole);
        let whisker = doubt > 0.0 && ratio <= MOST;
        Some(Bar {
            end: place(ratio),
            limit: place(1.0),
            beyond: if ratio > 1.0 { percent((ratio.min(whole) - 1.0) / whole) } else { String::new() },
            low: if whisker { place(ratio - doubt) } else { String::new() },
            high: if whisker { place(ratio + doubt) } else { String::new() },
            broken: ratio > MOST,
        })
    }
}

/// A length along a bar: `62.35%`.
pub(super) fn percent(share: f64) -> String {
    let share = if share.is_finite() { share.clamp(0.0, 1.0) } else { 0.0 };
    format!("{:.2}%", share * 100.0)
}

#[cfg(test)]
mod tests {
    use super::{Bar, share};
    use crate::output::fixture::{figure, fullest};

    #[test]
    fn the_bar_is_to_scale() {
        let half = figure("0.500", "", "", 0.5, 0.5);
        let bar = Bar::new(&half, 0.05).expect("a bar");
        // Full width is 1.25 limits: 0.5 / 1.25 = 40 %, 1 / 1.25 = 80 %, (0.5 ± 0.1) / 1.25 = 32 % and 48 %.
        assert_eq!((bar.end.as_str(), bar.limit.as_str(), bar.low.as_str(), bar.high.as_str()), ("40.00%", "80.00%", "32.00%", "48.00%"));
        assert!(bar.beyond.is_empty() && !bar.broken);
    }

    #[test]
    fn a_utilisation_in_per_cent_has_the_same_bar() {
        let plain = figure("0.500", "", "", 0.5, 0.5);
        let hundredths = figure("50.0 %", "%", "per cent", 50.0, 0.5);
        assert_eq!(Bar::new(&plain, 0.0), Bar::new(&hundredths, 0.0));
    }

    #[test]
    fn what_lies_beyond_the_limit_is_told_apart_and_far_beyond_is_broken_off() {
        let over = Bar::new(&figure("1.2", "", "", 1.2, 1.2), 0.0).expect("a bar");
        assert!(!over.beyond.is_empty() && !over.broken);
        assert!(Bar::new(&figure("40", "", "", 40.0, 40.0), 0.0).is_some_and(|bar| bar.broken));
        assert!(Bar::new(&figure("?", "", "", f64::NAN, f64::NAN), 0.0).is_none());
        assert!(Bar::new(&figure("-1", "", "", -1.0, -1.0), 0.0).is_none());
    }

    // Ends and limit as in ILAC-G8:09/2019, figure 5: a result is within uncertainty where its interval holds the limit.
    #[test]
    fn the_whisker_meets_the_limit_where_the_verdict_is_within_uncertainty() {
        let sheet = fullest();
        for row in sheet.checks.iter().filter(|row| row.margin.is_some()) {
            let bar = row.utilisation.as_ref().and_then(|utilisation| Bar::new(utilisation, share(row))).expect("a bar");
            let at = |text: &str| text.trim_end_matches('%').parse::<f64>().expect("a length");
            let meets = at(&bar.low) <= at(&bar.limit) && at(&bar.limit) <= at(&bar.high);
            assert_eq!(meets, row.verdict_class.contains("within"), "{}", row.title);
        }
        assert!(sheet.checks.iter().filter(|row| row.margin.is_some()).count() >= 3);
    }
}
