//! Whether a part of the page that a house has written may stand in the place of ours, and where it is at fault when not.

use crate::diagnostics::nearest;
use crate::output::blind::blind_html;
use crate::output::given::{Given, Stranger};
use crate::output::html::{html, learners};
use crate::output::index::{IndexEntry, index};
use crate::output::kinds_index::{KindEntry, kinds_index};
use crate::output::templates::{CUT, PARTS, STYLES, noting, refused};
use crate::sheet::parts::{Part, Sheet};
use std::ops::Range;
use std::sync::Arc;

/// Parts of pages that belong to no one house: registers, comparisons, and what is set over a page that is served.
const OURS: [&str; 4] = ["index.html", "kinds.html", "comparison.html", "banner.html"];

/// The names of the parts that a house may replace.
pub fn part_names() -> impl Iterator<Item = &'static str> {
    PARTS.iter().chain(STYLES).map(|(name, _)| *name).filter(|name| !OURS.contains(name))
}

/// Why a part of a house cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartFault {
    /// The bytes of the part that are at fault.
    pub at: Range<usize>,
    /// What is wrong there.
    pub problem: String,
    /// What to do.
    pub mend: String,
}

/// Sheets on which parts are tried: between them they have something of everything that a part may be given, and nothing of it.
#[derive(Debug, Clone)]
pub struct Trial {
    sheets: Vec<Sheet>,
    given: Given,
}

impl Trial {
    /// A trial on `sheets`. What our parts are given for them is what any part may ask for.
    pub fn new(sheets: Vec<Sheet>) -> Trial {
        let noted = noting(|| sheets.iter().for_each(print));
        Trial { sheets, given: Given::of(noted.given, PARTS) }
    }

    // What the first part says that fails when the sheets are printed with `own` in the place of ours.
    fn printed(&self, own: &Arc<[Part]>) -> Option<String> {
        let dressed = self.sheets.iter().cloned().map(|mut sheet| {
            sheet.house.parts = Arc::clone(own);
            sheet
        });
        noting(|| dressed.for_each(|sheet| print(&sheet))).fault
    }

    /// What no sheet of the trial has shown, by part and name: a part that was not printed, a list without an item, or something that was
    /// never there.
    pub fn unseen(&self) -> Vec<String> {
        let parts = PARTS.iter().map(|(name, _)| *name).filter(|name| !(OURS.contains(name) || self.given.is_given(name)));
        parts.map(str::to_string).chain(self.given.unseen()).collect()
    }
}

// Every page that is made of a sheet by templates.
fn print(sheet: &Sheet) {
    let _ = (html(sheet), learners(sheet), blind_html(sheet));
    let kinds = sheet.kinds.iter().map(|kind| KindEntry::new(&kind.name, sheet, "kind.html"));
    let _ = (index(&[IndexEntry::new(sheet, "sheet.html")], "kinds.html"), kinds_index(&kinds.collect::<Vec<_>>(), "index.html"));
}

/// Looks whether `part` may stand in the place of ours: that it is a template, brings no script, keeps the policy of the page, asks
/// for nothing that it is not given, and prints the sheets of `trial`.
///
/// # Errors
/// What is wrong with it, and where.
pub fn part_is_fit(part: &Part, trial: &Trial) -> Result<(), PartFault> {
    let Some((_, built_in)) = PARTS.iter().chain(STYLES).find(|(name, _)| *name == part.name) else { return Ok(()) };
    let fault = |at: usize, length: usize, problem: &str, mend: &str| {
        Err(PartFault { at: at..at + length, problem: problem.into(), mend: mend.into() })
    };
    let lower = part.text.to_ascii_lowercase();
    if part.name.ends_with(".css") {
        return match lower.find('<') {
            Some(at) => fault(at, 1, "a `<` in a style sheet could end it", "write the rule without `<`"),
            None => Ok(()),
        };
    }
    // What is before the title holds the policy by which no script but ours runs and nothing is asked for.
    let opening = built_in.split_once("<title>").map_or("", |(opening, _)| opening);
    if !part.text.starts_with(opening) {
        let same = part.text.bytes().zip(opening.bytes()).take_while(|(own, ours)| own == ours).count();
        let at = (0..=same).rev().find(|at| part.text.is_char_boundary(*at)).unwrap_or(0);
        let mend = "begin the part as ours begins, up to its title, and change what follows";
        return fault(at, 1, "the opening of a page holds its policy and must stay as it is", mend);
    }
    let scripts = "<script>{{ script_html | safe }}</script>";
    let ours = built_in.matches(scripts).count();
    if lower.matches("<script").count() != ours || part.text.matches(scripts).count() != ours {
        let at = lower.find("<script").unwrap_or(0);
        return fault(at, 7, "a part brings no script of its own", "leave the script as it is in our part, and bring no other");
    }
    for (at, _) in part.text.match_indices("| safe") {
        let before = part.text.get(..at).unwrap_or("").trim_end();
        if !before.ends_with("_html") {
            return fault(at, 6, "only what ends in `_html` is markup; all else would be printed unescaped", "take `| safe` away here");
        }
    }
    if part.text.matches(CUT).count() != built_in.matches(CUT).count() {
        let mend = "keep each line `{# cut #}` of our part: the program writes the document there";
        return fault(0, 1, "the places where the program writes are not those of our part", mend);
    }
    if let Some(stranger) = trial.given.strangers(&part.name, &part.text).into_iter().next() {
        return Err(unknown(stranger));
    }
    let own: Arc<[Part]> = Arc::from([part.clone()]);
    if let Some(report) = refused(&own) {
        return Err(told(&report, part, "compare it with our part of that name"));
    }
    match trial.printed(&own) {
        Some(report) => Err(told(&report, part, "print only what the part is given, as our part of that name does")),
        None => Ok(()),
    }
}

