//! Mathematics as MathML Core: variables in italics, units and words below the line upright, thin spaces and raised dots.
//! Only elements that browsers set by themselves are used. A formula with something above, below or beside its line carries
//! its one-line text as well; in any other the elements' own text is that line.

use crate::output::breaking::{Piece, is_bracketed_factor, may_divide, pieces};
use crate::output::linear::{Hold, Times, bare, hold, is_tight, linear_into, operator_sign, right_needs_parentheses, times};
use crate::sheet::parts::Math;
use crate::words::between_numbers;
use std::borrow::Cow;

/// From this many characters of its one-line text a formula is set in pieces, so that the line can be broken at its
/// topmost operators. The working column holds about 66 characters, that of a phone about half as many.
const LONG: usize = 24;

/// A stretch of more characters than this, which cannot be broken, may be wider than a window of 320 px and has to be
/// scrolled there; so that this can be done from the keyboard, it can be given the focus.
pub(super) const REACH: usize = 24;

/// Presentation MathML of `math`. `display` sets sums with their limits above and below and fractions full size. A long
/// formula comes as several `math` elements in one `span`, which break between them as words do.
pub fn mathml(math: &Math, display: bool) -> String {
    let mut out = String::new();
    mathml_into(math, display, &mut out);
    out
}

/// The same, written at the end of the page so far.
pub(super) fn mathml_into(math: &Math, display: bool, out: &mut String) {
    within_reach(math, display, "", out);
}

fn within_reach(math: &Math, display: bool, lead: &str, out: &mut String) {
    let opened = out.len();
    if set(math, display, lead, out) {
        out.insert_str(opened, &format!("<span{FOCUSED}>"));
        out.push_str("</span>");
    }
}

/// The right-hand side of an equation, full size, with the sign that leads to it, in the place where it can be scrolled.
pub(super) fn side_into(math: &Math, out: &mut String) {
    out.push_str("<span class=ex");
    let open = out.len();
    out.push('>');
    if set(math, true, EQUALS, out) {
        out.insert_str(open, FOCUSED);
    }
    out.push_str("</span>");
}

/// The same without its place.
pub(super) fn equals(math: &Math) -> String {
    let mut out = String::new();
    within_reach(math, true, EQUALS, &mut out);
    out
}

const FOCUSED: &str = " tabindex=0";

const EQUALS: &str = "<mo>=</mo>";

/// Says whether a part of it that cannot be broken is longer than [`REACH`].
fn set(math: &Math, display: bool, lead: &str, out: &mut String) -> bool {
    let opened = out.len();
    let look = look(math);
    opening(look, display, lead, out);
    // Its line of text is written in its place, and taken away again where nothing needs it.
    let from = out.len();
    linear_into(math, out);
    let text = out.get(from..).unwrap_or("");
    let characters = text.chars().count();
    if characters >= LONG && may_divide(math) {
        let pieces = pieces(math);
        if pieces.len() > 1 {
            out.truncate(opened);
            return set_in_pieces(&pieces, display, lead, out);
        }
    }
    if look == Look::Plain {
        out.truncate(from);
    } else {
        if !is_plain(text) {
            let text = escape(text);
            out.truncate(from);
            out.push_str(&text);
        }
        out.push('"');
    }
    out.push('>');
    out.push_str(lead);
    row(math, out);
    out.push_str("</math>");
    characters > REACH
}

fn set_in_pieces(pieces: &[Piece], display: bool, lead: &str, out: &mut String) -> bool {
    out.push_str("<span class=long>");
    let mut reach = false;
    for (place, piece) in pieces.iter().enumerate() {
        if place > 0 {
            out.push('\u{200b}');
        }
        let (look, lead) = (look_of(&piece.markup), if place == 0 { lead } else { "" });
        opening(look, display, lead, out);
        if look != Look::Plain {
            escape_into(&piece.text, out);
            out.push('"');
        }
        for part in [">", lead, &piece.markup, "</math>"] {
            out.push_str(part);
        }
        reach |= piece.text.chars().count() > REACH;
    }
    out.push_str("</span>");
    reach
}

/// The opening tag without its end. Only what leaves its line says itself again in one: there the tag ends within that text.
fn opening(look: Look, display: bool, lead: &str, out: &mut String) {
    // What has neither fraction nor limits looks the same in either size.
    out.push_str(if look == Look::Large && display { "<math displaystyle=true" } else { "<math" });
    if look != Look::Plain {
        out.push_str(if lead.is_empty() { " alttext=\"" } else { " alttext=\"= " });
    }
}

