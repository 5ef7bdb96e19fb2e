//! Findings about `readings`: their tables, and what they come to.

use crate::diagnostics::{Finding, Severity, findings};

findings! {
    /// Readings without a table, or with two.
    ///
    /// Below the head of `readings` stand the table itself, a header and one row a trial, or the file that holds it:
    /// `file "bench.csv"`. Columns are divided by two blanks or more, or by tabs; in a file as RFC 4180 says, by commas.
    "readings-without-table" => ReadingsWithoutTable { found: String }

    /// A column of a table of readings that is not read.
    ///
    /// A table has the columns `load` and `effort`, and may have `load travel`, `effort travel`, `trial`, `direction` and
    /// `remark`. Behind a name may stand its unit in brackets: `load (N)`. A column by another name is passed over, so a
    /// misspelt one would be missed without a word.
    "column-unknown" => ColumnUnknown { name: String, near: Option<String> }

    /// A column stands twice in a table of readings.
    ///
    /// Two columns of one name that hold readings are repeats of each other. A trial has one name, one direction and one
    /// remark.
    "column-twice" => ColumnTwice { name: String }

    /// A column that is needed is missing.
    ///
    /// Nothing can be worked without load and effort. The two travels are only of use together: without them there is
    /// neither work nor a measured velocity ratio.
    "column-missing" => ColumnMissing { name: String, has: Option<String> }

    /// A row has more or fewer cells than the header has columns.
    ///
    /// In a fence cells are divided by two blanks or more, or by a tab, and a dash stands for what was not read. In a
    /// CSV file every row has as many commas as the header (RFC 4180).
    "row-ragged" => RowRagged { cells: usize, columns: usize, file: bool }

    /// A cell says nothing where every trial needs a reading.
    ///
    /// Load and effort are read in every trial, and a travel in every trial or in none.
    "reading-missing" => ReadingMissing { column: String }

    /// A cell of a file does not begin like a number.
    ///
    /// A reading is a number, alone where the header gives the unit, or with its own; several readings of one thing stand
    /// in brackets, `[31, 33, 32]`, or in columns of the same name.
    "reading-not-a-number" => ReadingNotANumber { text: String, column: String }

    /// A number stands without a unit, and the header gives none.
    ///
    /// `load (N)` in the header gives the unit of the whole column; in a row it stands behind the number.
    "reading-without-unit" => ReadingWithoutUnit { column: String, wanted: String }

    /// A quotation mark of a CSV file is not closed, or stands where none may.
    ///
    /// A cell that holds a comma, a quotation mark or the end of a line stands in quotation marks as a whole, and a
    /// quotation mark within it is written twice (RFC 4180).
    "csv-quotes" => CsvQuotes {}

    /// A direction that there is not.
    ///
    /// The load goes up, stands, or comes down: `raising`, `holding`, `lowering`. What is read in one direction says
    /// nothing of the others.
    "direction-unknown" => DirectionUnknown { found: String }

    /// What readings are said to be `of` is no machine and no train.
    ///
    /// Name a machine or a train that stands above; its effort is then worked at the load of every trial. Without `of`
    /// the readings stand for themselves.
    "not-tested" => NotTested { name: String, found: String }

    /// More work came out than was put in.
    ///
    /// No machine does that, so a reading, a count or a unit is wrong, or the doubt of the readings is greater than what
    /// friction took. The sheet says which readings would explain it, and how far each is from the value that would.
    "efficiency-above-one" => EfficiencyAboveOne { trial: String, efficiency: String, within: bool, explains: Vec<String> }

    /// A reading stands far from the others like it.
    ///
    /// Grubbs' test (ISO 5725-2, 7.3.4; ASTM E178) of repeats and of measured velocity ratios, and the like test of what
    /// the efforts are off their straight line. Beyond the critical value of 5 % a reading is marked as a straggler, beyond
    /// that of 1 % as an outlier. It is kept all the same: only a cause that is found is a reason to leave a reading out.
    "reading-stands-off" => ReadingStandsOff { what: String, value: String, statistic: String, critical: String, level: String }
}

impl Finding for ReadingsWithoutTable {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "readings without a table".into()
    }
    fn label(&self) -> String {
        self.found.clone()
    }
    fn help(&self) -> Option<String> {
        Some("write the columns on an indented line, `load  effort`, and one row a trial below it; or `file \"bench.csv\"`".into())
    }
}

impl Finding for ColumnUnknown {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        if self.near.is_some() { Severity::Error } else { Severity::Warning }
    }
    fn headline(&self) -> String {
        format!("the column `{}` is not read", self.name)
    }
    fn label(&self) -> String {
        "not a column of readings".into()
    }
    fn why(&self) -> Option<String> {
        Some("what stands in it takes no part in the results".into())
    }
    fn help(&self) -> Option<String> {
        let known = "`load`, `effort`, `load travel`, `effort travel`, `trial`, `direction` and `remark`";
        Some(match &self.near {
            Some(near) => format!("did you mean `{near}`? Columns are {known}"),
            None => format!("columns are {known}"),
        })
    }
}

