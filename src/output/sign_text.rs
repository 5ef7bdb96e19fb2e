//! Signatures as lines of text: each on one of its own, so that one that changes changes one line.

use crate::output::comparison::{line, lists, moved};
use crate::output::plain::Page;
use crate::sheet::parts::SignOff;
use crate::words::word;

/// Who has signed and what became of it, below the status.
pub(super) fn signatures(sign_off: &SignOff, page: &mut Page) {
    for row in &sign_off.signatures {
        let revision = if row.revision.is_empty() { String::new() } else { format!(", revision {}", row.revision) };
        let said = match row.role.as_str() {
            "void" | "superseded" => format!("Declared {}: {}", word(&row.role), row.name),
            role => format!("Signed: {} as {}", row.name, word(role)),
        };
        page.line(0, &format!("{said}, {}{revision}: {}", row.date, row.standing));
        page.line(4, &row.meaning);
    }
    for stale in &sign_off.stale {
        page.heading(&format!("Changed since {} signed", stale.signed.join("; ")));
        for (title, list) in lists(&stale.changes) {
            list.iter().for_each(|change| page.item(&format!("{title}: {}", line(change))));
        }
        stale.changes.results.iter().for_each(|result| page.item(&moved(result)));
    }
}
