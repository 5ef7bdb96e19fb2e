//! Where a long formula may be broken: at its topmost operators, and within brackets, roots, functions and sums that are
//! themselves too long for a narrow line.

use crate::output::linear::{Hold, bare, characters, hold, linear, linear_into, operator_sign, right_needs_parentheses};
use crate::output::mathml::{REACH, fence, first_sign, is_tall, over_sign, parenthesised, row, sign_between, tagged, times_sign};
use crate::sheet::parts::Math;
use crate::words::between_numbers;

/// A stretch of a long formula that stays together.
pub(super) struct Piece {
    pub text: String,
    pub markup: String,
}

/// The stretches of `math`; each that follows an operator begins with it.
pub(super) fn pieces(math: &Math) -> Vec<Piece> {
    let mut pieces = Vec::new();
    split(math, None, &mut pieces);
    pieces
}

/// A sign between two stretches, and whether it stands between terms or between factors.
type Sign<'a> = Option<(&'a str, &'a str)>;

fn split(math: &Math, before: Sign<'_>, pieces: &mut Vec<Piece>) {
    match math {
        Math::Infix { operator, left, right } if hold(left) >= hold(math) => {
            split(left, before, pieces);
            let sign = operator_sign(operator);
            let bracket = right_needs_parentheses(operator, right);
            if !bracket && hold(math) == Hold::Comparison {
                split(right, Some((sign, "infix")), pieces);
            } else {
                part(right, bracket, Some((sign, "infix")), pieces);
            }
        }
        Math::Product { left, right } if hold(left) == Hold::Product && !matches!(**left, Math::Fraction { .. } | Math::Over { .. }) => {
            split(left, before, pieces);
            part(right, is_bracketed_factor(right), Some((sign_between(left, right), "times")), pieces);
        }
        // Two factors stay together but where one can be broken itself, or both are too long for a narrow column.
        Math::Product { left, right }
            if is_long(math) || is_wide(left) || is_wide(right) || opened(right, is_bracketed_factor(right)).is_some() =>
        {
            let bracket = hold(left) < Hold::Product || matches!(**left, Math::Over { .. });
            part(left, bracket, before, pieces);
            part(right, is_bracketed_factor(right), Some((sign_between(left, right), "times")), pieces);
        }
        _ => part(math, false, before, pieces),
    }
}

// The working column on paper holds about so many characters of a fraction or a product.
const COLUMN: usize = 40;

fn is_wide(math: &Math) -> bool {
    matches!(math, Math::Fraction { over, under } if characters(over).max(characters(under)) > COLUMN)
}

fn is_long(math: &Math) -> bool {
    matches!(math, Math::Product { .. }) && characters(math) > COLUMN
}

/// Whether `math` may come in several pieces. Of what has neither operators on its line nor brackets nothing need be written twice.
pub(super) fn may_divide(math: &Math) -> bool {
    match math {
        Math::Infix { .. } | Math::Product { .. } => true,
        Math::Fraction { .. } => is_wide(math),
        Math::Parentheses { .. }
        | Math::Root { .. }
        | Math::Call { .. }
        | Math::Over { .. }
        | Math::List { .. }
        | Math::Absolute { .. } => true,
        Math::Number { .. } | Math::Value { .. } | Math::Symbol { .. } | Math::Power { .. } | Math::Minus { .. } => false,
    }
}

