//! Trains: the chain from the effort to the load, and the bar that cuts the work put in into what became of it.

use crate::output::markup::check::percent;
use crate::output::markup::line::{kept, kept_or, quantity_or};
use crate::output::markup::machine::{answers, relations, summary, sustains, titled};
use crate::output::markup::shared::Shared;
use crate::output::markup::{between, heading, identified, perhaps, put};
use crate::sheet::parts::{BalanceRow, Figure, Joint, TrainReport};
use crate::words::{marked, say};

/// Stations that stand side by side on the widest page.
const ABREAST: usize = 4;

/// A train.
pub(super) fn train<'a>(report: &'a TrainReport, shared: &mut Shared<'a>, out: &mut String) {
    shared.trains += 1;
    let hatch = format!("sheet.hatch-{}", shared.trains);
    out.push_str("<section class=\"train\"");
    identified(out, shared.claim(&report.anchor));
    out.push_str("\n<header class=\"row head\">\n");
    titled(&report.name, &report.label, shared.level, out);
    between(out, marked!("[[from the effort to the load]]</p>\n<p class=\"state\">"), &report.direction, "</p>\n</header>");
    chain(report, shared, out);
    if !report.balance.is_empty() {
        heading(
            out,
            "\n<div class=\"row balance\">\n<h",
            shared.below(),
            marked!(" class=\"run-in\">[[What becomes of the work put in]]</h"),
        );
        heading(out, "", shared.below(), ">");
        balance(&report.balance, &hatch, out);
        perhaps(out, "\n<p class=\"small\">", &report.balance_words, "</p>");
        out.push_str("\n</div>");
    } else {
        perhaps(out, "\n<div class=\"row\"><p class=\"small\">", &report.balance_words, "</p></div>");
    }
    if !report.summary.is_empty() {
        out.push_str("\n<div class=\"row\">");
        summary(&report.summary, marked!("[[The whole]]"), shared, out);
        answers(&report.answers, out);
        sustains(&report.sustains, out);
        out.push_str("</div>");
    }
    relations(&report.relations, shared, out);
    out.push_str("\n</section>");
}

/// The chain as panels from effort to load: in each a machine as it is drawn above, and between them what passes.
fn chain(report: &TrainReport, shared: &Shared<'_>, out: &mut String) {
    let long = report.stations.len() > ABREAST;
    out.push_str(if long { "\n<ol class=\"row chain long\">\n" } else { "\n<ol class=\"row chain\">\n" });
    let last = report.stations.len().saturating_sub(1);
    for (place, station) in report.stations.iter().enumerate() {
        out.push_str("<li><span class=station>");
        // A machine that stands in several trains is drawn for each.
        let own = format!("{}.{station}", report.name);
        if let Some((lines, frame)) = shared.sketches.get(own.as_str()).or_else(|| shared.sketches.get(station.as_str())) {
            put(out, &["<svg class=again ", frame, " aria-hidden=true><use href=\"#"]);
            between(out, "", lines, "\"/></svg>");
        }
        between(out, "", &station.replace('_', " "), "</span>");
        if place < last {
            joint(report.joints.get(place), out);
        }
        out.push_str("</li>\n");
    }
    out.push_str(
        marked!(
            "</ol>\n<p class=\"row legend\"><span>[[On each arrow the force that passes; beneath it the travel and the work it carries.]]</span></p>"
        ),
    );
}

/// The joint that leads on from a station towards the load.
fn joint(joint: Option<&Joint>, out: &mut String) {
    out.push_str("<span class=\"joint\"><span class=\"force\">");
    match joint {
        Some(joint) => kept_or(&joint.force, marked!("[[not known]]"), out),
        None => out.push_str(marked!("[[not known]]")),
    }
    out.push_str(
        "</span>\n<svg class=\"pass\" width=\"100%\" height=\"10\" aria-hidden=\"true\"><line x1=\"0\" x2=\"100%\" y1=\"5\" y2=\"5\"/>\
         <svg x=\"100%\" y=\"0\" overflow=\"visible\"><path d=\"M0 5L-17 8V2z\"/></svg></svg>\n<span class=\"carried\">",
    );
    let mut carried = |figure: &Option<Figure>| {
        if let Some(figure) = figure {
            kept(figure, out);
        }
    };
    if let Some(joint) = joint {
        carried(&joint.travel);
        carried(&joint.work);
    }
    out.push_str("</span></span>");
}

/// A piece of the work bar, in shares of the whole.
#[derive(Debug, Clone, Copy)]
struct Piece {
    start: f64,
    share: f64,
    loss: bool,
}

