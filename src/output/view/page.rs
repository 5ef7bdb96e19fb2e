//! The frame of a page: its head, title block, answer, findings and contents, and its foot.

use crate::output::beside::{Beside, way};
use crate::output::excerpt::{columns, excerpt};
use crate::output::markup::Shared;
use crate::output::mathml::escape;
use crate::output::scripts::trace;
use crate::output::view::signatures::{Since, Standing, declared, since, standing};
use crate::sheet::parts::{Heading, Notice, Place, Sheet, SignatureRow, ToolRecord};
use crate::words::{say, word};
use serde::Serialize;

/// What the frame prints.
#[derive(Debug, Serialize)]
pub(in crate::output) struct Page<'a> {
    path: &'a str,
    /// On a page of reference: the way to the index of all of them.
    kinds_href: String,
    number: &'a str,
    title: &'a str,
    status: &'a str,
    cells: Vec<TitleCell<'a>>,
    complete: bool,
    left_out: &'a str,
    answer: Vec<Answer<'a>>,
    notices: Vec<Finding<'a>>,
    contents: Vec<&'a Heading>,
    /// Whether the prose begins with the title once more.
    echo: bool,
    deference: &'a str,
    /// What a reader must not overlook about the signatures.
    standing: Option<Standing<'a>>,
    signed: &'a [SignatureRow],
    stale: Vec<Since<'a>>,
    declared: &'static str,
    script_html: &'static str,
    script_source_html: &'static str,
    record: &'a ToolRecord,
}

/// A cell of the title block and how many of twelve columns it takes, on paper and on a narrow screen.
#[derive(Debug, Serialize)]
struct TitleCell<'a> {
    label: &'a str,
    value: &'a str,
    /// The picture of the owner, in itself; empty in every other cell.
    logo: &'a str,
    span: usize,
    narrow: usize,
}

#[derive(Debug, Serialize)]
struct Answer<'a> {
    label: &'a str,
    parts: Vec<Piece<'a>>,
}

#[derive(Debug, Serialize)]
struct Piece<'a> {
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

/// Columns of an excerpt that find room on the page.
const LINE: usize = 92;

/// Headings from which on a sheet is long enough for a table of contents.
const LONG: usize = 5;

/// The title of `sheet`: as stated, or its first heading, or its path.
fn title(sheet: &Sheet) -> &str {
    let block = &sheet.title_block;
    if !block.title.is_empty() { &block.title } else { sheet.outline.first().map_or(&sheet.path, |heading| &heading.text) }
}

/// What the frame of the page of `sheet` prints. It is going to stand at `place` among the pages `beside` it.
pub(in crate::output) fn page<'a>(sheet: &'a Sheet, shared: &Shared<'a>, beside: Option<&'a Beside>, place: &str) -> Page<'a> {
    let title = title(sheet);
    let echo = sheet.outline.first().is_some_and(|heading| heading.level == 1 && heading.text == *title);
    Page {
        path: &sheet.path,
        kinds_href: beside
            .filter(|beside| beside.kinds.values().any(|page| page == place))
            .map_or(String::new(), |beside| way(place, &beside.kinds_index)),
        number: &sheet.title_block.number,
        title,
        status: &sheet.status,
        cells: cells(sheet),
        complete: sheet.complete,
        left_out: &sheet.left_out,
        answer: sheet
            .answer
            .iter()
            .map(|line| Answer {
                label: &line.label,
                parts: line.parts.iter().map(|part| Piece { text: &part.text, anchor: shared.link(&part.anchor) }).collect(),
            })
            .collect(),
        notices: sheet.notices.iter().enumerate().map(|(place, notice)| finding(place + 1, notice)).collect(),
        contents: contents(sheet, echo, shared),
        echo,
        deference: &sheet.deference,
        standing: standing(sheet),
        signed: &sheet.sign_off.signatures,
        stale: since(&sheet.sign_off.stale),
        declared: declared(),
        script_html: &trace().text,
        script_source_html: &trace().source,
        record: &sheet.record,
    }
}

