//! The text of a fence laid out the one way: indentation of four, evidence, values and `=` under each other, one blank
//! where there were several, and comments where they stood.
//!
//! Lines are neither joined nor broken, and a blank is added only beside a mark that needs none, so that no reading of
//! the text can change: `6 kN / 2` divides and `6 kN/m` is a unit, before and after. [`said`] is the same text
//! without its comments and its alignment: what is left is what a calculation says.

use crate::syntax::columns::{Row, aligned};
use crate::syntax::names;
use crate::syntax::split::comment;
use crate::syntax::tokens::{Sort, Token, tokens};

/// The form a statement's own line is laid out in; lines below it follow from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    /// `take x "label" = VALUE EVIDENCE`, `assume`, and lines of working.
    Value,
    /// `check "title": COMPARISON EVIDENCE`.
    Check,
    /// `sheet`, whose number is any run of letters, and what is never told apart into columns.
    Plain,
    /// `kind`: the lines below it are statements of their own sort.
    Kind,
    /// `readings`: what stands below it may be a table.
    Table,
}

const WITH_SETTINGS: [&str; 10] =
    ["exercise", "sheet", "gear", "machine", "load", "train", "instrument", "propagate", "law", "correlation"];
// Settings of a sheet's head that say who and when, and not what; so do its own number and title.
const ADMINISTRATIVE: [&str; 10] =
    ["revision", "revised", "date", "originator", "checker", "approver", "project", "client", "question", "language"];
pub(crate) const EVIDENCE: [&str; 9] = ["from", "measured", "marked", "weighed", "drawing", "because", "effect", "ref", "confirmed"];

/// The lines of `text`, laid out; as many as came in, less blank lines where several stood together or at an end.
/// `None` stands for a line to be dropped, so that line numbers can be followed.
pub fn laid_out(text: &str) -> Vec<Option<String>> {
    let rows = rows(text);
    let mut lines: Vec<Option<String>> = aligned(&rows).into_iter().map(Some).collect();
    let mut blank_before = true;
    for line in &mut lines {
        let blank = line.as_ref().is_some_and(String::is_empty);
        if blank && blank_before {
            *line = None;
        }
        blank_before = blank;
    }
    if blank_before && let Some(last) = lines.iter_mut().rev().find(|line| line.is_some()) {
        *last = None;
    }
    lines
}

/// What a fence says, without comments and alignment; names in one spelling.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Said {
    /// The calculation: all but who, when and how assumptions stand.
    pub statements: String,
    /// The head's who and when, and how assumptions stand.
    pub who_and_when: String,
}

/// What the fence `text` says.
pub fn said(text: &str) -> Said {
    let mut said = Said::default();
    let (mut in_head, mut in_assumption, mut of_people, mut name) = (false, false, false, String::new());
    for mut row in rows(text) {
        let Some(first) = row.tokens().next().map(|token| token.text) else { continue };
        if row.level == 0 {
            in_head = first == "sheet";
            in_assumption = first == "assume";
            // Nothing else has a say in how it stands.
            let named = row.tokens().nth(1).filter(|_| in_assumption);
            name = named.map_or(String::new(), |token| names::plain(token.text));
        }
        if row.level <= 1 {
            of_people = in_head && (row.level == 0 || ADMINISTRATIVE.contains(&first));
        }
        // An assumption that was made sure is the same number as before.
        let stands = if in_assumption { row.without(confirmation) } else { Vec::new() };
        if !stands.is_empty() {
            let told = &mut said.who_and_when;
            told.push_str(if told.is_empty() { "" } else { "\n" });
            told.push_str(&name);
            stands.iter().for_each(|token| told.extend([" ", token.text]));
        }
        if row.tokens().next().is_none() {
            continue;
        }
        let part = if of_people { &mut said.who_and_when } else { &mut said.statements };
        if row.level <= 1 && !row.continues && !part.is_empty() {
            part.push('\n');
        }
        part.push_str(if row.level == 0 { "" } else { " " });
        push_row(part, &row);
    }
    said
}

fn push_row(said: &mut String, row: &Row<'_>) {
    for (column, cell) in row.cells.iter().filter(|cell| !cell.is_empty()).enumerate() {
        // An item of a table is told from the next by more blanks than one.
        said.push_str(if row.form == Form::Table && column > 0 { "  " } else { "" });
        let mut before: Option<&Token<'_>> = None;
        for token in cell {
            let first = before.is_none() && (column == 0 || row.form == Form::Table);
            let beside_free = free(token.text) || before.is_some_and(|before| free(before.text)) || !first && said.ends_with(free_end);
            said.push_str(if !first && token.spaced && !beside_free { " " } else { "" });
            match token.sort {
                Sort::Word if !token.text.is_ascii() => said.push_str(&names::plain(token.text)),
                Sort::Word | Sort::Quoted | Sort::Mark => said.push_str(token.text),
            }
            before = Some(token);
        }
    }
}

