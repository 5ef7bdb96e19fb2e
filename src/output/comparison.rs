//! What changed between two states of sheets: as text, as data, and as a page for a review.

use crate::output::html::bare;
use crate::output::templates::{render, style};
use crate::output::view::margins;
use crate::sheet::{Change, Difference, Moved};
use crate::words::say;
use serde::Serialize;

/// One sheet in both states. A path is empty where there is none.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Compared {
    /// Path of the earlier state.
    pub old: String,
    /// Path of the later state.
    pub new: String,
    /// Number of the sheet, perhaps empty.
    pub number: String,
    /// Its title.
    pub title: String,
    /// Everything in one line.
    pub summary: String,
    /// What changed; none where one of the states is missing.
    pub difference: Option<Difference>,
}

// The lists of a difference, each with its heading, where there is something in them.
pub(super) fn lists(difference: &Difference) -> Vec<(&'static str, &[Change])> {
    let all = [
        (say!("Verdicts"), &difference.verdicts),
        (say!("Inputs"), &difference.inputs),
        (say!("Machines"), &difference.machines),
        (say!("Use of capacity"), &difference.utilisations),
        (say!("Results that came or went"), &difference.named),
        (say!("Sources and references"), &difference.sources),
        (say!("Names"), &difference.renamed),
        (say!("Head"), &difference.head),
    ];
    all.into_iter().filter(|(_, list)| !list.is_empty()).map(|(title, list)| (title, list.as_slice())).collect()
}

/// Plain text, one line a change; a sheet without any is one line.
pub fn comparison_text(compared: &[Compared]) -> String {
    let mut out = String::new();
    for one in compared {
        out.push_str(&format!("{}\n", heading(one)));
        let Some(difference) = &one.difference else { continue };
        let mut listed = lists(difference).into_iter().peekable();
        // The results stand before what is quieter: sources, names, the head.
        let mut results_told = difference.results.is_empty();
        while let Some((title, list)) = listed.next() {
            let quiet = matches!(title, "Use of capacity" | "Results that came or went" | "Sources and references" | "Names" | "Head");
            if quiet && !results_told {
                results(&mut out, &difference.results);
                results_told = true;
            }
            out.push_str(&format!("\n  {title}\n"));
            list.iter().for_each(|change| out.push_str(&format!("    {}\n", line(change))));
            if listed.peek().is_none() && !results_told {
                results(&mut out, &difference.results);
                results_told = true;
            }
        }
        if !results_told {
            results(&mut out, &difference.results);
        }
        if difference.telling {
            out.push_str("\n  Prose, or who and when, changed.\n");
        }
        out.push('\n');
    }
    out
}

fn heading(one: &Compared) -> String {
    let place = match (one.old.as_str(), one.new.as_str()) {
        (old, "") => old.to_string(),
        ("", new) => new.to_string(),
        (old, new) if old == new => new.to_string(),
        (old, new) => format!("{old} → {new}"),
    };
    let name = [one.number.as_str(), one.title.as_str()].iter().filter(|part| !part.is_empty()).copied().collect::<Vec<_>>().join(" ");
    format!("{place}{}{name}: {}", if name.is_empty() { "" } else { "  " }, one.summary)
}

/// One change as a line of text.
pub(super) fn line(change: &Change) -> String {
    let label = if change.label.is_empty() { String::new() } else { format!(" ({})", change.label) };
    match (change.from.as_str(), change.to.as_str()) {
        ("", to) => format!("{}{label}: new, {to}", change.what),
        (from, "") => format!("{}{label}: gone, was {from}", change.what),
        (from, to) => format!("{}{label}: {from} → {to}", change.what),
    }
}

fn results(out: &mut String, results: &[Moved]) {
    out.push_str("\n  Results\n");
    results.iter().for_each(|result| out.push_str(&format!("    {}\n", moved(result))));
}

/// One result that moved as a line of text.
pub(super) fn moved(moved: &Moved) -> String {
    let how: Vec<&str> = [moved.by.as_str(), &moved.percent, &moved.against_doubt].into_iter().filter(|part| !part.is_empty()).collect();
    let how = if how.is_empty() { String::new() } else { format!("  ({})", how.join(", ")) };
    format!("{}: {} → {}{how}", moved.name, gone(&moved.from), gone(&moved.to))
}

fn gone(text: &str) -> &str {
    if text.is_empty() { "nothing" } else { text }
}

#[derive(Serialize)]
struct All<'a> {
    schema: u32,
    sheets: &'a [Compared],
}

/// The same as JSON, ending with a line feed.
pub fn comparison_json(compared: &[Compared]) -> String {
    let all = All { schema: crate::sheet::parts::SCHEMA, sheets: compared };
    serde_json::to_string_pretty(&all).unwrap_or_default() + "\n"
}