fn is_loss(row: &BalanceRow) -> bool {
    // The words before the name of the machine.
    let lead = say!("lost at the surfaces of {name}").split('{').next().unwrap_or("");
    row.label.starts_with(lead)
}

/// The pieces of the bar, one for each row that is a part of the work put in. The whole itself is no piece.
fn pieces(rows: &[BalanceRow]) -> Vec<Option<Piece>> {
    let mut start = 0.0;
    let piece = |row: &BalanceRow| {
        let whole = row.label == say!("work in");
        let share = row.share.filter(|share| !whole && share.is_finite() && *share >= 0.0)?.min(1.0 - start);
        start += share;
        Some(Piece { start: start - share, share, loss: is_loss(row) })
    };
    rows.iter().map(piece).collect()
}

fn balance(rows: &[BalanceRow], hatch: &str, out: &mut String) {
    let pieces = pieces(rows);
    if pieces.iter().any(Option::is_some) {
        put(
            out,
            &[
                "\n<svg class=\"cut\" width=\"100%\" height=\"26\" aria-hidden=\"true\"><defs><pattern id=\"",
                hatch,
                "\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
                 <line class=\"hatch\" x1=\"0\" y1=\"0\" x2=\"0\" y2=\"6\"/></pattern></defs>\n",
            ],
        );
        for (key, piece) in pieces.iter().flatten().enumerate() {
            bar(key + 1, *piece, hatch, out);
        }
        out.push_str("<rect class=\"whole\" x=\"0.5\" y=\"1\" width=\"100%\" height=\"24\" style=\"width:calc(100% - 1px)\"/></svg>");
    }
    out.push_str(marked!(
        "\n<table class=\"summary\"><caption class=\"unseen\">[[Work balance]]</caption>\n<thead class=\"unseen\"><tr>\
         <th scope=\"col\">[[Where it goes]]</th><th scope=\"col\" class=\"num\">[[Work]]</th></tr></thead><tbody>\n"
    ));
    let mut key = 0;
    for (row, piece) in rows.iter().zip(&pieces) {
        if piece.is_some() {
            key += 1;
            let number = key.to_string();
            let open =
                if is_loss(row) { "<tr><th scope=\"row\"><span class=\"key lost\">" } else { "<tr><th scope=\"row\"><span class=\"key\">" };
            put(out, &[open, &number, "</span> "]);
        } else {
            out.push_str("<tr class=\"total\"><th scope=\"row\">");
        }
        between(out, "", &row.label.replace('_', " "), "</th><td class=\"num\">");
        quantity_or(&row.work, marked!("<span class=\"quiet\">[[not known]]</span>"), out);
        out.push_str("</td></tr>\n");
    }
    out.push_str("</tbody></table>");
}

fn bar(key: usize, piece: Piece, hatch: &str, out: &mut String) {
    let (start, width) = (percent(piece.start), percent(piece.share));
    let class = if piece.loss { "lost" } else { "kept" };
    put(out, &["<rect class=\"", class, "\" x=\"", &start, "\" y=\"1\" width=\"", &width, "\" height=\"24\""]);
    if piece.loss {
        put(out, &[" fill=\"url(#", hatch, ")\""]);
    }
    out.push_str("/>\n");
    // Its key stands inside it where there is room.
    if piece.share > 0.05 {
        let (middle, key) = (percent(piece.start + piece.share / 2.0), key.to_string());
        put(out, &["<circle class=\"seat\" cx=\"", &middle, "\" cy=\"13\" r=\"9\"/><text x=\"", &middle]);
        put(out, &["\" y=\"17\" text-anchor=\"middle\">", &key, "</text>\n"]);
    }
}

#[cfg(test)]
mod tests {
    use super::pieces;
    use crate::output::fixture::fullest;

    #[test]
    fn the_pieces_of_the_work_bar_lie_end_to_end() {
        let sheet = fullest();
        let report = sheet.trains.first().expect("a train");
        let pieces = pieces(&report.balance);
        assert_eq!(pieces.len(), report.balance.len());
        let mut end = 0.0;
        for piece in pieces.iter().flatten() {
            assert!((piece.start - end).abs() < 1e-12, "{} is not at {end}", piece.start);
            end = piece.start + piece.share;
        }
        assert!((end - 1.0).abs() < 1e-3, "the bar ends at {end}");
        assert!(pieces.iter().flatten().filter(|piece| piece.loss).count() >= 2);
    }
}
