//! The sheet, or what was found in several sheets, as JSON for other programs. Keys stand in one order, the schema
//! number first; every number is at full precision and every printed number is there as text as well.

use crate::house::Demands;
use crate::sheet::parts::{CheckRow, Figure, Notice, SCHEMA, Sheet, SignatureRow};
use crate::sheet::{Departure, Refused, refused};
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
    /// How the program failed on this document; empty when it did not.
    pub fault: &'a str,
    /// How its results stand to the accepted ones; none where nothing was accepted.
    pub departure: Option<&'a Departure>,
    /// What its project file demands.
    pub demands: Demands,
}

impl Findings<'_> {
    /// What of the sheet its project file refuses.
    pub(super) fn refused(&self) -> Vec<Refused> {
        self.sheet.map(|sheet| refused(sheet, &self.demands)).unwrap_or_default()
    }
}

#[derive(Serialize)]
struct All<'a> {
    schema: u32,
    sheets: Vec<One<'a>>,
}

#[derive(Serialize)]
struct One<'a> {
    path: &'a str,
    complete: bool,
    status: &'a str,
    signatures: &'a [SignatureRow],
    notices: &'a [Notice],
    checks: Vec<Check<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    accepted_results: Option<&'a Departure>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    refused: Vec<Refused>,
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

/// What was found in several documents, in the order given: path, whether the sheet is complete, status, notices, and each
/// check with its verdict. A document without a sheet is incomplete. Ends with a line feed.
pub fn notices_json(documents: &[Findings<'_>]) -> String {
    let sheets = documents
        .iter()
        .map(|document| One {
            path: document.path,
            complete: document.sheet.is_some_and(|sheet| sheet.complete),
            status: document.sheet.map_or("", |sheet| &sheet.status),
            signatures: document.sheet.map_or(&[], |sheet| &sheet.sign_off.signatures),
            notices: document.notices,
            checks: document.sheet.map_or(&[][..], |sheet| &sheet.checks).iter().map(check).collect(),
            accepted_results: document.departure,
            refused: document.refused(),
        })
        .collect();
    pretty(&All { schema: SCHEMA, sheets })
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

pub(super) fn pretty<T: Serialize>(value: &T) -> String {
    // Plain structs with text keys cannot fail to serialise; the object below is what a reader would get if they did.
    serde_json::to_string_pretty(value).unwrap_or_else(|_| format!("{{\n  \"schema\": {SCHEMA}\n}}")) + "\n"
}

#[cfg(test)]
mod tests {
    use super::{Findings, json, notices_json};
    use crate::house::Demands;
    use crate::output::fixture::{emptiest, fullest};

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
        let text = notices_json(&[
            Findings {
                path: "a.md",
                sheet: Some(&sheet),
                notices: &sheet.notices,
                fault: "",
                departure: None,
                demands: Demands::default(),
            },
            Findings { path: "b.md", sheet: None, notices: &[], fault: "", departure: None, demands: Demands::default() },
        ]);
        let read: serde_json::Value = serde_json::from_str(&text).expect("our own JSON");
        assert_eq!(read["schema"], 1);
        assert_eq!(read["sheets"][0]["checks"].as_array().map(Vec::len), Some(sheet.checks.len()));
        assert_eq!(read["sheets"][1]["complete"], false);
        assert_eq!(read["sheets"][1]["checks"].as_array().map(Vec::len), Some(0));
    }
}
