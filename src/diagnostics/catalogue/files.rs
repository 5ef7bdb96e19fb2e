//! Findings of the files family: what keeps a file from being read, and files that use each other in a ring.

use crate::diagnostics::{Finding, findings};

findings! {
    /// There is no file of this name.
    ///
    /// Paths in `use` are counted from the folder of the sheet that says it, paths of sheets to be worked from the root
    /// of the project; both are written with `/`. Capitals count, even where the file system does not mind. The names
    /// that the missing file would have given are unknown, so the lines that need them are not worked.
    "file-missing" => FileMissing { path: String, used: bool, near: Vec<String> }

    /// The file is not UTF-8 text.
    ///
    /// From the byte that is named on, the file cannot be read as text, and a guess at its encoding could turn a sign
    /// of measure into another. Save it as UTF-8 in the editor it was written in.
    "file-not-text" => FileNotText { path: String, at: String }

    /// The file is larger than a sheet may be.
    ///
    /// A sheet is written and read by people; a file of such a size is usually not one, but data or a program. Divide
    /// it, and let one part `use` the other.
    "file-too-large" => FileTooLarge { path: String, size: String, limit: String }

    /// The path leads out of the project.
    ///
    /// A sheet must mean the same wherever its project is put, so it may use only what is filed with it: no path from
    /// the root of the machine, and no `..` above the root of the project. Copy the file into the project.
    "file-outside-project" => FileOutsideProject { path: String }

    /// The system does not let the file be read.
    ///
    /// The file is there, but the system refuses to give it: most often its permissions say so, or the name is that of
    /// a folder. The system's own words are given.
    "file-denied" => FileDenied { path: String, reason: String }

    /// Files use each other in a ring.
    ///
    /// A name is defined before it is used. In a ring each file waits for another, and none of them can be worked
    /// first. Move what they share into a file of its own and let each of them use that.
    "use-cycle" => UseCycle { ring: Vec<String> }

    /// A used file has errors of its own, so names may be missing. They are told when that file is checked.
    ///
    /// Mend that file first: what it could not work cannot be used here either.
    "used-file-broken" => UsedFileBroken { path: String, errors: usize }

    /// A line of accepted results is not understood, so the sheet is not compared with them.
    ///
    /// The file beside the sheet, with the ending `.accepted`, has one result a line: name, value, standard uncertainty
    /// and unit, divided by tabs. It is written by `parbuckle accept`; where two branches accepted different results, keep
    /// one of them or accept anew.
    "baseline-line" => BaselineLine { expected: String }

    /// A place in the form of an independent calculation is not understood.
    ///
    /// The form is the CSV file that `parbuckle build --for blind` writes: a row a question, with the columns ask, name, what
    /// it is, value, unit and remark. Numbers have a point for decimals, or a comma where semicolons divide the columns; a value
    /// may be in any unit of the sort that is asked for, written into the column of units.
    "answer-unread" => AnswerUnread { expected: String }
}

impl Finding for FileMissing {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("there is no file `{}`", self.path)
    }
    fn label(&self) -> String {
        if self.used { "used here".into() } else { "asked for here".into() }
    }
    fn why(&self) -> Option<String> {
        self.used.then(|| "what it would define is unknown, so the lines that need it are not worked".into())
    }
    fn help(&self) -> Option<String> {
        let known: Vec<String> = self.near.iter().map(|path| format!("`{path}`")).collect();
        Some(match (known.split_last(), self.used) {
            (Some((last, [])), _) => format!("did you mean {last}?"),
            (Some((last, others)), _) => format!("did you mean {} or {last}?", others.join(", ")),
            (None, true) => "a path is counted from the folder of this sheet and written with `/`; capitals count".into(),
            (None, false) => "a path is counted from the root of the project; capitals count".into(),
        })
    }
}

impl Finding for FileNotText {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is not UTF-8 text", self.path)
    }
    fn label(&self) -> String {
        format!("byte {} begins no character", self.at)
    }
    fn why(&self) -> Option<String> {
        Some("a guess at its encoding could turn one sign into another, `µ` or `°` among them".into())
    }
    fn help(&self) -> Option<String> {
        Some("save the file as UTF-8".into())
    }
}

