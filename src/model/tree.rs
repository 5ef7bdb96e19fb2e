//! Expressions with every name bound and every dimension known: what the program is made from and the working is
//! printed from.

use crate::model::functions::Function;
use crate::model::quantity::Quantity;
use crate::source::Span;
use crate::syntax::ast::{Fold, Operator};
use crate::units::Unit;
use std::sync::Arc;

/// An entry of a [`crate::model::Model`], by its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EntryId(pub usize);

/// One value or a list of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// One value.
    Single,
    /// Items whose index runs from `first`; there are `count` of them.
    List {
        /// Index of the first item.
        first: i64,
        /// How many.
        count: usize,
    },
}

/// A checked expression.
#[derive(Debug, Clone, PartialEq)]
pub struct Tree {
    /// What it is.
    pub form: TreeForm,
    /// Where it was written.
    pub span: Span,
    /// What it is a quantity of.
    pub quantity: Quantity,
    /// One value or a list.
    pub shape: Shape,
}

/// The forms of a checked expression.
#[derive(Debug, Clone, PartialEq)]
pub enum TreeForm {
    /// Could not be made out; its finding has been put down.
    Unknown,
    /// A load that is worked out from something else that is known: its place in [`crate::model::Model::sought`].
    Sought(usize),
    /// Left open on purpose, as the rating of a piece of gear that states none. The text says what is missing.
    Missing(String),
    /// A number as typed, with its value in coherent SI units.
    Constant(Constant),
    /// The value of an entry.
    Entry(EntryId),
    /// An item of an entry that is a list.
    Item(EntryId, Box<Tree>),
    /// The running index of the n-th enclosing loop, outermost 0.
    Variable(usize, Arc<str>),
    /// Items side by side.
    List(Vec<Tree>),
    /// `-x`
    Negative(Box<Tree>),
    /// `a + b`
    Binary(Operator, Box<Tree>, Box<Tree>),
    /// `sqrt(x)`
    Call(Function, Vec<Tree>),
    /// `sum(x[i] for i from 1 to n)`
    Over {
        /// Sum or product.
        fold: Fold,
        /// What is folded.
        body: Box<Tree>,
        /// The index.
        range: Box<Range>,
    },
}

/// A number as typed.
#[derive(Debug, Clone, PartialEq)]
pub struct Constant {
    /// In the coherent SI unit.
    pub si: f64,
    /// The digits as typed, and the unit, for each part of the quantity (`5 ft 6 in` has two).
    pub parts: Vec<(String, Option<Unit>)>,
}

/// What an index runs over, both ends included. Settled before anything is evaluated.
#[derive(Debug, Clone, PartialEq)]
pub struct Range {
    /// The name of the index.
    pub name: Arc<str>,
    /// The slot its value is found in: the number of loops around it.
    pub slot: usize,
    /// First value.
    pub first: i64,
    /// Last value; below `first` when there is nothing to run over.
    pub last: i64,
    /// The first value as written.
    pub first_written: Box<Tree>,
    /// The last value as written.
    pub last_written: Box<Tree>,
}

impl Tree {
    /// An expression that could not be made out.
    pub fn unknown(span: Span) -> Tree {
        Tree { form: TreeForm::Unknown, span, quantity: Quantity::RATIO, shape: Shape::Single }
    }

    /// Whether it, or anything in it, could not be made out.
    pub fn is_unknown(&self) -> bool {
        matches!(self.form, TreeForm::Unknown)
    }

    /// The value of a single entry.
    pub fn entry(id: EntryId, quantity: Quantity, shape: Shape, span: Span) -> Tree {
        Tree { form: TreeForm::Entry(id), span, quantity, shape }
    }

    /// Calls `visit` for every entry that is mentioned.
    pub fn each_entry(&self, visit: &mut dyn FnMut(EntryId)) {
        match &self.form {
            TreeForm::Unknown | TreeForm::Sought(_) | TreeForm::Missing(_) | TreeForm::Constant(_) | TreeForm::Variable(..) => {}
            TreeForm::Entry(id) => visit(*id),
            TreeForm::Item(id, index) => {
                visit(*id);
                index.each_entry(visit);
            }
            TreeForm::List(items) | TreeForm::Call(_, items) => items.iter().for_each(|item| item.each_entry(visit)),
            TreeForm::Negative(of) => of.each_entry(visit),
            TreeForm::Binary(_, left, right) => {
                left.each_entry(visit);
                right.each_entry(visit);
            }
            TreeForm::Over { body, range, .. } => {
                body.each_entry(visit);
                range.first_written.each_entry(visit);
                range.last_written.each_entry(visit);
            }
        }
    }
}