/// How a formula stands on its line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Look {
    /// Wholly on it.
    Plain,
    /// With parts above, below or beside it.
    Small,
    /// With such parts as have a full size.
    Large,
}

/// What [`row`] makes of `math`.
fn look(math: &Math) -> Look {
    match math {
        Math::Fraction { .. } | Math::Over { .. } => Look::Large,
        Math::Number { .. } | Math::Value { .. } => Look::Plain,
        Math::Symbol { subscript, index, .. } => {
            if subscript.is_empty() && index.is_empty() {
                return Look::Plain;
            }
            index.iter().map(look).fold(Look::Small, Look::max)
        }
        Math::Infix { left, right, .. } | Math::Product { left, right } => look(left).max(look(right)),
        Math::Power { base, exponent } => Look::Small.max(look(base)).max(look(exponent)),
        Math::Root { of } => Look::Small.max(look(of)),
        Math::Minus { of } | Math::Absolute { of } | Math::Parentheses { of } => look(of),
        Math::Call { arguments: items, .. } | Math::List { items } => items.iter().map(look).fold(Look::Plain, Look::max),
    }
}

/// The same of markup.
fn look_of(markup: &str) -> Look {
    let of = |(at, _): (usize, &str)| {
        let tag = markup.get(at..).unwrap_or("");
        let begins = |elements: &[&str]| elements.iter().any(|element| tag.starts_with(element));
        if begins(&["<mfrac", "<munder"]) {
            Look::Large
        } else if begins(&["<msup", "<msub", "<msqrt"]) {
            Look::Small
        } else {
            Look::Plain
        }
    };
    markup.match_indices('<').map(of).fold(Look::Plain, Look::max)
}

/// The characters that mean something to a page, spelt out.
pub(super) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    escape_into(text, &mut out);
    out
}

/// The same, written at the end of what is there.
pub(super) fn escape_into(text: &str, out: &mut String) {
    // Most text means nothing but itself.
    if is_plain(text) {
        out.push_str(text);
        return;
    }
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // Not allowed in a page at all; shown as the sign for something unreadable.
            '\0'..='\u{8}' | '\u{b}' | '\u{c}' | '\u{e}'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            other => out.push(other),
        }
    }
}

/// Whether none of its characters has to be spelt out.
fn is_plain(text: &str) -> bool {
    !text.bytes().fold(false, |found, byte| found | MEANS_MORE.get(usize::from(byte)).copied().unwrap_or(true))
}

/// Of each byte, whether it means more than itself. The two characters that are none begin with the byte EF.
static MEANS_MORE: [bool; 256] = {
    let mut table = [false; 256];
    let mut at = 0;
    while at < table.len() {
        table[at] = at < 0x20 || matches!(at as u8, b'&' | b'<' | b'>' | b'"' | b'\'' | 0xEF);
        at += 1;
    }
    table
};

// `text` between an opening and a closing tag.
pub(super) fn tagged(open: &str, text: &str, close: &str, out: &mut String) {
    out.push_str(open);
    escape_into(text, out);
    out.push_str(close);
}

pub(super) fn fence(sign: &str, out: &mut String) {
    out.push_str("<mo stretchy=false>");
    out.push_str(sign);
    out.push_str("</mo>");
}

// The spaces around it are those that browsers give it.
fn infix_sign(sign: &str, out: &mut String) {
    tagged("<mo>", sign, "</mo>", out);
}

/// The sign that a piece of a formula begins with has the spaces of one between two terms all the same.
pub(super) fn first_sign(sign: &str, out: &mut String) {
    tagged("<mo form=infix>", sign, "</mo>", out);
}

pub(super) fn sign_between(left: &Math, right: &Math) -> &'static str {
    match times(left, right) {
        Times::Cross => "×",
        Times::Dot => "·",
        Times::Space => "\u{2062}",
    }
}

pub(super) fn times_sign(sign: &str, out: &mut String) {
    out.push_str(match sign {
        "×" => "<mo>×</mo>",
        "·" => "<mo>·</mo>",
        _ => "<mo rspace=.167em>\u{2062}</mo>",
    });
}

/// The markup of `math` as exactly one element.
fn one(math: &Math, out: &mut String) {
    // What is one element already needs no other around it.
    let single = match math {
        Math::Number { .. } | Math::Symbol { .. } | Math::Fraction { .. } | Math::Root { .. } => true,
        Math::Value { unit, .. } => unit.is_empty(),
        _ => false,
    };
    if single {
        return row(math, out);
    }
    out.push_str("<mrow>");
    row(math, out);
    out.push_str("</mrow>");
}

