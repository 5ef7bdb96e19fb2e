//! Findings about files: those asked for, and those that sheets use.

use crate::diagnostics::{Finding, findings};

findings! {
    /// A file that was asked for is not there.
    ///
    /// The path of a `use` is counted from the file it stands in.
    "file-missing" => FileMissing { path: String, asked_by: String }

    /// A file is not text in UTF-8.
    "file-not-text" => FileNotText { path: String, at: usize }

    /// A file is larger than a sheet may be.
    "file-too-large" => FileTooLarge { path: String, bytes: u64, limit: u64 }

    /// A path leads out of the project. A sheet may use only files that go with it, so that a checker has them all.
    "file-outside" => FileOutside { path: String }

    /// The system did not let a file be read.
    "file-denied" => FileDenied { path: String, reason: String }

    /// Files use each other in a ring, so none of them can be worked first.
    "use-cycle" => UseCycle { ring: Vec<String> }

    /// A used file has errors of its own, so names may be missing. They are told when that file is checked.
    "used-file-broken" => UsedFileBroken { path: String, errors: usize }
}

impl Finding for FileMissing {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("there is no file `{}`", self.path)
    }
    fn label(&self) -> String {
        if self.asked_by.is_empty() { "asked for on the command line".into() } else { "used here".into() }
    }
    fn help(&self) -> Option<String> {
        (!self.asked_by.is_empty()).then(|| format!("the path is counted from the folder of `{}`", self.asked_by))
    }
}

impl Finding for FileNotText {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is not text in UTF-8", self.path)
    }
    fn label(&self) -> String {
        format!("byte {} is not part of any character", self.at + 1)
    }
    fn help(&self) -> Option<String> {
        Some("save it as UTF-8".into())
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
        format!("{} bytes; at most {} are read", self.bytes, self.limit)
    }
    fn help(&self) -> Option<String> {
        Some("split it into sheets that a person can check".into())
    }
}

impl Finding for FileOutside {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` lies outside the project", self.path)
    }
    fn label(&self) -> String {
        "leads out of the project".into()
    }
    fn why(&self) -> Option<String> {
        Some("whoever checks the sheet must have every file it rests on".into())
    }
    fn help(&self) -> Option<String> {
        Some("bring the file into the project and use it from there".into())
    }
}

impl Finding for FileDenied {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` cannot be read", self.path)
    }
    fn label(&self) -> String {
        self.reason.clone()
    }
}

impl Finding for UseCycle {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "files use each other in a ring".into()
    }
    fn label(&self) -> String {
        self.ring.join(" uses ")
    }
    fn help(&self) -> Option<String> {
        Some("put what they share into a file of its own, and let both use that".into())
    }
}

impl Finding for UsedFileBroken {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` has {} of its own", self.path, if self.errors == 1 { "an error".to_string() } else { format!("{} errors", self.errors) })
    }
    fn label(&self) -> String {
        "used here".into()
    }
    fn help(&self) -> Option<String> {
        Some("check that file by itself and mend it first".into())
    }
}
