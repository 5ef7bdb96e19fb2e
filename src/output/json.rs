//! The sheet, or what was found in several sheets, as JSON for other programs. Keys stand in one order, the schema
//! number first; every number is at full precision and every printed number is there as text as well.

use crate::sheet::parts::{CheckRow, Figure, Notice, SCHEMA, Sheet};
use serde::Serialize;

/// The whole sheet as JSON, ending with a line feed.
pub fn json(sheet: &Sheet) -> String {
    pretty(sheet)
}

/// What was found in one document, for [`notices_json`].
#[derive(Debug, Clone, Copy)]
pub struct Findings<'a> {
    /// Path from the project root.
    pub path: &'a str,
    /// The sheet; none when the file could not be read at all.
    pub sheet: Option<&'a Sheet>,
    /// The notices of this document.
    pub notices: &'a [Notice],
}

#[derive(Serialize)]
struct One<'a> {
    path: &'a str,
    complete: bool,
    notices: &'a [Notice],
    checks: Vec<Check<'a>>,
}

#[derive(Serialize)]
struct Check<'a> {
    number: &'a str,
    title: &'a str,
    verdict: &'a str,
    accepted: Option<bool>,
    margin: Option<&'a Figure>,
    chance_of_error: Option<f64>,
    utilisation: Option<&'a Figure>,
    governing: bool,
}

/// What was found in several documents, in the order given: path, whether the sheet is complete, notices, and each
/// check with its verdict. A document without a sheet is incomplete. Ends with a line feed.
pub fn notices_json(documents: &[Findings<'_>]) -> String {
    let mut listing = Listing::default();
    let mut text: String = documents.iter().map(|document| listing.next(&notices_json_of(document))).collect();
    text += &listing.end();
    text
}

/// One document of [`notices_json`], as it stands in its list.
pub fn notices_json_of(document: &Findings<'_>) -> String {
    // No text in JSON holds a line feed, so each begins a line of the layout.
    pretty(&one(document)).trim_end().replace('\n', "\n    ")
}

fn one<'a>(document: &Findings<'a>) -> One<'a> {
    One {
        path: document.path,
        complete: document.sheet.is_some_and(|sheet| sheet.complete),
        notices: document.notices,
        checks: document.sheet.map_or(&[][..], |sheet| &sheet.checks).iter().map(check).collect(),
    }
}

/// The text of [`notices_json`] piece by piece, so that nobody has to hold all of it.
#[derive(Debug, Default)]
pub struct Listing {
    begun: bool,
}

impl Listing {
    /// What is printed for the next document, given [`notices_json_of`] it.
    pub fn next(&mut self, one: &str) -> String {
        let before = if self.begun { ",".to_string() } else { Listing::head() };
        self.begun = true;
        format!("{before}\n    {one}")
    }

    /// What is printed after the last.
    pub fn end(self) -> String {
        if self.begun { "\n  ]\n}\n".to_string() } else { Listing::head() + "]\n}\n" }
    }

    fn head() -> String {
        format!("{{\n  \"schema\": {SCHEMA},\n  \"sheets\": [")
    }
}

fn check(row: &CheckRow) -> Check<'_> {
    Check {
        number: &row.number,
        title: &row.title,
        verdict: &row.verdict,
        accepted: row.accepted,
        margin: row.margin.as_ref(),
        chance_of_error: row.chance_of_error,
        utilisation: row.utilisation.as_ref(),
        governing: row.governing,
    }
}

fn pretty<T: Serialize>(value: &T) -> String {
    // Plain structs with text keys cannot fail to serialise; the object below is what a reader would get if they did.
    let mut text = serde_json::to_string_pretty(value).unwrap_or_else(|_| format!("{{\n  \"schema\": {SCHEMA}\n}}"));
    text.push('\n');
    text
}

#[cfg(test)]
mod tests {
    use super::{Findings, One, json, notices_json, one, pretty};
    use crate::output::fixture::{emptiest, fullest};
    use crate::sheet::parts::SCHEMA;
    use serde::Serialize;

    #[derive(Serialize)]
    struct All<'a> {
        schema: u32,
        sheets: Vec<One<'a>>,
    }

    #[test]
    fn the_schema_stands_first_and_the_text_ends_with_a_line_feed() {
        for sheet in [fullest(), emptiest()] {
            let text = json(&sheet);
            assert!(text.starts_with("{\n  \"schema\": 1,"), "{}", text.get(..40).unwrap_or_default());
            assert!(text.ends_with("}\n"));
            assert_eq!(text, json(&sheet.clone()));
        }
    }

    #[test]
    fn numbers_come_back_as_they_were() {
        let sheet = fullest();
        let read: serde_json::Value = serde_json::from_str(&json(&sheet)).expect("our own JSON");
        let want = sheet.checks.first().and_then(|check| check.utilisation.as_ref()).expect("a utilisation").value;
        assert_eq!(read["checks"][0]["utilisation"]["value"].as_f64(), Some(want));
        assert!(!json(&sheet).contains("null,\n      \"si\""), "no figure lost its value");
    }

    #[test]
    fn findings_of_a_file_that_could_not_be_read_say_so() {
        let sheet = fullest();
        let documents =
            [Findings { path: "a.md", sheet: Some(&sheet), notices: &sheet.notices }, Findings { path: "b.md", sheet: None, notices: &[] }];
        let text = notices_json(&documents);
        // Piece by piece it is laid out as the serialiser lays out the whole.
        let whole = All { schema: SCHEMA, sheets: documents.iter().map(one).collect() };
        assert_eq!(text, pretty(&whole));
        let read: serde_json::Value = serde_json::from_str(&text).expect("our own JSON");
        assert_eq!(notices_json(&[]), "{\n  \"schema\": 1,\n  \"sheets\": []\n}\n");
        assert_eq!(read["schema"], 1);
        assert_eq!(read["sheets"][0]["checks"].as_array().map(Vec::len), Some(sheet.checks.len()));
        assert_eq!(read["sheets"][1]["complete"], false);
        assert_eq!(read["sheets"][1]["checks"].as_array().map(Vec::len), Some(0));
    }
}