/// Signs around something grow with it only where it is taller than a line of text.
fn enclosed(open: &str, inside: impl FnOnce(&mut String), close: &str, tall: bool, out: &mut String) {
    // Brackets say by themselves which side they are on; other signs are told.
    let (before, between, after) = match (tall, open == close) {
        (true, false) => ("<mrow><mo>", "<mo>", "</mo></mrow>"),
        (false, false) => ("<mo stretchy=false>", "<mo stretchy=false>", "</mo>"),
        (true, true) => ("<mrow><mo form=prefix>", "<mo form=postfix>", "</mo></mrow>"),
        (false, true) => ("<mo form=prefix stretchy=false>", "<mo form=postfix stretchy=false>", "</mo>"),
    };
    for part in [before, open, "</mo>"] {
        out.push_str(part);
    }
    inside(out);
    for part in [between, close, after] {
        out.push_str(part);
    }
}

pub(super) fn is_tall(math: &Math) -> bool {
    match math {
        Math::Fraction { .. } | Math::Over { .. } => true,
        Math::Infix { left, right, .. } | Math::Product { left, right } => is_tall(left) || is_tall(right),
        Math::Power { base: of, .. } | Math::Root { of } | Math::Minus { of } | Math::Absolute { of } | Math::Parentheses { of } => {
            is_tall(of)
        }
        Math::Call { arguments: items, .. } | Math::List { items } => items.iter().any(is_tall),
        Math::Number { .. } | Math::Value { .. } | Math::Symbol { .. } => false,
    }
}

pub(super) fn parenthesised(math: &Math, out: &mut String) {
    enclosed("(", |out| row(math, out), ")", is_tall(math), out);
}

fn within(math: &Math, bracket: bool, out: &mut String) {
    if bracket { parenthesised(math, out) } else { row(math, out) }
}

// Several side by side, with `between` between them.
fn series(items: &[Math], between: &str, out: &mut String) {
    for (place, item) in items.iter().enumerate() {
        if place > 0 {
            out.push_str(between);
        }
        row(bare(item), out);
    }
}

/// Writes the markup of `math`; perhaps several elements side by side.
pub(super) fn row(math: &Math, out: &mut String) {
    match math {
        Math::Number { text } => tagged("<mn>", text, "</mn>", out),
        Math::Value { number, unit } => value(number, unit, out),
        Math::Symbol { base, subscript, italic, index } => symbol(base, subscript, *italic, index, out),
        Math::Infix { operator, left, right } => {
            within(left, hold(left) < hold(math), out);
            infix_sign(operator_sign(operator), out);
            within(right, right_needs_parentheses(operator, right), out);
        }
        Math::Product { left, right } => {
            // What stands under a sum over an index would swallow the next factor.
            let open_ended = matches!(**left, Math::Over { .. });
            within(left, hold(left) < Hold::Product || open_ended, out);
            times_sign(sign_between(left, right), out);
            within(right, is_bracketed_factor(right), out);
        }
        Math::Fraction { over, under } => {
            out.push_str("<mfrac>");
            one(bare(over), out);
            one(bare(under), out);
            out.push_str("</mfrac>");
        }
        Math::Power { base, exponent } => {
            // A letter with something below it carries its exponent above that, not behind it.
            if let Math::Symbol { base: letter, subscript, italic, index } = &**base {
                let below = below(subscript, index);
                if !below.is_empty() {
                    out.push_str("<msubsup>");
                    word(letter, *italic, out);
                    grouped(&below, out);
                    one(bare(exponent), out);
                    out.push_str("</msubsup>");
                    return;
                }
            }
            out.push_str("<msup>");
            if hold(base) < Hold::Whole {
                out.push_str("<mrow>");
                parenthesised(base, out);
                out.push_str("</mrow>");
            } else {
                one(base, out)
            }
            one(bare(exponent), out);
            out.push_str("</msup>");
        }
        Math::Root { of } => {
            out.push_str("<msqrt>");
            row(bare(of), out);
            out.push_str("</msqrt>");
        }
        Math::Minus { of } => {
            let bracket = hold(of) <= Hold::Sum || hold(of) == Hold::Sign;
            out.push_str("<mo form=prefix rspace=0>−</mo>");
            within(of, bracket, out);
        }
        Math::Absolute { of } => enclosed("|", |out| row(bare(of), out), "|", is_tall(of), out),
        Math::Parentheses { of } => parenthesised(bare(of), out),
        Math::Call { name, arguments } => {
            // The sign for applying a function is there for readers aloud; it takes no room.
            tagged("<mi>", name, "</mi><mo>\u{2061}</mo>", out);
            let between = if between_numbers() == ", " { "<mo>,</mo>" } else { "<mo>;</mo>" };
            enclosed("(", |out| series(arguments, between, out), ")", arguments.iter().any(is_tall), out);
        }
        Math::Over { sign, index, from, to, body } => {
            over_sign(sign, index, from, to, out);
            within(body, hold(body) <= Hold::Sum, out);
        }
        Math::List { items } => {
            let between = if between_numbers() == ", " { "<mo>,</mo>" } else { "<mo>;</mo>" };
            enclosed("[", |out| series(items, between, out), "]", items.iter().any(is_tall), out);
        }
    }
}

