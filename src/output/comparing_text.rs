//! Laws and agreements as plain text.

use crate::output::linear::linear;
use crate::output::plain::{Page, after, bracketed};
use crate::sheet::parts::{AgreementRow, LawReport};

pub(super) fn law(report: &LawReport, page: &mut Page) {
    page.heading(&format!("Law {}{}", report.name, after(": ", &report.label)));
    page.numbered(&report.number, std::slice::from_ref(&report.caption));
    page.line(6, &linear(&report.equation));
    for row in &report.rows {
        let value = row.figure.as_ref().map_or("not known", |figure| &figure.text);
        page.item(&format!("{}: {value}{}", row.quantity, bracketed(&row.basis)));
    }
    if !report.correlation.is_empty() {
        page.item(&format!("Correlation of slope and no-load effort: {}", report.correlation));
    }
    for row in &report.trials {
        let efficiency = row.efficiency.as_ref().map_or(String::new(), |figure| format!("; efficiency {}", figure.text));
        page.hung(
            6,
            8,
            &format!(
                "trial {}: load {}; effort {}; of the law {}; residual {}{efficiency}",
                row.number, row.load.text, row.effort.text, row.of_law.text, row.residual.text
            ),
        );
    }
    for remark in &report.remarks {
        page.line(6, remark);
    }
    for plot in &report.plots {
        page.note(&format!("{}. {}", plot.title.trim_end_matches('.'), plot.description));
    }
}

pub(super) fn agreement(row: &AgreementRow, page: &mut Page) {
    let value =
        |figure: &Option<crate::sheet::parts::Figure>| figure.as_ref().map_or("not known".to_string(), |figure| figure.text.clone());
    let mut parts = vec![
        format!("{}:", row.title),
        format!("predicted {} = {},", linear(&row.prediction), value(&row.predicted)),
        format!("measured {} = {}:", linear(&row.measurement), value(&row.measured)),
        row.words.clone(),
    ];
    parts.push(bracketed(&row.reference).trim().to_owned());
    parts.retain(|part| !part.is_empty());
    page.numbered(&row.number, &parts);
    if let Some(difference) = &row.difference {
        let share = if row.share.is_empty() { String::new() } else { format!(" ({} of the measured value)", row.share) };
        let error = after("; normalised error ", &row.normalised);
        page.line(6, &format!("measured less predicted {}{share}{error}", difference.text));
    }
}
