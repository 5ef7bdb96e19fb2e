//! Expressions and guards of a kind as they are written, before any machine gives them a meaning: mathematics and words
//! made from the syntax tree alone.

use crate::sheet::parts::Math;
use crate::sheet::symbols::symbol;
use crate::syntax::ast::{Comparison, Expression, Fold, Form, Guard, Operator, Path, Relation, Term};
use crate::words::say;

/// The expression as mathematics. Parentheses are put in by whoever prints it.
pub(super) fn expression(written: &Expression) -> Math {
    match &written.form {
        Form::Quantity(terms) => {
            let mut set = terms.iter().map(term);
            let first = set.next().unwrap_or(Math::Number { text: "0".into() });
            set.fold(first, |left, right| Math::Product { left: Box::new(left), right: Box::new(right) })
        }
        Form::Name(path) => named(path, Vec::new()),
        Form::Item { list, index } => named(list, vec![expression(index)]),
        Form::List(items) => Math::List { items: items.iter().map(expression).collect() },
        Form::Negative(of) => Math::Minus { of: Box::new(expression(of)) },
        Form::Binary { operator, left, right, .. } => binary(*operator, expression(left), expression(right)),
        Form::Call { function, arguments } => call(&function.text, arguments.iter().map(expression).collect()),
        Form::Over { fold, body, running } => Math::Over {
            sign: if *fold == Fold::Sum { "∑" } else { "∏" }.into(),
            index: running.index.text.clone(),
            from: Box::new(expression(&running.from)),
            to: Box::new(expression(&running.to)),
            body: Box::new(expression(body)),
        },
    }
}

fn term(term: &Term) -> Math {
    let number = crate::units::typed(&term.typed);
    match &term.unit {
        None => Math::Number { text: number },
        Some(unit) => {
            let symbol = crate::units::parse(&unit.text).map_or_else(|_| unit.text.clone(), |unit| unit.symbol.clone());
            Math::Value { number, unit: symbol }
        }
    }
}

fn named(path: &Path, index: Vec<Math>) -> Math {
    let name = path.parts.iter().map(|part| part.text.as_str()).collect::<Vec<_>>().join(".");
    symbol(&name, index)
}

fn binary(operator: Operator, left: Math, right: Math) -> Math {
    let (left, right) = (Box::new(left), Box::new(right));
    match operator {
        Operator::Add => Math::Infix { operator: "+".into(), left, right },
        Operator::Subtract => Math::Infix { operator: "−".into(), left, right },
        Operator::Multiply => Math::Product { left, right },
        Operator::Divide => Math::Fraction { over: left, under: right },
        Operator::Power => {
            // `sin(x)²` could be read as the sine of x²; the sheet sets such bases in parentheses as well.
            let bare = matches!(*left, Math::Value { .. } | Math::Power { .. } | Math::Call { .. });
            let base = if bare { Box::new(Math::Parentheses { of: left }) } else { left };
            Math::Power { base, exponent: right }
        }
    }
}

fn call(name: &str, mut arguments: Vec<Math>) -> Math {
    let gravity = || Box::new(symbol("g", Vec::new()));
    match (name, arguments.len()) {
        ("sqrt", 1) => Math::Root { of: Box::new(arguments.remove(0)) },
        ("abs", 1) => Math::Absolute { of: Box::new(arguments.remove(0)) },
        ("weight", 1) => Math::Product { left: Box::new(arguments.remove(0)), right: gravity() },
        ("mass", 1) => Math::Fraction { over: Box::new(arguments.remove(0)), under: gravity() },
        _ => Math::Call { name: name.into(), arguments },
    }
}

/// The comparison as written.
pub(super) fn comparison(written: &Comparison) -> Math {
    compared(written, sign(written.relation))
}

/// The case in which the comparison does not hold.
pub(super) fn broken(written: &Comparison) -> Math {
    let turned = match written.relation {
        Relation::AtMost => ">",
        Relation::Below => "≥",
        Relation::AtLeast => "<",
        Relation::Above => "≤",
        Relation::Equal => "≠",
    };
    compared(written, turned)
}

fn compared(written: &Comparison, sign: &str) -> Math {
    Math::Infix { operator: sign.into(), left: Box::new(expression(&written.left)), right: Box::new(expression(&written.right)) }
}

fn sign(relation: Relation) -> &'static str {
    match relation {
        Relation::AtMost => "≤",
        Relation::Below => "<",
        Relation::AtLeast => "≥",
        Relation::Above => ">",
        Relation::Equal => "=",
    }
}

/// A guard in words, without the `when`: "raising", "holding or lowering". `text` gives the source of a
/// comparison between counts, `named` a name as it is set on the page.
pub(super) fn guard(written: &Guard, text: &dyn Fn(&Comparison) -> String, named: &dyn Fn(&str) -> String) -> String {
    match written {
        Guard::Any(guards) => {
            let apart = if guards.iter().any(|one| matches!(one, Guard::All(_))) { say!(", or ") } else { say!(" or ") };
            guards.iter().map(|one| guard(one, text, named)).collect::<Vec<_>>().join(apart)
        }
        Guard::All(guards) => {
            // A direction behind a choice of words would be read as one of them: "contact is sliding and moving".
            let states = guards.iter().filter(|one| matches!(one, Guard::State(_)));
            let others = guards.iter().filter(|one| !matches!(one, Guard::State(_)));
            states.chain(others).map(|one| guard(one, text, named)).collect::<Vec<_>>().join(say!(" and "))
        }
        Guard::State(word) => match word.text.as_str() {
            "raising" => say!("raising¦when").to_string(),
            "holding" => say!("holding¦when").to_string(),
            "lowering" => say!("lowering¦when").to_string(),
            "starting" => say!("starting¦when").to_string(),
            "moving" => say!("moving¦when").to_string(),
            other => named(other),
        },
        Guard::Is { option, choice, negated } => {
            let (option, choice) = (named(&spaced(&option.text)), named(&choice.text));
            if *negated {
                say!("{option} is not {choice}", option = option, choice = choice)
            } else {
                say!("{option} is {choice}", option = option, choice = choice)
            }
        }
        Guard::Given { field, negated: false } => say!("{field} is given", field = named(&spaced(&field.text))),
        Guard::Given { field, negated: true } => say!("{field} is not given", field = named(&spaced(&field.text))),
        Guard::Compare(comparison) => {
            let compared = spaced(&text(comparison)).split_whitespace().collect::<Vec<_>>().join(" ");
            named(&compared.replace("<=", "≤").replace(">=", "≥"))
        }
    }
}

/// A name as it is written in a machine: `sheave_loss` as the two words it is.
pub(super) fn spaced(name: &str) -> String {
    name.replace('_', " ")
}
