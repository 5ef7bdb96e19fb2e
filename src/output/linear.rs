//! Mathematics on one line of text: for the terminal, for diffs, and for readers who hear the page.

use crate::sheet::parts::Math;

/// How tightly a piece of mathematics holds together; a piece that holds less tightly than its surroundings ask is
/// put in parentheses, whether or not the author wrote them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Hold {
    Comparison,
    Sum,
    Product,
    Sign,
    Power,
    Whole,
}

/// How tightly `math` holds together.
pub(super) fn hold(math: &Math) -> Hold {
    match math {
        Math::Infix { operator, .. } => match operator.as_str() {
            "+" | "-" | "−" | "±" => Hold::Sum,
            _ => Hold::Comparison,
        },
        Math::Product { .. } | Math::Fraction { .. } => Hold::Product,
        // `∑ x · y` would be read as either; a sum over an index is a factor only in parentheses.
        Math::Over { .. } => Hold::Product,
        Math::Minus { .. } => Hold::Sign,
        Math::Number { text } if text.starts_with(['−', '-']) => Hold::Sign,
        Math::Value { number, .. } if number.starts_with(['−', '-']) => Hold::Sign,
        Math::Power { .. } => Hold::Power,
        Math::Value { unit, .. } if !unit.is_empty() => Hold::Product,
        Math::Number { text } if text.contains(['×', '/']) => Hold::Product,
        Math::Value { number, .. } if number.contains(['×', '/']) => Hold::Product,
        Math::Number { .. }
        | Math::Value { .. }
        | Math::Symbol { .. }
        | Math::Root { .. }
        | Math::Absolute { .. }
        | Math::Parentheses { .. }
        | Math::Call { .. }
        | Math::List { .. } => Hold::Whole,
    }
}

/// The operator as it is printed: `≤` for `<=`, a proper minus for a hyphen.
pub(super) fn operator_sign(operator: &str) -> &str {
    match operator {
        "<=" => "≤",
        ">=" => "≥",
        "-" => "−",
        other => other,
    }
}

/// What stands between the factors of a product.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Times {
    /// A thin space: a plain number before a symbol.
    Space,
    /// A raised dot: between symbols.
    Dot,
    /// A cross: as soon as a figure follows or a unit stands there.
    Cross,
}

/// What stands between `left` and `right`.
pub(super) fn times(left: &Math, right: &Math) -> Times {
    if starts_with_figure(right) || has_unit(left) || has_unit(right) {
        return Times::Cross;
    }
    match (left, right) {
        (Math::Number { .. } | Math::Value { .. }, Math::Symbol { .. } | Math::Root { .. } | Math::Power { .. }) => Times::Space,
        _ => Times::Dot,
    }
}

/// Whether the first thing printed is a figure.
fn starts_with_figure(math: &Math) -> bool {
    match math {
        Math::Number { .. } | Math::Value { .. } => true,
        Math::Power { base, .. } => starts_with_figure(base),
        Math::Product { left, .. } => starts_with_figure(left),
        Math::Fraction { over, .. } => starts_with_figure(over),
        _ => false,
    }
}

/// Whether a value with a unit stands in it outside parentheses.
fn has_unit(math: &Math) -> bool {
    match math {
        Math::Value { unit, .. } => !unit.is_empty(),
        Math::Product { left, right } => has_unit(left) || has_unit(right),
        Math::Fraction { over, under } => has_unit(over) || has_unit(under),
        Math::Power { base, .. } => has_unit(base),
        _ => false,
    }
}

/// Whether a unit stands against its number without a space: degrees, minutes and seconds of arc (ISO 80000-1).
pub(super) fn is_tight(unit: &str) -> bool {
    matches!(unit, "°" | "′" | "″")
}

/// A piece without the parentheses that a bar, a root sign or a raised place makes needless.
pub(super) fn bare(math: &Math) -> &Math {
    match math {
        Math::Parentheses { of } => bare(of),
        _ => math,
    }
}

/// The formula on one line, with `×`, `·`, `/`, `^`, `√` and `∑`, and with parentheses wherever reading needs them.
pub fn linear(math: &Math) -> String {
    let mut out = String::with_capacity(48);
    write(math, &mut out);
    out
}

/// The same, written at the end of what is there.
pub(super) fn linear_into(math: &Math, out: &mut String) {
    write(math, out);
}

/// How many characters it has on one line.
pub(super) fn characters(math: &Math) -> usize {
    let mut count = Count(0);
    write(math, &mut count);
    count.0
}

/// Where a line goes: to a text, or to the count of its characters.
trait Line {
    fn push_str(&mut self, text: &str);

    fn push(&mut self, character: char);
}

impl Line for String {
    fn push_str(&mut self, text: &str) {
        String::push_str(self, text);
    }

    fn push(&mut self, character: char) {
        String::push(self, character);
    }
}

struct Count(usize);

impl Line for Count {
    fn push_str(&mut self, text: &str) {
        self.0 += text.chars().count();
    }

    fn push(&mut self, _: char) {
        self.0 += 1;
    }
}