// The last letters of the marks that `free` names.
fn free_end(letter: char) -> bool {
    matches!(letter, '=' | ':' | ',' | '|' | '>' | '→' | '<' | '≤' | '≥' | '±' | '*' | '+' | '×' | '÷' | '…')
}

// Marks beside which a blank says nothing.
fn free(mark: &str) -> bool {
    matches!(
        mark,
        "=" | ":"
            | ","
            | "|"
            | "->"
            | "→"
            | "−>"
            | "<"
            | "<="
            | "≤"
            | ">"
            | ">="
            | "≥"
            | "±"
            | "+/-"
            | "+/−"
            | "*"
            | "+"
            | "×"
            | "÷"
            | ".."
            | "…"
    )
}

fn form_of(first: &str) -> Form {
    match first {
        "check" | "agreement" => Form::Check,
        "kind" => Form::Kind,
        "readings" => Form::Table,
        "vary" | "size" | "use" => Form::Plain,
        word if WITH_SETTINGS.contains(&word) => Form::Plain,
        _ => Form::Value,
    }
}

/// Every line of `text` as a row: its level, its cells and its comment.
fn rows(text: &str) -> Vec<Row<'_>> {
    let mut rows: Vec<Row<'_>> = Vec::new();
    let (mut form, mut settings, mut margin, mut head) = (Form::Value, false, None, false);
    for whole in text.lines() {
        let (said, remark) = whole.split_at(comment(whole));
        let found = tokens(said);
        let Some(first) = found.first() else {
            rows.push(Row { remark: remark.trim_end(), ..Row::default() });
            continue;
        };
        let indent = said.chars().take_while(|c| c.is_whitespace()).map(|c| if c == '\t' { 4 } else { 1 }).sum::<usize>();
        let level = if indent == 0 {
            form = if first.text == "load" && !states_a_load(&found) { Form::Value } else { form_of(first.text) };
            settings = WITH_SETTINGS.contains(&first.text) && form == Form::Plain;
            margin = None;
            0
        } else if indent <= *margin.get_or_insert(indent) || !(settings || matches!(form, Form::Kind | Form::Table)) {
            1
        } else {
            2
        };
        let continues = level == 2 || level == 1 && !(settings || matches!(form, Form::Kind | Form::Table));
        let kind_of_row = match (level, form) {
            (0, _) => form,
            (_, Form::Table) => Form::Table,
            _ => Form::Plain,
        };
        let cells = cells(said, &found, level, form, settings);
        head = if level == 0 { first.text == "sheet" } else { head };
        rows.push(Row {
            level,
            continues,
            form: kind_of_row,
            cells,
            remark: remark.trim_end(),
            alone: false,
            verbatim: head,
            word: first.text,
        });
    }
    // A comment on a line of its own goes with the line it stands above.
    let mut below = 0;
    for row in rows.iter_mut().rev() {
        if row.cells.is_empty() {
            row.alone = !row.remark.is_empty();
            row.level = if row.alone { below } else { 0 };
        } else {
            below = row.level;
        }
    }
    rows
}

