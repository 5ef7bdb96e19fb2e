//! Rows of cells set under each other, as far as they belong together.

use crate::syntax::layout::Form;
use crate::syntax::tokens::{Sort, Token};

/// One line of a fence.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Row<'t> {
    /// 0 at the margin, 1 a line that belongs to the statement, 2 one that runs on from such a line.
    pub(crate) level: usize,
    /// Whether it runs on from the line above.
    pub(crate) continues: bool,
    pub(crate) form: Form,
    /// Its pieces, column by column; none on a blank line.
    pub(crate) cells: Vec<Vec<Token<'t>>>,
    /// The comment, with its mark.
    pub(crate) remark: &'t str,
    /// Whether the comment stands on a line of its own.
    pub(crate) alone: bool,
    /// Whether it stands in a sheet's head, whose values are text: nothing is added beside a mark.
    pub(crate) verbatim: bool,
    /// The first word.
    pub(crate) word: &'t str,
}

impl Default for Row<'_> {
    fn default() -> Self {
        Row { level: 0, continues: false, form: Form::Plain, cells: Vec::new(), remark: "", alone: false, verbatim: false, word: "" }
    }
}

impl<'t> Row<'t> {
    pub(crate) fn tokens(&self) -> impl Iterator<Item = Token<'t>> {
        self.cells.iter().flatten().copied()
    }

    /// Takes out the pieces that `wanted` counts at their front, and gives them.
    pub(crate) fn without(&mut self, wanted: impl Fn(&[Token<'_>]) -> usize) -> Vec<Token<'t>> {
        let all: Vec<Token<'t>> = self.tokens().collect();
        let (mut taken, mut at) = (Vec::new(), 0);
        while let Some(rest) = all.get(at..).filter(|rest| !rest.is_empty()) {
            let count = wanted(rest);
            taken.extend(rest.iter().take(count).copied());
            at += count.max(1);
        }
        for cell in &mut self.cells {
            cell.retain(|token| !taken.contains(token));
        }
        taken
    }

    // Whether both stand in one block of columns.
    fn beside(&self, other: &Row<'_>) -> bool {
        let first = |row: &Row<'_>| row.level == 0 && matches!(row.word, "take" | "assume" | "check" | "agreement");
        self.level == other.level
            && self.continues == other.continues
            && self.form == other.form
            && self.cells.len() == other.cells.len()
            && (!(first(self) || first(other)) || self.word == other.word)
    }
}

// A cell wider than this pushes what follows aside and does not widen its column.
const WIDEST: usize = 64;

/// Every row as a line of text.
pub(crate) fn aligned(rows: &[Row<'_>]) -> Vec<String> {
    let mut lines = Vec::with_capacity(rows.len());
    let mut from = 0;
    while from < rows.len() {
        let to = block(rows, from);
        let together = rows.get(from..to).unwrap_or_default();
        let Some(head) = together.first() else { break };
        let members: Vec<&Row<'_>> = together.iter().filter(|row| head.beside(row)).collect();
        let widths: Vec<usize> = (0..head.cells.len()).map(|column| width(&members, column)).collect();
        lines.extend(together.iter().map(|row| if head.beside(row) { line(row, &widths) } else { line(row, &[]) }));
        from = to;
    }
    lines
}

// The end of the run of rows that stand under each other with `rows[from]`: lines of its own block, with what runs on from
// them and remarks between.
fn block(rows: &[Row<'_>], from: usize) -> usize {
    let Some(head) = rows.get(from) else { return rows.len() };
    if head.cells.len() < 2 {
        return from + 1;
    }
    let mut to = from + 1;
    for (at, row) in rows.iter().enumerate().skip(from + 1) {
        if row.beside(head) {
            to = at + 1;
        } else if !(row.alone || row.cells.len() == 1 && row.continues && row.level > head.level) {
            break;
        }
    }
    to
}

// How wide a column is: as its widest cell that has something behind it.
fn width(members: &[&Row<'_>], column: usize) -> usize {
    let behind = |row: &&&Row<'_>| row.cells.iter().skip(column + 1).any(|cell| !cell.is_empty());
    let cells = members.iter().filter(behind).filter_map(|row| Some(said(row.cells.get(column)?, row.verbatim).chars().count()));
    cells.filter(|width| *width <= WIDEST).max().unwrap_or(0)
}

fn line(row: &Row<'_>, widths: &[usize]) -> String {
    let mut line = "    ".repeat(row.level);
    if row.cells.is_empty() {
        line = if row.alone { line } else { String::new() };
        line.push_str(row.remark);
        return line;
    }
    // A column takes one blank where its beginning is told by a mark, two where it is told by its place.
    let gap = if row.level > 0 && !row.continues { 2 } else { 1 };
    let gap = if row.form == Form::Table { 3 } else { gap };
    let last = row.cells.iter().rposition(|cell| !cell.is_empty()).unwrap_or(0);
    for (column, cell) in row.cells.iter().enumerate().take(last + 1) {
        let text = said(cell, row.verbatim);
        line.push_str(&text);
        let column_width = widths.get(column).copied().unwrap_or(0);
        if column < last && column_width > 0 {
            let evidence_next = column + 2 == row.cells.len() && row.form != Form::Table && row.cells.len() > 2;
            let gap = if evidence_next || row.level == 0 && column + 2 == row.cells.len() { 2 } else { gap };
            let wanted = (column_width + gap).saturating_sub(text.chars().count()).max(if text.is_empty() { 0 } else { gap });
            line.push_str(&" ".repeat(wanted));
        } else if column < last && !text.is_empty() {
            line.push(' ');
        }
    }
    if !row.remark.is_empty() {
        line.push_str("  ");
        line.push_str(row.remark);
    }
    line
}

// The text of a cell: one blank where there was any, and beside marks that want one.
fn said(cell: &[Token<'_>], verbatim: bool) -> String {
    let mut text = String::new();
    let mut depth = 0usize;
    let mut before: Option<&Token<'_>> = None;
    for token in cell {
        let mark = |token: &Token<'_>| token.sort == Sort::Mark;
        let wanted = |token: &Token<'_>| {
            mark(token)
                && match token.text {
                    "=" | "|" => depth == 0,
                    "->" | "→" | "−>" | "<=" | "≤" | ">=" | "≥" | "<" | ">" | "±" | "+/-" | "+/−" | ".." | "…" => true,
                    _ => false,
                }
        };
        let after = |token: &Token<'_>| mark(token) && (token.text == "," && depth > 0 || token.text == ":" && depth == 0);
        if let Some(last) = before
            && (token.spaced || !verbatim && (wanted(token) || wanted(last) || after(last)))
        {
            text.push(' ');
        }
        match token.text {
            "(" | "[" if mark(token) => depth += 1,
            ")" | "]" if mark(token) => depth = depth.saturating_sub(1),
            _ => {}
        }
        text.push_str(token.text);
        before = Some(token);
    }
    text
}
