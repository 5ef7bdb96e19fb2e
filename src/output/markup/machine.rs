//! Machines: what each is, what it is given, what it does and how that is worked.

use crate::output::markup::inputs::inputs;
use crate::output::markup::line::{lines, quantity_or, ticked_names};
use crate::output::markup::shared::Shared;
use crate::output::markup::{attribute, between, heading, identified, perhaps, put};
use crate::output::mathml::escape_into;
use crate::output::svg::{frame, svg_into, wide};
use crate::sheet::parts::{EffortAnswer, MachineReport, SketchPart, SummaryRow, WorkingLine};
use crate::words::marked;

/// A machine.
pub(super) fn machine<'a>(report: &'a MachineReport, shared: &mut Shared<'a>, out: &mut String) {
    let id = shared.claim(&report.anchor);
    out.push_str("<section class=\"machine\"");
    identified(out, id);
    out.push_str("\n<header class=\"row head\">\n");
    titled(&report.name, &report.label, shared.level, out);
    kind(report, shared, out);
    between(out, "\n<p class=\"state\">", &report.direction, "");
    perhaps(out, ", ", &report.friction_state, "");
    out.push_str("</p>\n</header>");
    // A machine is printed once; a second print of it would repeat the ids inside its drawing.
    if let Some(part) = report.sketch.as_ref().filter(|_| !id.is_empty()) {
        if let Some(frame) = frame(&part.drawing) {
            shared.sketches.insert(&report.name, (format!("sheet.drawing.{id}.lines"), frame));
        }
        out.push_str("\n<div class=\"row drawings\">");
        sketch(part, "sketch", &format!("sheet.drawing.{id}"), out);
        if let Some(body) = &report.free_body {
            sketch(&body.sketch, "\"sketch free\"", &format!("sheet.free-body.{id}"), out);
        }
        out.push_str("</div>");
    }
    if !report.settings.is_empty() || !report.choices.is_empty() {
        out.push_str("\n<div class=row>");
        inputs(&report.settings, &report.choices, marked!("[[Settings]]"), shared, out);
        out.push_str("</div>");
    }
    if !report.summary.is_empty() {
        out.push_str("\n<div class=row>");
        summary(&report.summary, marked!("[[What it does]]"), shared, out);
        answers(&report.answers, out);
    } else if !report.sustains.is_empty() {
        out.push_str("\n<div class=row>");
    }
    sustains(&report.sustains, out);
    if !report.summary.is_empty() || !report.sustains.is_empty() {
        out.push_str("</div>");
    }
    if !report.nodes.is_empty() {
        heading(out, "\n<div class=\"row\"><h", shared.below(), marked!(" class=\"run-in\">[[Forces at its parts]]</h"));
        heading(out, "", shared.below(), "></div>\n");
        lines(&report.nodes, shared, out);
    }
    relations(&report.relations, shared, out);
    out.push_str("\n</section>");
}

/// The name of a machine or a train as its heading, and what opens the line below it.
pub(super) fn titled(name: &str, label: &str, level: usize, out: &mut String) {
    heading(out, "<h", level, ">");
    if label.is_empty() {
        between(out, "<var>", name, "</var>");
    } else {
        between(out, "", label, "");
    }
    heading(out, "</h", level, ">\n<p class=\"kind\">");
    if !label.is_empty() {
        between(out, "<var>", name, "</var>, ");
    }
}

fn kind(report: &MachineReport, shared: &Shared<'_>, out: &mut String) {
    let way = shared.kind(&report.kind, &report.kind_path);
    if way.is_empty() {
        between(out, "", &report.kind, "");
    } else {
        between(out, "<a href=\"", &way, "\">");
        between(out, "", &report.kind, "</a>");
    }
    // A kind whose label is its own word is named once.
    perhaps(out, ": ", if report.kind_label == report.kind { "" } else { &report.kind_label }, "");
    perhaps(out, marked!(", [[from]] "), if report.kind_path == shared.path { "" } else { &report.kind_path }, "");
    perhaps(out, marked!("; [[stands in train]] <var>"), &report.train, "</var>");
    out.push_str("</p>");
}

/// A drawing, whose ids begin with `mark`, with its words.
pub(super) fn sketch(part: &SketchPart, class: &str, mark: &str, out: &mut String) {
    // Two drawings stand side by side where both have room.
    put(out, &["\n<figure class=", class, " style=--wide:", &wide(&part.drawing), "px><div class=paper tabindex=0 role=group"]);
    between(out, " aria-label=\"", &part.title, "\">");
    svg_into(&part.drawing, mark, out);
    between(out, "</div><figcaption><strong>", &part.title, "</strong> ");
    between(out, "", &part.description, "</figcaption></figure>");
}

/// Ideal beside actual.
pub(super) fn summary(rows: &[SummaryRow], caption: &str, shared: &Shared<'_>, out: &mut String) {
    put(
        out,
        &[
            "<table class=summary><caption>",
            caption,
            marked!(
                "</caption><thead><tr><th scope=col>[[Quantity]]<th scope=col class=num>[[With friction]]<th scope=col class=num>[[Without]]\
                 </thead><tbody>"
            ),
        ],
    );
    for row in rows {
        let anchor = shared.link(&row.anchor);
        out.push_str("\n<tr><th scope=row>");
        if anchor.is_empty() {
            escape_into(&row.quantity, out);
        } else {
            out.push_str("<a");
            attribute(" href=#", shared.stands_for(anchor), out);
            between(out, ">", &row.quantity, "</a>");
        }
        for figure in [&row.actual, &row.ideal] {
            out.push_str("<td class=num>");
            quantity_or(figure, none(), out);
        }
    }
    out.push_str("</tbody></table>");
}

/// What stands in a cell that has nothing to hold.
pub(super) fn none() -> &'static str {
    marked!("<span class=none role=img aria-label=\"[[none]]\">–</span>")
}

/// What effort it takes.
pub(super) fn answers(rows: &[EffortAnswer], out: &mut String) {
    if rows.is_empty() {
        return;
    }
    out.push_str(marked!(
        "\n<table class=\"summary answers\"><caption class=\"unseen\">[[What effort it takes]]</caption>\n\
         <thead class=\"unseen\"><tr><th scope=\"col\">[[Question]]</th><th scope=\"col\">[[Answer]]</th></tr></thead><tbody>\n"
    ));
    for row in rows {
        between(out, "<tr><th scope=\"row\">", &row.question, "</th><td>");
        ticked_names(&row.answer, out);
        out.push_str("</td></tr>\n");
    }
    out.push_str("</tbody></table>");
}

/// Whether it holds its load by itself.
pub(super) fn sustains(words: &str, out: &mut String) {
    if !words.is_empty() {
        out.push_str("\n<p class=\"sustains\">");
        ticked_names(words, out);
        out.push_str("</p>");
    }
}

/// Its working, folded away.
pub(super) fn relations<'a>(rows: &'a [WorkingLine], shared: &mut Shared<'a>, out: &mut String) {
    if rows.is_empty() {
        return;
    }
    let count = rows.len().to_string();
    put(
        out,
        &[
            marked!("\n<details class=\"relations\"><summary>[[Its working, line by line]] <span class=\"quiet\">("),
            &count,
            ")</span></summary>\n",
        ],
    );
    lines(rows, shared, out);
    out.push_str("</details>");
}
