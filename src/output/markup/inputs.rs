//! Inputs, assumptions, settings and ratings: symbol, meaning, value; where each comes from stands in the margin.

use crate::house::marked;
use crate::output::markup::line::{named_into, quantity_or, used_in};
use crate::output::markup::shared::Shared;
use crate::output::markup::{between, heading, identified, perhaps, put};
use crate::sheet::parts::{Cell, CorrelationRow, GearRow, InputRow, Named};

/// A table of inputs under `caption`, with the choices of a machine below them.
pub(super) fn inputs<'a>(rows: &'a [InputRow], choices: &[Cell], caption: &str, shared: &mut Shared<'a>, out: &mut String) {
    put(
        out,
        &[
            "<table class=\"wide inputs\">\n<caption>",
            caption,
            marked!(
                "</caption>\n<colgroup><col class=\"c-symbol\"><col><col class=\"c-value\"><col class=\"c-margin\"></colgroup>\n\
             <thead><tr><th scope=\"col\">[[Symbol]]</th><th scope=\"col\">[[What it is]]</th><th scope=\"col\" class=\"num\">[[Value]]</th>\
             <th scope=\"col\">[[Source]]</th></tr></thead>\n<tbody>"
            ),
        ],
    );
    for each in rows {
        row(each, shared, out);
    }
    for choice in choices {
        between(out, "\n<tr class=\"choice\"><td class=\"sym\"></td><td class=\"what\">", &choice.label, "");
        between(out, "</td><td class=\"num words\">", &choice.value, "</td><td class=\"source\"></td></tr>");
    }
    out.push_str("\n</tbody></table>");
}

fn row<'a>(row: &'a InputRow, shared: &mut Shared<'a>, out: &mut String) {
    out.push_str("\n<tr");
    let id = shared.claim(&row.anchor);
    identified(out, id);
    out.push_str("\n<th scope=\"row\" class=\"sym\">");
    named_into(&row.symbol, out);
    out.push_str("</th>\n<td class=\"what\">");
    if row.label.is_empty() {
        between(out, "<span class=\"quiet\">", &row.name, "</span>");
    } else {
        between(out, "", &row.label, "");
    }
    perhaps(out, "<span class=\"small\">", &row.doubt_stated, "</span>");
    perhaps(out, marked!("<span class=\"small\">[[If wrong:]] "), &row.effect, "</span>");
    if row.confirmed.is_empty() {
        perhaps(out, marked!("<span class=\"small\">[[To be confirmed:]] "), &row.confirm_by, "</span>");
    }
    perhaps(out, marked!("<span class=\"small\">[[Confirmed:]] "), &row.confirmed, "</span>");
    out.push_str("</td>\n<td class=\"num\">");
    quantity_or(&row.figure, marked!("<span class=\"quiet\">[[not known]]</span>"), out);
    out.push_str("</td>\n<td class=\"source\">");
    perhaps(out, "<span class=\"evidence\">", &row.evidence, "</span> ");
    if row.evidence.is_empty() && row.source.is_empty() {
        out.push_str(marked!("<span class=\"quiet\">[[no source stated]]</span>"));
    } else {
        between(out, "", &row.source, "");
    }
    perhaps(out, "<span class=\"state\">", &row.state, "</span>");
    if !id.is_empty() {
        used_in(id, shared, out);
    }
    out.push_str("</td>\n</tr>");
}

/// Pieces of gear or instruments, each with a table of what is stated of it; `nothing` stands where that is nothing.
pub(super) fn gear<'a>(rows: &'a [GearRow], (caption, nothing): (&str, &str), shared: &mut Shared<'a>, out: &mut String) {
    for row in rows {
        out.push_str("<section class=\"gear\"");
        identified(out, shared.claim(&row.anchor));
        heading(out, "\n<h", shared.level, ">");
        perhaps(out, "", &row.label, " ");
        between(out, "<span class=\"name\">", &row.name, "</span>");
        heading(out, "</h", shared.level, ">\n");
        if row.ratings.is_empty() && row.facts.is_empty() {
            put(out, &["<p class=\"quiet\">", nothing, "</p>"]);
        } else {
            inputs(&row.ratings, &row.facts, caption, shared, out);
        }
        out.push_str("</section>");
    }
}

/// Which inputs go together.
pub(super) fn correlations<'a>(rows: impl Iterator<Item = &'a CorrelationRow>, shared: &Shared<'_>, out: &mut String) {
    out.push_str(marked!(
        "<table class=\"wide correlations\"><caption class=\"unseen\">[[Which inputs go together]]</caption>\n\
         <colgroup><col><col class=\"c-side\"><col class=\"c-margin\"></colgroup>\n<thead><tr><th scope=\"col\">[[Go together]]</th>\
         <th scope=\"col\" class=\"num\">[[Correlation]]</th><th scope=\"col\">[[Source]]</th></tr></thead><tbody>"
    ));
    for row in rows {
        out.push_str("\n<tr><th scope=\"row\" class=\"sym\">");
        linked(&row.first, shared, out);
        out.push_str(marked!(" [[and]] "));
        linked(&row.second, shared, out);
        between(out, "</th><td class=\"num\">", &row.text, "</td><td class=\"source\">");
        between(out, "", &row.source, "</td></tr>");
    }
    out.push_str("\n</tbody></table>");
}

fn linked(named: &Named, shared: &Shared<'_>, out: &mut String) {
    let anchor = shared.link(&named.anchor);
    perhaps(out, "<a href=\"#", anchor, "\">");
    named_into(&named.symbol, out);
    if !anchor.is_empty() {
        out.push_str("</a>");
    }
}
