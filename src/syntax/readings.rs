//! The tree of `readings`: which machine was tested, by which instruments, and the table of what was read. The same
//! table comes from the lines of a fence and from a CSV file (RFC 4180).

use crate::source::Extent;
use crate::syntax::ast::{Name, Path, Quoted, UnitText};
use crate::syntax::names;

/// `readings bench "bench test" of falls, raising`
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// Its name.
    pub name: Name,
    /// What it is, in words.
    pub label: Option<Quoted>,
    /// The machine or train that was tested.
    pub of: Option<Path>,
    /// `raising`, `moving` ...
    pub states: Vec<Name>,
    /// Which instrument reads a column.
    pub instruments: Vec<ColumnBy>,
    /// The file the table stands in, where it is not in the fence.
    pub file: Option<Quoted>,
    /// The table in the fence; without columns when it has none.
    pub table: Table,
    /// Where the head line stands.
    pub at: Extent,
}

/// `load travel by rule`, `effort by balance inverted`
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnBy {
    /// The column, in words.
    pub column: Cell,
    /// The instrument.
    pub by: Path,
    /// Where it is said that it was used upside down.
    pub inverted: Option<Extent>,
}

/// A table of readings. Places are counted from the fence, or from the start of the CSV file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// The header.
    pub columns: Vec<Column>,
    /// The rows below it.
    pub rows: Vec<Row>,
    /// Where the header stands.
    pub at: Extent,
    /// Whether a comma in a number divides its decimals, as in files whose columns are divided by semicolons.
    pub decimal_comma: bool,
    /// Quotation marks that are not closed, or that stand where none may.
    pub faults: Vec<Extent>,
}

/// One column of the header.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// What it is called, in lower case, words joined by single spaces.
    pub words: String,
    /// The unit behind the words, in brackets: `load (N)`.
    pub unit: Option<UnitText>,
    /// Where.
    pub at: Extent,
}

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Its cells.
    pub cells: Vec<Cell>,
    /// Where.
    pub at: Extent,
}

/// One cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// What it says, without quotation marks of a CSV file.
    pub text: String,
    /// Where.
    pub at: Extent,
}

impl Cell {
    /// Whether nothing was read: the cell is empty or a dash.
    pub fn is_blank(&self) -> bool {
        matches!(self.text.trim(), "" | "-" | "–" | "—")
    }
}

