//! Budgets: where the doubt of each checked quantity comes from.

use crate::output::markup::line::{kept, named_into};
use crate::output::markup::shared::Shared;
use crate::output::markup::{between, perhaps};
use crate::output::mathml::mathml_into;
use crate::sheet::parts::{Budget, BudgetRow, SecondOrderRow};
use crate::words::marked;
use std::fmt::Write;

/// All budgets of a sheet.
pub(super) fn budgets(budgets: &[Budget], shared: &Shared<'_>, out: &mut String) {
    if budgets.is_empty() {
        return;
    }
    out.push_str(marked!(
        "<section class=\"row register\" aria-labelledby=\"sheet.budgets\">\n<h2 id=\"sheet.budgets\">[[Where the doubt comes from]]</h2>"
    ));
    for each in budgets {
        budget(each, shared, out);
    }
    out.push_str(
        marked!(
            "\n<p class=\"small\">[[Contributions are sensitivity times standard uncertainty (JCGM 100:2008, 5.1); their squares add up to the square of the combined standard uncertainty but for correlations, and a share is a square over that sum.]]</p>\n</section>\n"
        ),
    );
}

fn budget(budget: &Budget, shared: &Shared<'_>, out: &mut String) {
    out.push_str("\n<table class=\"wide budget\">\n<caption>");
    mathml_into(&budget.formula, false, out);
    out.push_str(" <span class=\"of\">= ");
    kept(&budget.result, out);
    between(out, marked!(", [[combined standard uncertainty]] "), &budget.standard, marked!(", [[degrees of freedom]] "));
    between(out, "", &budget.degrees, ", ");
    between(out, "", &budget.coverage, marked!("; [[in]] "));
    for (place, title) in budget.checks.iter().enumerate() {
        between(out, if place == 0 { "“" } else { ", “" }, title, "”");
    }
    out.push_str(marked!(
        "</span></caption>\n<colgroup><col class=\"c-symbol\"><col><col class=\"c-side\"><col class=\"c-side\"><col class=\"c-side\">\
         <col class=\"c-margin\"></colgroup>\n<thead><tr><th scope=\"col\">[[Input]]</th><th scope=\"col\">[[What it is]]</th>\
         <th scope=\"col\" class=\"num\">[[Standard uncertainty]]</th><th scope=\"col\" class=\"num\">[[Sensitivity]]</th>\
         <th scope=\"col\" class=\"num\">[[Contribution]]</th><th scope=\"col\">[[Share of the variance]]</th></tr></thead>\n<tbody>"
    ));
    for each in &budget.rows {
        row(each, shared, out);
    }
    if let Some(second) = &budget.second {
        second_order(second, out);
    }
    out.push_str("\n</tbody></table>");
    perhaps(out, marked!("\n<p class=\"small\">[[And]] "), &budget.rest, ".</p>");
    for remark in &budget.remarks {
        between(out, "\n<p class=\"small\">", remark, "</p>");
    }
}

fn second_order(row: &SecondOrderRow, out: &mut String) {
    out.push_str(marked!(
        "\n<tr class=\"second-order\"><th scope=\"row\" class=\"sym\"><var>[[bend]]</var></th>\n\
         <td>[[Terms of second order (JCGM 100:2008, 5.1.2, note)]]"
    ));
    between(out, "<br><span class=\"small quiet\">", &row.words, "</span></td>");
    out.push_str("\n<td class=\"num\"></td><td class=\"num\"></td>");
    between(out, marked!("<td class=\"num\" data-what=\"[[contribution]]\">"), &row.contribution, "</td>\n<td class=\"share\">");
    if row.counted {
        bar(row.share, out);
        between(out, "", &row.percent, "</td></tr>");
    } else {
        out.push_str(marked!("<span class=\"quiet\">[[not counted in]]</span></td></tr>"));
    }
}

// A share as the length of a bar.
fn bar(share: f64, out: &mut String) {
    out.push_str("<svg width=\"100%\" height=\"10\" aria-hidden=\"true\"><rect class=\"kept\" x=\"0\" y=\"1\" width=\"");
    // Writing to text cannot fail.
    let _ = write!(out, "{:.1}%", share.clamp(0.0, 1.0) * 100.0);
    out.push_str("\" height=\"8\"/></svg>");
}

fn row(row: &BudgetRow, shared: &Shared<'_>, out: &mut String) {
    let anchor = shared.link(&row.anchor);
    out.push_str("\n<tr><th scope=\"row\" class=\"sym\">");
    perhaps(out, "<a href=\"#", anchor, "\">");
    named_into(&row.symbol, out);
    out.push_str(if anchor.is_empty() { "</th>\n<td>" } else { "</a></th>\n<td>" });
    if row.label.is_empty() {
        between(out, "<span class=\"quiet\">", &row.name, "</span>");
    } else {
        between(out, "", &row.label, "");
    }
    between(out, "<br><span class=\"small quiet\">", &row.value, "; ");
    between(out, "", &row.distribution, marked!("; [[degrees of freedom]] "));
    between(out, "", &row.degrees, "</span></td>");
    between(out, marked!("\n<td class=\"num\" data-what=\"[[standard uncertainty]]\">"), &row.standard, "</td>");
    between(out, marked!("<td class=\"num\" data-what=\"[[sensitivity]]\">"), &row.sensitivity, "</td>");
    between(out, marked!("<td class=\"num\" data-what=\"[[contribution]]\">"), &row.contribution, "</td>");
    out.push_str("\n<td class=\"share\">");
    bar(row.share, out);
    between(out, "", &row.percent, "</td></tr>");
}
