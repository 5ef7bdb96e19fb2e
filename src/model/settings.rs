//! The settings that every sheet, piece of gear, machine and train understands, and how a line is matched with a name.

use crate::diagnostics::catalogue::slips::OtherSign;
use crate::source::Extent;
use crate::syntax::ast::Setting;

/// Settings of a machine at work that belong to no kind.
pub(super) const MACHINE: &[&str] = &["load", "load_travel", "known", "raising", "holding", "lowering", "starting", "moving"];

/// Settings of a train.
pub(super) const TRAIN: &[&str] = &["load_travel", "known", "raising", "holding", "lowering", "starting", "moving"];

/// Settings of a piece of gear.
pub(super) const GEAR: &[&str] = &["rated", "breaking", "design_factor", "edition", "inspect_by"];

/// Lines of an instrument.
pub(super) const INSTRUMENT: &[&str] = &["resolution", "zero", "calibration", "own_weight", "hook_weight"];

/// What a line of an instrument is, in words.
pub(super) fn of_instrument(name: &str) -> &'static str {
    match name {
        "resolution" => "step of its scale",
        "zero" => "what it shows with nothing on it",
        "own_weight" => "its own weight",
        _ => "weight of its hook and rod",
    }
}

/// What a setting of a piece of gear is, in words.
pub(super) fn rating(name: &str) -> &'static str {
    match name {
        "breaking" => "breaking load",
        "design_factor" => "design factor",
        _ => "rated load",
    }
}

/// Cells of the title block: setting and printed label, in the order of the page.
pub(super) const HEAD: &[(&str, &str)] = &[
    ("project", "Project"),
    ("client", "Client"),
    ("revision", "Revision"),
    ("date", "Date"),
    ("originator", "Originator"),
    ("checker", "Checker"),
    ("approver", "Approver"),
    ("duty", "Duty"),
];

/// A setting line taken apart: the name it begins with, and what follows.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Matched<'s> {
    /// The name, words joined by `_`.
    pub(super) name: String,
    /// Where the name stands.
    pub(super) name_at: Extent,
    /// What follows it, trimmed at the front.
    pub(super) rest: &'s str,
    /// Where that begins.
    pub(super) rest_at: Extent,
}

/// Takes the longest run of leading words that `known` accepts, joined by `_`. None when no run is known.
pub(super) fn matched<'s>(setting: &'s Setting, known: impl Fn(&str) -> bool) -> Option<Matched<'s>> {
    for count in (1..=setting.words.len()).rev() {
        let words = setting.words.get(..count)?;
        let name = words.iter().map(|word| word.text.as_str()).collect::<Vec<_>>().join("_");
        if known(&name) {
            let (first, last) = (words.first()?, words.last()?);
            let after = (last.at.end - setting.at.start) as usize;
            let rest = setting.text.get(after..).unwrap_or("");
            let trimmed = rest.trim_start();
            let start = setting.at.start as usize + after + (rest.len() - trimmed.len());
            return Some(Matched {
                name,
                name_at: first.at.to(last.at),
                rest: trimmed,
                rest_at: Extent::new(start, start + trimmed.len()),
            });
        }
    }
    None
}

/// What is said of a sign between a setting and its value.
pub(super) fn with_sign(sign: char, name: &str) -> OtherSign {
    OtherSign {
        found: sign.into(),
        mend: format!("write the value straight after the name, as in `{} ...`", name.replace('_', " ")),
        why: None,
    }
}

/// Text as written in a head: a quoted string without its marks, or the words as they stand.
pub(super) fn plain(text: &str) -> String {
    let text = text.trim();
    match text.strip_prefix('"').and_then(|text| text.strip_suffix('"')) {
        Some(inner) => inner.replace("\\\"", "\"").replace("\\\\", "\\"),
        None => text.to_string(),
    }
}
