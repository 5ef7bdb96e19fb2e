//! Checks where they stand and in their register, and the bar that shows a utilisation against its limit.

use crate::output::markup::line::{from, kept, kept_or, number_link, quantity_or};
use crate::output::markup::machine::none;
use crate::output::markup::shared::Shared;
use crate::output::markup::{between, heading, identified, perhaps, put};
use crate::output::mathml::mathml_into;
use crate::sheet::parts::{CheckRow, CoverageUsed, Figure};
use crate::words::marked;

/// Checks of one fence.
pub(super) fn checks<'a>(rows: impl Iterator<Item = &'a CheckRow>, coverage: &CoverageUsed, shared: &mut Shared<'a>, out: &mut String) {
    out.push_str("<div class=\"checks\">\n");
    for row in rows {
        check(row, shared, out);
    }
    let legend = marked!("<p class=\"row legend\"><span>[[Bar: demand over capacity. Tick: the limit. Whisker: expanded uncertainty,]] ");
    between(out, legend, &coverage.words, ".</span></p></div>");
}

fn check<'a>(row: &'a CheckRow, shared: &mut Shared<'a>, out: &mut String) {
    out.push_str(if row.governing { "<section class=\"check governing\"" } else { "<section class=\"check\"" });
    identified(out, shared.claim(&row.anchor));
    out.push('\n');
    number_link(shared.link(&row.anchor), &row.number, shared, out);
    heading(out, "\n<h", shared.level, ">");
    between(out, "", &row.title, governs(row));
    heading(out, "</h", shared.level, ">\n<div class=\"statement\">");
    mathml_into(&row.statement, true, out);
    out.push_str("</div>");
    if row.demand.is_some() || row.capacity.is_some() {
        out.push_str("\n<p class=\"sides\">");
        kept_or(&row.demand, marked!("[[no demand]]"), out);
        out.push_str(marked!(" <span class=quiet>[[against]]</span> "));
        kept_or(&row.capacity, marked!("[[no stated capacity]]"), out);
        out.push_str("</p>");
    }
    if let Some(bar) = row.utilisation.as_ref().and_then(|utilisation| Bar::new(utilisation, share(row))) {
        out.push_str("\n<div class=\"util\">");
        bar.draw(out);
        out.push_str("</div>");
    }
    if !row.chance.is_empty() {
        out.push_str("\n<p class=\"remark\">");
        if let Some(margin) = &row.margin {
            out.push_str(marked!("[[Capacity less demand]] "));
            kept(margin, out);
            out.push_str("; ");
        }
        between(out, marked!("[[chance of a wrong verdict]] "), &row.chance, "</p>");
    }
    perhaps(out, "\n<p class=\"remark\">", &row.remark, "</p>");
    for limit in &row.limits {
        between(out, marked!("\n<p class=\"remark\">[[Limit of]] "), &limit.label, ": ");
        between(out, "", &limit.value, "</p>");
    }
    out.push_str("\n<div class=\"outcome\">");
    verdict(row, out);
    if let Some(utilisation) = &row.utilisation {
        out.push_str("\n<p class=\"ratio\">");
        kept(utilisation, out);
        out.push_str(marked!(" <span class=quiet>[[of the limit]]</span></p>"));
    }
    perhaps(out, "\n<p class=\"ref\">", &row.reference, "</p>");
    from(&row.anchor, &row.worked_from, shared, out);
    out.push_str("</div>\n</section>\n");
}

fn governs(row: &CheckRow) -> &'static str {
    if row.governing { marked!(" <span class=\"tag\">[[governs]]</span>") } else { "" }
}

/// Every check with its verdict, the governing one first.
pub(super) fn register<'a>(rows: &'a [CheckRow], rule: &str, shared: &mut Shared<'a>, out: &mut String) {
    if rows.is_empty() {
        let open = marked!(
            "<section class=\"row register\" aria-labelledby=\"sheet.doubt\">\n<h2 id=\"sheet.doubt\">[[How doubt is written]]</h2>\n\
             <p class=\"small rule\">"
        );
        return perhaps(out, open, rule, "</p>\n</section>\n");
    }
    out.push_str(
        marked!("<section class=\"row register\" aria-labelledby=\"sheet.checks\">\n<h2 id=\"sheet.checks\">[[Checks]]</h2>\n\
         <table class=\"wide verdicts\">\n<caption class=\"unseen\">[[Every check with its verdict, the governing one first]]</caption>\n\
         <colgroup><col class=\"c-number\"><col><col class=\"c-side\"><col class=\"c-side\"><col class=\"c-ratio\"><col class=\"c-margin\">\
         </colgroup>\n<thead><tr><th scope=\"col\">[[No.]]</th><th scope=\"col\">[[Check]]</th><th scope=\"col\" class=\"num\">[[Demand]]</th>\
         <th scope=\"col\" class=\"num\">[[Capacity]]</th><th scope=\"col\" class=\"num\">[[Ratio]]</th><th scope=\"col\">[[Verdict]]</th></tr></thead>\n<tbody>"),
    );
    for row in rows {
        out.push_str("\n<tr");
        perhaps(out, " id=\"", shared.claim(&row.anchor), "\"");
        out.push_str(if row.governing { " class=\"governing\">\n<td class=\"tally\">" } else { ">\n<td class=\"tally\">" });
        let anchor = shared.link(&row.anchor);
        if anchor.is_empty() {
            between(out, "", &row.number, "</td>");
        } else {
            between(out, "<a href=\"#", anchor, "\">");
            between(out, "", &row.number, "</a></td>");
        }
        between(out, "\n<th scope=\"row\">", &row.title, governs(row));
        out.push_str("</th>");
        for side in [&row.demand, &row.capacity, &row.utilisation] {
            out.push_str("\n<td class=\"num\">");
            quantity_or(side, none(), out);
            out.push_str("</td>");
        }
        out.push_str("\n<td>");
        verdict(row, out);
        perhaps(out, marked!("<span class=\"small\">[[chance of error]] "), &row.chance, "</span>");
        out.push_str("</td></tr>");
    }
    out.push_str("\n</tbody></table>");
    perhaps(out, "\n<p class=\"small rule\">", rule, "</p>");
    out.push_str("\n</section>\n");
}