impl Finding for FileTooLarge {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is too large for a sheet", self.path)
    }
    fn label(&self) -> String {
        format!("{}, and a sheet may have {}", self.size, self.limit)
    }
    fn why(&self) -> Option<String> {
        Some("nothing in it is read, so nothing in it is checked".into())
    }
    fn help(&self) -> Option<String> {
        Some("divide it, and let one part `use` the other".into())
    }
}

impl Finding for FileOutsideProject {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` leads out of the project", self.path)
    }
    fn label(&self) -> String {
        "not followed".into()
    }
    fn why(&self) -> Option<String> {
        Some("a sheet must mean the same wherever its project is put, so it uses only what is filed with it".into())
    }
    fn help(&self) -> Option<String> {
        Some("copy the file into the project, and write its path from the folder of this sheet".into())
    }
}

impl Finding for FileDenied {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` may not be read", self.path)
    }
    fn label(&self) -> String {
        format!("the system says: {}", self.reason)
    }
    fn why(&self) -> Option<String> {
        Some("what it would define is unknown, so the lines that need it are not worked".into())
    }
    fn help(&self) -> Option<String> {
        Some("look at the permissions of the file, and whether the name is that of a folder".into())
    }
}

impl Finding for UseCycle {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        match self.ring.as_slice() {
            [alone] => format!("`{alone}` uses itself"),
            ring => format!("{} files use each other in a ring", ring.len()),
        }
    }
    fn label(&self) -> String {
        let files = self.ring.iter().chain(self.ring.first());
        files.map(|path| format!("`{path}`")).collect::<Vec<_>>().join(" uses ")
    }
    fn why(&self) -> Option<String> {
        Some("each waits for another, so none of them can be worked first".into())
    }
    fn help(&self) -> Option<String> {
        Some("move what they share into a file of its own, and let each of them use that".into())
    }
}

impl Finding for UsedFileBroken {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!(
            "`{}` has {} of its own",
            self.path,
            if self.errors == 1 { "an error".to_string() } else { format!("{} errors", self.errors) }
        )
    }
    fn label(&self) -> String {
        "used here".into()
    }
    fn help(&self) -> Option<String> {
        Some("check that file by itself and mend it first".into())
    }
}

impl Finding for BaselineLine {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "a line of accepted results is not understood".into()
    }
    fn label(&self) -> String {
        format!("expected {}", self.expected)
    }
    fn why(&self) -> Option<String> {
        Some("results that moved since they were accepted would pass unseen".into())
    }
    fn help(&self) -> Option<String> {
        Some("mend the line, or let `parbuckle accept` write the file anew once the results have been looked at".into())
    }
}

impl Finding for AnswerUnread {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "an answer is not understood".into()
    }
    fn label(&self) -> String {
        format!("expected {}", self.expected)
    }
    fn why(&self) -> Option<String> {
        Some("an answer that is passed over would look like one that agrees".into())
    }
    fn help(&self) -> Option<String> {
        Some("mend the cell, or take it over into a new form of this sheet".into())
    }
}

#[cfg(test)]
mod tests {
    use super::{FileMissing, UseCycle};
    use crate::diagnostics::Finding;

    #[test]
    fn a_ring_is_told_from_file_to_file() {
        let ring = |paths: &[&str]| UseCycle { ring: paths.iter().map(|path| path.to_string()).collect() };
        let two = ring(&["a.md", "b.md"]);
        assert_eq!(two.headline(), "2 files use each other in a ring");
        assert_eq!(two.label(), "`a.md` uses `b.md` uses `a.md`");
        let one = ring(&["a.md"]);
        assert_eq!((one.headline().as_str(), one.label().as_str()), ("`a.md` uses itself", "`a.md` uses `a.md`"));
    }

    #[test]
    fn near_names_are_offered() {
        let help = |near: &[&str]| {
            let near = near.iter().map(|path| path.to_string()).collect();
            FileMissing { path: "gaer.md".into(), used: true, near }.help().unwrap_or_default()
        };
        assert_eq!(help(&["gear.md"]), "did you mean `gear.md`?");
        assert_eq!(help(&["gear.md", "geer.md"]), "did you mean `gear.md` or `geer.md`?");
        assert!(help(&[]).starts_with("a path is counted"));
    }
}
