//! What effort raises, within what range nothing moves, and what stops the load from running back.

use crate::measure::Measured;
use crate::model::quantity::Quantity;
use crate::model::tree::EntryId;
use crate::model::{Direction, FrictionState, Member, Other, State};
use crate::sheet::figures::{exact, figure};
use crate::sheet::parts::{EffortAnswer, Figure};
use crate::sheet::working::Setter;
use crate::words::say;

/// The effort of a machine or train in one state.
enum Found {
    /// What it takes.
    Effort(Measured),
    /// A stage between hand and load holds by itself, with so much to spare at its own effort.
    Held { stage: String, at: String, found: Measured, quantity: Quantity },
    /// Why there is none.
    Refused(String),
    /// Not worked.
    Nothing,
}

/// The answers for a machine or train whose effort, in the state asked for, is `effort`.
pub(super) fn answers(setter: &Setter<'_>, state: State, effort: Option<EntryId>, others: &[Other]) -> Vec<EffortAnswer> {
    let Some(asked) = effort else { return Vec::new() };
    if others.is_empty() || setter.evaluation.entry(asked).is_none() {
        return Vec::new();
    }
    let find = |direction: Direction, friction: FrictionState| {
        let same = |state: State| state.direction() == direction && state.friction() == friction;
        if same(state) {
            return value(setter, asked);
        }
        match others.iter().find(|other| same(other.state)) {
            Some(other) => other_value(setter, other),
            // Where a kind does not keep the frictions apart, the state asked for stands for both.
            None if state.direction() == direction => value(setter, asked),
            None => {
                others.iter().find(|other| other.state.direction() == direction).map_or(Found::Nothing, |other| other_value(setter, other))
            }
        }
    };
    let raises = find(Direction::Raising, FrictionState::Starting);
    let keeps = find(Direction::Raising, FrictionState::Moving);
    let rests = find(Direction::Holding, FrictionState::Starting);
    let stops = find(Direction::Holding, FrictionState::Moving);
    let differ = |a: &Found, b: &Found| match (a, b) {
        (Found::Effort(a), Found::Effort(b)) => (a.value - b.value).abs() > 1e-12 * a.value.abs().max(b.value.abs()),
        _ => false,
    };
    let two = differ(&raises, &keeps);
    let entry = setter.model.entry(asked);
    let quantity = entry.quantity;
    let unit = entry.shown_in.as_ref();
    let printed = |found: Measured| figure(found, quantity, unit, setter.style);
    let plain = |found: &Measured| exact(found.value, quantity, unit, setter.style).text.clone();
    let mut rows = Vec::new();
    let mut row =
        |question: &str, answer: String, figure: Option<Figure>| rows.push(EffortAnswer { question: question.into(), answer, figure });
    let least = if two { say!("Least effort that starts to raise it") } else { say!("Least effort that raises it") };
    match &raises {
        Found::Effort(found) => {
            let figure = printed(*found);
            row(least, figure.text.clone(), Some(figure));
        }
        Found::Refused(why) => row(least, say!("none: {why}", why = why), None),
        Found::Held { .. } | Found::Nothing => {}
    }
    if let (true, Found::Effort(found)) = (two, &keeps) {
        let figure = printed(*found);
        row(say!("Effort that keeps it moving"), figure.text.clone(), Some(figure));
    }
    match (&rests, &raises) {
        (Found::Held { .. }, Found::Effort(high)) => {
            row(say!("Nothing moves between"), say!("any effort up to {top}, and none at all", top = plain(high)), None);
        }
        (Found::Effort(low), Found::Effort(high)) if low.value < high.value => {
            let top = plain(high);
            let words = if low.value > 0.0 {
                say!("{low} to {top}", low = plain(low), top = top)
            } else {
                say!("any effort up to {top}, and none at all", top = top)
            };
            row(say!("Nothing moves between"), words, None);
        }
        (Found::Effort(low), Found::Effort(_)) => {
            row(say!("Nothing moves between"), say!("no range: without friction it balances at {low}", low = plain(low)), None);
        }
        (Found::Effort(low), Found::Refused(_)) => {
            let words = if low.value > 0.0 {
                say!("{low} and anything above", low = plain(low))
            } else {
                say!("any effort, and none at all").into()
            };
            row(say!("Nothing moves between"), words, None);
        }
        _ => {}
    }
    match &stops {
        Found::Effort(found) if found.value > 0.0 => {
            let figure = printed(*found);
            row(say!("Least effort that stops it running back"), figure.text.clone(), Some(figure));
        }
        Found::Effort(found) => {
            let figure = printed(Measured { value: -found.value, ..*found });
            row(say!("Least effort that stops it running back"), say!("none on these figures: friction holds it").into(), None);
            row(say!("Effort the other way that drives it down"), figure.text.clone(), Some(figure));
        }
        Found::Held { stage, .. } => {
            row(say!("Least effort that stops it running back"), say!("none on these figures: `{stage}` holds it", stage = stage), None)
        }
        Found::Refused(why) => row(say!("Least effort that stops it running back"), say!("none: {why}", why = why), None),
        Found::Nothing => {}
    }
    rows
}