/// The verdict with its mark: a shape that is told apart without colour.
fn verdict(row: &CheckRow, out: &mut String) {
    let (class, mark) = shape(&row.verdict_class);
    let open = "\"><svg class=\"mark\" viewBox=\"0 0 16 16\" width=\"16\" height=\"16\" aria-hidden=\"true\">";
    put(out, &["<span class=\"verdict ", class, open, mark, "</svg> <span class=\"words\">"]);
    between(out, "", &row.verdict, "</span></span>");
}

/// The expanded uncertainty of the difference in limits, so that a whisker that meets the limit says WITHIN UNCERTAINTY.
fn share(row: &CheckRow) -> f64 {
    let (Some(margin), Some(capacity)) = (&row.margin, &row.capacity) else { return 0.0 };
    if margin.unit == capacity.unit {
        margin.expanded() / capacity.value
    } else {
        margin.expanded() * (margin.si / margin.value) / capacity.si
    }
}

/// The class with a shape of its own; a verdict this room does not know has the shape of one that was not reached.
fn shape(name: &str) -> (&'static str, &'static str) {
    match name {
        "pass" => ("pass", "<circle cx=\"8\" cy=\"8\" r=\"6.25\" class=\"solid\"/>"),
        "pass-within" => {
            ("pass-within", "<circle cx=\"8\" cy=\"8\" r=\"6\" class=\"line\"/><path d=\"M8 2a6 6 0 0 0 0 12z\" class=\"solid\"/>")
        }
        "fail-within" => {
            ("fail-within", "<path d=\"M8 2.2 14.6 13.6H1.4z\" class=\"line\"/><path d=\"M8 2.2 14.6 13.6H8z\" class=\"solid\"/>")
        }
        "fail" => ("fail", "<path d=\"M2 2h12v12H2z\" class=\"solid\"/>"),
        _ => ("not-evaluated", "<circle cx=\"8\" cy=\"8\" r=\"6\" class=\"line\"/>"),
    }
}

/// Lengths along the bar in per cent of its width.
#[derive(Debug, PartialEq)]
struct Bar {
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
/// From where to where the ends of the whisker stand.
const ENDS: (&str, &str) = ("1.5", "6.5");

impl Bar {
    /// None for a utilisation that no bar can show. `share` is an expanded uncertainty in limits.
    fn new(utilisation: &Figure, share: f64) -> Option<Bar> {
        let ratio = utilisation.si;
        if !ratio.is_finite() || ratio < 0.0 {
            return None;
        }
        let doubt = if share.is_finite() { share.abs() } else { 0.0 };
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

    fn draw(&self, out: &mut String) {
        out.push_str(
            "<svg class=\"bar\" width=\"100%\" height=\"20\" aria-hidden=\"true\"><line class=\"base\" x1=\"0\" x2=\"100%\" y1=\"13.5\" y2=\"13.5\"/>\n",
        );
        put(out, &["<rect class=\"demand\" x=\"0\" y=\"8\" width=\"", &self.end, "\" height=\"5\"/>"]);
        if !self.beyond.is_empty() {
            put(out, &["<rect class=\"beyond\" x=\"", &self.limit, "\" y=\"6\" width=\"", &self.beyond, "\" height=\"7\"/>"]);
        }
        if !self.low.is_empty() {
            for (from, to, heights) in [(&self.low, &self.high, ("4", "4")), (&self.low, &self.low, ENDS), (&self.high, &self.high, ENDS)] {
                put(out, &["<line class=\"whisker\" x1=\"", from, "\" x2=\"", to, "\" y1=\"", heights.0, "\" y2=\"", heights.1, "\"/>"]);
            }
        }
        if self.broken {
            out.push_str("<svg x=\"100%\" y=\"0\" overflow=\"visible\"><path class=\"break\" d=\"M-12 16l4 -14M-8 16l4 -14\"/></svg>");
        }
        put(out, &["<line class=\"limit\" x1=\"", &self.limit, "\" x2=\"", &self.limit, "\" y1=\"1\" y2=\"19\"/></svg>"]);
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
    use crate::output::fixture::fullest;
    use crate::output::formula_fixture::figure;

    #[test]
    fn the_bar_is_to_scale() {
        let half = figure("0.500", "", "", 0.5, 0.5);
        let bar = Bar::new(&half, 0.1).expect("a bar");
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