// `load trailer = resistance` has lines below it; `load = weight(boat)` is a line of working.
fn states_a_load(found: &[Token<'_>]) -> bool {
    found.get(1).is_some_and(|second| second.sort == Sort::Word)
}

// The line cut where its columns begin.
fn cells<'t>(said: &str, found: &[Token<'t>], level: usize, form: Form, settings: bool) -> Vec<Vec<Token<'t>>> {
    let evidence = evidence(found);
    let cuts: Vec<Option<usize>> = match (level, form) {
        (0, Form::Value) => {
            let equals = outside(found, |token| token.is("="));
            let label = found.iter().position(|token| token.sort == Sort::Quoted).filter(|at| equals.is_some_and(|equals| *at < equals));
            vec![label.or(equals), equals, evidence.filter(|at| equals.is_some_and(|equals| equals < *at))]
        }
        (0, Form::Check) => {
            let colon = outside(found, |token| token.is(":"));
            vec![colon.map(|at| at + 1), evidence.filter(|at| colon.is_some_and(|colon| colon < *at))]
        }
        (0, _) => Vec::new(),
        (_, Form::Table) => {
            let mut cuts = Vec::new();
            for (at, pair) in found.windows(2).enumerate() {
                let [before, after] = pair else { continue };
                let gap = said.get(before.end()..after.start).unwrap_or("");
                if gap.contains('\t') || gap.chars().count() > 1 {
                    cuts.push(Some(at + 1));
                }
            }
            cuts
        }
        (1, Form::Plain) if settings => {
            let value = value(said, found);
            vec![value, evidence.filter(|at| value.is_some_and(|value| value < *at))]
        }
        (_, Form::Value | Form::Check) => {
            vec![Some(evidence_words(found)).filter(|count| *count > 0)]
        }
        _ => Vec::new(),
    };
    // A column that a line does not have is an empty cell, so that those after it still stand under each other.
    let mut cells = Vec::with_capacity(cuts.len() + 1);
    let mut from = 0;
    let trailing = found.len();
    for (place, cut) in cuts.iter().enumerate() {
        let later = || cuts.iter().skip(place).find_map(|cut| *cut).unwrap_or(trailing);
        let to = cut.unwrap_or_else(later);
        cells.push(found.get(from..to).unwrap_or_default().to_vec());
        from = to.max(from);
    }
    cells.push(found.get(from..).unwrap_or_default().to_vec());
    cells
}

// The first piece outside brackets for which `wanted` holds.
fn outside(found: &[Token<'_>], wanted: impl Fn(&Token<'_>) -> bool) -> Option<usize> {
    let mut depth = 0usize;
    for (at, token) in found.iter().enumerate() {
        match token.text {
            "(" | "[" if token.sort == Sort::Mark => depth += 1,
            ")" | "]" if token.sort == Sort::Mark => depth = depth.saturating_sub(1),
            _ if depth == 0 && wanted(token) => return Some(at),
            _ => {}
        }
    }
    None
}

// Where the evidence of a line begins: a word of evidence before text in quotation marks.
fn evidence(found: &[Token<'_>]) -> Option<usize> {
    // Text in quotation marks is sooner told than a word of evidence.
    let quoted = |at: usize| found.get(at).is_some_and(|token| token.sort == Sort::Quoted);
    (1..found.len()).find(|at| (quoted(at + 1) || quoted(at + 2)) && found.get(*at..).is_some_and(|rest| evidence_words(rest) > 0))
}

// How many words of evidence stand before text in quotation marks at the front of `found`.
fn evidence_words(found: &[Token<'_>]) -> usize {
    match found {
        [word, text, ..] if EVIDENCE.contains(&word.text) && text.sort == Sort::Quoted => 1,
        [confirm, by, text, ..] if (confirm.text, by.text) == ("confirm", "by") && text.sort == Sort::Quoted => 2,
        _ => 0,
    }
}

// How many pieces at the front of `found` say how an assumption stands.
fn confirmation(found: &[Token<'_>]) -> usize {
    match found {
        [word, ..] if matches!(word.text, "confirmed" | "confirm") => {
            Some(evidence_words(found)).filter(|count| *count > 0).map_or(0, |count| count + 1)
        }
        _ => 0,
    }
}

// Where the value of a setting begins: at a number, a bracket, a sign, text or a path; between the two words of a line that
// has no more; else where the author left more than one blank. What cannot be told is left as it is.
fn value(said: &str, found: &[Token<'_>]) -> Option<usize> {
    let until = evidence(found).unwrap_or(found.len());
    let told = found.iter().enumerate().take(until).skip(1).position(|(at, token)| {
        let joined = found.get(at + 1).is_some_and(|next| !next.spaced && matches!(next.text, "(" | "[" | "."));
        let telling = match token.sort {
            Sort::Quoted => true,
            Sort::Word => joined || token.text.starts_with(|c: char| c.is_ascii_digit()),
            Sort::Mark => matches!(token.text, "(" | "[" | "-" | "−" | "±" | "+/-" | "+/−"),
        };
        token.spaced && telling
    });
    let told = told.map(|at| at + 1);
    let wide = |pair: &[Token<'_>]| match pair {
        [before, after] => said.get(before.end()..after.start).is_some_and(|gap| gap.contains('\t') || gap.chars().count() > 1),
        _ => false,
    };
    let typed = found.windows(2).position(wide).map(|at| at + 1);
    let typed = typed.filter(|at| *at < until && told.is_none_or(|told| *at <= told));
    let mut blanks = found.iter().enumerate().take(until).skip(1).filter(|(_, token)| token.spaced).map(|(at, _)| at);
    let only = blanks.next().filter(|_| blanks.next().is_none());
    typed.or(told).or(only)
}
