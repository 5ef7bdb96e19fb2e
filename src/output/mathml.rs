//! Mathematics as MathML Core: variables in italics, units and words below the line upright, thin spaces and raised dots.
//! Only elements that browsers set by themselves are used; each formula carries its one-line text as well.

use crate::output::linear::{Hold, Times, bare, hold, is_tight, linear, operator_sign, right_needs_parentheses, times};
use crate::sheet::parts::Math;

/// From this many characters of its one-line text a formula is set in pieces, so that the line can be broken at its
/// topmost operators. The working column holds about 66 characters, that of a phone about half as many.
const LONG: usize = 30;

/// Presentation MathML of `math`. `display` sets sums with their limits above and below and fractions full size. A long
/// formula comes as several `math` elements in one `span`, which break between them as words do.
pub fn mathml(math: &Math, display: bool) -> String {
    if linear(math).chars().count() < LONG {
        return element(display, &linear(math), &row(math));
    }
    let mut pieces = Vec::new();
    split(math, None, &mut pieces);
    if pieces.len() < 2 {
        return element(display, &linear(math), &row(math));
    }
    let set: Vec<String> = pieces.iter().map(|piece| element(display, &piece.text, &piece.markup)).collect();
    format!("<span class=\"long\">{}</span>", set.join("\u{200b}"))
}

/// A stretch of a long formula that stays together.
struct Piece {
    text: String,
    markup: String,
}

/// Cuts `math` at its topmost operators; each piece after the first begins with its operator.
fn split(math: &Math, before: Option<(&str, &str)>, pieces: &mut Vec<Piece>) {
    match math {
        Math::Infix { operator, left, right } if hold(left) >= hold(math) => {
            split(left, before, pieces);
            let sign = operator_sign(operator);
            let bracket = right_needs_parentheses(operator, right);
            if !bracket && hold(math) == Hold::Comparison {
                split(right, Some((sign, "infix")), pieces);
            } else {
                pieces.push(piece(right, bracket, Some((sign, "infix"))));
            }
        }
        Math::Product { left, right } if hold(left) == Hold::Product && !matches!(**left, Math::Fraction { .. } | Math::Over { .. }) => {
            split(left, before, pieces);
            let sign = match times(left, right) {
                Times::Cross => "×",
                Times::Dot => "·",
                Times::Space => "\u{2062}",
            };
            pieces.push(piece(right, hold(right) < Hold::Product || hold(right) == Hold::Sign, Some((sign, "times"))));
        }
        Math::List { items } if before.is_none() => {
            for (place, item) in items.iter().enumerate() {
                let open = if place == 0 { "[" } else { "" };
                let close = if place + 1 == items.len() { "]" } else { "," };
                pieces.push(Piece {
                    text: format!("{open}{}{close}", linear(item)),
                    markup: format!(
                        "{}{}{}",
                        if open.is_empty() { String::new() } else { fence(open) },
                        row(item),
                        if close == "," { "<mo>,</mo>".to_owned() } else { fence(close) }
                    ),
                });
            }
        }
        _ => pieces.push(piece(math, false, before)),
    }
}

fn piece(math: &Math, bracket: bool, before: Option<(&str, &str)>) -> Piece {
    let (mut text, mut markup) = (String::new(), String::new());
    if let Some((sign, class)) = before {
        text.push_str(sign);
        text.push(' ');
        markup.push_str(&if class == "times" { times_sign(sign) } else { infix_sign(sign) });
    }
    if bracket {
        text.push_str(&format!("({})", linear(math)));
        markup.push_str(&parenthesised(math));
    } else {
        text.push_str(&linear(math));
        markup.push_str(&row(math));
    }
    Piece { text, markup }
}

fn element(display: bool, text: &str, markup: &str) -> String {
    let style = if display { " displaystyle=\"true\"" } else { "" };
    format!("<math{style} alttext=\"{}\">{markup}</math>", escape(text))
}

/// The characters that mean something to a page, spelt out.
pub(super) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
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
    out
}

fn fence(sign: &str) -> String {
    format!("<mo stretchy=\"false\">{sign}</mo>")
}

