//! A list of gear in a CSV file, read as the statements it stands for: a row is a piece of gear. Every word of them knows the
//! cell it came from, so that whatever is found is told at the author's own row and column.

use crate::diagnostics::catalogue::gear::{GearListCell, GearListColumn, GearListNames};
use crate::diagnostics::catalogue::readings::CsvQuotes;
use crate::diagnostics::{Sink, nearest};
use crate::source::{Extent, FileId, Fragment, Home};
use crate::syntax::readings::{self, Cell, Column, Table};

// The columns that a list may have, as their heads say it; the first is needed.
const COLUMNS: [&str; 9] = ["name", "label", "rated", "breaking", "design factor", "source", "edition", "inspect by", "remark"];

/// The statements of a list. What cannot be read as a list is told at its place in `file`.
pub fn gear_list(text: &str, file: FileId, sink: &mut Sink) -> Fragment {
    let mut list = List { text, table: readings::csv(text), home: Home::file(file), sink, fragment: Fragment::new() };
    list.read();
    list.fragment
}

struct List<'l> {
    text: &'l str,
    table: Table,
    home: Home,
    sink: &'l mut Sink,
    fragment: Fragment,
}

impl List<'_> {
    fn read(&mut self) {
        let table = std::mem::take(&mut self.table);
        for fault in &table.faults {
            self.sink.push(self.home.span(*fault), &CsvQuotes {});
        }
        let mut known: Vec<Option<&'static str>> = Vec::new();
        for column in &table.columns {
            let word = COLUMNS.iter().find(|word| **word == column.words).copied();
            let twice = word.is_some() && known.contains(&word);
            if word.is_none() || twice {
                let near = nearest(&column.words, COLUMNS).into_iter().map(String::from).collect();
                let finding = GearListColumn { found: column.words.clone(), twice, near, known: COLUMNS.map(String::from).to_vec() };
                self.sink.push(self.home.span(column.at), &finding);
            }
            known.push(word.filter(|_| !twice));
        }
        let of = |word: &str| known.iter().position(|known| *known == Some(word));
        let Some(name) = of("name") else {
            self.sink.push(self.home.span(table.at), &GearListNames {});
            return;
        };
        for row in &table.rows {
            let cell = |word: &str| of(word).and_then(|at| row.cells.get(at)).filter(|cell| !cell.text.trim().is_empty());
            if let Some(extra) = row.cells.get(table.columns.len()) {
                self.sink.push(
                    self.home.span(extra.at),
                    &GearListCell { found: extra.text.clone(), wanted: "as many cells as there are heads".into() },
                );
            }
            let Some(named) = row.cells.get(name) else { continue };
            if named.text.is_empty() || !named.text.chars().all(|c| c.is_alphanumeric() || c == '_') {
                let wanted = "a name: letters, digits and `_`, beginning with a letter".into();
                self.sink.push(self.home.span(named.at), &GearListCell { found: named.text.clone(), wanted });
                continue;
            }
            self.glue("gear ", named.at);
            self.cell(named);
            if let Some(label) = cell("label") {
                self.quoted(label);
            }
            self.glue("\n", named.at);
            for word in ["rated", "breaking", "design factor"] {
                let Some(value) = cell(word) else { continue };
                let column = of(word).and_then(|at| table.columns.get(at));
                self.value(word, value, column, table.decimal_comma);
                if let Some(source) = cell("source") {
                    self.glue("  from", source.at);
                    self.quoted(source);
                }
                self.glue("\n", value.at);
            }
            for word in ["edition", "inspect by"] {
                let Some(said) = cell(word) else { continue };
                self.glue(&format!("    {word} "), said.at);
                if word == "edition" {
                    self.quoted(said)
                } else {
                    self.cell(said)
                }
                self.glue("\n", said.at);
            }
        }
    }

    // `    rated 2.4 kN`: the unit from the head of the column where it stands there.
    fn value(&mut self, word: &str, value: &Cell, column: Option<&Column>, decimal_comma: bool) {
        self.glue(&format!("    {word} "), value.at);
        let number = Cell { text: if decimal_comma { value.text.replace(',', ".") } else { value.text.clone() }, at: value.at };
        self.cell(&number);
        if let Some(unit) = column.and_then(|column| column.unit.as_ref()) {
            self.fragment.push(" ", unit.at.start as usize);
            self.fragment.push(&plain(&unit.text), unit.at.start as usize);
        }
    }

    // Words that stand in no cell are told at the beginning of `at`, byte by byte.
    fn glue(&mut self, words: &str, at: Extent) {
        for (place, _) in words.char_indices() {
            let end = words.get(place..).and_then(|rest| rest.chars().next()).map_or(words.len(), |c| place + c.len_utf8());
            self.fragment.push(words.get(place..end).unwrap_or_default(), at.start as usize);
        }
    }

    // What a cell says, without ends of lines: a statement is one line.
    fn cell(&mut self, cell: &Cell) {
        let at = self.inside(cell);
        self.fragment.push(&plain(cell.text.trim()), at);
    }

    // ` "what a cell says"`
    fn quoted(&mut self, cell: &Cell) {
        let at = self.inside(cell);
        self.glue(" \"", cell.at);
        let mut from = at;
        for letter in plain(cell.text.trim()).chars() {
            if matches!(letter, '"' | '\\') {
                self.fragment.push("\\", from);
            }
            self.fragment.push(letter.encode_utf8(&mut [0; 4]), from);
            from += letter.len_utf8();
        }
        self.glue("\"", cell.at);
    }

    // Where the words of a cell begin in the file: behind its quotation mark and its blanks.
    fn inside(&self, cell: &Cell) -> usize {
        let start = cell.at.start as usize;
        let raw = self.text.get(cell.at.range()).unwrap_or("");
        let open = usize::from(raw.starts_with('"'));
        let said = raw.get(open..).unwrap_or("");
        start + open + (said.len() - said.trim_start().len())
    }
}