impl Finding for ColumnTwice {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("the column `{}` stands twice", self.name)
    }
    fn label(&self) -> String {
        "stands above already".into()
    }
    fn help(&self) -> Option<String> {
        Some("keep one of them".into())
    }
}

impl Finding for ColumnMissing {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        if self.has.is_some() { Severity::Warning } else { Severity::Error }
    }
    fn headline(&self) -> String {
        match &self.has {
            Some(has) => format!("a column `{has}` without `{}`", self.name),
            None => format!("no column `{}`", self.name),
        }
    }
    fn label(&self) -> String {
        "the header".into()
    }
    fn why(&self) -> Option<String> {
        Some(match self.has {
            Some(_) => "work and velocity ratio want both travels; neither is worked".into(),
            None => "nothing can be worked from the readings".into(),
        })
    }
    fn help(&self) -> Option<String> {
        Some(format!("give the table a column `{}`", self.name))
    }
}

impl Finding for RowRagged {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        let plural = if self.cells == 1 { "" } else { "s" };
        format!("a row of {} cell{plural} under a header of {}", self.cells, self.columns)
    }
    fn label(&self) -> String {
        format!("expected {}", self.columns)
    }
    fn why(&self) -> Option<String> {
        Some("a reading could be taken for another".into())
    }
    fn help(&self) -> Option<String> {
        Some(if self.file {
            "give the row as many commas as the header, and put a cell that holds a comma in quotation marks".into()
        } else {
            "put two blanks or a tab between cells, and a dash where nothing was read".into()
        })
    }
}

impl Finding for ReadingMissing {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("no {} in this trial", self.column)
    }
    fn label(&self) -> String {
        "nothing was read here".into()
    }
    fn why(&self) -> Option<String> {
        Some("a trial without it cannot be worked".into())
    }
    fn help(&self) -> Option<String> {
        Some(if self.column.ends_with("travel") {
            "give the reading, leave the trial out, or leave the travels out of the table".into()
        } else {
            "give the reading, or leave the trial out".into()
        })
    }
}

impl Finding for ReadingNotANumber {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is no number", self.text)
    }
    fn label(&self) -> String {
        format!("expected a reading of the {}", self.column)
    }
    fn help(&self) -> Option<String> {
        Some("write a number, with `.` before its decimals; leave a remark to the column `remark`".into())
    }
}

impl Finding for ReadingWithoutUnit {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("{} without a unit", self.column)
    }
    fn label(&self) -> String {
        format!("expected {}", self.wanted)
    }
    fn why(&self) -> Option<String> {
        Some("31 N and 31 lbf are not the same pull".into())
    }
    fn help(&self) -> Option<String> {
        Some(format!("give the unit in the header, as in `load (N)`, or behind the number; here for the {}", self.column))
    }
}

impl Finding for CsvQuotes {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a quotation mark out of place".into()
    }
    fn label(&self) -> String {
        "not closed, or with text beside it".into()
    }
    fn why(&self) -> Option<String> {
        Some("where the cell ends cannot be told".into())
    }
    fn help(&self) -> Option<String> {
        Some("put the whole cell in quotation marks, and write a quotation mark within it twice".into())
    }
}

impl Finding for DirectionUnknown {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is no direction", self.found)
    }
    fn label(&self) -> String {
        "expected `raising`, `holding` or `lowering`".into()
    }
    fn help(&self) -> Option<String> {
        Some("write `raising`, `holding` or `lowering`, or leave the cell empty for that of the head".into())
    }
}

impl Finding for NotTested {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is not a machine or a train", self.name)
    }
    fn label(&self) -> String {
        self.found.clone()
    }
    fn help(&self) -> Option<String> {
        Some("name a machine or a train that stands above, or leave `of` out".into())
    }
}

impl Finding for EfficiencyAboveOne {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        if self.within { Severity::Note } else { Severity::Warning }
    }
    fn headline(&self) -> String {
        format!("{}: measured efficiency {}", self.trial, self.efficiency)
    }
    fn label(&self) -> String {
        if self.within { "above 100 %, but within its doubt".into() } else { "above 100 % by more than its doubt".into() }
    }
    fn why(&self) -> Option<String> {
        Some("no machine gives more work than is put in: a reading, a count or a unit is wrong".into()).filter(|_| !self.within)
    }
    fn help(&self) -> Option<String> {
        (!self.explains.is_empty()).then(|| format!("what would explain it: {}", self.explains.join("; ")))
    }
}

impl Finding for ReadingStandsOff {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Note
    }
    fn headline(&self) -> String {
        format!("{} stands off from the others", self.what)
    }
    fn label(&self) -> String {
        format!("{}: {} against a critical value of {} ({})", self.value, self.statistic, self.critical, self.level)
    }
    fn why(&self) -> Option<String> {
        Some("it is kept: only a cause that is found is a reason to leave a reading out".into())
    }
}