/// An operator with the spaces that its place asks for, whatever stands around it.
fn infix_sign(sign: &str) -> String {
    let space = if matches!(sign, "+" | "−" | "±") { "0.222em" } else { "0.278em" };
    format!("<mo form=\"infix\" lspace=\"{space}\" rspace=\"{space}\">{}</mo>", escape(sign))
}

fn times_sign(sign: &str) -> String {
    match sign {
        "×" => "<mo lspace=\"0.222em\" rspace=\"0.222em\">×</mo>".to_owned(),
        "·" => "<mo lspace=\"0.14em\" rspace=\"0.14em\">·</mo>".to_owned(),
        _ => "<mo lspace=\"0\" rspace=\"0.167em\">\u{2062}</mo>".to_owned(),
    }
}

/// The markup of `math` as exactly one element.
fn one(math: &Math) -> String {
    format!("<mrow>{}</mrow>", row(math))
}

/// Signs around something grow with it only where it is taller than a line of text.
fn enclosed(open: &str, inside: &str, close: &str, tall: bool) -> String {
    let grow = if tall { "" } else { " stretchy=\"false\"" };
    format!("<mrow><mo form=\"prefix\"{grow}>{open}</mo>{inside}<mo form=\"postfix\"{grow}>{close}</mo></mrow>")
}

