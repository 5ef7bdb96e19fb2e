//! On paper: each worked example printed by the browser and read back, page by page.

use super::{address, called, examples, none, texts};
use crate::support::browser::{Screen, browser};
use crate::support::checkers;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;

/// The text of each page of `pdf`: as it is laid out (`-layout`), or as it was drawn (`-raw`).
pub(super) fn read_back(reader: &Path, pdf: &[u8], order: &str) -> Vec<String> {
    let file = tempfile::Builder::new().suffix(".pdf").tempfile_in(env!("CARGO_TARGET_TMPDIR")).expect("a file");
    std::fs::write(file.path(), pdf).expect("written");
    let ran = Command::new(reader).args([order, "-enc", "UTF-8"]).arg(file.path()).arg("-").output();
    let text = ran.unwrap_or_else(|error| panic!("the reader of PDF starts: {error}")).stdout;
    // Each page ends with a form feed.
    let text = String::from_utf8_lossy(&text).into_owned();
    text.split_terminator('\u{c}').map(str::to_string).collect()
}

pub(super) fn spaced(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Between the edges that are left white on A4, the narrower of the two papers: 180 mm at 96 px to the inch.
const PAPER: u32 = 680;

#[test]
fn every_printed_page_has_its_head_and_its_number() {
    let (Some(reader), Some(mut browser)) = (checkers::pdf_reader(), browser()) else { return };
    let mut faults = Vec::new();
    let (mut printed, mut folded) = (0, 0);
    for page in examples() {
        let name = called(&page);
        browser.open(&address(&page), Screen { width: 1440, dark: true });
        // A browser prints all of a page smaller where anything on it is wider than the paper.
        browser.show_as(Screen { width: PAPER, dark: true });
        browser.media("print", &[]);
        let wide = browser.evaluate("document.documentElement.scrollWidth").as_u64().unwrap_or(0);
        if wide > u64::from(PAPER) {
            faults.push(format!("{name}: {wide} px wide on paper of {PAPER}"));
        }
        browser.show_as(Screen { width: 1440, dark: true });
        let title = browser.evaluate("document.title").as_str().unwrap_or_default().to_string();
        let folds = texts(&browser.evaluate("[...document.querySelectorAll('details .line > .no')].map(no => no.textContent)"));
        let sheets = read_back(&reader, &browser.print(), "-layout");
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

/// Puts a mark of its own at the first and the last corner of each thing that is to stand on one page, and tells which.
/// What is taller than a page has to be cut and is left out.
const MARK: &str = r#"(() => {
  const put = (where, side, words) => {
    const mark = document.createElement('span');
    mark.textContent = words;
    mark.style.cssText = 'position:absolute;left:0;' + side + ':0;font:3px/1 monospace;white-space:pre';
    where.style.position = 'relative';
    where.append(mark);
  };
  const tallest = 250 / 25.4 * 96, marked = [];
  for (const thing of document.querySelectorAll('.line, .check, .finding, figure, .chain, .balance, .title-block, tr')) {
    const box = thing.getBoundingClientRect();
    if (box.height === 0 || box.height > tallest) continue;
    const where = thing.tagName === 'TR' ? thing.cells[0] : thing;
    if (!where) continue;
    const words = thing.textContent.trim().replace(/\s+/g, ' ').slice(0, 60);
    const number = marked.push(thing.tagName.toLowerCase() + '.' + thing.className + ' "' + words + '"');
    put(where, 'top', '[a' + number + ']');
    put(where, 'bottom', '[z' + number + ']');
  }
  return marked;
})()"#;

#[test]
fn nothing_is_cut_that_belongs_on_one_page() {
    let (Some(reader), Some(mut browser)) = (checkers::pdf_reader(), browser()) else { return };
    let (mut faults, mut held, mut things) = (Vec::new(), 0, 0);
    for page in examples() {
        let name = called(&page);
        // As wide as the paper between its margins, so that heights are those on paper.
        browser.open(&address(&page), Screen { width: 680, dark: false });
        browser.media("print", &[]);
        let marked = texts(&browser.evaluate(MARK));
        let mut stands: BTreeMap<String, usize> = BTreeMap::new();
        for (at, text) in read_back(&reader, &browser.print(), "-raw").iter().enumerate() {
            let tokens = text.split('[').skip(1).filter_map(|rest| rest.split_once(']'));
            stands.extend(tokens.map(|(token, _)| (token.split_whitespace().collect(), at + 1)));
        }
        for (at, thing) in marked.iter().enumerate() {
            if let (Some(first), Some(last)) = (stands.get(&format!("a{}", at + 1)), stands.get(&format!("z{}", at + 1))) {
                held += 1;
                if first != last {
                    faults.push(format!("{name}: begins on page {first} and ends on page {last}: {thing}"));
                }
            }
        }
        things += marked.len();
    }
    none(&faults);
    assert!(held > 500 && held * 10 > things * 9, "{held} of {things} things were found on paper");
}