/// The sign of a sum or product over an index, with its limits.
pub(super) fn over_sign(sign: &str, index: &str, from: &Math, to: &Math, out: &mut String) {
    tagged("<munderover><mo movablelimits=true>", sign, "</mo><mrow>", out);
    word(index, true, out);
    out.push_str("<mo>=</mo>");
    row(from, out);
    out.push_str("</mrow>");
    one(to, out);
    out.push_str("</munderover>");
}

fn value(number: &str, unit: &str, out: &mut String) {
    tagged("<mn>", number, "</mn>", out);
    if !unit.is_empty() {
        // Text of mathematics keeps a thin space of its own.
        tagged(if is_tight(unit) { "<mtext>" } else { "<mtext>\u{2009}" }, unit, "</mtext>", out);
    }
}

fn symbol(base: &str, subscript: &str, italic: bool, index: &[Math], out: &mut String) {
    if subscript.is_empty() && index.is_empty() {
        return word(base, italic, out);
    }
    out.push_str("<msub>");
    word(base, italic, out);
    grouped(&below(subscript, index), out);
    out.push_str("</msub>");
}

/// `markup` as one element: itself where it is that.
fn grouped(markup: &str, out: &mut String) {
    let one = markup.matches("</m").count() == 1;
    for part in [if one { "" } else { "<mrow>" }, markup, if one { "" } else { "</mrow>" }] {
        out.push_str(part);
    }
}

/// What stands below the line beside a symbol.
fn below(subscript: &str, index: &[Math]) -> String {
    let mut below = String::new();
    if !subscript.is_empty() {
        if subscript.chars().all(|c| c.is_ascii_digit()) {
            tagged("<mn>", subscript, "</mn>", &mut below);
        } else {
            tagged("<mtext>", &spaced(subscript), "</mtext>", &mut below);
        }
    }
    for (place, item) in index.iter().enumerate() {
        if place > 0 || !below.is_empty() {
            below.push_str("<mo rspace=.1em>,</mo>");
        }
        row(item, &mut below);
    }
    below
}

/// A single letter as the page sets it; a word as one italic name in the text face, since letters set as a product of
/// letters would be read as one.
fn word(text: &str, italic: bool, out: &mut String) {
    let mut characters = text.chars();
    match (characters.next(), characters.next()) {
        (Some(_), None) if italic => tagged("<mi>", text, "</mi>", out),
        (Some(_), None) => tagged("<mi mathvariant=normal>", text, "</mi>", out),
        _ => tagged("<mi class=w>", &spaced(text), "</mi>", out),
    }
}

/// `sheave_loss` as the two words it is.
fn spaced(name: &str) -> Cow<'_, str> {
    if name.contains('_') { Cow::Owned(name.replace('_', " ")) } else { Cow::Borrowed(name) }
}

#[cfg(test)]
mod tests {
    use super::mathml;
    use crate::output::fixture::fullest;
    use crate::output::formula_fixture::{add, fraction, named, number, product, symbol, value};
    use crate::output::reader::well_formed;
    use crate::sheet::parts::Math;

    #[test]
    fn units_stand_upright_behind_a_thin_space_and_degrees_behind_none() {
        // ISO 80000-1: a space between number and unit, none before the signs of angle.
        let kilonewtons = mathml(&value("6.00", "kN"), false);
        assert!(kilonewtons.contains("<mn>6.00</mn><mtext>\u{2009}kN</mtext>"), "{kilonewtons}");
        let degrees = mathml(&value("30.0", "°"), false);
        assert!(degrees.contains("<mn>30.0</mn><mtext>°</mtext>"), "{degrees}");
    }

