//! What a project file demands of a sheet and the sheet does not have, each under the name of its rule.

use crate::house::{Demands, SignOff};
use crate::sheet::inputs::OPEN;
use crate::sheet::parts::Sheet;
use serde::Serialize;

/// A check that could not be evaluated.
pub const NOT_EVALUATED: &str = "verdict-not-evaluated";
/// An assumption that nobody has confirmed.
pub const ASSUMPTION_OPEN: &str = "assumption-open";
/// Nobody has signed it as is demanded.
pub const UNSIGNED: &str = "sign-off-missing";
/// It was signed, and that does not hold any more.
pub const STALE: &str = "sign-off-stale";

/// One thing that is refused.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Refused {
    /// The rule, by a name that stays.
    pub rule: &'static str,
    /// The number of the check or the name of the assumption; empty for the sheet itself.
    pub name: String,
    /// What is wrong, in one sentence.
    pub text: String,
}

/// Everything of `sheet` that `demands` refuse.
pub fn refused(sheet: &Sheet, demands: &Demands) -> Vec<Refused> {
    let mut all: Vec<Refused> = Vec::new();
    if demands.refuses_not_evaluated {
        let open = sheet.checks.iter().filter(|check| check.accepted.is_none());
        all.extend(open.map(|check| Refused {
            rule: NOT_EVALUATED,
            name: check.number.clone(),
            text: format!("{}: {}, which the project file refuses; {}", check.title, check.verdict, check.remark),
        }));
    }
    if demands.refuses_open_assumptions {
        let open = sheet.assumptions.iter().filter(|row| row.state == OPEN);
        all.extend(open.map(|row| Refused {
            rule: ASSUMPTION_OPEN,
            name: row.name.clone(),
            text: format!(
                "the assumption {} is open, which the project file refuses: nobody has confirmed it{}",
                row.name,
                if row.confirm_by.is_empty() { String::new() } else { format!(", to be done by {}", row.confirm_by) }
            ),
        }));
    }
    all.extend(unsigned(sheet, demands.sign_off));
    all
}

fn unsigned(sheet: &Sheet, demanded: SignOff) -> Option<Refused> {
    let (enough, word): (&[&str], &str) = match demanded {
        SignOff::None => return None,
        SignOff::Checked => (&["checked", "approved", "superseded", "void"], "checked"),
        SignOff::Approved => (&["approved", "superseded", "void"], "approved"),
    };
    if enough.contains(&sheet.status.as_str()) {
        return None;
    }
    // The last signature that does not hold any more says best what has to be done again.
    let stale = sheet.sign_off.signatures.iter().rev().find(|row| !row.counts);
    let told = stale.map(|row| format!("; {}, {}: {}", row.name, row.role, row.standing)).unwrap_or_default();
    Some(Refused {
        rule: if stale.is_some() { STALE } else { UNSIGNED },
        name: String::new(),
        text: format!("the sheet is {}, and the project file demands that it is {word}{told}", sheet.status),
    })
}
