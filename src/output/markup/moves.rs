//! What moves with what: for each doubtful input, the checks and the results that it moves.

use crate::output::markup::line::named_into;
use crate::output::markup::shared::Shared;
use crate::output::markup::{attribute, between, perhaps, put};
use crate::sheet::MoveRow;
use crate::words::marked;

/// The register; nothing where no input has a doubt that moves anything.
pub(super) fn moves(rows: &[MoveRow], shared: &Shared<'_>, out: &mut String) {
    if rows.is_empty() {
        return;
    }
    out.push_str(marked!(
        "<section class=\"row register\" aria-labelledby=\"sheet.moves\">\n<h2 id=\"sheet.moves\">[[What moves with what]]</h2>\n\
         <table class=\"wide nomenclature moves\"><caption class=\"unseen\">[[What moves with each input, for one standard uncertainty of it]]</caption>\
         <colgroup><col class=c-symbol><col><col class=c-margin></colgroup>\
         <thead><tr><th scope=col>[[Input]]<th scope=col>[[What moves with it]]<th scope=col>[[For one u of it]]</thead><tbody>"
    ));
    for row in rows {
        out.push_str("\n<tr><th scope=row class=sym>");
        link(&row.anchor, shared, out, |out| named_into(&row.symbol, out));
        out.push_str("<td>");
        let mut joint = "";
        for check in &row.checks {
            out.push_str(joint);
            joint = "; ";
            link(&check.anchor, shared, out, |out| between(out, "", &check.number, ""));
            if !check.utilisation.is_empty() {
                between(out, " ", &check.utilisation, " → ");
                between(out, "", &check.utilisation_then, "");
            }
            perhaps(out, " (", &check.change, ")");
            perhaps(out, " <strong>", &check.verdict, "</strong>");
        }
        for result in &row.results {
            out.push_str(joint);
            joint = "; ";
            link(&result.anchor, shared, out, |out| between(out, "<var>", &result.name, "</var>"));
            between(out, " ", &result.change, "");
            perhaps(out, " (", &result.percent, ")");
        }
        between(out, "<td class=source>", &row.step, "");
    }
    put(
        out,
        &[
            "</tbody></table>\n<p class=\"small\">",
            marked!(
                "[[Changes for one standard uncertainty of an input, to first order, all else as stated; use of capacity before and after, the change of what there is to spare in brackets, and the verdict that a step up or down would make. What an input makes less than 1\u{a0}% of the variance of is left out.]]"
            ),
            "</p>\n</section>\n",
        ],
    );
}

fn link(anchor: &str, shared: &Shared<'_>, out: &mut String, inner: impl FnOnce(&mut String)) {
    let anchor = shared.link(anchor);
    if anchor.is_empty() {
        return inner(out);
    }
    out.push_str("<a");
    attribute(" href=#", shared.stands_for(anchor), out);
    out.push('>');
    inner(out);
    out.push_str("</a>");
}
