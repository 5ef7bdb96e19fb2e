//! The whole page, in the order in which it is printed.

use crate::output::beside::{Beside, way};
use crate::output::excerpt::{columns, excerpt};
use crate::output::mathml::escape;
use crate::output::prose::{anchors, last_heading};
use crate::output::templates::style;
use crate::output::view::budget::Budget;
use crate::output::view::check::Check;
use crate::output::view::comparing::{Agreement, Law};
use crate::output::view::kind::Kind;
use crate::output::view::line::{CorrelationView, Gear, Input, Line, Shared, named};
use crate::output::view::machine::{Machine, Train};
use crate::output::view::readings::Readings;
use crate::output::view::study::Study;
use crate::sheet::parts;
use crate::sheet::parts::{Block, CautionRow, Heading, Notice, Place, Sheet, ToolRecord};
use serde::Serialize;
use std::borrow::Cow;

/// The page.
#[derive(Debug, Serialize)]
pub(in crate::output) struct Page<'a> {
    style_html: String,
    path: &'a str,
    /// On a page of reference: the way to the index of all of them.
    kinds_href: String,
    number: &'a str,
    title: &'a str,
    status: &'a str,
    cells: Vec<TitleCell<'a>>,
    complete: bool,
    answer: Vec<Answer<'a>>,
    notices: Vec<Finding<'a>>,
    contents: Vec<&'a Heading>,
    /// Whether the prose begins with the title once more.
    echo: bool,
    blocks: Vec<Placed<'a>>,
    checks: Vec<Check<'a>>,
    budgets: Vec<Budget<'a>>,
    decision_rule: &'a str,
    nomenclature: Vec<Symbol<'a>>,
    inputs: Vec<Input<'a>>,
    assumptions: Vec<Input<'a>>,
    cautions: &'a [CautionRow],
    deference: &'a str,
    record: &'a ToolRecord,
}

/// A cell of the title block and how many of twelve columns it takes, on paper and on a narrow screen.
#[derive(Debug, Serialize)]
struct TitleCell<'a> {
    label: &'a str,
    value: &'a str,
    span: usize,
    narrow: usize,
}

#[derive(Debug, Serialize)]
struct Answer<'a> {
    label: &'a str,
    text: &'a str,
    anchor: &'a str,
}

/// A finding with its excerpts.
#[derive(Debug, Serialize)]
struct Finding<'a> {
    number: usize,
    slug: &'a str,
    severity: &'a str,
    headline_html: String,
    places: Vec<Spot<'a>>,
    why_html: String,
    help_html: String,
    replacement: &'a str,
}

/// A place in the source: its line, and the mark beneath it.
#[derive(Debug, Serialize)]
struct Spot<'a> {
    path: &'a str,
    line: usize,
    column: usize,
    text: String,
    marks: Vec<Mark>,
}

/// A mark beneath a line, and what is said about it.
#[derive(Debug, Serialize)]
struct Mark {
    mark: String,
    label: String,
}

#[derive(Debug, Serialize)]
struct Symbol<'a> {
    symbol_html: String,
    name: &'a str,
    meaning: &'a str,
    anchor: &'a str,
    number: &'a str,
}

/// A stretch of the document, and the level at which headings of ours stand below the author's last one, and below those.
#[derive(Debug, Serialize)]
struct Placed<'a> {
    level: usize,
    below: usize,
    #[serde(flatten)]
    part: Part<'a>,
}

