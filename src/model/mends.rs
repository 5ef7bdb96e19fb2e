//! What a fault spoils, so that one slip is told once, and what may have been meant by a word that is not known.

use crate::diagnostics::catalogue::machines::{DateUnread, DutyNear, FieldUnknown};
use crate::diagnostics::nearest;
use crate::model::resolve::Resolver;
use crate::model::scope::Bound;
use crate::model::tree::{Tree, TreeForm};
use crate::model::{Model, settings};
use crate::source::Extent;
use crate::syntax::ast::Setting;

// Words of the trade for what the language calls otherwise.
const OTHERWISE: &[(&str, &str)] = &[
    ("wll", "rated"),
    ("swl", "rated"),
    ("working_load_limit", "rated"),
    ("safe_working_load", "rated"),
    ("rating", "rated"),
    ("capacity", "rated"),
    ("rated_load", "rated"),
    ("rated_capacity", "rated"),
    ("mbl", "breaking"),
    ("mbs", "breaking"),
    ("breaking_load", "breaking"),
    ("breaking_strength", "breaking"),
    ("breaking_force", "breaking"),
    ("safety_factor", "design_factor"),
    ("factor_of_safety", "design_factor"),
    ("sf", "design_factor"),
    ("reeved", "rove"),
    ("reeving", "rove"),
    ("lifting", "raising"),
    ("hoisting", "raising"),
    ("hauling", "raising"),
    ("pulling", "raising"),
    ("up", "raising"),
    ("down", "lowering"),
    ("static", "starting"),
    ("kinetic", "moving"),
    ("author", "originator"),
    ("engineer", "originator"),
    ("by", "originator"),
    ("checked_by", "checker"),
    ("approved_by", "approver"),
    ("rev", "revision"),
    ("customer", "client"),
    ("job", "project"),
    ("g", "gravity"),
    ("mu", "friction"),
    ("ima", "velocity_ratio"),
    ("vr", "velocity_ratio"),
    ("ma", "mechanical_advantage"),
    ("ama", "mechanical_advantage"),
    ("tension", "hauling_part"),
    ("pull", "effort"),
    ("fulcrum", "pivot_load"),
    ("ropes", "parts"),
    ("falls", "parts"),
    ("strands", "parts"),
    ("lines", "parts"),
    ("part", "parts"),
    ("parts_of_line", "parts"),
    ("friction", "sheave_loss"),
    ("sheave_friction", "sheave_loss"),
    ("loss", "sheave_loss"),
    ("coefficient_of_friction", "friction"),
    ("slope", "angle"),
    ("incline", "angle"),
    ("gradient", "grade"),
    ("mass", "weight"),
];

/// How a mass is put beside a force: by its name where it has one.
pub(super) fn weighed(mass: &Tree, model: &Model) -> String {
    match &mass.form {
        TreeForm::Entry(id) => format!("write `weight({})` for the force that this mass pulls with", model.entry(*id).name),
        _ => "write `weight(...)` round the mass".to_string(),
    }
}

/// Which of `known` a word that is none of them may have been meant to be, best first.
pub(super) fn meant<'n>(word: &str, known: impl IntoIterator<Item = &'n str>) -> Vec<String> {
    let known: Vec<&str> = known.into_iter().collect();
    let low = word.to_lowercase();
    let otherwise = OTHERWISE.iter().filter(|(other, _)| *other == low).map(|(_, own)| *own).filter(|own| known.contains(own));
    let mut found: Vec<&str> = otherwise.collect();
    if found.is_empty() {
        found = nearest(word, known.iter().copied());
    }
    if found.is_empty() && word.chars().count() > 3 {
        found = known.iter().copied().filter(|name| name.split('_').any(|part| part == low)).take(3).collect();
    }
    found.into_iter().map(String::from).collect()
}

// The same of the first word of a setting, where what follows it may be its value or not: those that begin with the very word go before
// those that are merely spelt like it.
fn meant_by_first(word: &str, known: &[&str]) -> Vec<String> {
    let low = word.to_lowercase();
    let begun = known.iter().filter(|name| name.split_once('_').is_some_and(|(first, _)| first == low)).take(3);
    let begun: Vec<String> = begun.map(|name| name.to_string()).collect();
    if begun.is_empty() || OTHERWISE.iter().any(|(other, own)| *other == low && known.contains(own)) {
        return meant(word, known.iter().copied());
    }
    begun
}