/// A term or a factor as one piece, or as several where it is long and has brackets to break within.
fn part(math: &Math, bracket: bool, before: Sign<'_>, pieces: &mut Vec<Piece>) {
    let (mut text, mut markup) = (String::with_capacity(32), String::with_capacity(128));
    if let Some((sign, class)) = before {
        text.push_str(sign);
        text.push(' ');
        if class == "times" { times_sign(sign, &mut markup) } else { first_sign(sign, &mut markup) }
    }
    // A fraction wider than the working column is set on the line, its denominator in brackets.
    if let Math::Fraction { over, under } = math
        && is_wide(math)
        && !bracket
    {
        let (over, under) = (bare(over), bare(under));
        if hold(over) < Hold::Product {
            part(over, true, before, pieces)
        } else {
            split(over, before, pieces)
        }
        return part(under, hold(under) <= Hold::Sign, Some(("/", "infix")), pieces);
    }
    if is_long(math) && !bracket {
        return split(math, before, pieces);
    }
    if let Some(opened) = opened(math, bracket) {
        let from = pieces.len();
        opened.split(&text, &markup, pieces);
        if pieces.len() > from + 1 {
            return;
        }
        pieces.truncate(from);
    }
    if bracket {
        text.push('(');
        linear_into(math, &mut text);
        text.push(')');
        parenthesised(math, &mut markup);
    } else {
        linear_into(math, &mut text);
        row(math, &mut markup);
    }
    pieces.push(Piece { text, markup });
}

/// Whether a factor on the right of a product stands in brackets.
pub(super) fn is_bracketed_factor(math: &Math) -> bool {
    hold(math) < Hold::Product || hold(math) == Hold::Sign
}

/// What stands in brackets, and what stands before them.
struct Opened<'a> {
    text: String,
    markup: String,
    /// What the one-line text says before the brackets close, and the markup above and below its sign.
    tail: String,
    brackets: (&'static str, &'static str),
    /// Whether they are set; a product behind the sign of a sum has them in its one-line text alone.
    set: bool,
    items: Vec<&'a Math>,
}

/// `math` as brackets that may be broken within, where it has any and is too long for a narrow line. What is taller than a line
/// keeps the tall brackets around it for longer.
fn opened(math: &Math, bracket: bool) -> Option<Opened<'_>> {
    let most = if is_tall(math) { 2 * REACH } else { REACH };
    if characters(math) <= most {
        return None;
    }
    let (mut text, mut markup, mut tail, mut brackets, mut set) = (String::new(), String::new(), String::new(), ("(", ")"), true);
    let items = match math {
        _ if bracket => vec![math],
        Math::Parentheses { of } => vec![bare(of)],
        Math::Absolute { of } => {
            brackets = ("|", "|");
            vec![bare(of)]
        }
        // Brackets in place of the bar.
        Math::Root { of } => {
            text.push('√');
            markup.push_str("<mo>√</mo>");
            vec![bare(of)]
        }
        Math::Call { name, arguments } => {
            tagged("<mi>", name, "</mi><mo>\u{2061}</mo>", &mut markup);
            text.push_str(name);
            arguments.iter().collect()
        }
        Math::Over { sign, index, from, to, body } if hold(body) <= Hold::Product => {
            over_sign(sign, index, from, to, &mut markup);
            text.push_str(sign);
            tail = format!(", {index} = {} to {}", linear(from), linear(to));
            set = hold(body) <= Hold::Sum;
            vec![bare(body)]
        }
        Math::List { items } => {
            brackets = ("[", "]");
            items.iter().collect()
        }
        _ => return None,
    };
    Some(Opened { text, markup, tail, brackets, set, items })
}

impl Opened<'_> {
    /// Its stretches, behind what leads to it. The brackets stay as high as a letter, since none of them sees the others.
    fn split(self, text: &str, markup: &str, pieces: &mut Vec<Piece>) {
        let from = pieces.len();
        for (place, item) in self.items.iter().enumerate() {
            split(item, None, pieces);
            if let Some(last) = pieces.last_mut().filter(|_| place + 1 < self.items.len()) {
                let between = between_numbers().trim_end();
                last.text.push_str(between);
                tagged("<mo>", between, "</mo>", &mut last.markup);
            }
        }
        let (open, close) = self.brackets;
        if let Some(first) = pieces.get_mut(from) {
            let mut fenced = format!("{markup}{}", self.markup);
            if self.set {
                fence(open, &mut fenced);
            }
            first.text.insert_str(0, &format!("{text}{}{open}", self.text));
            first.markup.insert_str(0, &fenced);
        }
        if let Some(last) = pieces.last_mut() {
            last.text.push_str(&self.tail);
            last.text.push_str(close);
            if self.set {
                fence(close, &mut last.markup);
            }
        }
    }
}
