//! When a line of a kind holds: settled from directions, options, given fields and whole counts alone.

use crate::model::expressions::Reader;
use crate::model::{Direction, FrictionState, State, counts};
use crate::syntax::ast::{Guard, Relation};

/// What a guard may ask about.
pub(super) struct Circumstances<'c> {
    pub(super) state: State,
    pub(super) choice: &'c dyn Fn(&str) -> Option<&'c str>,
    pub(super) given: &'c dyn Fn(&str) -> Option<bool>,
}

/// Whether `guard` holds; none when it asks about something the kind does not have, which has then been put down.
pub(super) fn holds(guard: &Guard, circumstances: &Circumstances<'_>, reader: &mut Reader<'_>) -> Option<bool> {
    match guard {
        Guard::Any(guards) => {
            let answers: Option<Vec<bool>> = guards.iter().map(|guard| holds(guard, circumstances, reader)).collect();
            Some(answers?.into_iter().any(|answer| answer))
        }
        Guard::All(guards) => {
            // Later parts may ask for counts that exist only where the earlier ones hold.
            for guard in guards {
                if !holds(guard, circumstances, reader)? {
                    return Some(false);
                }
            }
            Some(true)
        }
        Guard::State(word) => match word.text.as_str() {
            "raising" => Some(circumstances.state.direction() == Direction::Raising),
            "holding" => Some(circumstances.state.direction() == Direction::Holding),
            "lowering" => Some(circumstances.state.direction() == Direction::Lowering),
            "starting" => Some(circumstances.state.friction() == FrictionState::Starting),
            "moving" => Some(circumstances.state.friction() == FrictionState::Moving),
            _ => None,
        },
        Guard::Is { option, choice, negated } => Some(((circumstances.choice)(&option.text)? == choice.text) != *negated),
        Guard::Given { field, negated } => Some((circumstances.given)(&field.text)? != *negated),
        Guard::Compare(comparison) => {
            let (left, right) = reader.comparison(comparison)?;
            let left = counts::whole(&left, reader.model, &[])?;
            let right = counts::whole(&right, reader.model, &[])?;
            Some(match comparison.relation {
                Relation::AtMost => left <= right,
                Relation::Below => left < right,
                Relation::AtLeast => left >= right,
                Relation::Above => left > right,
                Relation::Equal => left == right,
            })
        }
    }
}
