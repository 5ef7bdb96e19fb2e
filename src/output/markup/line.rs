//! Quantities, symbols in narrow columns, and lines of working.

use crate::house::{marked, say};
use crate::output::linear::is_tight;
use crate::output::markup::shared::{Shared, Use};
use crate::output::markup::{between, identified, perhaps};
use crate::output::mathml::{escape_into, mathml_into};
use crate::sheet::parts::{Figure, Math, WorkedValue, WorkingLine};

/// The amount of a quantity without its unit, and whether the unit stands against it. Cut from the printed text, not put
/// together again, so that the page shows what the sheet says. None where no unit can be cut off.
pub(in crate::output) fn amount(figure: &Figure) -> Option<(&str, bool)> {
    if figure.unit.is_empty() {
        return None;
    }
    let amount = figure.bare().strip_suffix(figure.unit.as_str())?;
    let trimmed = amount.trim_end();
    Some((trimmed, trimmed.len() == amount.len() || is_tight(&figure.unit)))
}

/// A quantity in two parts, so that numbers and units can be lined up under each other.
pub(in crate::output) fn quantity(figure: &Figure, out: &mut String) {
    let Some((amount, tight)) = amount(figure) else {
        between(out, "<span class=\"q tight\"><span class=\"n\">", figure.bare(), "</span></span>");
        return perhaps(out, " <span class=\"small quiet factor\">", &figure.coverage, "</span>");
    };
    between(out, if tight { "<span class=\"q tight\"><span class=\"n\">" } else { "<span class=\"q\"><span class=\"n\">" }, amount, "");
    out.push_str(if tight { "</span><span class=\"u\">" } else { "</span><span class=\"u\">&nbsp;" });
    if figure.unit_spoken.is_empty() {
        between(out, "", &figure.unit, "</span></span>");
    } else {
        between(out, "<abbr title=\"", &figure.unit_spoken, "\">");
        between(out, "", &figure.unit, "</abbr></span></span>");
    }
    perhaps(out, " <span class=\"small quiet factor\">", &figure.coverage, "</span>");
}

/// A quantity, or `otherwise` where there is none.
pub(super) fn quantity_or(figure: &Option<Figure>, otherwise: &str, out: &mut String) {
    match figure {
        Some(figure) => quantity(figure, out),
        None => out.push_str(otherwise),
    }
}

/// A symbol for a narrow column, as markup by itself.
pub(in crate::output) fn named(symbol: &Math) -> String {
    let mut out = String::new();
    named_into(symbol, &mut out);
    out
}

/// A symbol for a narrow column: a name of several letters as words that can be broken between lines, which mathematics
/// cannot; a single letter as mathematics.
pub(super) fn named_into(symbol: &Math, out: &mut String) {
    match symbol {
        Math::Symbol { base, subscript, index, .. } if index.is_empty() && base.chars().nth(2).is_some() => {
            between(out, "<span class=\"name\">", base, "</span>");
            perhaps(out, "<sub>", subscript, "</sub>");
        }
        _ => mathml_into(symbol, false, out),
    }
}

/// Words in which names stand between back quotes, with the names set as names.
pub(super) fn ticked_names(text: &str, out: &mut String) {
    for (place, part) in text.split('`').enumerate() {
        match place % 2 {
            0 => escape_into(part, out),
            _ => between(out, "<span class=\"name\">", &part.replace('_', " "), "</span>"),
        }
    }
}

/// The number of a line or a check, leading to itself where the page has it.
pub(super) fn number_link(id: &str, number: &str, out: &mut String) {
    if id.is_empty() {
        between(out, "<span class=\"no\">", number, "</span>");
    } else {
        between(out, "<a class=\"no\" href=\"#", id, "\">");
        between(out, "", number, "</a>");
    }
}

/// What lines of working come to, each by its label or its name.
pub(super) fn results<'a>(rows: &'a [WorkedValue], shared: &mut Shared<'a>, out: &mut String) {
    out.push_str(
        "<div class=\"row\"><table class=\"summary\">\n<caption>Results</caption>\n<thead class=\"unseen\"><tr><th scope=\"col\">What</th>\
         <th scope=\"col\" class=\"num\">Value</th></tr></thead>\n<tbody>",
    );
    for row in rows {
        out.push_str("\n<tr");
        identified(out, shared.claim(&row.anchor));
        out.push_str("<th scope=\"row\">");
        if row.label.is_empty() {
            between(out, "<span class=\"name\">", &row.name, "</span>");
        } else {
            between(out, "", &row.label, "");
        }
        out.push_str("</th>\n<td class=\"num\">");
        if row.items.is_empty() {
            quantity_or(&row.result, "<span class=\"quiet\">could not be worked</span>", out);
        }
        for (place, item) in row.items.iter().enumerate() {
            out.push_str(if place > 0 { "<br>" } else { "" });
            quantity(item, out);
        }
        out.push_str("</td></tr>");
    }
    out.push_str("\n</tbody></table></div>");
}