/// A stretch of the document.
#[derive(Debug, Serialize)]
#[serde(tag = "block", rename_all = "snake_case")]
enum Part<'a> {
    Prose { prose_html: Cow<'a, str> },
    Inputs { rows: Vec<Input<'a>> },
    Gear { rows: Vec<Gear<'a>>, caption: &'static str },
    Correlations { rows: Vec<CorrelationView<'a>> },
    Working { lines: Vec<Line<'a>> },
    Machine { machine: Box<Machine<'a>> },
    Train { train: Box<Train<'a>> },
    Checks { checks: Vec<Check<'a>> },
    Study { study: Box<Study<'a>> },
    Readings { readings: Box<Readings<'a>> },
    Law { law: Box<Law<'a>> },
    Agreements { agreements: Vec<Agreement<'a>> },
    Kind { kind: Box<Kind<'a>> },
    Broken { source: &'a str, findings: Vec<Reason> },
}

/// Why a statement could not be worked.
#[derive(Debug, Serialize)]
struct Reason {
    number: usize,
    headline_html: String,
}

/// Columns of an excerpt that find room on the page.
const LINE: usize = 92;

/// Headings from which on a sheet is long enough for a table of contents.
const LONG: usize = 5;

/// What the page of `sheet` prints. It is going to stand at `place` among the pages `beside` it, where there are any.
pub(in crate::output) fn page<'a>(sheet: &'a Sheet, beside: Option<&'a Beside>, place: &'a str) -> Page<'a> {
    let block = &sheet.title_block;
    let first = sheet.outline.first();
    let title = if !block.title.is_empty() { &block.title } else { first.map_or(&sheet.path, |heading| &heading.text) };
    let echo = first.is_some_and(|heading| heading.level == 1 && heading.text == *title);
    let revision = block.cells.iter().find(|cell| cell.label == "Revision").map_or("", |cell| cell.value.as_str());
    let mut shared = shared(sheet);
    shared.place = place;
    shared.path = &sheet.path;
    shared.beside = beside;
    let mut level = 2;
    let blocks = sheet.blocks.iter().filter_map(|block| {
        if let Block::Prose { html } = block
            && let Some(last) = last_heading(html)
        {
            level = (last + 1).clamp(2, 6);
        }
        Some(Placed { level, below: (level + 1).min(6), part: part(sheet, block, &mut shared)? })
    });
    let blocks = blocks.collect();
    let checks = sheet.checks.iter().map(|row| Check::new(row, &mut shared)).collect();
    let inputs = Input::all(&sheet.inputs, &mut shared);
    let assumptions = Input::all(&sheet.assumptions, &mut shared);
    Page {
        style_html: format!("{}\n{}", style(), running_head(&block.number, title, revision, &sheet.status)),
        path: &sheet.path,
        kinds_href: beside
            .filter(|beside| beside.kinds.values().any(|page| page == place))
            .map_or(String::new(), |beside| way(place, &beside.kinds_index)),
        number: &block.number,
        title,
        status: &sheet.status,
        cells: cells(sheet),
        complete: sheet.complete,
        answer: sheet
            .answer
            .iter()
            .map(|line| Answer { label: &line.label, text: &line.text, anchor: shared.link(&line.anchor) })
            .collect(),
        notices: sheet.notices.iter().enumerate().map(|(place, notice)| finding(place + 1, notice)).collect(),
        contents: contents(sheet, echo, &shared),
        echo,
        blocks,
        checks,
        budgets: sheet.budgets.iter().map(|budget| Budget::new(budget, &shared)).collect(),
        decision_rule: &sheet.decision_rule,
        nomenclature: sheet.nomenclature.iter().map(|row| symbol(row, &shared)).collect(),
        inputs,
        assumptions,
        cautions: &sheet.cautions,
        deference: &sheet.deference,
        record: &sheet.record,
    }
}

/// What every part has to know of the others before any of them is set.
fn shared(sheet: &Sheet) -> Shared<'_> {
    let mut shared = Shared::default();
    for block in &sheet.blocks {
        match block {
            Block::Prose { html } => {
                for anchor in anchors(html) {
                    shared.taken.insert(anchor.clone());
                    shared.written.insert(anchor);
                }
            }
            Block::Inputs { rows } => rows.iter().for_each(|row| shared.know(&row.anchor)),
            Block::Gear { rows } | Block::Instruments { rows } => rows.iter().for_each(|row| {
                shared.know(&row.anchor);
                row.ratings.iter().for_each(|rating| shared.know(&rating.anchor));
            }),
            Block::Working { lines } => lines.iter().for_each(|line| shared.number(line)),
            Block::Machine { index } => {
                if let Some(machine) = sheet.machines.get(*index) {
                    shared.know(&machine.anchor);
                    machine.settings.iter().for_each(|row| shared.know(&row.anchor));
                    machine.nodes.iter().chain(&machine.relations).for_each(|line| shared.number(line));
                }
            }
            Block::Train { index } => {
                if let Some(train) = sheet.trains.get(*index) {
                    shared.know(&train.anchor);
                    train.relations.iter().for_each(|line| shared.number(line));
                }
            }
            Block::Study { index } => {
                if let Some(study) = sheet.studies.get(*index) {
                    shared.know(&study.anchor);
                }
            }
            Block::Readings { index } => {
                if let Some(readings) = sheet.readings.get(*index) {
                    Readings::know(readings, &mut shared);
                }
            }
            Block::Law { index } => {
                if let Some(law) = sheet.laws.get(*index) {
                    shared.know(&law.anchor);
                }
            }
            Block::Agreements { indices } => {
                indices.iter().filter_map(|index| sheet.agreements.get(*index)).for_each(|row| shared.know(&row.anchor));
            }
            Block::Kind { index, .. } => {
                if let Some(kind) = sheet.kinds.get(*index) {
                    shared.know(&kind.anchor);
                }
            }
            Block::Correlations { .. } | Block::Checks { .. } | Block::Broken { .. } => {}
        }
    }
    // The registers print every check, input and assumption, whether or not the document has placed it.
    sheet.checks.iter().for_each(|check| shared.know(&check.anchor));
    sheet.inputs.iter().chain(&sheet.assumptions).for_each(|row| shared.know(&row.anchor));
    shared
}

fn part<'a>(sheet: &'a Sheet, block: &'a Block, shared: &mut Shared<'a>) -> Option<Part<'a>> {
    Some(match block {
        Block::Prose { html } => Part::Prose { prose_html: scrolled(html) },
        Block::Inputs { rows } => Part::Inputs { rows: Input::all(rows, shared) },
        Block::Gear { rows } => Part::Gear { rows: rows.iter().map(|row| Gear::new(row, shared)).collect(), caption: "Ratings" },
        Block::Instruments { rows } => {
            Part::Gear { rows: rows.iter().map(|row| Gear::new(row, shared)).collect(), caption: "What is stated of it" }
        }
        Block::Correlations { indices } => {
            let rows = indices.iter().filter_map(|index| sheet.correlations.get(*index));
            Part::Correlations { rows: rows.map(|row| CorrelationView::new(row, shared)).collect() }
        }
        Block::Working { lines } => Part::Working { lines: Line::all(lines, shared) },
        Block::Machine { index } => Part::Machine { machine: Box::new(Machine::new(sheet.machines.get(*index)?, shared)) },
        Block::Train { index } => Part::Train { train: Box::new(Train::new(sheet.trains.get(*index)?, shared)) },
        Block::Checks { indices } => {
            // In a fence, too, the governing check stands first.
            let mut rows: Vec<_> = indices.iter().filter_map(|index| sheet.checks.get(*index)).collect();
            rows.sort_by_key(|row| !row.governing);
            Part::Checks { checks: rows.into_iter().map(|row| Check::new(row, shared)).collect() }
        }
        Block::Study { index } => Part::Study { study: Box::new(Study::new(sheet.studies.get(*index)?, shared)) },
        Block::Readings { index } => Part::Readings { readings: Box::new(Readings::new(sheet.readings.get(*index)?, shared)) },
        Block::Law { index } => Part::Law { law: Box::new(Law::new(sheet.laws.get(*index)?, shared)) },
        Block::Agreements { indices } => {
            let rows = indices.iter().filter_map(|index| sheet.agreements.get(*index));
            Part::Agreements { agreements: rows.map(|row| Agreement::new(row, shared)).collect() }
        }
        Block::Kind { index, source, .. } => Part::Kind { kind: Box::new(Kind::new(sheet.kinds.get(*index)?, source, shared)) },
        Block::Broken { source, notices } => Part::Broken {
            source,
            findings: notices
                .iter()
                .filter_map(|place| Some(Reason { number: place + 1, headline_html: ticked(&sheet.notices.get(*place)?.headline) }))
                .collect(),
        },
    })
}

/// The cells of the title block, four to a row; the last row is stretched to the width of the others.
fn cells(sheet: &Sheet) -> Vec<TitleCell<'_>> {
    let given = sheet.title_block.cells.iter().map(|cell| (cell.label.as_str(), cell.value.as_str()));
    let all: Vec<(&str, &str)> = given.chain([("Status", sheet.status.as_str())]).collect();
    let (count, rest) = (all.len(), all.len() % 4);
    all.into_iter()
        .enumerate()
        .map(|(place, (label, value))| TitleCell {
            label,
            value,
            span: if place >= count - rest { 12 / rest } else { 3 },
            narrow: if place + 1 == count && count % 2 == 1 { 12 } else { 6 },
        })
        .collect()
}

/// The headings down to the second level below the title, where there are enough of them.
fn contents<'a>(sheet: &'a Sheet, echo: bool, shared: &Shared<'_>) -> Vec<&'a Heading> {
    let headings = sheet.outline.iter().skip(usize::from(echo));
    let found: Vec<_> = headings.filter(|heading| heading.level <= 3 && !shared.link(&heading.anchor).is_empty()).collect();
    if found.len() >= LONG { found } else { Vec::new() }
}

/// Prose in which each table stands in a frame of its own, to be scrolled there where the window is too narrow for it.
fn scrolled(html: &str) -> Cow<'_, str> {
    if !html.contains("<table") {
        return Cow::Borrowed(html);
    }
    let framed = html.replace("<table", "<div class=\"paper\" tabindex=\"0\" role=\"group\" aria-label=\"Table\"><table");
    Cow::Owned(framed.replace("</table>", "</table></div>"))
}

fn symbol<'a>(row: &'a parts::Symbol, shared: &Shared<'a>) -> Symbol<'a> {
    Symbol {
        symbol_html: named(&row.symbol),
        name: &row.name,
        meaning: &row.meaning,
        anchor: shared.link(&row.anchor),
        number: shared.numbers.get(row.anchor.as_str()).copied().unwrap_or(""),
    }
}

/// What stands over a page whose document has been broken since.
#[derive(Debug, Serialize)]
pub(in crate::output) struct Banner<'a> {
    count: String,
    words: &'a str,
    notices: Vec<Finding<'a>>,
}

/// The errors among `notices`, without ids of their own: the page below may list them as well.
pub(in crate::output) fn banner<'a>(notices: &'a [Notice], words: &'a str) -> Banner<'a> {
    let notices: Vec<_> = notices.iter().filter(|notice| notice.severity == "error").map(|notice| finding(0, notice)).collect();
    let count = if notices.len() == 1 { "1 error".to_string() } else { format!("{} errors", notices.len()) };
    Banner { count, words, notices }
}

fn finding(number: usize, notice: &Notice) -> Finding<'_> {
    Finding {
        number,
        slug: &notice.slug,
        severity: &notice.severity,
        headline_html: ticked(&notice.headline),
        places: spots(notice),
        why_html: ticked(&notice.why),
        help_html: ticked(&notice.help),
        replacement: notice.replacement.as_deref().filter(|text| !notice.help.contains(*text)).unwrap_or(""),
    }
}

/// Words of a finding as markup: what stands between backticks is set as source text.
fn ticked(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('`') {
        let Some((code, beyond)) = after.split_once('`') else { break };
        out.push_str(&escape(before));
        out.push_str(&format!("<code>{}</code>", escape(code)));
        rest = beyond;
    }
    out.push_str(&escape(rest));
    out
}

// Marks in one line stand below each other; the line is not set again.
fn spots(notice: &Notice) -> Vec<Spot<'_>> {
    let mut spots: Vec<Spot<'_>> = Vec::new();
    for (at, place) in std::iter::once(&notice.place).chain(&notice.others).enumerate() {
        let next = spot(place, at == 0);
        match spots.last_mut() {
            Some(last) if last.path == next.path && last.line == next.line && last.text == next.text => last.marks.extend(next.marks),
            _ => spots.push(next),
        }
    }
    spots
}

fn spot(place: &Place, main: bool) -> Spot<'_> {
    let excerpt = excerpt(place).shortened(LINE);
    let mark = if main { "^" } else { "-" };
    // Words that would run over the edge stand below the mark, ending with it.
    let (end, words) = (excerpt.before + excerpt.width, columns(&place.label));
    let below = end + 1 + words > LINE;
    let label = match below {
        true => format!("\n{}{}", " ".repeat(place.line.to_string().len() + 1 + end.saturating_sub(words)), place.label),
        false => place.label.clone(),
    };
    Spot {
        path: &place.path,
        line: place.line,
        column: place.column,
        text: excerpt.text,
        marks: vec![Mark { mark: format!("{}{}", " ".repeat(excerpt.before), mark.repeat(excerpt.width)), label }],
    }
}

/// Rules for the margins of printed pages: number and title on every sheet, status, and "sheet n of m".
fn running_head(number: &str, title: &str, revision: &str, status: &str) -> String {
    let revision = if revision.is_empty() { String::new() } else { format!("   revision {revision}") };
    let head = format!("{number}   {title}{revision}");
    format!("@page {{ @top-left {{ content: \"{}\"; }} @top-right {{ content: \"{}\"; }} }}", css_text(head.trim()), css_text(status))
}

/// Text inside the quotation marks of a style sheet: everything but letters, digits and spaces by number, so that
/// neither the string nor the style element can be ended by it.
fn css_text(text: &str) -> String {
    let mut out = String::new();
    for character in text.chars() {
        if character.is_alphanumeric() || character == ' ' {
            out.push(character);
        } else if !character.is_control() {
            out.push_str(&format!("\\{:X} ", u32::from(character)));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{cells, css_text, ticked};
    use crate::output::fixture::emptiest;
    use crate::sheet::parts::Cell;

    #[test]
    fn title_cells_fill_their_rows_whatever_their_number() {
        let mut sheet = emptiest();
        for count in 0..13 {
            sheet.title_block.cells = vec![Cell { label: "Project".into(), value: "x".into() }; count];
            let wide: usize = cells(&sheet).iter().map(|cell| cell.span).sum();
            let narrow: usize = cells(&sheet).iter().map(|cell| cell.narrow).sum();
            assert_eq!((wide % 12, narrow % 12), (0, 0), "{count} cells");
        }
    }

    #[test]
    fn source_words_in_a_finding_are_set_as_source() {
        assert_eq!(ticked("a `b<c` d"), "a <code>b&lt;c</code> d");
        assert_eq!(ticked("one ` alone & done"), "one ` alone &amp; done");
    }

    #[test]
    fn a_title_cannot_end_the_style_sheet() {
        assert_eq!(css_text("SL-07"), "SL\\2D 07");
        let hostile = css_text("\"} </style><script>\n\\");
        assert!(!hostile.contains(['"', '<', '>', '}', '\n']), "{hostile}");
    }
}
