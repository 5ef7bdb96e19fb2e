//! The register of a folder of sheets: one row a sheet with its number, title, revision and verdicts.

use crate::output::html::bare;
use crate::output::mathml::escape;
use crate::output::scripts::register;
use crate::output::templates::{Matter, render_some, style};
use crate::output::view::margins;
use crate::sheet::parts::Sheet;
use crate::words::{Voice, say, speaking, spoken};
use serde::{Deserialize, Serialize};
use std::convert::Infallible;

/// How many checks of a sheet came to each verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Tally {
    /// PASS.
    pub pass: usize,
    /// PASS WITHIN UNCERTAINTY.
    pub pass_within: usize,
    /// FAIL WITHIN UNCERTAINTY.
    pub fail_within: usize,
    /// FAIL.
    pub fail: usize,
    /// NOT EVALUATED, and any verdict this room does not know.
    pub not_evaluated: usize,
}

impl Tally {
    /// The verdicts of `sheet`.
    pub fn of(sheet: &Sheet) -> Self {
        let mut tally = Tally::default();
        for check in &sheet.checks {
            let count = match check.verdict_class.as_str() {
                "pass" => &mut tally.pass,
                "pass-within" => &mut tally.pass_within,
                "fail-within" => &mut tally.fail_within,
                "fail" => &mut tally.fail,
                _ => &mut tally.not_evaluated,
            };
            *count += 1;
        }
        tally
    }
}

/// One sheet in the register.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct IndexEntry {
    /// Where its page is, relative to the register.
    pub href: String,
    /// Path of its source from the project root.
    pub path: String,
    /// Sheet number, perhaps empty.
    pub number: String,
    /// Title; the path when it has none.
    pub title: String,
    /// Revision, perhaps empty.
    pub revision: String,
    /// Its status.
    pub status: String,
    /// Whether everything in its source could be worked.
    pub complete: bool,
    /// The voice of its house.
    #[serde(with = "crate::output::voice_kept")]
    pub voice: Voice,
    /// Its verdicts.
    pub tally: Tally,
    /// The check that governs.
    pub governing: Option<Governing>,
}

/// The governing check of a sheet in the register.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Governing {
    /// Where it stands on its page.
    pub anchor: String,
    /// Its title.
    pub title: String,
    /// Demand over capacity as printed; empty where there is none.
    pub utilisation: String,
}

impl IndexEntry {
    /// The row of `sheet`, whose page is found at `href`.
    pub fn new(sheet: &Sheet, href: &str) -> Self {
        let sheet = sheet.as_set.as_deref().unwrap_or(sheet);
        speaking(sheet.house.voice, || IndexEntry::of(sheet, href))
    }

    fn of(sheet: &Sheet, href: &str) -> Self {
        let block = &sheet.title_block;
        let revision = block.cells.iter().find(|cell| cell.label == say!("Revision"));
        IndexEntry {
            href: href.to_owned(),
            path: sheet.path.clone(),
            number: block.number.clone(),
            title: if block.title.is_empty() { sheet.path.clone() } else { block.title.clone() },
            revision: revision.map_or(String::new(), |cell| cell.value.clone()),
            status: sheet.status.clone(),
            complete: sheet.complete,
            voice: sheet.house.voice,
            tally: Tally::of(sheet),
            governing: sheet.checks.iter().find(|check| check.governing).map(|check| Governing {
                anchor: check.anchor.clone(),
                title: check.title.clone(),
                utilisation: check.utilisation.as_ref().map_or(String::new(), |figure| figure.text.clone()),
            }),
        }
    }
}

// What stands before the rows and after them.
#[derive(Serialize)]
struct Register<'a> {
    style_html: String,
    count: usize,
    incomplete: usize,
    kinds_href: &'a str,
    script_html: &'static str,
    script_source_html: &'static str,
}

#[derive(Serialize)]
struct Rows<'a> {
    sheets: Vec<Row<'a>>,
}

#[derive(Serialize)]
struct Row<'a> {
    #[serde(flatten)]
    entry: &'a IndexEntry,
    verdicts: Vec<Count>,
}

/// How many checks came to one verdict.
#[derive(Debug, Serialize)]
pub(super) struct Count {
    class: &'static str,
    words: &'static str,
    count: usize,
}

/// How many rows are set at a time.
const AT_ONCE: usize = 100;

/// The register as one HTML page that stands by itself, in the order of `entries`. `kinds_href` leads to the index of the
/// kinds; empty where there is none.
pub fn index(entries: &[IndexEntry], kinds_href: &str) -> String {
    let mut page = String::new();
    // Nothing goes wrong where nothing is written to.
    let _ = index_into(entries, kinds_href, |piece| -> Result<(), Infallible> {
        page.push_str(piece);
        Ok(())
    });
    page
}

