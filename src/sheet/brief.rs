//! What a brief sheet has in place of the working: each result by its name.
//!
//! A brief sheet is the same calculation with the same findings and verdicts. What it leaves out is not made at all.

use crate::model::tree::{EntryId, Shape};
use crate::model::{Entry, Owner};
use crate::sheet::machines::in_summary;
use crate::sheet::parts::WorkedValue;
use crate::sheet::symbols::anchor;
use crate::sheet::working::Setter;
use crate::words::say;

/// How much of a sheet is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Detail {
    /// All of it.
    #[default]
    Whole,
    /// The answer, the inputs, the results and the checks.
    Brief,
}

/// What a brief sheet says of itself.
pub(super) fn left_out() -> &'static str {
    say!(
        "A brief sheet: the working, the drawings, the forces at the parts of machines, the efforts in other states, the balance of work and the budgets of doubt are left out. Findings and verdicts are those of the whole sheet."
    )
}

/// The row of a line of working.
pub(super) fn row(setter: &Setter<'_>, id: EntryId) -> WorkedValue {
    let entry = setter.model.entry(id);
    let figures = setter.printed.of(id);
    let single = entry.shape == Shape::Single;
    WorkedValue {
        anchor: anchor(&entry.name),
        name: entry.name.clone(),
        label: entry.label.clone(),
        result: if single { figures.first().cloned() } else { None },
        items: if single { Vec::new() } else { figures.to_vec() },
    }
}

/// Whether a brief sheet lists the value of `entry` by its name.
pub(super) fn lists(entry: &Entry) -> bool {
    matches!(entry.owner, Owner::Sheet | Owner::Used) || in_summary(&entry.local)
}