#[derive(Serialize)]
struct Page<'a> {
    style_html: String,
    sheets: Vec<Section<'a>>,
}

#[derive(Serialize)]
struct Section<'a> {
    one: &'a Compared,
    place: String,
    lists: Vec<List<'a>>,
    results: &'a [Moved],
    telling: bool,
}

/// One list of a difference as the templates print it.
#[derive(Debug, Serialize)]
pub(super) struct List<'a> {
    pub(super) title: &'static str,
    pub(super) changes: &'a [Change],
}

/// The same as one page that stands by itself.
pub fn comparison_html(compared: &[Compared]) -> String {
    let sections = compared.iter().map(|one| Section {
        one,
        place: if one.old == one.new || one.old.is_empty() || one.new.is_empty() {
            if one.new.is_empty() { one.old.clone() } else { one.new.clone() }
        } else {
            format!("{} → {}", one.old, one.new)
        },
        lists: one.difference.iter().flat_map(lists).map(|(title, changes)| List { title, changes }).collect(),
        results: one.difference.as_ref().map_or(&[], |difference| difference.results.as_slice()),
        telling: one.difference.as_ref().is_some_and(|difference| difference.telling),
    });
    let style_html = style(&[]) + &margins(&headed(compared), say!("Review"), "");
    let page = Page { style_html, sheets: sections.collect() };
    render("comparison.html", &page).unwrap_or_else(|reason| bare(say!("What changed"), &comparison_text(compared), &reason))
}

// What stands at the head of each printed page: which sheet changed, where it is one, and from which revision to which.
fn headed(compared: &[Compared]) -> String {
    let what = say!("What changed");
    let [one] = compared else { return what.to_string() };
    let head = one.difference.iter().flat_map(|difference| &difference.head);
    let revision = head.filter(|change| change.what == "revision").map(|change| match (change.from.as_str(), change.to.as_str()) {
        ("", revision) | (revision, "") => say!("   revision {revision}", revision = revision),
        (from, to) => say!("   revision {revision}", revision = format!("{from} → {to}")),
    });
    format!("{what}   {}   {}{}", one.number, one.title, revision.collect::<String>())
}

#[cfg(test)]
mod tests {
    use super::{Compared, comparison_html, comparison_text};
    use crate::output::reader::well_formed_page;
    use crate::sheet::{Change, Difference, Snapshot, difference};
    use serde_json::json;

    #[test]
    fn hostile_names_stay_text() {
        let bad = "<script>alert(1)</script>\"&".to_string();
        let change = Change { what: bad.clone(), label: bad.clone(), from: bad.clone(), to: bad.clone() };
        let difference = Difference { inputs: vec![change.clone()], verdicts: vec![change], ..Difference::default() };
        let one = Compared {
            old: bad.clone(),
            new: "b.md".into(),
            number: bad.clone(),
            title: bad,
            summary: difference.summary(),
            difference: Some(difference),
        };
        let page = comparison_html(std::slice::from_ref(&one));
        well_formed_page(&page);
        assert!(!page.contains("<script"));
        assert!(comparison_text(&[one]).contains("1 input changed, 1 verdict flipped"));
    }

    // On a narrow page the heads of a table are not shown, and each cell says for itself what it is.
    #[test]
    fn a_cell_is_called_what_its_column_is_called() {
        let text = str::to_string;
        let change = Change { what: text("a"), label: String::new(), from: text("1"), to: String::new() };
        let state = |value: f64| {
            let result =
                json!([{"name": "b", "texts": [format!("{value} N")], "unit": "N", "values": [value], "si": [value], "doubts": [0.1]}]);
            Snapshot { results: serde_json::from_value(result).expect("one result"), ..Snapshot::default() }
        };
        let difference = Difference { inputs: vec![change], ..difference(&state(1.0), &state(2.0)) };
        let page = comparison_html(&[Compared {
            old: text("a.md"),
            new: text("b.md"),
            number: text("N1"),
            title: text("T"),
            summary: difference.summary(),
            difference: Some(difference),
        }]);
        let between = |text: &str, open: &str, close: char| -> Vec<String> {
            text.split(open).skip(1).filter_map(|rest| Some(rest.split_once(close)?.0.to_string())).collect()
        };
        let tables: Vec<&str> = page.split("<table").skip(1).collect();
        assert_eq!(tables.len(), 2, "{page}");
        for table in tables {
            let (head, body) = table.split_once("</thead>").expect("a table has a head");
            let heads = between(head, "<th scope=\"col\">", '<');
            let cells = body.matches("<td").count();
            assert!(cells >= 2, "{table}");
            assert_eq!(between(body, "<td data-what=\"", '"'), heads[1..], "{table}");
            assert_eq!(cells, heads.len() - 1, "{table}");
        }
    }
}
