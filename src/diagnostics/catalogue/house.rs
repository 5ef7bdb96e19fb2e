//! Findings of the house family: what is wrong in the project file, where a team settles its house style and its demands.

use crate::diagnostics::{Finding, Severity, findings};

findings! {
    /// The project file cannot be read as TOML here.
    ///
    /// `parbuckle.toml` is written in TOML 1.0: a line reads `key = "value"`, a table begins with its name in square
    /// brackets, text stands in double quotes, a list in square brackets. Lines that can be read are followed; for what
    /// cannot, the default holds.
    "project-file-broken" => ProjectFileBroken { problem: String }

    /// The project file has a key that means nothing.
    ///
    /// A key that is passed over would let a team believe in a style, or in a demand, that nobody follows. The keys and
    /// tables of a project file are listed in the guide under "The project file"; those of a table stand below its name.
    "project-file-key" => ProjectFileKey { key: String, table: String, known: Vec<String>, near: Vec<String> }

    /// A key of the project file has a value that it cannot have.
    ///
    /// The default holds in its place, and every sheet of the project is printed without what the key was to settle.
    "project-file-value" => ProjectFileValue { key: String, found: String, wanted: String, why: String }

    /// The project file is there, but cannot be read.
    ///
    /// Its size, its encoding or the system itself stand in the way, as the finding says. Every sheet is printed as if
    /// there were no project file.
    "project-file-unreadable" => ProjectFileUnreadable { reason: String, mend: String }

    /// A picture cannot be put into the page.
    ///
    /// A page is one file and asks for no other, so pictures are written into it: SVG, PNG, JPEG, GIF and WebP files of the
    /// project, of 512 KiB at most. The picture is left out; its words stand in its place.
    "picture-left-out" => PictureLeftOut { picture: String, reason: String, mend: String }

    /// A part of the page in the template folder of the house cannot be used.
    ///
    /// The part that comes with the program is used in its place. A part is a template in the form of those that it stands
    /// for, prints what it is given, and brings no script: the guide lists the parts and what each is given.
    "template-part" => TemplatePart { part: String, problem: String, mend: String }

    /// The template folder that the project file names does not exist.
    ///
    /// Files in that folder stand in the place of parts of the page. Without it the page is printed with the parts that come with the
    /// program. The path is counted from the folder of the project file; large and small letters differ on most systems.
    "template-folder" => TemplateFolder { folder: String }

    /// A file in the template folder of the house replaces no part of the page.
    ///
    /// A part is replaced by the file that bears its name, letter for letter. A file with another name is read by nobody, and
    /// the page is printed with the part that comes with the program. Files that are plainly something else are passed over:
    /// pictures, documents, data, hidden files.
    "template-part-name" => TemplatePartName { file: String, near: Vec<String>, known: Vec<String> }

    /// A file bears nearly the name of a project file, and is none.
    ///
    /// The project file is called `parbuckle.toml`, letter for letter, in the folder of the sheets or above them. Under any other
    /// name nobody reads it: the sheets are printed without the style of the house, and its demands are not made.
    "project-file-name" => ProjectFileName { file: String, wanted: String }
}

impl Finding for ProjectFileBroken {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "the project file cannot be read here".into()
    }
    fn label(&self) -> String {
        self.problem.clone()
    }
    fn why(&self) -> Option<String> {
        Some("for what cannot be read the default holds, on every sheet of the project".into())
    }
    fn help(&self) -> Option<String> {
        Some("a line reads `key = \"value\"`, and each key stands once; a table begins with its name in square brackets".into())
    }
}

impl Finding for ProjectFileKey {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is not a key of the project file", self.key)
    }
    fn label(&self) -> String {
        let place = if self.table.is_empty() { "at the top of the file".to_string() } else { format!("in [{}]", self.table) };
        format!("not known {place}")
    }
    fn why(&self) -> Option<String> {
        Some("what it was to settle stays as it is by default, and a demand that is not known is not made".into())
    }
    fn help(&self) -> Option<String> {
        Some(meant_or_known(&self.near, &self.known))
    }
}

impl Finding for ProjectFileValue {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` cannot be {}", self.key, self.found)
    }
    fn label(&self) -> String {
        format!("expected {}", self.wanted)
    }
    fn why(&self) -> Option<String> {
        Some(self.why.clone())
    }
    fn help(&self) -> Option<String> {
        Some(format!("write {}, or leave the key out for its default", self.wanted))
    }
}

impl Finding for PictureLeftOut {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("the picture `{}` is left out", self.picture)
    }
    fn label(&self) -> String {
        self.reason.clone()
    }
    fn why(&self) -> Option<String> {
        Some("a page is one file and asks for no other, so a picture that cannot be written into it is not there for the reader".into())
    }
    fn help(&self) -> Option<String> {
        Some(self.mend.clone())
    }
}

impl Finding for TemplatePart {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("the part `{}` of the page cannot be used", self.part)
    }
    fn label(&self) -> String {
        self.problem.clone()
    }
    fn why(&self) -> Option<String> {
        Some("the part that comes with the program stands in its place, so the page is whole but not in the style of the house".into())
    }
    fn help(&self) -> Option<String> {
        Some(self.mend.clone())
    }
}

impl Finding for TemplateFolder {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("there is no template folder `{}`", self.folder)
    }
    fn label(&self) -> String {
        "no such folder in the project".into()
    }
    fn why(&self) -> Option<String> {
        Some("pages are printed with the parts that come with the program, and not in the style of the house".into())
    }
    fn help(&self) -> Option<String> {
        Some(
            "put it there, or mend the path, which is counted from the folder of this file; without parts of your own, leave the key out"
                .into(),
        )
    }
}

impl Finding for ProjectFileUnreadable {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        "the project file cannot be read".into()
    }
    fn label(&self) -> String {
        self.reason.clone()
    }
    fn why(&self) -> Option<String> {
        Some("every sheet is printed as if there were none, without the style and the demands of the house".into())
    }
    fn help(&self) -> Option<String> {
        Some(self.mend.clone())
    }
}

impl Finding for TemplatePartName {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("`{}` replaces no part of the page", self.file)
    }
    fn label(&self) -> String {
        "no part has the name of this file".into()
    }
    fn why(&self) -> Option<String> {
        Some("nobody reads it: the page is printed with the part that comes with the program, and not in the style of the house".into())
    }
    fn help(&self) -> Option<String> {
        Some(meant_or_known(&self.near, &self.known))
    }
}

impl Finding for ProjectFileName {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("`{}` is not read as a project file", self.file)
    }
    fn label(&self) -> String {
        format!("the project file is called `{}`", self.wanted)
    }
    fn why(&self) -> Option<String> {
        Some("the sheets are printed without the style that it settles, and the demands that it makes are not made".into())
    }
    fn help(&self) -> Option<String> {
        Some(format!("call it `{}` if it is meant to be one", self.wanted))
    }
}

// What a name was likely meant to be; all that it could be where none is near.
fn meant_or_known(near: &[String], known: &[String]) -> String {
    let quoted = |names: &[String]| names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>();
    match quoted(near).split_last() {
        Some((last, [])) => format!("did you mean {last}?"),
        Some((last, others)) => format!("did you mean {} or {last}?", others.join(", ")),
        None => format!("known here: {}", quoted(known).join(", ")),
    }
}
