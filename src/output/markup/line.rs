//! Quantities, symbols in narrow columns, and lines of working.

use crate::output::linear::is_tight;
use crate::output::markup::shared::{Shared, Use};
use crate::output::markup::{attribute, between, identified, perhaps};
use crate::output::mathml::{escape_into, mathml_into, side_into};
use crate::sheet::parts::{Figure, Math, WorkedValue, WorkingLine};
use crate::words::{marked, say};

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

/// A quantity in the cell of a table, its unit by itself, so that numbers and units can be lined up under each other.
pub(in crate::output) fn quantity(figure: &Figure, out: &mut String) {
    match amount(figure) {
        Some((amount, tight)) => {
            between(out, "", amount, if tight { "<span class=u>" } else { "<span class=u>\u{a0}" });
            between(out, "", &figure.unit, "</span>");
        }
        None => escape_into(figure.bare(), out),
    }
    factor(figure, out);
}

/// The coverage factor behind a quantity, where it is another than that of the sheet.
fn factor(figure: &Figure, out: &mut String) {
    perhaps(out, " <span class=\"small quiet\">", &figure.coverage, "</span>");
}

/// A quantity that stands on no column: one text, which no line end divides.
fn figure(figure: &Figure, out: &mut String) {
    match amount(figure) {
        Some((amount, tight)) => {
            between(out, "", amount, if tight { "" } else { "\u{a0}" });
            escape_into(&figure.unit, out);
        }
        None => escape_into(figure.bare(), out),
    }
}

/// The same in a sentence, kept on one line.
pub(super) fn kept(figure: &Figure, out: &mut String) {
    out.push_str("<span class=q>");
    self::figure(figure, out);
    out.push_str("</span>");
    factor(figure, out);
}

/// A quantity, or `otherwise` where there is none.
pub(super) fn quantity_or(figure: &Option<Figure>, otherwise: &str, out: &mut String) {
    match figure {
        Some(figure) => quantity(figure, out),
        None => out.push_str(otherwise),
    }
}

/// A quantity in a sentence, or `otherwise` where there is none.
pub(super) fn kept_or(figure: &Option<Figure>, otherwise: &str, out: &mut String) {
    match figure {
        Some(figure) => kept(figure, out),
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
            between(out, "<var>", base, "</var>");
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
            _ => between(out, "<var>", &part.replace('_', " "), "</var>"),
        }
    }
}

/// The number of a line or a check, which is the id that other lines lead to, and itself leads to where `anchor` is. None of
/// that where the page has printed it before.
pub(super) fn number_link(anchor: &str, number: &str, shared: &Shared<'_>, out: &mut String) {
    if anchor.is_empty() {
        return between(out, "<span class=no>", number, "</span>");
    }
    out.push_str("<a class=no");
    if shared.stands_for(anchor) == number {
        attribute(" id=", number, out);
    }
    attribute(" href=#", anchor, out);
    between(out, ">", number, "</a>");
}

