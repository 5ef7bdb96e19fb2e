//! On paper: each worked example printed by the browser and read back, page by page.

use super::{address, called, examples, none, texts};
use crate::support::browser::{Screen, browser};
use crate::support::checkers;
use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

/// The text of each page of `pdf`.
fn read_back(reader: &Path, pdf: &[u8]) -> Vec<String> {
    let file = tempfile::Builder::new().suffix(".pdf").tempfile_in(env!("CARGO_TARGET_TMPDIR")).expect("a file");
    std::fs::write(file.path(), pdf).expect("written");
    let ran = Command::new(reader).args(["-layout", "-enc", "UTF-8"]).arg(file.path()).arg("-").output();
    let text = ran.unwrap_or_else(|error| panic!("the reader of PDF starts: {error}")).stdout;
    // Each page ends with a form feed.
    let text = String::from_utf8_lossy(&text).into_owned();
    text.split_terminator('\u{c}').map(str::to_string).collect()
}

fn spaced(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_printed_page_has_its_head_and_its_number() {
    let (Some(reader), Some(mut browser)) = (checkers::pdf_reader(), browser()) else { return };
    let mut faults = Vec::new();
    let (mut printed, mut folded) = (0, 0);
    for page in examples() {
        let name = called(&page);
        browser.open(&address(&page), Screen { width: 1440, dark: true });
        let title = browser.evaluate("document.title").as_str().unwrap_or_default().to_string();
        let folds = texts(&browser.evaluate("[...document.querySelectorAll('details .line > .no')].map(no => no.textContent)"));
        let sheets = read_back(&reader, &browser.print());
        if sheets.is_empty() {
            faults.push(format!("{name}: nothing was printed"));
        }
        for (at, text) in sheets.iter().enumerate() {
            let (head, foot) = (spaced(text.lines().find(|line| !line.trim().is_empty()).unwrap_or("")), spaced(text));
            if !head.starts_with(&spaced(&title)) {
                faults.push(format!("{name}, page {}: headed \"{head}\", not \"{title}\"", at + 1));
            }
            if !foot.ends_with(&format!("sheet {} of {}", at + 1, sheets.len())) {
                faults.push(format!("{name}, page {}: does not end with its number of {}", at + 1, sheets.len()));
            }
        }
        // What is folded on the screen is open on paper: the number of each of its lines stands there.
        let all = sheets.concat();
        let words: BTreeSet<&str> = all.split_whitespace().collect();
        let lost: Vec<&String> = folds.iter().filter(|number| !words.contains(number.as_str())).collect();
        if !lost.is_empty() {
            faults.push(format!("{name}: folded lines that were not printed: {lost:?}"));
        }
        printed += sheets.len();
        folded += folds.len();
    }
    none(&faults);
    assert!(printed > 3 * examples().len() && folded > 100, "{printed} pages, {folded} folded lines");
}
