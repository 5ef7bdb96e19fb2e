//! On paper: each worked example printed by the browser and read back, page by page.

use super::{address, built, called, examples, none, pages, texts};
use crate::support::browser::{Browser, Screen, browser};
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

/// A paper that sheets are printed on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Paper {
    pub name: &'static str,
    /// In millimetres.
    pub width: f64,
    pub height: f64,
    /// Between the edges that are left white at the sides, at 96 px to the inch, and what stands above and below each other on a page.
    pub across: u32,
    pub down: u32,
}

/// Both papers, without the 30 mm at the sides and the 32 mm above and below that `print.css` leaves white.
pub(super) const PAPERS: [Paper; 2] = [
    Paper { name: "A4", width: 210.0, height: 297.0, across: 680, down: 1001 },
    Paper { name: "Letter", width: 215.9, height: 279.4, across: 702, down: 934 },
];

/// The open page as wide as `paper` is between its margins: what is wider, for a browser then prints all of the page smaller, and what
/// runs over its column.
fn fits(browser: &mut Browser, name: &str, paper: Paper, faults: &mut Vec<String>) {
    let name = format!("{name} on {}", paper.name);
    browser.show_as(Screen { width: paper.across, dark: true });
    browser.media("print", &[]);
    let wide = browser.evaluate("document.documentElement.scrollWidth").as_u64().unwrap_or(0);
    if wide > u64::from(paper.across) {
        let which = texts(&browser.evaluate(WIDER)).join("; ");
        faults.push(format!("{name}: {wide} px wide on paper of {}: {which}", paper.across));
    }
    let over = texts(&browser.evaluate(OVER));
    faults.extend(over.into_iter().map(|over| format!("{name}: {over}")));
}

/// What was printed of a page.
#[derive(Debug)]
pub(super) struct Printed {
    /// The text of each sheet of paper, in the order in which it was drawn.
    pub sheets: Vec<String>,
    /// How many things there are that are to stand on one page, and how many of them were found.
    pub things: usize,
    pub held: usize,
}

/// The open page on `paper` as a reader gets it, with a mark at the corners of what is to stand on one page. It is told what is wider
/// than the paper, for a browser then prints all of the page smaller; what runs over its column; pages that are not headed as the page is
/// called, or do not end with their number as `numbered` has it; and what begins on one page and ends on another.
pub(super) fn printed(
    (reader, browser): (&Path, &mut Browser),
    name: &str,
    paper: Paper,
    numbered: impl Fn(usize, usize) -> String,
    faults: &mut Vec<String>,
) -> Printed {
    fits(browser, name, paper, faults);
    let name = format!("{name} on {}", paper.name);
    let marked = texts(&browser.evaluate(&MARK.replace("TALLEST", &(paper.down - 56).to_string())));
    let title = browser.evaluate("document.title").as_str().unwrap_or_default().to_string();
    // A copy says in its title what it is for; its head has that in the other corner.
    let title = title.rsplit_once(": ").map_or(title.as_str(), |(sheet, purpose)| if COPIES.contains(&purpose) { sheet } else { &title });
    let pdf = browser.print(paper.width, paper.height);
    let sheets = read_back(reader, &pdf, "-layout");
    if sheets.is_empty() {
        faults.push(format!("{name}: nothing was printed"));
    }
    for (at, text) in sheets.iter().enumerate() {
        let (head, foot) = (spaced(text.lines().find(|line| !line.trim().is_empty()).unwrap_or("")), spaced(text));
        if !head.starts_with(&spaced(title)) {
            faults.push(format!("{name}, page {}: headed \"{head}\", not \"{title}\"", at + 1));
        }
        if !foot.ends_with(&numbered(at + 1, sheets.len())) {
            faults.push(format!("{name}, page {}: does not end with its number of {}", at + 1, sheets.len()));
        }
    }
    let drawn = read_back(reader, &pdf, "-raw");
    let mut stands: BTreeMap<String, usize> = BTreeMap::new();
    for (at, text) in drawn.iter().enumerate() {
        let tokens = text.split('[').skip(1).filter_map(|rest| rest.split_once(']'));
        stands.extend(tokens.map(|(token, _)| (token.split_whitespace().collect(), at + 1)));
    }
    let mut held = 0;
    for (at, thing) in marked.iter().enumerate() {
        if let (Some(first), Some(last)) = (stands.get(&format!("a{}", at + 1)), stands.get(&format!("z{}", at + 1))) {
            held += 1;
            if first != last {
                faults.push(format!("{name}: begins on page {first} and ends on page {last}: {thing}"));
            }
        }
    }
    Printed { sheets: drawn, things: marked.len(), held }
}