/// What lines of working come to, each by its label or its name.
pub(super) fn results<'a>(rows: &'a [WorkedValue], shared: &mut Shared<'a>, out: &mut String) {
    out.push_str(marked!(
        "<div class=\"row\"><table class=\"summary\">\n<caption>[[Results]]</caption>\n<thead class=\"unseen\"><tr><th scope=\"col\">[[What]]</th>\
         <th scope=\"col\" class=\"num\">[[Value]]</th></tr></thead>\n<tbody>"
    ));
    for row in rows {
        out.push_str("\n<tr");
        identified(out, shared.claim(&row.anchor));
        out.push_str("<th scope=\"row\">");
        if row.label.is_empty() {
            between(out, "<var>", &row.name, "</var>");
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
    out.push_str("<div class=line");
    identified(out, id);
    number_link(id, &line.number, shared, out);
    perhaps(out, "<p class=what>", &line.label, "");
    out.push_str("<p class=eq><span class=sym>");
    named_into(&line.symbol, out);
    out.push_str("</span>");
    side_into(&line.formula, out);
    if let Some(substitution) = &line.substitution {
        out.push_str("<p class=eq>");
        side_into(substitution, out);
    }
    if !line.items.is_empty() {
        out.push_str("<ol class=items>");
        for item in &line.items {
            out.push_str("<li>");
            figure(item, out);
            factor(item, out);
        }
        out.push_str("</ol>");
    }
    if let Some(result) = &line.result {
        out.push_str("<p class=result>= <b>");
        figure(result, out);
        out.push_str("</b>");
        factor(result, out);
    } else if line.items.is_empty() {
        out.push_str(marked!("<p class=\"result missing\">[[could not be worked]]"));
    }
    references(line, shared, out);
    out.push_str("</div>\n");
}

/// Where a line comes from and where it goes: what it was read in, the lines with a number that it was worked from, and the
/// lines and checks that use it.
pub(in crate::output) fn references<'a>(line: &'a WorkingLine, shared: &Shared<'a>, out: &mut String) {
    let opened = out.len();
    out.push_str("<p class=refs>");
    let empty = out.len();
    perhaps(out, "<span class=ref>", &line.reference, "</span>");
    from(&line.anchor, &line.worked_from, shared, out);
    let used = runs(shared.uses(&line.anchor));
    if !used.is_empty() {
        out.push_str(marked!("<span class=uses>[[used in]] "));
        links(&used, &line.number, shared, out);
        out.push_str("</span>");
    }
    if out.len() == empty {
        out.truncate(opened);
    }
}

/// The lines with a number that the line or check `own` was worked from.
pub(super) fn from(own: &str, worked_from: &[String], shared: &Shared<'_>, out: &mut String) {
    let mut lead = marked!("<span class=from>[[from]] ");
    for anchor in worked_from.iter().filter(|anchor| *anchor != own) {
        if let Some((number, id)) = shared.numbered_at(anchor) {
            out.push_str(lead);
            lead = ", ";
            link(id, number, out);
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
        out.push_str(&format!("<details class=uses><summary>{}</summary>", say!("used in {count} places", count = each.len())));
        links(&each, "", shared, out);
        out.push_str("</details>");
    } else if !each.is_empty() {
        out.push_str(marked!("<span class=uses>[[used in]] "));
        links(&each, "", shared, out);
        out.push_str("</span>");
    }
}

/// The same in brackets within a line of text, where nothing is folded.
pub(super) fn used_here(anchor: &str, shared: &Shared<'_>, out: &mut String) {
    let each: Vec<(Use<'_>, Use<'_>)> = shared.uses(anchor).iter().map(|one| (*one, *one)).collect();
    if !each.is_empty() {
        out.push_str(marked!(" <span class=uses>([[used in]] "));
        links(&each, "", shared, out);
        out.push_str(")</span>");
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
/// is in sight, and most uses are such.
fn links(runs: &[(Use<'_>, Use<'_>)], own: &str, shared: &Shared<'_>, out: &mut String) {
    let home = block(own);
    let link = |to: &Use<'_>, out: &mut String| {
        if home.is_some() && block(to.number) == home {
            escape_into(to.number, out)
        } else {
            link(shared.stands_at(to.place), to.number, out)
        }
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

/// What the numbers of the lines of one machine or train begin with.
fn block(number: &str) -> Option<&str> {
    number.rsplit_once('.').map(|(block, _)| block)
}

fn link(id: &str, number: &str, out: &mut String) {
    out.push_str("<a");
    attribute(" href=#", id, out);
    between(out, ">", number, "</a>");
}

/// Lines of working below each other.
pub(in crate::output) fn lines<'a>(lines: &'a [WorkingLine], shared: &mut Shared<'a>, out: &mut String) {
    out.push_str("<div class=working>\n");
    for each in lines {
        line(each, shared, out);
    }
    out.push_str("</div>");
}
