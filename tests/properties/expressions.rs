//! Random expressions over three inputs, written in our language and worked by the machine's own arithmetic.

use proptest::prelude::{Strategy, prop_oneof};

/// An expression over the inputs `a`, `b` and `c`.
#[derive(Debug, Clone)]
pub enum Tree {
    Input(usize),
    Number(f64),
    Add(Box<Tree>, Box<Tree>),
    Subtract(Box<Tree>, Box<Tree>),
    Multiply(Box<Tree>, Box<Tree>),
    /// By something that is at least one half.
    Divide(Box<Tree>, Box<Tree>),
    Negative(Box<Tree>),
    Square(Box<Tree>),
    /// Of a square and a half.
    Root(Box<Tree>),
    /// Of an input, for the sine of a great number says more about its last digit than about the program.
    Sine(usize),
}

/// Expressions of a few steps.
pub fn trees() -> impl Strategy<Value = Tree> {
    let number = (1..40u32).prop_map(|quarters| Tree::Number(f64::from(quarters) / 4.0));
    let leaf = prop_oneof![(0..3usize).prop_map(Tree::Input), number, (0..3usize).prop_map(Tree::Sine)];
    leaf.prop_recursive(4, 24, 2, |inner| {
        let pair = (inner.clone(), inner.clone());
        prop_oneof![
            pair.clone().prop_map(|(a, b)| Tree::Add(Box::new(a), Box::new(b))),
            pair.clone().prop_map(|(a, b)| Tree::Subtract(Box::new(a), Box::new(b))),
            pair.clone().prop_map(|(a, b)| Tree::Multiply(Box::new(a), Box::new(b))),
            pair.prop_map(|(a, b)| Tree::Divide(Box::new(a), Box::new(b))),
            inner.clone().prop_map(|a| Tree::Negative(Box::new(a))),
            inner.clone().prop_map(|a| Tree::Square(Box::new(a))),
            inner.prop_map(|a| Tree::Root(Box::new(a))),
        ]
    })
}

/// The expression in our language.
pub fn written(tree: &Tree) -> String {
    match tree {
        Tree::Input(at) => ["a", "b", "c"][*at].to_string(),
        Tree::Number(number) => format!("{number:?}"),
        Tree::Add(a, b) => format!("({} + {})", written(a), written(b)),
        Tree::Subtract(a, b) => format!("({} - {})", written(a), written(b)),
        Tree::Multiply(a, b) => format!("({} * {})", written(a), written(b)),
        Tree::Divide(a, b) => format!("({} / (abs({}) + 0.5))", written(a), written(b)),
        Tree::Negative(a) => format!("(-{})", written(a)),
        Tree::Square(a) => format!("({})^2", written(a)),
        Tree::Root(a) => format!("sqrt(({})^2 + 0.5)", written(a)),
        Tree::Sine(input) => format!("sin({} * 1 rad)", ["a", "b", "c"][*input]),
    }
}

/// Its value at `at`.
pub fn value(tree: &Tree, at: [f64; 3]) -> f64 {
    let of = |tree: &Tree| value(tree, at);
    match tree {
        Tree::Input(input) => at[*input],
        Tree::Number(number) => *number,
        Tree::Add(a, b) => of(a) + of(b),
        Tree::Subtract(a, b) => of(a) - of(b),
        Tree::Multiply(a, b) => of(a) * of(b),
        Tree::Divide(a, b) => of(a) / (of(b).abs() + 0.5),
        Tree::Negative(a) => -of(a),
        Tree::Square(a) => of(a) * of(a),
        Tree::Root(a) => (of(a) * of(a) + 0.5).sqrt(),
        Tree::Sine(input) => at[*input].sin(),
    }
}

/// Its slope in each input at `at`, by central differences of fourth order.
pub fn slopes(tree: &Tree, at: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|input| {
        let step = 1e-4;
        let shifted = |by: f64| {
            let mut there = at;
            there[input] += by * step;
            value(tree, there)
        };
        (8.0 * (shifted(1.0) - shifted(-1.0)) - (shifted(2.0) - shifted(-2.0))) / (12.0 * step)
    })
}