fn write(math: &Math, out: &mut impl Line) {
    match math {
        Math::Number { text } => out.push_str(text),
        Math::Value { number, unit } => {
            out.push_str(number);
            if !unit.is_empty() && !is_tight(unit) {
                out.push(' ');
            }
            out.push_str(unit);
        }
        Math::Symbol { base, subscript, index, .. } => {
            out.push_str(base);
            if !subscript.is_empty() {
                out.push('_');
                out.push_str(subscript);
            }
            if !index.is_empty() {
                out.push('[');
                series(index, out);
                out.push(']');
            }
        }
        Math::Infix { operator, left, right } => {
            let own = hold(math);
            within(left, hold(left) < own, out);
            out.push(' ');
            out.push_str(operator_sign(operator));
            out.push(' ');
            within(right, right_needs_parentheses(operator, right), out);
        }
        Math::Product { left, right } => {
            within(left, hold(left) < Hold::Product, out);
            out.push_str(match times(left, right) {
                Times::Space => " ",
                Times::Dot => "·",
                Times::Cross => " × ",
            });
            within(right, hold(right) < Hold::Product || hold(right) == Hold::Sign, out);
        }
        Math::Fraction { over, under } => {
            let (over, under) = (bare(over), bare(under));
            within(over, hold(over) < Hold::Product, out);
            out.push_str(" / ");
            // A value keeps its unit by itself below the stroke; a product does not keep its factors.
            let together = matches!(under, Math::Value { .. }) && hold(under) == Hold::Product;
            within(under, !together && hold(under) <= Hold::Sign, out);
        }
        Math::Power { base, exponent } => {
            within(base, hold(base) < Hold::Whole, out);
            out.push('^');
            let exponent = bare(exponent);
            within(exponent, hold(exponent) < Hold::Whole && !is_plain_number(exponent), out);
        }
        Math::Root { of } => {
            let of = bare(of);
            out.push('√');
            within(of, !matches!(of, Math::Symbol { .. }) && !is_plain_number(of), out);
        }
        Math::Minus { of } => {
            out.push('−');
            within(of, hold(of) <= Hold::Sum || hold(of) == Hold::Sign, out);
        }
        Math::Absolute { of } => {
            out.push('|');
            write(bare(of), out);
            out.push('|');
        }
        Math::Parentheses { of } => within(bare(of), true, out),
        Math::Call { name, arguments } => {
            out.push_str(name);
            out.push('(');
            series(arguments, out);
            out.push(')');
        }
        Math::Over { sign, index, from, to, body } => {
            out.push_str(sign);
            out.push('(');
            write(body, out);
            out.push_str(", ");
            out.push_str(index);
            out.push_str(" = ");
            write(from, out);
            out.push_str(" to ");
            write(to, out);
            out.push(')');
        }
        Math::List { items } => {
            out.push('[');
            series(items, out);
            out.push(']');
        }
    }
}

/// A number that needs nothing around it: digits, a point, perhaps a minus.
fn is_plain_number(math: &Math) -> bool {
    matches!(math, Math::Number { text } if !text.contains(['×', '/', ' ']))
}

/// Whether what stands to the right of `operator` needs parentheses: `a − (b + c)`, `a + (−b)`.
pub(super) fn right_needs_parentheses(operator: &str, right: &Math) -> bool {
    match operator_sign(operator) {
        "−" => matches!(hold(right), Hold::Sum | Hold::Sign),
        "+" | "±" => hold(right) == Hold::Sign,
        _ => false,
    }
}

fn within(math: &Math, bracket: bool, out: &mut impl Line) {
    if bracket {
        out.push('(');
        write(math, out);
        out.push(')');
    } else {
        write(math, out);
    }
}

fn series(items: &[Math], out: &mut impl Line) {
    for (place, item) in items.iter().enumerate() {
        if place > 0 {
            out.push_str(", ");
        }
        // The brackets and commas of a series serve for those of an item.
        write(bare(item), out);
    }
}

#[cfg(test)]
mod tests {
    use super::linear;
    use crate::output::formula_fixture::{
        add, call, fraction, minus, named, number, parentheses, power, product, root, subtract, symbol, value,
    };

    // The expected lines follow the order of operations of ISO 80000-2 (2019), 2-10.6: a solidus is not followed by a
    // multiplication sign on the same line unless parentheses make it plain.

    #[test]
    fn parentheses_stand_where_reading_needs_them_and_nowhere_else() {
        let sum = || add(symbol("a"), symbol("b"));
        assert_eq!(linear(&product(sum(), symbol("c"))), "(a + b)·c");
        assert_eq!(linear(&fraction(sum(), product(symbol("c"), symbol("d")))), "(a + b) / (c·d)");
        assert_eq!(linear(&fraction(parentheses(sum()), parentheses(sum()))), "(a + b) / (a + b)");
        assert_eq!(linear(&subtract(symbol("a"), subtract(symbol("b"), symbol("c")))), "a − (b − c)");
        assert_eq!(linear(&subtract(subtract(symbol("a"), symbol("b")), symbol("c"))), "a − b − c");
        assert_eq!(linear(&add(symbol("a"), minus(symbol("b")))), "a + (−b)");
        assert_eq!(linear(&minus(power(symbol("a"), number("2")))), "−a^2");
        assert_eq!(linear(&power(minus(symbol("a")), number("2"))), "(−a)^2");
        assert_eq!(linear(&power(value("6.00", "kN"), number("2"))), "(6.00 kN)^2");
        assert_eq!(linear(&power(symbol("a"), power(symbol("b"), symbol("c")))), "a^(b^c)");
        assert_eq!(linear(&root(sum())), "√(a + b)");
    }

    #[test]
    fn factors_are_joined_as_a_setter_would_join_them() {
        assert_eq!(linear(&product(number("2"), named("person", ""))), "2 person");
        assert_eq!(linear(&product(symbol("W"), symbol("k"))), "W·k");
        assert_eq!(linear(&product(value("6.00", "kN"), power(number("1.10"), number("4")))), "6.00 kN × 1.10^4");
        assert_eq!(linear(&call("sin", vec![value("8.1", "°")])), "sin(8.1°)");
    }
}
