//! Access: WCAG 2.2 AA by an open checker on every worked example, and by hand what a checker cannot see.

use super::{address, built, called, examples, none};
use crate::support::browser::{Browser, Screen, browser};
use crate::support::checkers;
use serde_json::Value;

/// The levels A and AA of WCAG 2.0, 2.1 and 2.2, and what the makers of the checker hold to be good practice.
const RULES: &str = "['wcag2a','wcag2aa','wcag21a','wcag21aa','wcag22aa','best-practice']";

fn violations(answer: &Value, page: &str, faults: &mut Vec<String>) -> usize {
    for rule in answer["violations"].as_array().into_iter().flatten() {
        let nodes = rule["nodes"].as_array().cloned().unwrap_or_default();
        let first = nodes.first().map(|node| format!("{} {}", node["html"], node["failureSummary"])).unwrap_or_default();
        faults.push(format!("{page}: {} ({} places): {}: {first}", rule["id"], nodes.len(), rule["help"]));
    }
    answer["passes"].as_array().map_or(0, Vec::len)
}

/// What is looked for.
#[derive(Clone, Copy)]
pub(super) enum Rules {
    All,
    Colours,
}

/// Looks at one page in several windows, each of a width and a tone.
pub(super) fn look(
    browser: &mut Browser,
    script: &str,
    address: &str,
    name: &str,
    windows: &[(u32, bool, Rules)],
    faults: &mut Vec<String>,
) {
    browser.open(address, Screen { width: 1440, dark: false });
    browser.evaluate(&format!("{script};0"));
    // Folds are part of the page: what stands in them is looked at as well.
    browser.evaluate("for (const fold of document.querySelectorAll('details')) fold.open = true");
    for (width, dark, rules) in windows {
        let rules = match rules {
            // It does not read mathematics, and takes a heading of a table that is a formula for an empty one.
            Rules::All => format!("{{runOnly:{{type:'tag',values:{RULES}}},rules:{{'empty-table-header':{{enabled:false}}}}}}"),
            Rules::Colours => "{runOnly:{type:'rule',values:['color-contrast']}}".to_string(),
        };
        browser.show_as(Screen { width: *width, dark: *dark });
        let asked =
            format!("axe.run(document, Object.assign({rules}, {{preload:false,resultTypes:['violations','passes'],elementRef:false}}))");
        let answer = browser.evaluate(&format!("{asked}.then(r => ({{violations: r.violations, passes: r.passes.map(p => p.id)}}))"));
        let tone = if *dark { "dark" } else { "light" };
        let passed = violations(&answer, &format!("{name}, {width} px, {tone}"), faults);
        assert!(passed >= 1, "{name}: nothing was looked at");
    }
}

#[test]
fn the_access_checker_finds_nothing() {
    let (Some(script), Some(mut browser)) = (checkers::access_checker(), browser()) else { return };
    let mut faults = Vec::new();
    let others = ["index.html", "kinds/index.html", "kinds/tackle.html"].map(|name| built().join(name));
    for page in examples().into_iter().chain(others) {
        let name = called(&page);
        // Colours alone differ in the dark, sizes and order alone in a narrow window.
        look(
            &mut browser,
            &script,
            &address(&page),
            &name,
            &[(1440, false, Rules::All), (1440, true, Rules::Colours), (320, false, Rules::All)],
            &mut faults,
        );
    }
    none(&faults);
}