fn plain(text: &str) -> String {
    text.replace(|c: char| c.is_control(), " ")
}

#[cfg(test)]
mod tests {
    use super::gear_list;
    use crate::diagnostics::Sink;
    use crate::source::FileId;

    fn read(text: &str) -> (String, Vec<&'static str>) {
        let mut sink = Sink::new();
        let fragment = gear_list(text, FileId(0), &mut sink);
        (fragment.text().to_string(), sink.into_sorted().iter().map(|found| found.slug).collect())
    }

    #[test]
    fn a_row_is_a_piece_of_gear() {
        let text =
            "name,label,rated (kN),design factor,source,edition,inspect by\r\nrope,\"12 mm \"\"laid\"\"\",2.4,,tag,2024,2027-03-01\r\n";
        let gear = "gear rope \"12 mm \\\"laid\\\"\"\n    rated 2.4 kN  from \"tag\"\n    edition  \"2024\"\n    inspect by 2027-03-01\n";
        assert_eq!(read(text), (gear.to_string(), Vec::new()));
        assert_eq!(read("name;rated (kN)\nrope;2,4\n").0, "gear rope\n    rated 2.4 kN\n");
    }

    #[test]
    fn no_cell_can_say_more_than_its_own_setting() {
        let (text, found) = read("name,rated\n\"rope\n    rated 9 kN\",1 kN\nhook,\"2 kN\nmachine a = lever\"\n");
        assert_eq!(found, ["gear-list-cell"]);
        assert_eq!(text, "gear hook\n    rated 2 kN machine a = lever\n");
    }

    #[test]
    fn every_byte_leads_to_its_cell() {
        let text = "name,rated (kN),source\nrope,2.4,\"a \\ b\"\n";
        let fragment = gear_list(text, FileId(0), &mut Sink::new());
        for word in ["rope", "2.4", "kN", "b"] {
            let at = fragment.text().find(word).expect("it is said");
            assert!(text[fragment.to_file(at as u32) as usize..].starts_with(word), "{word}");
        }
    }

    #[test]
    fn what_is_no_list_is_told() {
        assert_eq!(read("label,rated\na,1 kN\n").1, ["gear-list-names"]);
        assert_eq!(read("name,rating,name\na,1 kN,b\n").1, ["gear-list-column", "gear-list-column"]);
        assert_eq!(read("name,rated\na,1 kN,left over\n").1, ["gear-list-cell"]);
        assert_eq!(read("name,rated\n\"a,1 kN\n").1.first(), Some(&"csv-quotes"));
    }
}