/// A line of working: number in the gutter, symbol, formula and substitution, result and reference in the margin.
pub(super) fn line<'a>(line: &'a WorkingLine, shared: &mut Shared<'a>, out: &mut String) {
    let id = shared.claim(&line.anchor);
    out.push_str(match (line.label.is_empty(), line.substitution.is_none() && line.items.is_empty()) {
        (true, true) => "<div class=\"line\"",
        (true, false) => "<div class=\"line worked\"",
        (false, true) => "<div class=\"line labelled\"",
        (false, false) => "<div class=\"line labelled worked\"",
    });
    identified(out, id);
    number_link(id, &line.number, out);
    perhaps(out, "\n<p class=\"what\">", &line.label, "</p>");
    out.push_str("\n<div class=\"eq first\"><span class=\"sym\">");
    named_into(&line.symbol, out);
    out.push_str("</span><span class=\"is\">=</span><span class=\"ex\">");
    mathml_into(&line.formula, true, out);
    out.push_str("</span></div>");
    if let Some(substitution) = &line.substitution {
        out.push_str("\n<div class=\"eq\"><span class=\"sym\"></span><span class=\"is\">=</span><span class=\"ex\">");
        mathml_into(substitution, true, out);
        out.push_str("</span></div>");
    }
    if !line.items.is_empty() {
        out.push_str("\n<ol class=\"items\">");
        for item in &line.items {
            out.push_str("<li>");
            quantity(item, out);
            out.push_str("</li>");
        }
        out.push_str("</ol>");
    }
    if let Some(result) = &line.result {
        out.push_str("\n<p class=\"result\"><span class=\"is\">=</span> ");
        quantity(result, out);
        out.push_str("</p>");
    } else if line.items.is_empty() {
        out.push_str(marked!("\n<p class=\"result missing\">[[could not be worked]]</p>"));
    }
    references(line, shared, out);
    out.push_str("\n</div>\n");
}

/// Where a line comes from and where it goes: what it was read in, the lines with a number that it was worked from, and the
/// lines and checks that use it.
pub(in crate::output) fn references<'a>(line: &'a WorkingLine, shared: &Shared<'a>, out: &mut String) {
    let mut whole = String::new();
    perhaps(&mut whole, "<span class=\"ref\">", &line.reference, "</span>");
    from(&line.anchor, &line.worked_from, shared, &mut whole);
    let used = runs(shared.uses(&line.anchor));
    if !used.is_empty() {
        whole.push_str(marked!("<span class=\"uses\">[[used in]] "));
        links(&used, &line.number, &mut whole);
        whole.push_str("</span>");
    }
    if !whole.is_empty() {
        out.push_str("\n<p class=\"refs\">");
        out.push_str(&whole);
        out.push_str("</p>");
    }
}

/// The lines with a number that the line or check `own` was worked from.
pub(super) fn from(own: &str, worked_from: &[String], shared: &Shared<'_>, out: &mut String) {
    let mut lead = marked!("<span class=\"from\">[[from]] ");
    for anchor in worked_from.iter().filter(|anchor| *anchor != own) {
        let number = shared.number_of(anchor);
        if !number.is_empty() {
            out.push_str(lead);
            lead = ", ";
            link(anchor, number, out);
        }
    }
    if lead == ", " {
        out.push_str("</span>");
    }
}

/// What uses the input at `anchor`: every line and check, folded where they are many.
pub(super) fn used_in(anchor: &str, shared: &Shared<'_>, out: &mut String) {
    let uses = shared.uses(anchor);
    let each: Vec<(Use<'_>, Use<'_>)> = uses.iter().map(|one| (*one, *one)).collect();
    if each.len() > MANY {
        out.push_str(&format!("<details class=\"uses\"><summary>{}</summary>", say!("used in {count} places", count = each.len())));
        links(&each, "", out);
        out.push_str("</details>");
    } else if !each.is_empty() {
        out.push_str(marked!("<span class=\"uses\">[[used in]] "));
        links(&each, "", out);
        out.push_str("</span>");
    }
}

/// Uses from which on they are folded.
const MANY: usize = 6;

/// Uses that follow each other on the page, as the first and the last of each run.
fn runs<'a>(uses: &[Use<'a>]) -> Vec<(Use<'a>, Use<'a>)> {
    let mut runs: Vec<(Use<'a>, Use<'a>)> = Vec::new();
    for one in uses {
        match runs.last_mut().filter(|(_, last)| last.at + 1 == one.at) {
            Some((_, last)) => *last = *one,
            None => runs.push((*one, *one)),
        }
    }
    runs
}

/// The numbers of those uses, each a link unless it stands in the same machine or train as the line numbered `own`: there it
/// is in sight, and most uses are such, so that their links would be a tenth of a large page.
fn links(runs: &[(Use<'_>, Use<'_>)], own: &str, out: &mut String) {
    let block = |number: &str| number.rsplit_once('.').map(|(block, _)| block.to_owned());
    let home = block(own);
    let link = |to: &Use<'_>, out: &mut String| {
        if home.is_some() && block(to.number) == home { escape_into(to.number, out) } else { link(to.anchor, to.number, out) }
    };
    for (place, (first, last)) in runs.iter().enumerate() {
        out.push_str(if place == 0 { "" } else { ", " });
        link(first, out);
        if last.at > first.at {
            out.push_str(if last.at == first.at + 1 { ", " } else { "–" });
            link(last, out);
        }
    }
}

fn link(anchor: &str, number: &str, out: &mut String) {
    between(out, "<a href=\"#", anchor, "\">");
    between(out, "", number, "</a>");
}

/// Lines of working below each other.
pub(in crate::output) fn lines<'a>(lines: &'a [WorkingLine], shared: &mut Shared<'a>, out: &mut String) {
    out.push_str("<div class=\"working\">\n");
    for each in lines {
        line(each, shared, out);
    }
    out.push_str("</div>");
}