/// The parts of a line that are divided by two blanks or more, or by a tab; what stands in brackets or quotation marks
/// is not divided.
pub(crate) fn cells(line: &str, base: u32) -> Vec<Cell> {
    let mut found = Vec::new();
    let mut start: Option<usize> = None;
    // The end of the last letter, and what has been opened since the cell began.
    let (mut end, mut depth, mut quoted, mut wide) = (0, 0_usize, false, false);
    let cell =
        |start: usize, end: usize| Cell { text: line.get(start..end).unwrap_or("").to_string(), at: Extent::new(start, end).shifted(base) };
    for (at, letter) in line.char_indices() {
        let held = quoted || depth > 0;
        if letter.is_whitespace() && !held {
            wide |= letter == '\t' || (start.is_some() && at > end);
            continue;
        }
        if let (Some(from), true) = (start, wide) {
            found.push(cell(from, end));
            start = None;
        }
        wide = false;
        start.get_or_insert(at);
        end = at + letter.len_utf8();
        match letter {
            '"' => quoted = !quoted,
            '[' | '(' if !quoted => depth += 1,
            ']' | ')' if !quoted => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    found.extend(start.map(|from| cell(from, end)));
    found
}

/// A cell of the header, with its unit taken off.
pub(crate) fn column(cell: &Cell) -> Column {
    let text = cell.text.trim_end();
    let close = text.strip_suffix([')', ']']);
    let unit = close.and_then(|body| body.rfind(['(', '[']).map(|open| (open, body))).and_then(|(open, body)| {
        let inside = body.get(open + 1..)?;
        let unit = inside.trim();
        let start = open + 1 + (inside.len() - inside.trim_start().len());
        let at = Extent::new(start, start + unit.len()).shifted(cell.at.start);
        (!unit.is_empty()).then(|| (open, UnitText { text: unit.to_string(), at }))
    });
    let words = unit.as_ref().map_or(text, |(open, _)| text.get(..*open).unwrap_or(""));
    let words = words.split(|c: char| c.is_whitespace() || c == '_').filter(|word| !word.is_empty());
    Column { words: words.map(str::to_lowercase).collect::<Vec<_>>().join(" "), unit: unit.map(|(_, unit)| unit), at: cell.at }
}

/// `load travel by rule`, when the line is of that form: the column in words, and the instrument.
pub(crate) fn by_line(line: &str, base: u32) -> Option<ColumnBy> {
    let start = line.find(" by ").or_else(|| line.find("\tby "))?;
    let column = line.get(..start)?.trim_end();
    let plain = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_alphanumeric() || c == '_' || c == ' ');
    let mut from = start + 4;
    let mut words: Vec<(&str, Extent)> = Vec::new();
    for piece in line.get(from..)?.split_inclusive(char::is_whitespace) {
        let word = piece.trim_end();
        words.extend((!word.is_empty()).then(|| (word, Extent::new(from, from + word.len()).shifted(base))));
        from += piece.len();
    }
    let (name, at, inverted) = match words.as_slice() {
        [(name, at)] => (name, at, None),
        [(name, at), ("inverted", inverted)] => (name, at, Some(*inverted)),
        _ => return None,
    };
    let fit = |part: &str| plain(part) && !part.contains(' ') && !part.starts_with(|c: char| c.is_ascii_digit());
    if !plain(column) || !name.split('.').all(fit) {
        return None;
    }
    let parts = name.split('.').map(|part| Name { text: names::plain(part), at: *at }).collect();
    Some(ColumnBy {
        column: Cell { text: column.split_whitespace().collect::<Vec<_>>().join(" "), at: Extent::new(0, column.len()).shifted(base) },
        by: Path { parts, at: *at },
        inverted,
    })
}

/// `file "bench.csv"`, when the line is of that form.
pub(crate) fn file_line(line: &str, base: u32) -> Option<Quoted> {
    let rest = line.strip_prefix("file")?;
    let quoted = rest.trim();
    let inside = quoted.strip_prefix('"')?.strip_suffix('"').filter(|inside| !inside.contains('"'))?;
    let start = line.len() - rest.trim_start().len();
    Some(Quoted { text: inside.to_string(), at: Extent::new(start, start + quoted.len()).shifted(base) })
}

/// The table of a CSV file: comma-separated values after RFC 4180, in quotation marks where a cell holds a comma, a
/// quotation mark (written twice) or the end of a line. Lines end with LF or CRLF; a byte order mark is passed over. A
/// file without a comma in its first line may divide its columns by semicolons or tabs. Blank lines are passed over.
pub fn csv(text: &str) -> Table {
    let begin = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let head = text.get(begin..).and_then(|text| text.lines().find(|line| !line.trim().is_empty())).unwrap_or("");
    let divider = [',', ';', '\t'].into_iter().find(|divider| head.contains(*divider)).unwrap_or(',');
    let mut table = Table { decimal_comma: divider == ';', ..Table::default() };
    let mut rows: Vec<Row> = Vec::new();
    let mut cells: Vec<Cell> = Vec::new();
    let mut at = begin;
    let mut row_start = begin;
    while at <= text.len() {
        let (cell, end) = field(text, at, divider, &mut table.faults);
        cells.push(cell);
        let rest = text.get(end..).unwrap_or("");
        if rest.starts_with(divider) {
            at = end + divider.len_utf8();
            continue;
        }
        let said = cells.iter().any(|cell| !cell.text.trim().is_empty());
        let all = std::mem::take(&mut cells);
        if said {
            rows.push(Row { cells: all, at: Extent::new(row_start, end) });
        }
        if rest.is_empty() {
            break;
        }
        at = end + if rest.starts_with("\r\n") { 2 } else { 1 };
        row_start = at;
    }
    let mut rows = rows.into_iter();
    if let Some(header) = rows.next() {
        table.at = header.at;
        table.columns = header.cells.iter().map(column).collect();
    }
    table.rows = rows.collect();
    table
}

// One cell that begins at `start`, and where it ends: at a divider, at the end of the line or of the text.
fn field(text: &str, start: usize, divider: char, faults: &mut Vec<Extent>) -> (Cell, usize) {
    let rest = text.get(start..).unwrap_or("");
    let blanks = rest.len() - rest.trim_start_matches([' ', '\u{a0}']).len();
    let ends = |rest: &str| rest.is_empty() || rest.starts_with(divider) || rest.starts_with('\n') || rest.starts_with("\r\n");
    if let Some(inside) = rest.get(blanks..).and_then(|rest| rest.strip_prefix('"')) {
        let open = start + blanks;
        let mut said = String::new();
        let mut letters = inside.char_indices().peekable();
        while let Some((at, letter)) = letters.next() {
            if letter != '"' {
                said.push(letter);
                continue;
            }
            if letters.next_if(|(_, next)| *next == '"').is_some() {
                said.push('"');
                continue;
            }
            let close = open + 1 + at + 1;
            let after = text.get(close..).unwrap_or("");
            let after = after.len() - after.trim_start_matches([' ', '\u{a0}']).len();
            let end = close + after;
            if !ends(text.get(end..).unwrap_or("")) {
                faults.push(Extent::new(open, close));
                return (Cell { text: said, at: Extent::new(open, close) }, plain_end(text, end, divider));
            }
            return (Cell { text: said, at: Extent::new(open, close) }, end);
        }
        let line = inside.find('\n').map_or(text.len(), |at| open + 1 + at);
        faults.push(Extent::new(open, line));
        return (Cell { text: said, at: Extent::new(open, line) }, text.len());
    }
    let end = plain_end(text, start, divider);
    let raw = text.get(start..end).unwrap_or("");
    let trimmed = raw.trim();
    let from = start + (raw.len() - raw.trim_start().len());
    if let Some(mark) = trimmed.find('"') {
        faults.push(Extent::new(from + mark, from + mark + 1));
    }
    (Cell { text: trimmed.to_string(), at: Extent::new(from.min(end), from.min(end) + trimmed.len()) }, end)
}

fn plain_end(text: &str, start: usize, divider: char) -> usize {
    let rest = text.get(start..).unwrap_or("");
    let length = rest.find([divider, '\n']).unwrap_or(rest.len());
    let cut = rest.get(..length).unwrap_or("");
    // The carriage return belongs to the end of the line.
    let cut = if rest.get(length..).is_some_and(|rest| rest.starts_with('\n')) { cut.strip_suffix('\r').unwrap_or(cut) } else { cut };
    start + cut.len()
}

#[cfg(test)]
mod tests {
    use super::{by_line, cells, column, csv, file_line};

    fn texts(line: &str) -> Vec<String> {
        cells(line, 0).into_iter().map(|cell| cell.text).collect()
    }

    #[test]
    fn two_blanks_or_a_tab_divide_cells_and_brackets_hold_them_together() {
        assert_eq!(texts("1   100 N   [31 N,  33 N]  50 mm ± 1 mm\t201 mm"), ["1", "100 N", "[31 N,  33 N]", "50 mm ± 1 mm", "201 mm"]);
        assert_eq!(texts("2  4 N  \"rope  slipped\""), ["2", "4 N", "\"rope  slipped\""]);
        assert_eq!(texts("100 N"), ["100 N"]);
        assert_eq!(texts("load travel (mm)   effort"), ["load travel (mm)", "effort"]);
    }

    #[test]
    fn a_column_gives_up_its_unit() {
        let header = cells("Load_Travel (mm)", 10).remove(0);
        let found = column(&header);
        assert_eq!(found.words, "load travel");
        let unit = found.unit.expect("a unit");
        assert_eq!((unit.text.as_str(), unit.at.start, unit.at.end), ("mm", 23, 25));
        assert!(column(&cells("effort", 0).remove(0)).unit.is_none());
    }

    #[test]
    fn instruments_and_files_are_told_from_rows() {
        let line = by_line("load travel   by steel_rule", 4).expect("a line");
        assert_eq!((line.column.text.as_str(), line.by.at.start), ("load travel", 21));
        assert!(by_line("effort by lab.balance inverted", 0).is_some_and(|line| line.inverted.is_some() && line.by.parts.len() == 2));
        assert!(by_line("1  rope by hand", 0).is_some_and(|line| line.column.text == "1 rope"));
        assert!(by_line("load  effort", 0).is_none() && by_line("1  20 N ± 1 N by eye and hand", 0).is_none());
        assert_eq!(file_line("file \"a/b.csv\"", 2).map(|file| (file.text, file.at.start)), Some(("a/b.csv".into(), 7)));
    }

    // The examples of RFC 4180, section 2.
    #[test]
    fn csv_is_read_as_rfc_4180_has_it() {
        let rows = |text: &str| {
            let table = csv(text);
            assert!(table.faults.is_empty(), "{text}");
            let head: Vec<String> = table.columns.iter().map(|column| column.words.clone()).collect();
            let rows = table.rows.iter().map(|row| row.cells.iter().map(|cell| cell.text.clone()).collect::<Vec<_>>());
            std::iter::once(head).chain(rows).collect::<Vec<_>>()
        };
        assert_eq!(rows("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"), [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]);
        assert_eq!(rows("aaa,bbb,ccc\r\nzzz,yyy,xxx"), [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]);
        assert_eq!(rows("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx"), [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]);
        assert_eq!(rows("aaa,bbb\r\n\"b\r\nbb\",ccc\r\n\"b\"\"bb\",\"a,b\""), [["aaa", "bbb"], ["b\r\nbb", "ccc"], ["b\"bb", "a,b"]]);
        assert_eq!(rows("\u{feff}load;effort\n\n1,5;2\n ; \n"), [["load", "effort"], ["1,5", "2"]]);
        assert!(csv("a;b\n1,5;2").decimal_comma && !csv("a,b\n1,2").decimal_comma);
        assert_eq!(csv("").columns.len(), 0);
    }

    #[test]
    fn every_cell_knows_where_it_stands() {
        let text = "\u{feff}load (N), effort (N)\r\n100, \"31\"\r\n200,é58\r\n";
        let table = csv(text);
        for row in &table.rows {
            for cell in &row.cells {
                assert_eq!(text[cell.at.range()].trim_matches('"'), cell.text);
            }
        }
        assert_eq!(&text[table.columns[1].unit.as_ref().unwrap().at.range()], "N");
        assert_eq!(&text[table.rows[1].at.range()], "200,é58");
    }

    #[test]
    fn marks_that_are_not_closed_or_stand_inside_are_told() {
        for (text, at) in [("a,b\n\"1,2\n3,4", "\"1,2"), ("a,b\n1\"2,3", "\""), ("a,b\n\"1\"2,3", "\"1\"")] {
            let table = csv(text);
            assert_eq!(table.faults.len(), 1, "{text}");
            assert_eq!(&text[table.faults[0].range()], at);
        }
    }
}
