//! Inputs, assumptions, settings and ratings: symbol, meaning, value; where each comes from stands in the margin.

use crate::output::markup::line::{kept, named_into, quantity_or, used_here, used_in};
use crate::output::markup::shared::Shared;
use crate::output::markup::{attribute, between, heading, identified, perhaps, put};
use crate::output::mathml::escape_into;
use crate::sheet::parts::{Cell, CorrelationRow, GearRow, InputRow, Named};
use crate::words::{between_numbers, marked, say, word};

/// A table of inputs under `caption`, with the choices of a machine below them.
pub(super) fn inputs<'a>(rows: &'a [InputRow], choices: &[Cell], caption: &str, shared: &mut Shared<'a>, out: &mut String) {
    put(
        out,
        &[
            "<table class=\"wide inputs\">\n<caption>",
            caption,
            marked!(
                "</caption><colgroup><col class=c-symbol><col><col class=c-value><col class=c-margin></colgroup>\
                 <thead><tr><th scope=col>[[Symbol]]<th scope=col>[[What it is]]<th scope=col class=num>[[Value]]<th scope=col>[[Source]]</thead><tbody>"
            ),
        ],
    );
    for each in rows.iter().filter(|row| !is_default(row)) {
        row(each, shared, out);
    }
    for choice in choices {
        between(out, "\n<tr class=choice><td class=sym><td class=what>", &choice.label, "");
        between(out, "<td class=\"num words\">", &choice.value, "<td class=source>");
    }
    defaults(rows.iter().filter(|row| is_default(row)), shared, out);
    out.push_str("</tbody></table>");
}

fn is_default(row: &InputRow) -> bool {
    row.evidence == word("default of the kind")
}

/// What the author left as the kind has it, together in one row.
fn defaults<'a>(rows: impl Iterator<Item = &'a InputRow>, shared: &mut Shared<'a>, out: &mut String) {
    let mut lead =
        marked!("\n<tr class=defaults><td class=sym><td class=what colspan=2><span class=evidence>[[as the kind has it:]]</span> ");
    for row in rows {
        put(out, &[lead, "<span"]);
        lead = "; ";
        let id = shared.claim(&row.anchor);
        identified(out, id);
        named_into(&row.symbol, out);
        // A default that says why it is what it is says with that what it is of.
        perhaps(out, ", ", if row.source.is_empty() { &row.label } else { "" }, ",");
        out.push(' ');
        match &row.figure {
            Some(value) => kept(value, out),
            None => out.push_str(marked!("[[not known]]")),
        }
        perhaps(out, " <span class=evidence>", &row.source, "</span>");
        if !id.is_empty() {
            used_here(id, shared, out);
        }
        out.push_str("</span>");
    }
    out.push_str(if lead == "; " { "<td class=source>" } else { "" });
}

fn row<'a>(row: &'a InputRow, shared: &mut Shared<'a>, out: &mut String) {
    out.push_str("\n<tr");
    let id = shared.claim(&row.anchor);
    identified(out, id);
    out.push_str("<th scope=row class=sym>");
    named_into(&row.symbol, out);
    out.push_str("<td class=what>");
    if row.label.is_empty() {
        between(out, "<span class=quiet>", &row.name, "</span>");
    } else {
        between(out, "", &row.label, "");
    }
    perhaps(out, "<span class=small>", &row.doubt_stated, "</span>");
    perhaps(out, marked!("<span class=small>[[If wrong:]] "), &row.effect, "</span>");
    if row.confirmed.is_empty() {
        perhaps(out, marked!("<span class=small>[[To be confirmed:]] "), &row.confirm_by, "</span>");
    }
    perhaps(out, marked!("<span class=small>[[Confirmed:]] "), &row.confirmed, "</span>");
    // A list is words: it breaks between its items.
    let list = row.figure.as_ref().is_some_and(|figure| figure.number.contains(between_numbers()));
    out.push_str(if list { "<td class=\"num words\">" } else { "<td class=num>" });
    quantity_or(&row.figure, marked!("<span class=quiet>[[not known]]</span>"), out);
    out.push_str("<td class=source>");
    perhaps(out, "<span class=evidence>", &row.evidence, "</span> ");
    if let Some(line) = row.stated_in_line {
        between(out, "<span class=evidence>", &say!("stated in this sheet, line {line}", line = line), "</span>");
    } else if row.evidence.is_empty() && row.source.is_empty() {
        out.push_str(marked!("<span class=quiet>[[no source stated]]</span>"));
    } else if row.worked_from.is_empty() {
        escape_into(&row.source, out);
    } else {
        sources(row, shared, out);
    }
    perhaps(out, "<span class=state>", &row.state, "</span>");
    if !id.is_empty() {
        used_in(id, shared, out);
    }
}

/// The names that a value was worked from, each leading to where it stands.
fn sources(row: &InputRow, shared: &Shared<'_>, out: &mut String) {
    out.push_str("<span class=from>");
    for (place, named) in row.worked_from.iter().enumerate() {
        out.push_str(if place > 0 { ", " } else { "" });
        let anchor = shared.link(&named.anchor);
        if anchor.is_empty() {
            escape_into(&named.name, out);
        } else {
            out.push_str("<a");
            attribute(" href=#", shared.stands_for(anchor), out);
            between(out, ">", &named.name, "</a>");
        }
    }
    out.push_str("</span>");
}

/// Pieces of gear or instruments, each with a table of what is stated of it; `nothing` stands where that is nothing.
pub(super) fn gear<'a>(rows: &'a [GearRow], (caption, nothing): (&str, &str), shared: &mut Shared<'a>, out: &mut String) {
    for row in rows {
        out.push_str("<section class=\"gear\"");
        identified(out, shared.claim(&row.anchor));
        heading(out, "\n<h", shared.level, ">");
        perhaps(out, "", &row.label, " ");
        between(out, "<var>", &row.name, "</var>");
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
