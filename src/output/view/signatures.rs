//! Signatures as the page prints them: who has signed, what became of it, and what has changed since.

use crate::output::comparison::{List, lists};
use crate::sheet::parts::{Sheet, Stale};
use crate::sheet::{DECLARED, Moved};
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
    more: usize,
}

/// The sentence about what a signature is.
pub(super) fn declared() -> &'static str {
    DECLARED
}

/// What is to be said at the top of `sheet`: that it is out of use, or that a signature of it is stale.
pub(super) fn standing(sheet: &Sheet) -> Option<Standing<'_>> {
    let out_of_use = matches!(sheet.status.as_str(), "void" | "superseded");
    if out_of_use {
        return Some(Standing { lead: capital(&sheet.status), words: &sheet.sign_off.legend });
    }
    let mut rows = sheet.sign_off.signatures.iter().rev();
    let stale = rows.find(|row| !row.counts)?;
    (!sheet.sign_off.stale.is_empty())
        .then(|| Standing { lead: format!("Signed by {} as {}", stale.name, stale.role), words: &stale.standing })
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
        Since { signed: stale.signed.join("; "), summary: &stale.summary, lists, results, more }
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