fn is_tall(math: &Math) -> bool {
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

fn parenthesised(math: &Math) -> String {
    enclosed("(", &row(math), ")", is_tall(math))
}

fn within(math: &Math, bracket: bool) -> String {
    if bracket { parenthesised(math) } else { row(math) }
}

/// The markup of `math`; perhaps several elements side by side.
fn row(math: &Math) -> String {
    match math {
        Math::Number { text } => format!("<mn>{}</mn>", escape(text)),
        Math::Value { number, unit } => value(number, unit),
        Math::Symbol { base, subscript, italic, index } => symbol(base, subscript, *italic, index),
        Math::Infix { operator, left, right } => {
            let sign = operator_sign(operator);
            format!(
                "{}{}{}",
                within(left, hold(left) < hold(math)),
                infix_sign(sign),
                within(right, right_needs_parentheses(operator, right))
            )
        }
        Math::Product { left, right } => {
            let sign = match times(left, right) {
                Times::Cross => "×",
                Times::Dot => "·",
                Times::Space => "\u{2062}",
            };
            // What stands under a sum over an index would swallow the next factor.
            let open_ended = matches!(**left, Math::Over { .. });
            format!(
                "{}{}{}",
                within(left, hold(left) < Hold::Product || open_ended),
                times_sign(sign),
                within(right, hold(right) < Hold::Product || hold(right) == Hold::Sign)
            )
        }
        Math::Fraction { over, under } => format!("<mfrac>{}{}</mfrac>", one(bare(over)), one(bare(under))),
        Math::Power { base, exponent } => {
            // A letter with something below it carries its exponent above that, not behind it.
            if let Math::Symbol { base: letter, subscript, italic, index } = &**base {
                let below = below(subscript, index);
                if !below.is_empty() {
                    return format!("<msubsup>{}<mrow>{below}</mrow>{}</msubsup>", word(letter, *italic), one(bare(exponent)));
                }
            }
            let raised = if hold(base) < Hold::Whole { parenthesised(base) } else { one(base) };
            format!("<msup>{raised}{}</msup>", one(bare(exponent)))
        }
        Math::Root { of } => format!("<msqrt>{}</msqrt>", row(bare(of))),
        Math::Minus { of } => {
            let bracket = hold(of) <= Hold::Sum || hold(of) == Hold::Sign;
            format!("<mo form=\"prefix\" lspace=\"0\" rspace=\"0\">−</mo>{}", within(of, bracket))
        }
        Math::Absolute { of } => enclosed("|", &row(bare(of)), "|", is_tall(of)),
        Math::Parentheses { of } => parenthesised(bare(of)),
        Math::Call { name, arguments } => {
            let tall = arguments.iter().any(is_tall);
            let arguments: Vec<String> = arguments.iter().map(row).collect();
            let arguments = arguments.join("<mo separator=\"true\" lspace=\"0\" rspace=\"0.167em\">,</mo>");
            // The sign for applying a function is there for readers aloud; it takes no room.
            let applied = "<mo lspace=\"0\" rspace=\"0\">\u{2061}</mo>";
            format!("<mi>{}</mi>{applied}{}", escape(name), enclosed("(", &arguments, ")", tall))
        }
        Math::Over { sign, index, from, to, body } => format!(
            "<munderover><mo movablelimits=\"true\">{}</mo><mrow>{}<mo>=</mo>{}</mrow>{}</munderover>{}",
            escape(sign),
            word(index, true),
            row(from),
            one(to),
            within(body, hold(body) <= Hold::Sum)
        ),
        Math::List { items } => {
            let tall = items.iter().any(is_tall);
            let items: Vec<String> = items.iter().map(row).collect();
            enclosed("[", &items.join("<mo separator=\"true\" lspace=\"0\" rspace=\"0.222em\">,</mo>"), "]", tall)
        }
    }
}

fn value(number: &str, unit: &str) -> String {
    let number = format!("<mn>{}</mn>", escape(number));
    if unit.is_empty() {
        return number;
    }
    let space = if is_tight(unit) { "" } else { "<mspace width=\"0.167em\"></mspace>" };
    format!("<mrow>{number}{space}<mtext>{}</mtext></mrow>", escape(unit))
}

fn symbol(base: &str, subscript: &str, italic: bool, index: &[Math]) -> String {
    let (base, below) = (word(base, italic), below(subscript, index));
    if below.is_empty() { base } else { format!("<msub>{base}<mrow>{below}</mrow></msub>") }
}

/// What stands below the line beside a symbol.
fn below(subscript: &str, index: &[Math]) -> String {
    let mut below = String::new();
    if !subscript.is_empty() {
        let figure = subscript.chars().all(|c| c.is_ascii_digit());
        below = if figure { format!("<mn>{subscript}</mn>") } else { format!("<mtext>{}</mtext>", escape(&spaced(subscript))) };
    }
    for (place, item) in index.iter().enumerate() {
        if place > 0 || !below.is_empty() {
            below.push_str("<mo separator=\"true\" lspace=\"0\" rspace=\"0.1em\">,</mo>");
        }
        below.push_str(&row(item));
    }
    below
}

/// A single letter as the page sets it; a word as one italic name in the text face, since letters set as a product of
/// letters would be read as one.
fn word(text: &str, italic: bool) -> String {
    let mut characters = text.chars();
    match (characters.next(), characters.next()) {
        (Some(_), None) if italic => format!("<mi>{}</mi>", escape(text)),
        (Some(_), None) => format!("<mi mathvariant=\"normal\">{}</mi>", escape(text)),
        _ => format!("<mi class=\"word\">{}</mi>", escape(&spaced(text))),
    }
}

/// `sheave_loss` as the two words it is.
fn spaced(name: &str) -> String {
    name.replace('_', " ")
}

#[cfg(test)]
mod tests {
    use super::mathml;
    use crate::output::fixture::{add, fraction, fullest, named, number, product, symbol, value};
    use crate::output::reader::well_formed;
    use crate::sheet::parts::Math;

    #[test]
    fn units_stand_upright_behind_a_thin_space_and_degrees_behind_none() {
        // ISO 80000-1: a space between number and unit, none before the signs of angle.
        let kilonewtons = mathml(&value("6.00", "kN"), false);
        assert!(kilonewtons.contains("<mn>6.00</mn><mspace width=\"0.167em\"></mspace><mtext>kN</mtext>"), "{kilonewtons}");
        let degrees = mathml(&value("30.0", "°"), false);
        assert!(degrees.contains("<mn>30.0</mn><mtext>°</mtext>"), "{degrees}");
    }

    #[test]
    fn names_are_set_whole_and_letters_by_themselves() {
        assert!(mathml(&symbol("F"), false).contains("<mi>F</mi>"));
        assert!(mathml(&named("boat", ""), false).contains("<mi class=\"word\">boat</mi>"));
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
        assert!(set.starts_with("<span class=\"long\">"));
        assert_eq!(set.matches("<math ").count(), 12);
        assert_eq!(set.matches("<mo form=\"infix\"").count(), 11);
        for place in 0..12 {
            assert_eq!(set.matches(&format!("<mn>{place}</mn></mrow></msub>")).count(), 1, "term {place}");
        }
        well_formed(&set);
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
