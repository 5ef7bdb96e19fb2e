//! Whole counts, known before anything is evaluated: how long a list is, which relation of a kind holds.

use crate::model::Model;
use crate::model::functions::Function;
use crate::model::tree::{Shape, Tree, TreeForm};
use crate::syntax::ast::Operator;

/// The whole number that `tree` comes to, when it rests on nothing but whole numbers stated without doubt.
/// `loops` holds the values of the running indices around it, outermost first.
pub(crate) fn whole(tree: &Tree, model: &Model, loops: &[i64]) -> Option<i64> {
    match &tree.form {
        TreeForm::Constant(constant) => {
            let fits = tree.quantity.is_number() && constant.si == libm::trunc(constant.si) && constant.si.abs() < 1e9;
            fits.then_some(constant.si as i64)
        }
        TreeForm::Variable(slot, _) => loops.get(*slot).copied(),
        TreeForm::Entry(id) => {
            let entry = model.entry(*id);
            if !entry.doubts.is_empty() || entry.shape != Shape::Single {
                return None;
            }
            whole(&entry.value, model, &[])
        }
        TreeForm::Negative(of) => Some(-whole(of, model, loops)?),
        TreeForm::Binary(operator, left, right) => {
            let (left, right) = (whole(left, model, loops)?, whole(right, model, loops)?);
            match operator {
                Operator::Add => left.checked_add(right),
                Operator::Subtract => left.checked_sub(right),
                Operator::Multiply => left.checked_mul(right),
                Operator::Divide => (right != 0 && left % right == 0).then(|| left / right),
                Operator::Power => left.checked_pow(u32::try_from(right).ok()?),
            }
        }
        TreeForm::Call(Function::Count, items) => match items.first()?.shape {
            Shape::List { count, .. } => i64::try_from(count).ok(),
            Shape::Single => None,
        },
        TreeForm::Call(Function::Min, items) => {
            items.iter().map(|item| whole(item, model, loops)).collect::<Option<Vec<_>>>()?.into_iter().min()
        }
        TreeForm::Call(Function::Max, items) => {
            items.iter().map(|item| whole(item, model, loops)).collect::<Option<Vec<_>>>()?.into_iter().max()
        }
        TreeForm::Unknown
        | TreeForm::Sought(_)
        | TreeForm::Missing(_)
        | TreeForm::Item(..)
        | TreeForm::List(_)
        | TreeForm::Call(..)
        | TreeForm::Over { .. } => None,
    }
}

/// Whether `tree` is a whole count, or a list of nothing but whole counts.
pub(crate) fn all_whole(tree: &Tree, model: &Model) -> bool {
    match &tree.form {
        TreeForm::List(items) => items.iter().all(|item| whole(item, model, &[]).is_some()),
        TreeForm::Entry(id) if tree.shape != Shape::Single => {
            model.entry(*id).doubts.is_empty() && all_whole(&model.entry(*id).value, model)
        }
        _ => whole(tree, model, &[]).is_some(),
    }
}