/// The same handed to `put` piece by piece, so that the register of very many sheets is nowhere held whole.
///
/// # Errors
/// The first of `put`.
pub fn index_into<E>(entries: &[IndexEntry], kinds_href: &str, put: impl FnMut(&str) -> Result<(), E>) -> Result<(), E> {
    // The register of a project is in the voice of its house; where there are several, in that of its first sheet.
    speaking(entries.first().map(|entry| entry.voice).unwrap_or_default(), || pieces(entries, kinds_href, put))
}

fn pieces<E>(entries: &[IndexEntry], kinds_href: &str, mut put: impl FnMut(&str) -> Result<(), E>) -> Result<(), E> {
    let register = Register {
        style_html: style(&[Matter::Register]) + &margins(say!("Register of sheets"), "", ""),
        count: entries.len(),
        incomplete: entries.iter().filter(|entry| !entry.complete).count(),
        kinds_href,
        script_html: &register().text,
        script_source_html: &register().source,
    };
    let [head, foot] = match render_some("index.html", [0, 2], &register) {
        Ok(around) => around,
        Err(reason) => return put(&bare("Register of sheets", &plainly(entries).join("\n"), &reason)),
    };
    put(&spoken(head))?;
    for entries in entries.chunks(AT_ONCE) {
        let rows = Rows { sheets: entries.iter().map(|entry| Row { entry, verdicts: counts(&entry.tally) }).collect() };
        let set = render_some("index.html", [1], &rows).map(|[rows]| spoken(rows));
        put(&set.unwrap_or_else(|reason| {
            format!("\n<tr><td colspan=\"7\">{}</td></tr>", escape(&(plainly(entries).join("; ") + "; " + &reason)))
        }))?;
    }
    put(&spoken(foot))
}

fn plainly(entries: &[IndexEntry]) -> Vec<String> {
    entries.iter().map(|entry| format!("{} {} ({})", entry.number, entry.title, entry.href)).collect()
}

/// The verdicts that occur, the gravest first.
pub(super) fn counts(tally: &Tally) -> Vec<Count> {
    [
        ("fail", say!("FAIL"), tally.fail),
        ("fail-within", say!("FAIL WITHIN UNCERTAINTY"), tally.fail_within),
        ("not-evaluated", say!("NOT EVALUATED"), tally.not_evaluated),
        ("pass-within", say!("PASS WITHIN UNCERTAINTY"), tally.pass_within),
        ("pass", say!("PASS"), tally.pass),
    ]
    .into_iter()
    .filter(|(_, _, count)| *count > 0)
    .map(|(class, words, count)| Count { class, words, count })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::{AT_ONCE, IndexEntry, Tally, index, index_into};
    use crate::output::fixture::{emptiest, fullest, hostile};
    use crate::output::reader::well_formed_page;
    use std::convert::Infallible;

    #[test]
    fn the_register_lists_every_sheet_with_its_verdicts() {
        let (full, empty) = (fullest(), emptiest());
        let entries =
            [IndexEntry::new(&full, "slip.html"), IndexEntry::new(&empty, "empty.html"), IndexEntry::new(&hostile(), "a\"b.html")];
        assert_eq!(entries[0].tally, Tally { pass: 1, pass_within: 1, fail_within: 1, fail: 1, not_evaluated: 1 });
        assert_eq!(entries[1].title, empty.path);
        let page = index(&entries, "kinds/index.html");
        well_formed_page(&page);
        assert!(
            page.contains("href=\"slip.html\"") && page.contains("href=\"kinds/index.html\"") && page.contains(&full.title_block.title)
        );
        assert_eq!(page.matches("<script").count(), 1);
        let governing = entries[0].governing.as_ref().expect("a governing check");
        assert!(page.contains(&format!("href=\"slip.html#{}\"", governing.anchor)) && page.contains(&governing.utilisation));
        assert!(entries[1].governing.is_none());
        well_formed_page(&index(&[], ""));
    }

    #[test]
    fn very_many_sheets_are_listed_in_order_and_written_in_pieces() {
        let full = fullest();
        let entries: Vec<IndexEntry> = (0..3 * AT_ONCE + 7).map(|at| IndexEntry::new(&full, &format!("{at}.html"))).collect();
        let (mut page, mut longest) = (String::new(), 0);
        let put = |piece: &str| -> Result<(), Infallible> {
            page.push_str(piece);
            longest = longest.max(piece.len());
            Ok(())
        };
        index_into(&entries, "", put).expect("nothing goes wrong");
        assert_eq!(page, index(&entries, ""));
        well_formed_page(&page);
        let rows = page.split("<th scope=\"row\"><a href=\"").skip(1).map(|row| row.split('"').next().unwrap_or_default());
        assert!(rows.eq(entries.iter().map(|entry| entry.href.as_str())));
        assert!(longest < page.len() / 2, "{longest} of {}", page.len());
        // Nothing more is written to what could not be written to.
        let mut asked = 0;
        let full_disk = index_into(&entries, "", |_| {
            asked += 1;
            if asked < 3 { Ok(()) } else { Err("no room") }
        });
        assert_eq!((full_disk, asked), (Err("no room"), 3));
    }
}
