//! A kind of machine as plain text: on a sheet that writes one, and as the page that answers a question about it.

use crate::output::linear::linear;
use crate::output::plain::{Page, after, bracketed};
use crate::output::prose::{sections, words};
use crate::sheet::parts::{Block, ConditionRow, FormulaGroup, KindReport, Math, Sheet};

/// The document of a kind as a page to read in a terminal, ending with a line feed: what it is, what it is given, its
/// formulas, its published values, its limits, cautions and sources, and how its worked cases come out.
pub fn reference(sheet: &Sheet) -> String {
    let mut page = Page::default();
    let title = &sheet.title_block.title;
    page.title(&if title.is_empty() { sheet.path.clone() } else { title.clone() });
    let mut cases = Vec::new();
    let mut told: Option<&KindReport> = None;
    for (place, block) in sheet.blocks.iter().enumerate() {
        match block {
            Block::Prose { html } => {
                let mut sections = sections(html);
                // The words right before a worked case belong to it; whatever stands above their heading does not.
                let works = sheet.blocks.get(place + 1).is_some_and(|next| !matches!(next, Block::Prose { .. } | Block::Kind { .. }));
                if works {
                    cases.extend(sections.pop());
                }
                for section in sections {
                    prose(&section, title, &mut page);
                }
            }
            Block::Kind { index, .. } => {
                if let Some(kind) = sheet.kinds.get(*index) {
                    told = Some(kind);
                    first_half(kind, &mut page);
                }
            }
            _ => {}
        }
    }
    if let Some(kind) = told {
        second_half(kind, &mut page);
        list("Publications it rests on", &kind.sources, &mut page);
    }
    for section in cases {
        prose(&section, title, &mut page);
    }
    if !sheet.checks.is_empty() {
        page.gap();
        for check in &sheet.checks {
            page.item(&format!("{}: {}{}", check.verdict, check.title, bracketed(&check.reference)));
        }
    }
    page.finish()
}

fn prose(html: &str, title: &str, page: &mut Page) {
    let heading = ["<h1", "<h2", "<h3"].iter().any(|tag| html.trim_start().starts_with(tag));
    for (place, paragraph) in words(html).iter().enumerate() {
        match (place, heading) {
            (0, true) if paragraph == title => {}
            (0, true) => page.heading(paragraph),
            _ => {
                let row = paragraph.contains(" | ") || paragraph.starts_with("- ");
                if row {
                    page.item(paragraph);
                } else {
                    page.gap();
                    page.line(0, paragraph);
                }
            }
        }
    }
}

/// The whole report of a kind, where a sheet writes it.
pub(super) fn kind(report: &KindReport, page: &mut Page) {
    first_half(report, page);
    second_half(report, page);
}

fn first_half(report: &KindReport, page: &mut Page) {
    let label = if report.label == report.name { "" } else { &report.label };
    page.heading(&format!("Kind {}{}", report.name, after(": ", label)));
    for ends in &report.ports {
        page.item(&format!("{}{}", ends.text, after(" when ", &ends.when)));
    }
    if !report.fields.is_empty() {
        page.run_in("What it is given");
    }
    for field in &report.fields {
        let each = field.each.as_ref().map_or(String::new(), |each| format!(", one for all or a list of {}", linear(each)));
        let unless = match (&field.default, field.required) {
            (Some(default), _) => format!("unless stated {}", linear(default)),
            (None, true) => "must be stated".to_owned(),
            (None, false) => "may be left out".to_owned(),
        };
        page.hung(2, 4, &format!("{} ({}{each}), {unless}", field.name, field.quantity));
        page.hung(6, 8, &format!("{}{}", field.label, bracketed(&field.source)));
    }
    if !report.options.is_empty() {
        page.run_in("What is chosen");
    }
    for option in &report.options {
        let unless = if option.default.is_empty() { "must be chosen".to_owned() } else { format!("unless stated {}", option.default) };
        page.hung(2, 4, &format!("{}: {}, {unless}", option.name, option.choices.join(" | ")));
        page.hung(6, 8, &option.label);
    }
    if !report.formulas.is_empty() {
        page.run_in("Its formulas");
    }
    report.formulas.iter().for_each(|group| formula(group, page));
}

fn formula(group: &FormulaGroup, page: &mut Page) {
    let label = group.alternatives.first().map_or("", |formula| &formula.label);
    let place = if group.node { " (force at a part)" } else { "" };
    page.line(2, &format!("{}{}{place}", group.name, after(": ", label)));
    let (mut label, mut reference) = (label, "");
    for formula in &group.alternatives {
        if formula.label != label {
            label = &formula.label;
            page.line(4, label);
        }
        let runs = formula
            .runs
            .as_ref()
            .map_or(String::new(), |runs| format!(", for {} = {} to {}", linear(&runs.index), linear(&runs.from), linear(&runs.to)));
        let source = if formula.reference == reference { String::new() } else { bracketed(&formula.reference) };
        reference = &formula.reference;
        let body = format!("{} = {}{runs}{}{source}", linear(&group.symbol), linear(&formula.formula), after(", when ", &formula.when));
        page.hung(4, 8, &body);
    }
}

fn second_half(report: &KindReport, page: &mut Page) {
    conditions("Refused when", &report.limits, page);
    conditions("Asked about when", &report.questions, page);
    conditions("Holds its load by itself when (a margin is printed, nothing is certified)", &report.sustains, page);
    if !report.cautions.is_empty() {
        page.run_in("Its cautions");
    }
    for caution in &report.cautions {
        page.item(&format!("{}{}{}", caution.text, after(" Said when ", &caution.when), bracketed(&caution.source)));
    }
}

fn conditions(heading: &str, rows: &[ConditionRow], page: &mut Page) {
    if !rows.is_empty() {
        page.run_in(heading);
    }
    for row in rows {
        let case: &Math = &row.case;
        page.hung(2, 4, &format!("{}{}", linear(case), after(", looked at when ", &row.when)));
        page.hung(6, 8, &format!("{}{}", row.says, bracketed(&row.reference)));
    }
}

fn list(heading: &str, items: &[String], page: &mut Page) {
    if !items.is_empty() {
        page.run_in(heading);
    }
    items.iter().for_each(|item| page.item(item));
}
