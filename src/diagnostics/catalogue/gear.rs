//! Findings of gear, of lists of it, and of files that are held to a digest.

use crate::diagnostics::{Finding, Severity, findings};

findings! {
    /// A piece of gear was to be inspected before the day that the sheet is looked at on.
    ///
    /// The day is given with `--on`; nothing is read from the clock. Have the gear inspected by whoever may do so, and
    /// write down the next date, or use another piece. What it is rated for is printed all the same.
    "inspection-due" => InspectionDue { gear: String, by: String, on: String }

    /// A date is written as year, month and day: `2027-03-01` (ISO 8601).
    ///
    /// `3/1/27` is read as March here and as January there, and gear would be used for months after its inspection was
    /// due.
    "date-form" => DateForm { found: String }

    /// A column of a list of gear has a head that is not known, or that stands there twice.
    ///
    /// A list has the columns name, label, rated, breaking, design factor, source, edition, inspect by and remark, in any
    /// order; only the name is needed. A unit may stand behind the head, as in `rated (kN)`.
    "gear-list-column" => GearListColumn { found: String, twice: bool, near: Vec<String>, known: Vec<String> }

    /// A list of gear needs a column of names.
    ///
    /// A file that is used by a sheet and ends in `.csv` is a list of gear: its first line has the heads of its columns,
    /// one of which is `name`, and every further line is a piece of gear.
    "gear-list-names" => GearListNames { }

    /// A cell of a list of gear cannot be what its column says.
    ///
    /// A name is one word of letters, digits and `_`, and a line has no more cells than the list has heads.
    "gear-list-cell" => GearListCell { found: String, wanted: String }

    /// A used file is not the one that the sheet was written with.
    ///
    /// `pinned` holds a file to the digest of its text, so that nobody's rating changes unseen. Look at what changed in
    /// the file, with whoever keeps it; then write the new digest.
    "pin-differs" => PinDiffers { path: String, pinned: String, now: String }

    /// A digest behind `pinned` is `sha256:` and 64 hexadecimal digits.
    ///
    /// It is the SHA-256 of the file, with lines that end in line feeds, as `sha256sum` prints it. The digest that the
    /// file has now is told.
    "pin-form" => PinForm { found: String, now: String }
}

impl Finding for InspectionDue {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("`{}` was to be inspected by {}", self.gear, self.by)
    }
    fn label(&self) -> String {
        format!("the sheet is looked at on {}", self.on)
    }
    fn why(&self) -> Option<String> {
        Some("a rating holds for gear that has been inspected when it was due".into())
    }
    fn help(&self) -> Option<String> {
        Some("have it inspected and write down the next date, or use another piece".into())
    }
}

impl Finding for DateForm {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is not a date", self.found)
    }
    fn label(&self) -> String {
        "expected year, month and day, as in `2027-03-01`".into()
    }
    fn why(&self) -> Option<String> {
        Some("a date that is read in two ways lets gear be used after its inspection was due".into())
    }
    fn help(&self) -> Option<String> {
        Some("write it as ISO 8601 has it: four digits, two and two, with `-` between them".into())
    }
}

impl Finding for GearListColumn {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        if self.twice { Severity::Error } else { Severity::Warning }
    }
    fn headline(&self) -> String {
        match (self.found.as_str(), self.twice) {
            (found, true) => format!("the list has two columns `{found}`"),
            ("", false) => "a column of the list has no head".into(),
            (found, false) => format!("a list of gear has no column `{found}`"),
        }
    }
    fn label(&self) -> String {
        if self.twice { "the second one".into() } else { "not a column of a list of gear".into() }
    }
    fn why(&self) -> Option<String> {
        Some("what stands in it would be left out, be it a rating or a date".into())
    }
    fn help(&self) -> Option<String> {
        Some(match self.near.first() {
            Some(near) if !self.twice => format!("did you mean `{near}`? A column that is for people alone is headed `remark`"),
            _ => format!("the columns are {}", self.known.join(", ")),
        })
    }
}

impl Finding for GearListNames {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "the list of gear has no column of names".into()
    }
    fn label(&self) -> String {
        "expected a head `name` among these".into()
    }
    fn why(&self) -> Option<String> {
        Some("a sheet asks for gear by its name, so nothing in the list can be used".into())
    }
    fn help(&self) -> Option<String> {
        Some("head one column `name`: one word for each piece of gear".into())
    }
}

impl Finding for GearListCell {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        match self.found.trim() {
            "" => "a piece of gear in the list has no name".into(),
            found => format!("`{}` does not belong here", found.replace('\n', " ")),
        }
    }
    fn label(&self) -> String {
        format!("expected {}", self.wanted)
    }
    fn why(&self) -> Option<String> {
        Some("the row is left out, so a rating that is relied on may be missing".into())
    }
    fn help(&self) -> Option<String> {
        Some("mend the cell; a cell that holds a divider is set in quotation marks".into())
    }
}

impl Finding for PinDiffers {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is not the file that this sheet was written with", self.path)
    }
    fn label(&self) -> String {
        format!("the file is now sha256:{}", self.now)
    }
    fn why(&self) -> Option<String> {
        Some("a rating in it may have changed since somebody looked".into())
    }
    fn help(&self) -> Option<String> {
        Some("look at what changed in it, then write its digest here".into())
    }
    fn replacement(&self) -> Option<String> {
        Some(format!("\"sha256:{}\"", self.now))
    }
}

impl Finding for PinForm {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is not a digest", self.found)
    }
    fn label(&self) -> String {
        "expected `sha256:` and 64 hexadecimal digits".into()
    }
    fn why(&self) -> Option<String> {
        Some("the file is held to nothing, and could change unseen".into())
    }
    fn help(&self) -> Option<String> {
        Some(format!("the file has sha256:{}", self.now))
    }
    fn replacement(&self) -> Option<String> {
        Some(format!("\"sha256:{}\"", self.now))
    }
}