fn value(setter: &Setter<'_>, id: EntryId) -> Found {
    match setter.evaluation.entry(id).and_then(|values| values.first().copied()) {
        Some(found) => Found::Effort(found),
        None => Found::Nothing,
    }
}

fn other_value(setter: &Setter<'_>, other: &Other) -> Found {
    // A load that rubs or rolls may stay where it is with no pull at all.
    if let Some(load) = other.end.and_then(|end| setter.model.machines.get(end))
        && other.state.direction() == Direction::Holding
        && let Found::Effort(found) = value(setter, other.load)
        && found.value <= 0.0
    {
        let quantity = Quantity::FORCE;
        return Found::Held { stage: load.name.clone(), at: say!("the pull of `{name}`", name = load.name), found, quantity };
    }
    // From the load towards the hand: behind a stage that holds there is nothing to hold, and a rope cannot push it down.
    for (place, instance) in other.instances.iter().enumerate().rev() {
        if let Some(why) = setter.evaluation.refused.get(instance) {
            return Found::Refused(why.clone());
        }
        let Some(made) = setter.model.instances.get(*instance) else { continue };
        if place > 0
            && other.state.direction() == Direction::Holding
            && let Some(Member::Value(id)) = made.members.get("effort")
            && let Found::Effort(found) = value(setter, *id)
            && found.value <= 0.0
        {
            let stage = setter.model.machines.get(made.machine).map(|machine| machine.name.clone()).unwrap_or_default();
            let quantity = setter.model.entry(*id).quantity;
            return Found::Held { at: say!("the effort of `{name}`", name = stage), stage, found, quantity };
        }
    }
    other.effort.map_or(Found::Nothing, |effort| value(setter, effort))
}

/// What holds with no effort: said once for a whole train, since one stage that holds is enough for all on its hand side.
pub(super) fn self_holding(setter: &Setter<'_>, others: &[Other], quantity: Quantity) -> String {
    let Some(holding) = others.iter().find(|other| other.word == "holding") else { return String::new() };
    let (at, found, quantity) = match other_value(setter, holding) {
        Found::Effort(found) => (say!("the effort").to_string(), found, quantity),
        Found::Held { at, found, quantity, .. } => (at, found, quantity),
        Found::Refused(_) | Found::Nothing => return String::new(),
    };
    let text = &figure(Measured { value: found.value.abs(), ..found }, quantity, None, setter.style).text;
    if found.value <= 0.0 && found.uncertainty > 0.0 && found.value.abs() <= found.expanded(setter.style.coverage) {
        say!(
            "Hardly holds by itself: what it has to spare at {at}, {text}, lies within its doubt. Treat it as running back; secure the load before the effort is released.",
            at = at,
            text = text
        )
    } else if found.value > 0.0 {
        say!(
            "Does not hold by itself: it runs back unless at least {text} is kept on. Secure the load before the effort is released.",
            text = text
        )
    } else {
        say!(
            "Holds by itself on these figures, with {text} to spare at {at}. Not certified: shake, wet or wear can undo it; secure the load.",
            text = text,
            at = at
        )
    }
}
