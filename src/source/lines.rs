//! Byte offsets to lines and columns: the only such code in the program.

/// A place a person can find: line and column, both counted from one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters (Unicode scalar values), from 1.
    pub column: usize,
}

/// The starts of the lines of one text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineIndex {
    starts: Vec<u32>,
}

impl LineIndex {
    /// Finds the lines of `text`. A line ends at `\n`; a `\r` before it belongs to the line end.
    pub fn new(text: &str) -> Self {
        let mut starts = vec![0];
        starts.extend(text.match_indices('\n').map(|(at, _)| at as u32 + 1));
        LineIndex { starts }
    }

    /// Number of lines; a text always has at least one.
    pub fn count(&self) -> usize {
        self.starts.len()
    }

    /// The line, from 1, that holds byte `offset`.
    pub fn line_of(&self, offset: usize) -> usize {
        self.starts.partition_point(|start| *start as usize <= offset).max(1)
    }

    /// Bytes of `line` (from 1) in `text`, without its line end. Empty when there is no such line.
    pub fn line<'t>(&self, text: &'t str, line: usize) -> &'t str {
        let Some(start) = line.checked_sub(1).and_then(|at| self.starts.get(at)) else { return "" };
        let end = self.starts.get(line).map_or(text.len(), |next| *next as usize - 1);
        text.get(*start as usize..end).unwrap_or("").trim_end_matches('\r')
    }

    /// Line and column of byte `offset` in `text`. An offset inside a character counts as its start.
    pub fn position(&self, text: &str, offset: usize) -> Position {
        let line = self.line_of(offset);
        let start = self.starts.get(line - 1).map_or(0, |start| *start as usize);
        let before = text.get(start..).unwrap_or("");
        let column = before.char_indices().take_while(|(at, c)| start + at + c.len_utf8() <= offset).count();
        Position { line, column: column + 1 }
    }

    /// Byte offset of the start of `line` (from 1).
    pub fn start_of(&self, line: usize) -> usize {
        line.checked_sub(1).and_then(|at| self.starts.get(at)).map_or(0, |start| *start as usize)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_and_lines_forget_carriage_returns() {
        let text = "ab\r\nµ = 0.1\n";
        let index = LineIndex::new(text);
        assert_eq!(index.count(), 3);
        assert_eq!(index.line(text, 1), "ab");
        assert_eq!(index.line(text, 2), "µ = 0.1");
        let equals = text.find('=').unwrap_or(0);
        assert_eq!(index.position(text, equals), Position { line: 2, column: 3 });
        assert_eq!(index.position(text, text.len()), Position { line: 3, column: 1 });
    }
}
