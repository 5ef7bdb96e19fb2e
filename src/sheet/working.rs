//! Lines of working: the formula as written, the same with values put in, and the result.

use crate::model::functions::Function;
use crate::model::tree::EntryId;
use crate::model::tree::{Range, Tree, TreeForm};
use crate::model::{Entry, Model, Owner, Role};
use crate::program::Evaluation;
use crate::sheet::figures::{Printed, Style};
use crate::sheet::parts::{Math, WorkingLine};
use crate::sheet::symbols::{anchor, symbol};
use crate::syntax::ast::{EvidenceWord, Fold, Operator, Relation};
use crate::words::say;

/// Turns checked expressions into mathematics.
#[derive(Clone, Copy)]
pub(super) struct Setter<'s> {
    pub(super) model: &'s Model,
    pub(super) evaluation: &'s Evaluation,
    pub(super) style: Style,
    /// The working and the drawings are left out.
    pub(super) brief: bool,
    /// Names of this owner are set without it: inside a machine's own relations its name says nothing new.
    pub(super) inside: Option<Owner>,
    /// The numbers, worked out once for all lines.
    pub(super) printed: &'s Printed<'s>,
}

impl Setter<'_> {
    /// The line of an entry, numbered `number`.
    pub(super) fn line(&self, id: EntryId, number: String) -> WorkingLine {
        let entry = self.model.entry(id);
        let index = entry.index.as_ref().map(|range| vec![symbol(&range.name, Vec::new())]).unwrap_or_default();
        let figures = self.printed.of(id);
        let is_list = entry.shape != crate::model::tree::Shape::Single;
        let formula = self.formula(&entry.value);
        let substitution = (!is_list && !figures.is_empty() && says_more(&entry.value)).then(|| self.substituted(&entry.value));
        WorkingLine {
            number,
            anchor: anchor(&entry.name),
            name: entry.name.clone(),
            label: entry.label.clone(),
            symbol: symbol(self.name_of(entry), index),
            formula,
            substitution,
            result: if is_list { None } else { figures.first().cloned() },
            items: if is_list { figures.to_vec() } else { Vec::new() },
            reference: references(entry),
            worked_from: self.rests_on(&[&entry.value]),
        }
    }

    /// Anchors of the lines and inputs that stand in `trees`, each once.
    pub(super) fn rests_on(&self, trees: &[&Tree]) -> Vec<String> {
        let (mut anchors, mut seen) = (Vec::new(), Vec::new());
        for tree in trees {
            tree.each_entry(&mut |id| {
                if seen.contains(&id) {
                    return;
                }
                seen.push(id);
                let from = self.model.entry(id);
                if from.role != Role::Passed {
                    let anchor = anchor(&from.name);
                    if !anchors.contains(&anchor) {
                        anchors.push(anchor);
                    }
                }
            });
        }
        anchors
    }

    fn name_of<'e>(&self, entry: &'e Entry) -> &'e str {
        let own = self.inside.is_some_and(|inside| inside == entry.owner || self.same_machine(inside, entry.owner));
        if own { &entry.local } else { &entry.name }
    }

    // A machine's stated fields belong to the machine, its relations to the machine at work.
    fn same_machine(&self, inside: Owner, owner: Owner) -> bool {
        match (inside, owner) {
            (Owner::Instance(at), Owner::Machine(machine)) => {
                self.model.instances.get(at).is_some_and(|instance| instance.machine == machine)
            }
            _ => false,
        }
    }

    /// The expression as written.
    pub(super) fn formula(&self, tree: &Tree) -> Math {
        self.set(tree, 0, false)
    }

    /// The expression with values and units put in for names.
    pub(super) fn substituted(&self, tree: &Tree) -> Math {
        self.set(tree, 0, true)
    }

    /// A comparison as written.
    pub(super) fn comparison(&self, left: &Tree, relation: Relation, right: &Tree) -> Math {
        let operator = match relation {
            Relation::AtMost => "≤",
            Relation::Below => "<",
            Relation::AtLeast => "≥",
            Relation::Above => ">",
            Relation::Equal => "=",
        };
        Math::Infix { operator: operator.into(), left: Box::new(self.formula(left)), right: Box::new(self.formula(right)) }
    }

    // `tightness` is the precedence that surrounds: 0 none, 1 sum, 2 product, 3 power.
    fn set(&self, tree: &Tree, tightness: u8, values: bool) -> Math {
        match &tree.form {
            TreeForm::Unknown | TreeForm::Missing(_) => {
                let base = if matches!(tree.form, TreeForm::Unknown) { say!("not worked") } else { say!("not stated") };
                Math::Symbol { base: base.into(), subscript: String::new(), italic: false, index: Vec::new() }
            }
            TreeForm::Constant(constant) => {
                let Some(((typed, unit), before)) = constant.parts.split_last() else { return Math::Number { text: "0".into() } };
                // `5 ft 6 in` is one quantity, and nothing is multiplied in it: its parts stand side by side.
                let before = before.iter().map(|(typed, unit)| {
                    let unit = unit.as_ref().map_or("", |unit| unit.symbol.as_str());
                    crate::units::spaced(&crate::units::typed(typed), unit) + "\u{a0}"
                });
                let number = before.chain([crate::units::typed(typed)]).collect::<String>();
                match unit {
                    None => Math::Number { text: number },
                    Some(unit) => Math::Value { number, unit: unit.symbol.clone() },
                }
            }
            TreeForm::Sought(at) => {
                let Some((target, known)) = self.model.sought.get(*at).and_then(|sought| Some((sought.target.as_ref()?, sought.known)))
                else {
                    return Math::Number { text: "?".into() };
                };
                let right = self.entry(known, None, true);
                let meets = Math::Infix { operator: "=".into(), left: Box::new(self.set(target, 0, false)), right: Box::new(right) };
                Math::Call { name: say!("the load for which").into(), arguments: vec![meets] }
            }
            TreeForm::Entry(id) => self.entry(*id, None, values),
            TreeForm::Item(id, index) => self.entry(*id, Some(index), values),
            TreeForm::Variable(_, name) => symbol(name, Vec::new()),
            TreeForm::List(items) => Math::List { items: items.iter().map(|item| self.set(item, 0, values)).collect() },
            TreeForm::Negative(of) => bracket(Math::Minus { of: Box::new(self.set(of, 2, values)) }, tightness > 1),
            TreeForm::Binary(operator, left, right) => self.binary(*operator, left, right, tightness, values),
            TreeForm::Call(Function::AtLoad(law), arguments) => self.at_load(*law, arguments.first(), tightness, values),
            TreeForm::Call(function, arguments) => {
                let mut set: Vec<Math> = arguments.iter().map(|argument| self.set(argument, 0, values)).collect();
                match (function, set.len()) {
                    (Function::Sqrt, 1) => Math::Root { of: Box::new(set.remove(0)) },
                    (Function::Abs, 1) => Math::Absolute { of: Box::new(set.remove(0)) },
                    _ => Math::Call { name: function.name().into(), arguments: set },
                }
            }
            TreeForm::Over { fold, body, range } => self.over(*fold, body, range, tightness, values),
        }
    }

    fn binary(&self, operator: Operator, left: &Tree, right: &Tree, tightness: u8, values: bool) -> Math {
        match operator {
            Operator::Add | Operator::Subtract => {
                let sign = if operator == Operator::Add { "+" } else { "−" };
                let right = self.set(right, if operator == Operator::Subtract { 2 } else { 1 }, values);
                let sum = Math::Infix { operator: sign.into(), left: Box::new(self.set(left, 1, values)), right: Box::new(right) };
                bracket(sum, tightness > 1)
            }
            Operator::Multiply => {
                let product = Math::Product { left: Box::new(self.set(left, 2, values)), right: Box::new(self.set(right, 2, values)) };
                bracket(product, tightness > 2)
            }
            Operator::Divide => {
                let fraction = Math::Fraction { over: Box::new(self.set(left, 0, values)), under: Box::new(self.set(right, 0, values)) };
                bracket(fraction, tightness > 2)
            }
            Operator::Power => {
                let base = self.set(left, 3, values);
                let base = match base {
                    Math::Value { .. } | Math::Power { .. } | Math::Call { .. } => Math::Parentheses { of: Box::new(base) },
                    other => other,
                };
                Math::Power { base: Box::new(base), exponent: Box::new(self.set(right, 0, values)) }
            }
        }
    }

    // As a call of the law; in numbers, as the line itself.
    fn at_load(&self, law: usize, load: Option<&Tree>, tightness: u8, values: bool) -> Math {
        let (Some(law), Some(load)) = (self.model.laws.get(law), load) else { return Math::Number { text: "?".into() } };
        if !values {
            return Math::Call { name: law.name.clone(), arguments: vec![self.set(load, 0, false)] };
        }
        let share = Math::Product { left: Box::new(self.entry(law.slope, None, true)), right: Box::new(self.set(load, 2, true)) };
        let no_load = self.entry(law.no_load_effort, None, true);
        bracket(Math::Infix { operator: "+".into(), left: Box::new(share), right: Box::new(no_load) }, tightness > 1)
    }

    fn over(&self, fold: Fold, body: &Tree, range: &Range, tightness: u8, values: bool) -> Math {
        let sum = Math::Over {
            sign: if fold == Fold::Sum { "∑" } else { "∏" }.into(),
            index: range.name.to_string(),
            from: Box::new(self.set(&range.first_written, 0, values)),
            to: Box::new(self.set(&range.last_written, 0, values)),
            // The terms of a sum stay as written; their values stand in the line of the list.
            body: Box::new(self.set(body, 2, false)),
        };
        bracket(sum, tightness > 1)
    }

    fn entry(&self, id: EntryId, index: Option<&Tree>, values: bool) -> Math {
        let entry = self.model.entry(id);
        if values
            && index.is_none()
            && entry.shape == crate::model::tree::Shape::Single
            && let Some(figure) = self.printed.of(id).first()
        {
            let value = if figure.unit.is_empty() {
                Math::Number { text: figure.number.clone() }
            } else {
                Math::Value { number: figure.number.clone(), unit: figure.unit.clone() }
            };
            return bracket(value, figure.si < 0.0);
        }
        let index = index.map(|index| vec![self.set(index, 0, false)]).unwrap_or_default();
        symbol(self.name_of(entry), index)
    }
}

fn bracket(math: Math, needed: bool) -> Math {
    if needed { Math::Parentheses { of: Box::new(math) } } else { math }
}

// A bare number says the same twice when it is put in for itself.
fn says_more(tree: &Tree) -> bool {
    let mut names = false;
    tree.each_entry(&mut |_| names = true);
    names && !matches!(tree.form, TreeForm::Entry(_) | TreeForm::Item(..))
}

/// Texts in one line, one after the other.
pub(super) fn joined(texts: impl Iterator<Item = impl AsRef<str>>) -> String {
    let mut line = String::new();
    for (place, text) in texts.enumerate() {
        line.push_str(if place == 0 { "" } else { "; " });
        line.push_str(text.as_ref());
    }
    line
}

/// The references of an entry, joined.
pub(super) fn references(entry: &Entry) -> String {
    let texts = entry.evidence.iter().filter(|(word, _)| matches!(word, EvidenceWord::Ref | EvidenceWord::From));
    joined(texts.map(|(_, text)| text.as_str()))
}