/// The cells of the title block, four to a row; the last row is stretched to the width of the others.
fn cells(sheet: &Sheet) -> Vec<TitleCell<'_>> {
    let given = sheet.title_block.cells.iter().map(|cell| (cell.label.as_str(), cell.value.as_str()));
    let house = &sheet.house;
    let owner = Some((say!("Legal owner"), house.owner.as_str(), house.logo.as_str()));
    let owner = owner.filter(|(_, owner, logo)| !owner.is_empty() || !logo.is_empty());
    let given = given.map(|(label, value)| (label, value, ""));
    let all: Vec<(&str, &str, &str)> = owner.into_iter().chain(given).chain([(say!("Status"), sheet.status.as_str(), "")]).collect();
    let (count, rest) = (all.len(), all.len() % 4);
    all.into_iter()
        .enumerate()
        .map(|(place, (label, value, logo))| TitleCell {
            label,
            value,
            logo,
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

/// What stands over a page whose document has been broken since.
#[derive(Debug, Serialize)]
pub(in crate::output) struct Banner<'a> {
    count: String,
    words: &'a str,
    notices: Vec<Finding<'a>>,
}

/// The errors among `notices`, without ids of their own: the page below may list them as well.
pub(in crate::output) fn banner<'a>(notices: &'a [Notice], words: &'a str) -> Banner<'a> {
    // Errors alone where there are any: what else was found stands on the page.
    let severity = if notices.iter().any(|notice| notice.severity == "error") { "error" } else { "warning" };
    let notices: Vec<_> = notices.iter().filter(|notice| notice.severity == severity).map(|notice| finding(0, notice)).collect();
    let count = match notices.len() {
        0 => String::new(),
        1 => format!("1 {severity}"),
        many => format!("{many} {severity}s"),
    };
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
pub(in crate::output) fn ticked(text: &str) -> String {
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

/// Rules for the margins of printed pages: number, title and revision on every sheet, status, and "sheet n of m".
pub(in crate::output) fn running_head(sheet: &Sheet) -> String {
    let status = &sheet.status;
    let legend = match (sheet.house.legend.as_str(), sheet.sign_off.legend.as_str()) {
        ("", "") => String::new(),
        ("", legend) => format!("{status}: {legend}"),
        // What it is superseded by, or why it is void, is not the house's to say.
        (own, why) if ["void", "superseded"].iter().any(|out_of_use| status == word(out_of_use)) => format!("{own}; {why}"),
        (own, _) => own.to_string(),
    };
    margins(&headline(sheet), status, &legend) + &paper(sheet)
}

/// The same for a copy of `sheet`, headed `head`, which says in the corner what it is for: neither the status of the sheet nor the
/// legend of the house speaks of a copy.
pub(in crate::output) fn copy_head(sheet: &Sheet, head: &str, purpose: &str) -> String {
    margins(head, purpose, "") + &paper(sheet)
}

// The paper of the house, where it says which.
fn paper(sheet: &Sheet) -> String {
    sheet.house.paper.map_or(String::new(), |paper| format!("\n@page {{ size: {}; }}", paper.size()))
}

/// Number, title and revision of `sheet` in one line.
pub(in crate::output) fn headline(sheet: &Sheet) -> String {
    let revision = sheet.title_block.cells.iter().find(|cell| cell.label == say!("Revision")).map_or("", |cell| cell.value.as_str());
    let revision = if revision.is_empty() { String::new() } else { say!("   revision {revision}", revision = revision) };
    format!("{}   {}{revision}", sheet.title_block.number, title(sheet)).trim().to_string()
}

/// Rules for the margins of printed pages: `head` and `corner` above, `legend` below; the number of the page stands in `print.css`.
pub(in crate::output) fn margins(head: &str, corner: &str, legend: &str) -> String {
    format!(
        "@page {{ @top-left {{ content: \"{}\"; }} @top-right {{ content: \"{}\"; }} @bottom-left {{ content: \"{}\"; }} }}",
        css_text(head.trim()),
        css_text(corner),
        css_text(legend)
    )
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
