//! Draws as plain text.

use crate::output::plain::Page;
use crate::sheet::parts::{Figure, PropagationReport};

/// Prints the distributions of some results.
pub(super) fn draws(report: &PropagationReport, page: &mut Page) {
    page.gap();
    page.numbered(&report.number, std::slice::from_ref(&report.caption));
    page.line(6, &report.how);
    for result in &report.results {
        page.line(6, &format!("{}:", result.title));
        for row in &result.rows {
            let cell = |figure: &Option<Figure>| figure.as_ref().map(|figure| figure.text.clone());
            let mut parts = Vec::new();
            parts.extend(cell(&row.value));
            parts.extend(cell(&row.standard).map(|standard| format!("standard uncertainty {standard}")));
            if let (Some(low), Some(high)) = (cell(&row.low), cell(&row.high)) {
                let interval = format!("{} from {low} to {high}", result.level);
                parts.push(if row.value.is_none() && row.standard.is_none() { format!("{low} and {high}") } else { interval });
            }
            page.hung(8, 10, &format!("{}: {}", row.from, parts.join(", ")));
        }
        page.hung(8, 10, &result.verdict);
    }
    for remark in &report.remarks {
        page.line(6, remark);
    }
}