/// What copies are for, as their titles say it in English and German.
const COPIES: [&str; 4] = ["for an independent calculation", "exercises", "für eine unabhängige Berechnung", "Aufgaben"];

/// What reaches over the right edge of the paper.
const WIDER: &str = r#"[...document.querySelectorAll('body *')].filter(thing => thing.getBoundingClientRect().right > innerWidth + 1)
  .slice(0, 3).map(thing => thing.tagName + '.' + thing.getAttribute('class') + ' "' + thing.textContent.trim().slice(0, 60) + '"')"#;

/// Formulas that run into what stands beside them: the margin column, or the edge of a table.
const OVER: &str = r#"(() => {
  const found = [];
  for (const ex of document.querySelectorAll('.eq > .ex, .check > .statement, td.basis, th.case')) {
    const own = ex.getBoundingClientRect();
    if (own.width === 0) continue;
    const range = document.createRange();
    range.selectNodeContents(ex);
    const right = Math.max(...[...range.getClientRects()].map(box => box.right), ...[...ex.querySelectorAll('math, math *')].map(part => part.getBoundingClientRect().right));
    if (right > own.right + 1) found.push(Math.round(right - own.right) + ' px over its column: "' + ex.textContent.trim().slice(0, 60) + '"');
  }
  return found;
})()"#;

#[test]
fn every_printed_page_has_its_head_and_its_number_and_cuts_nothing() {
    let (Some(reader), Some(mut browser)) = (checkers::pdf_reader(), browser()) else { return };
    let mut faults = Vec::new();
    let (mut printed_pages, mut folded, mut things, mut held) = (0, 0, 0, 0);
    // The pages of kinds are for reference, and are printed like any other.
    let examples = examples();
    for (at, page) in pages(built()).into_iter().enumerate() {
        let name = called(&page);
        // Each worked example on both papers; of the many pages of kinds, which are set alike, each is measured on both and
        // printed on one in turn.
        let on_both = examples.contains(&page);
        for (which, paper) in PAPERS.into_iter().enumerate() {
            browser.open(&address(&page), Screen { width: 1440, dark: true });
            if !on_both && at % PAPERS.len() != which {
                fits(&mut browser, &name, paper, &mut faults);
                continue;
            }
            let folds = texts(&browser.evaluate("[...document.querySelectorAll('details .line > .no')].map(no => no.textContent)"));
            let numbered = |at, of| format!("sheet {at} of {of}");
            let printed = printed((&reader, &mut browser), &name, paper, numbered, &mut faults);
            // What is folded on the screen is open on paper: the number of each of its lines stands there.
            let all = printed.sheets.concat();
            let words: BTreeSet<&str> = all.split(|letter: char| letter.is_whitespace() || "[]".contains(letter)).collect();
            let lost: Vec<&String> = folds.iter().filter(|number| !words.contains(number.as_str())).collect();
            if !lost.is_empty() {
                faults.push(format!("{name} on {}: folded lines that were not printed: {lost:?}", paper.name));
            }
            (printed_pages, folded) = (printed_pages + printed.sheets.len(), folded + folds.len());
            (things, held) = (things + printed.things, held + printed.held);
        }
    }
    none(&faults);
    assert!(printed_pages > 6 * examples.len() && folded > 200, "{printed_pages} pages, {folded} folded lines");
    assert!(held > 1000 && held * 10 > things * 9, "{held} of {things} things were found on paper");
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
  const tallest = TALLEST, marked = [];
  for (const thing of document.querySelectorAll('.line, .check, .finding, figure, .chain, .balance, .title-block, .signing, .posed, li, tr')) {
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
