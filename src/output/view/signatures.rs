//! Signatures as the page prints them: who has signed, what became of it, and what has changed since.

use crate::output::comparison::{List, lists};
use crate::sheet::Moved;
use crate::sheet::parts::{Sheet, Stale};
use crate::words::{say, word};
use serde::Serialize;

/// Results that are listed of those that have moved since a signature.
const MOST: usize = 40;

/// What stands below the title block when a reader must not overlook it.
#[derive(Debug, Serialize)]
pub(super) struct Standing<'a> {
    lead: String,
    words: &'a str,
}

/// What has changed since some signatures.
#[derive(Debug, Serialize)]
pub(super) struct Since<'a> {
    signed: String,
    summary: &'a str,
    lists: Vec<List<'a>>,
    results: Vec<&'a Moved>,
    more: String,
}

/// The sentence about what a signature is.
pub(super) fn declared() -> &'static str {
    say!(
        "Names are declared, not proven: a signature here binds a name to a content and shows when that has changed. Who needs proof of the person signs the digests below with tools of their own."
    )
}

/// What is to be said at the top of `sheet`: that it is out of use, or that a signature of it is stale.
pub(super) fn standing(sheet: &Sheet) -> Option<Standing<'_>> {
    let out_of_use = ["void", "superseded"].iter().any(|status| sheet.status == word(status));
    if out_of_use {
        return Some(Standing { lead: capital(&sheet.status), words: &sheet.sign_off.legend });
    }
    let mut rows = sheet.sign_off.signatures.iter().rev();
    let stale = rows.find(|row| !row.counts)?;
    (!sheet.sign_off.stale.is_empty())
        .then(|| Standing { lead: say!("Signed by {name} as {role}", name = stale.name, role = word(&stale.role)), words: &stale.standing })
}

/// What has changed since the signatures that are stale; the results that moved most against their doubt first.
pub(super) fn since(stale: &[Stale]) -> Vec<Since<'_>> {
    stale.iter().map(Since::new).collect()
}

impl<'a> Since<'a> {
    fn new(stale: &'a Stale) -> Since<'a> {
        let mut results: Vec<&Moved> = stale.changes.results.iter().collect();
        // Stable, so that equals keep the order of the sheet.
        results.sort_by(|a, b| b.by_doubt().total_cmp(&a.by_doubt()));
        let more = results.len().saturating_sub(MOST);
        results.truncate(MOST);
        let lists = lists(&stale.changes).into_iter().map(|(title, changes)| List { title, changes }).collect();
        Since {
            signed: say!("Changed since {who} signed", who = stale.signed.join("; ")),
            summary: &stale.summary,
            lists,
            results,
            more: if more == 0 { String::new() } else { say!("and {count} more that moved less against their doubt", count = more) },
        }
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