/// So many names that would be known are told.
const TOLD: usize = 24;

fn unknown(stranger: Stranger) -> PartFault {
    let Stranger { at, name, of, known } = stranger;
    let near = nearest(&name, known.iter().map(String::as_str));
    let known: Vec<String> = known.iter().map(|name| format!("`{name}`")).collect();
    let mend = match (near.as_slice(), known.as_slice()) {
        ([near, ..], _) => format!("did you mean `{near}`?"),
        (_, []) => format!("print `{of}` itself: it has nothing below it"),
        (_, all) if of.is_empty() => format!("the part is given {}", all.get(..TOLD).unwrap_or(all).join(", ")),
        (_, all) => format!("`{of}` has {}", all.get(..TOLD).unwrap_or(all).join(", ")),
    };
    let problem = if of.is_empty() { format!("the part is given no `{name}`") } else { format!("there is no `{name}` in `{of}`") };
    PartFault { at, problem, mend }
}

// What the library reports of `part`, at the place that it tells: the message, `--> name:line:column` below it, and below the line
// itself as many `^` as are at fault. Where it tells no place, the place of a name that it tells.
fn told(report: &str, part: &Part, mend: &str) -> PartFault {
    let lines: Vec<&str> = report.lines().collect();
    let placed = lines.iter().enumerate().filter_map(|(at, line)| {
        let (piece, place) = line.trim_start().strip_prefix("--> ")?.split_once(':')?;
        let (row, column) = place.split_once(':')?;
        let problem = lines.get(at.checked_sub(1)?)?.strip_prefix("error: ")?;
        let width = lines.get(at + 3)?.matches('^').count();
        Some((piece, (row.parse().ok()?, column.parse().ok()?, width), small(problem)))
    });
    let placed: Vec<(&str, (usize, usize, usize), String)> = placed.collect();
    // Pieces are named by their number before the name of the part, and counted from their own first line.
    let own = placed.iter().find_map(|(piece, place, problem)| {
        let (number, name) = piece.split_once(' ').unwrap_or(("0", piece));
        (name == part.name).then_some((number.parse().unwrap_or(0), *place, problem))
    });
    if let Some((number, (row, column, width), problem)) = own {
        let before: String = part.text.split_inclusive(CUT).take(number).collect();
        let whole = line_of(&part.text, before.matches('\n').count() + row);
        // The end of the file is where it was noticed, and not where it is to be mended.
        if let Some(at) = unclosed(&part.text).filter(|_| problem.contains("end of input")) {
            return PartFault { at, problem: "what begins here is not ended".into(), mend: mend.into() };
        }
        return PartFault { at: within(&part.text, whole, column, width), problem: problem.clone(), mend: mend.into() };
    }
    if let Some((piece, _, problem)) = placed.first() {
        let mend = "keep all that our part of that name defines: the other parts call for it";
        return PartFault { at: 0..1, problem: format!("`{piece}` fails with it: {problem}"), mend: mend.into() };
    }
    let first = lines.first().copied().unwrap_or_default();
    let names = first.split(['`', '\'', '"']).skip(1).step_by(2).filter(|name| !name.is_empty() && *name != part.name);
    let at = names.filter_map(|name| part.text.find(name).map(|at| at..at + name.len())).next().unwrap_or(0..1);
    PartFault { at, problem: small(first), mend: mend.into() }
}

// The innermost tag of `text` that opens a block which nothing ends.
fn unclosed(text: &str) -> Option<Range<usize>> {
    let mut open = Vec::new();
    for (start, _) in text.match_indices("{%") {
        let Some(length) = text.get(start..).and_then(|tag| tag.find("%}")) else { return Some(start..start + 2) };
        let tag = text.get(start + 2..start + length).unwrap_or("").trim_matches(['-', ' ', '\n', '\t']);
        match tag.split_whitespace().next().unwrap_or("") {
            "if" | "for" | "block" | "filter" | "component" => open.push(start..start + length + 2),
            word if word.starts_with("end") => drop(open.pop()),
            _ => {}
        }
    }
    open.pop()
}

// A sentence of the library as the rest of one of ours; names within it stay as they are.
fn small(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

// The `width` letters from `column` of the line at `whole`, or all of it where a text of ours is put in, since it is counted with that.
fn within(text: &str, whole: Range<usize>, column: usize, width: usize) -> Range<usize> {
    let line = text.get(whole.clone()).unwrap_or("");
    if line.contains("[[") {
        return whole;
    }
    let at = |letters: usize| whole.start + line.char_indices().nth(letters).map_or(line.len(), |(at, _)| at);
    let start = column.saturating_sub(1);
    at(start)..at(start + width)
}

fn line_of(text: &str, line: usize) -> Range<usize> {
    let start: usize = text.split_inclusive('\n').take(line.saturating_sub(1)).map(str::len).sum();
    let length = text.get(start..).and_then(|rest| rest.lines().next()).map_or(0, str::len);
    start..start + length
}