    #[test]
    fn names_are_set_whole_and_letters_by_themselves() {
        assert!(mathml(&symbol("F"), false).contains("<mi>F</mi>"));
        assert!(mathml(&named("boat", ""), false).contains("<mi class=w>boat</mi>"));
        assert!(mathml(&named("F", "max"), false).contains("<mtext>max</mtext>"));
        assert!(mathml(&named("F", "12"), false).contains("<mn>12</mn>"));
    }

    #[test]
    fn a_long_sum_may_break_before_its_operators_and_loses_none_of_its_terms() {
        let mut sum = named("term", "0");
        for place in 1..12 {
            sum = add(sum, product(number("2"), named("term", &place.to_string())));
        }
        let set = mathml(&sum, true);
        assert!(set.starts_with("<span class=long>"));
        assert_eq!(set.matches("<math").count(), 12);
        assert_eq!(set.matches("<mo form=infix>").count(), 11);
        for place in 0..12 {
            assert_eq!(set.matches(&format!("<mn>{place}</mn></msub>")).count(), 1, "term {place}");
        }
        well_formed(&set);
    }

    #[test]
    fn a_root_too_long_for_a_line_breaks_within_brackets() {
        let mut sum = named("term", "0");
        for place in 1..8 {
            sum = add(sum, product(number("2"), named("term", &place.to_string())));
        }
        let set = mathml(&Math::Root { of: Box::new(sum) }, true);
        assert!(set.contains("<mo>√</mo><mo stretchy=false>(</mo>") && !set.contains("<msqrt"), "{set}");
        assert_eq!(set.matches("<math").count(), 8);
        assert!(set.ends_with("<mo stretchy=false>)</mo></math></span>"), "{set}");
        well_formed(&set);
        assert!(mathml(&Math::Root { of: Box::new(symbol("F")) }, true).contains("<msqrt>"));
    }

    #[test]
    fn a_long_bracket_and_a_wide_fraction_break_and_say_the_same() {
        let mut sum = named("term", "0");
        for place in 1..8 {
            sum = add(sum, product(number("2"), named("term", &place.to_string())));
        }
        let texts = |set: &str| set.split("alttext=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect::<Vec<_>>().join(" ");
        let bracket = product(symbol("k"), sum.clone());
        let set = mathml(&bracket, true);
        assert_eq!(set.matches("<math").count(), 9, "{set}");
        assert_eq!(set.matches("<mo stretchy=false>(</mo>").count(), set.matches("<mo stretchy=false>)</mo>").count());
        well_formed(&set);
        let wide = mathml(&fraction(sum, named("whole", "1")), true);
        assert!(!wide.contains("<mfrac") && texts(&wide).ends_with("/ whole_1"), "{wide}");
        well_formed(&wide);
        // A short one stays as it was.
        assert!(mathml(&fraction(symbol("F"), symbol("G")), true).contains("<mfrac>"));
    }

    #[test]
    fn how_a_formula_stands_on_its_line_is_told_before_it_is_written() {
        let sheet = fullest();
        let lines = sheet.machines.iter().flat_map(|machine| machine.relations.iter().chain(&machine.nodes));
        let all = lines.flat_map(|line| [&line.symbol, &line.formula].into_iter().chain(&line.substitution));
        let more =
            [fraction(named("a", "1"), symbol("b")), product(number("2"), named("boat", "")), Math::Root { of: Box::new(symbol("F")) }];
        let mut found = [0; 3];
        for math in all.chain(&more) {
            let mut markup = String::new();
            super::row(math, &mut markup);
            assert_eq!(super::look(math), super::look_of(&markup), "{markup}");
            found[super::look(math) as usize] += 1;
        }
        assert!(found.iter().all(|count| *count > 0), "{found:?}");
    }

    #[test]
    fn hostile_names_are_spelt_out() {
        let set = mathml(&fraction(named("<b>", "\"&"), Math::Number { text: "<script>".into() }), true);
        assert!(!set.contains("<b>") && !set.contains("<script>"));
        well_formed(&set);
    }

    #[test]
    fn every_formula_of_a_full_sheet_is_well_formed() {
        for block in &fullest().machines {
            for line in block.relations.iter().chain(&block.nodes) {
                well_formed(&mathml(&line.formula, true));
                well_formed(&mathml(&line.symbol, true));
            }
        }
    }
}