impl Resolver<'_> {
    /// Puts down that a setting is not understood.
    pub(super) fn unknown_setting(&mut self, setting: &Setting, of: &str, known: &[&str]) {
        let spaced = |name: &str| name.replace('_', " ");
        // A sign between the name and its value hides the name.
        let head = setting.text.split([':', '=', '"', '\n']).next().unwrap_or("").trim_end();
        let head_name = head.split_whitespace().collect::<Vec<_>>().join("_");
        let sign = setting.text.get(head.len()..).unwrap_or("").trim_start().chars().next();
        if let Some(sign) = sign.filter(|sign| [':', '='].contains(sign) && known.contains(&head_name.as_str())) {
            let start = setting.at.start as usize + setting.text.find(sign).unwrap_or(0);
            self.put(Extent::new(start, start + 1), &settings::with_sign(sign, &head_name));
            return;
        }
        let words: Vec<&str> = setting.words.iter().map(|word| word.text.as_str()).collect();
        // As many words as name something come nearest to what was meant.
        let near = (1..=words.len()).rev().map(|count| match words.get(..count).unwrap_or_default() {
            [word] => meant_by_first(word, known),
            words => meant(&words.join("_"), known.iter().copied()),
        });
        let mut near: Vec<String> = near.filter(|near| !near.is_empty()).take(1).flatten().collect();
        if near.is_empty() {
            near = meant(&head_name, known.iter().copied());
        }
        let text = setting.words.first().map_or(setting.text.clone(), |word| word.text.clone());
        let at = setting.words.first().map_or(setting.at, |word| word.at);
        let finding = FieldUnknown {
            text,
            of: of.into(),
            near: near.iter().map(|name| spaced(name)).collect(),
            known: known.iter().map(|name| spaced(name)).collect(),
        };
        self.put(at, &finding);
    }

    // Whether a machine stands still: it carries nothing yet.
    fn is_idle(&self, machine: usize) -> bool {
        let moves = |at: &usize| self.model.instances.get(*at).is_some_and(|instance| instance.loaded);
        self.model.machines.get(machine).is_some_and(|machine| !machine.instances.iter().any(moves))
    }

    /// What is odd about a cell of the title block.
    pub(super) fn cell(&mut self, name: &str, found: &settings::Matched<'_>) {
        let text = settings::plain(found.rest);
        if name == "date" && !text.is_empty() && !is_date(&text) {
            self.put(found.rest_at, &DateUnread { found: text.clone() });
        }
        let near = match text.trim().to_lowercase().as_str() {
            "lifting" | "lifts" | "hoisting" | "raise" | "raising" => "lift",
            "pulling" | "pulls" | "haul" | "hauling" | "drag" | "dragging" | "tow" | "towing" => "pull",
            _ => return,
        };
        if name == "duty" {
            self.put(found.rest_at, &DutyNear { found: text, near: near.into() });
        }
    }

    /// What a statement with a fault was to define or to set to work stays quiet: the statement is mended first.
    pub(super) fn spoiled_by(&mut self, text: &str) {
        let words = |text: &str| -> Vec<String> {
            let plain = |word: &str| word.trim_start_matches(|c: char| c.is_ascii_digit()).to_string();
            text.split(|c: char| !(c.is_alphanumeric() || c == '_')).map(plain).filter(|word| !word.is_empty()).collect()
        };
        if text.starts_with("train") {
            for word in words(text) {
                let bound = self.scopes.get(self.scope).and_then(|scope| scope.names.get(&word)).map(|(bound, _)| bound.clone());
                if let Some(Bound::Machine(machine)) = bound
                    && self.is_idle(machine)
                    && !self.joined.contains_key(&word)
                {
                    self.spoil(machine);
                }
            }
        }
        let head = text.split(['=', ':', '"', '\n']).next().unwrap_or("");
        let spoiled = words(head).into_iter().skip(1);
        if let Some(scope) = self.scopes.get_mut(self.scope) {
            scope.spoiled.extend(spoiled);
        }
    }
}

// A calendar date as ISO 8601 writes it.
fn is_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts.as_slice() else { return false };
    let figures =
        |text: &str, count: usize| (text.len() == count && text.chars().all(|c| c.is_ascii_digit())).then(|| text.parse::<u32>().ok())?;
    let (Some(year), Some(month), Some(day)) = (figures(year, 4), figures(month, 2), figures(day, 2)) else { return false };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        1..=12 => 31,
        _ => return false,
    };
    (1..=days).contains(&day)
}
