//! The registers behind the document: checks, budgets, symbols, inputs, assumptions and cautions, each whole.

use crate::output::markup::budget::budgets;
use crate::output::markup::inputs::inputs;
use crate::output::markup::line::named_into;
use crate::output::markup::moves::moves;
use crate::output::markup::shared::Shared;
use crate::output::markup::{between, check, perhaps, put};
use crate::sheet::parts::{CautionRow, InputRow, RevisionRow, Sheet, Symbol};
use crate::words::marked;

/// All registers of `sheet` that hold anything.
pub(in crate::output) fn registers<'a>(sheet: &'a Sheet, shared: &mut Shared<'a>, out: &mut String) {
    check::register(&sheet.checks, &sheet.decision_rule, shared, out);
    budgets(&sheet.budgets, shared, out);
    moves(&sheet.moves, shared, out);
    nomenclature(&sheet.nomenclature, shared, out);
    listed(&sheet.inputs, ("inputs", marked!("[[Inputs]]"), marked!("[[What was taken as given]]")), shared, out);
    listed(&sheet.assumptions, ("assumptions", marked!("[[Assumptions]]"), marked!("[[What was assumed]]")), shared, out);
    revisions(&sheet.revisions, out);
    cautions(&sheet.cautions, out);
}

fn revisions(rows: &[RevisionRow], out: &mut String) {
    if rows.is_empty() {
        return;
    }
    out.push_str(
        marked!("<section class=\"row register\" aria-labelledby=\"sheet.revisions\">\n<h2 id=\"sheet.revisions\">[[Revisions]]</h2>\n\
         <table class=\"wide revisions\"><caption class=\"unseen\">[[What was revised, when, by whom and why]]</caption>\n\
         <colgroup><col class=\"c-symbol\"><col class=\"c-side\"><col><col class=\"c-margin\"></colgroup>\n\
         <thead><tr><th scope=\"col\">[[Rev.]]</th><th scope=\"col\">[[Date]]</th><th scope=\"col\">[[Why]]</th><th scope=\"col\">[[By]]</th></tr></thead>\n<tbody>"),
    );
    for row in rows {
        between(out, "\n<tr><th scope=\"row\" class=\"sym\">", &row.revision, "</th>");
        between(out, "<td>", &row.date, "</td>");
        between(out, "<td>", &row.why, "</td>");
        between(out, "<td class=\"source\">", &row.by, "</td></tr>");
    }
    out.push_str("\n</tbody></table>\n</section>\n");
}

fn nomenclature(rows: &[Symbol], shared: &Shared<'_>, out: &mut String) {
    if rows.is_empty() {
        return;
    }
    out.push_str(
        marked!("<section class=\"row register\" aria-labelledby=\"sheet.nomenclature\">\n<h2 id=\"sheet.nomenclature\">[[Nomenclature]]</h2>\n\
         <table class=\"wide nomenclature\"><caption class=\"unseen\">[[Every symbol with its meaning]]</caption>\n\
         <colgroup><col class=\"c-symbol\"><col><col class=\"c-margin\"></colgroup>\n\
         <thead><tr><th scope=\"col\">[[Symbol]]</th><th scope=\"col\">[[Meaning]]</th><th scope=\"col\">[[Stands at]]</th></tr></thead>\n<tbody>"),
    );
    for row in rows {
        out.push_str("\n<tr><th scope=\"row\" class=\"sym\">");
        named_into(&row.symbol, out);
        if row.meaning.is_empty() {
            between(out, "</th><td><span class=\"quiet\">", &row.name, "</span></td>");
        } else {
            between(out, "</th><td>", &row.meaning, "</td>");
        }
        let (anchor, number) = (shared.link(&row.anchor), shared.number_of(&row.anchor));
        out.push_str("\n<td class=\"source\">");
        if anchor.is_empty() {
            between(out, "", &row.name, "</td></tr>");
        } else {
            between(out, "<a href=\"#", anchor, if number.is_empty() { marked!("\">[[inputs]]") } else { marked!("\">[[line]] ") });
            between(out, "", number, "</a></td></tr>");
        }
    }
    out.push_str("\n</tbody></table>\n</section>\n");
}

fn listed<'a>(rows: &'a [InputRow], (id, heading, caption): (&str, &str, &str), shared: &mut Shared<'a>, out: &mut String) {
    if rows.is_empty() {
        return;
    }
    put(out, &["<section class=\"row register\" aria-labelledby=\"sheet.", id, "\">\n<h2 id=\"sheet.", id, "\">", heading, "</h2>\n"]);
    perhaps(out, "<p class=\"small\">", &standing(rows), "</p>\n");
    inputs(rows, &[], caption, shared, out);
    out.push_str("\n</section>\n");
}

/// How many of the assumptions are in each state, in the order in which they stand; empty for rows that have none.
pub(in crate::output) fn standing(rows: &[InputRow]) -> String {
    let mut counts: Vec<(&str, usize)> = Vec::new();
    for row in rows.iter().filter(|row| !row.state.is_empty()) {
        match counts.iter_mut().find(|(state, _)| *state == row.state) {
            Some((_, count)) => *count += 1,
            None => counts.push((&row.state, 1)),
        }
    }
    counts.iter().map(|(state, count)| format!("{count} {state}")).collect::<Vec<_>>().join(", ")
}

fn cautions(rows: &[CautionRow], out: &mut String) {
    if rows.is_empty() {
        return;
    }
    out.push_str(marked!(
        "<section class=\"row register cautions\" aria-labelledby=\"sheet.cautions\">\n<h2 id=\"sheet.cautions\">[[Cautions]]</h2>\n<ol>"
    ));
    for row in rows {
        between(out, "<li><span>", &row.text, "</span>");
        perhaps(out, " <span class=\"ref\">", &row.source, "</span>");
        out.push_str("</li>");
    }
    out.push_str("</ol>\n</section>\n");
}
