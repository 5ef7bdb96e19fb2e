//! What moves with a value, in the sheet that states it and in those that use its file; and which files those are, found from
//! their `use` statements alone.

use crate::document::{self, Piece};
use crate::engine::compile::{Gathered, is_list};
use crate::engine::{Day, Engine, Files, Unreadable};
use crate::model::Model;
use crate::program::Evaluation;
use crate::sheet::parts::Notice;
use crate::sheet::{self, Grounds, Impact, NoSuchValue, Written};
use crate::source::{FileId, Fragment, Home, SheetPath, Text};
use crate::syntax::ast::Statement;
use std::collections::{BTreeMap, BTreeSet};

/// What came of asking for a value of one document.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// What it is and what moves with it, and where it is written (none for a list whose item was not said); or that there is none.
    pub found: Result<(Impact, Option<Written>), NoSuchValue>,
    /// The findings of the document.
    pub notices: Vec<Notice>,
}

impl Engine {
    /// What the value `name` of the document at `path` is, what it rests on and what moves with it. A list of gear may be asked
    /// like a document.
    ///
    /// # Errors
    /// The findings, when the document cannot be read.
    pub fn impact(&mut self, files: &dyn Files, path: &SheetPath, name: &str) -> Result<Asked, Vec<Notice>> {
        if is_list(path) {
            let listed = Listed::new(files, path);
            let mut asked = self.grounds(&listed, &listed.path, |grounds| sheet::impact(grounds, name))?;
            if let Ok((impact, _)) = &mut asked.0 {
                // It is a document of our making that uses the list; nobody has to know.
                impact.path = path.to_string();
                impact.title.clear();
            }
            return Ok(Asked { found: asked.0, notices: asked.1 });
        }
        let (found, notices) = self.grounds(files, path, |grounds| sheet::impact(grounds, name))?;
        Ok(Asked { found, notices })
    }

    /// What moves in the document at `path` with a value that is `written` in a file that it uses; none where it does not have that
    /// value. With it whether the document has errors.
    ///
    /// # Errors
    /// The findings, when the document cannot be read.
    pub fn impact_of(&mut self, files: &dyn Files, path: &SheetPath, written: &Written) -> Result<(Option<Impact>, bool), Vec<Notice>> {
        let (found, notices) = self.grounds(files, path, |grounds| sheet::impact_of(grounds, written))?;
        Ok((found, notices.iter().any(|notice| notice.severity == "error")))
    }

    // Reads and works a document as far as its values, and no further.
    fn grounds<T>(
        &mut self,
        files: &dyn Files,
        path: &SheetPath,
        ask: impl FnOnce(&Grounds<'_>) -> T,
    ) -> Result<(T, Vec<Notice>), Vec<Notice>> {
        let mut gathered = self.gather(files, path)?;
        let mut sink = std::mem::take(&mut gathered.sink);
        let Gathered { sources, file, document, material, .. } = &gathered;
        let model: Model = crate::model::resolve(*file, material, &mut sink);
        let evaluation: Evaluation = crate::program::run(&model, &mut sink);
        let title = document.title.clone().unwrap_or_else(|| path.to_string());
        let made = ask(&Grounds { sources, file: *file, material, model: &model, evaluation: &evaluation, title: &title });
        Ok((made, sheet::notices(&sink.into_sorted(), sources)))
    }
}

/// The files that the document `text` at `path` uses, as its `use` statements say; those that lead out of the project are left out.
pub fn uses(path: &SheetPath, text: &str) -> Vec<SheetPath> {
    // Most documents use none; they need not be read to know it.
    if !text.lines().any(|line| line.trim_start_matches([' ', '\t', '>']).starts_with("use")) {
        return Vec::new();
    }
    let file = FileId(0);
    let mut aside = crate::diagnostics::Sink::new();
    let document = document::read(text, file, &mut aside);
    let mut used = Vec::new();
    for piece in &document.pieces {
        let Piece::Rig { fragment, .. } = piece else { continue };
        let text = document.fragments.get(*fragment as usize).map_or("", Fragment::text);
        let tree = crate::syntax::parse(text, Home::fragment(file, *fragment), &mut aside);
        for statement in &tree.statements {
            if let Statement::Use(written) = statement {
                used.extend(path.beside(&written.path.text));
            }
        }
    }
    used
}

/// The documents that lead to `target`, directly or through others, among those whose uses are given; in the order of their paths.
pub fn leading_to(target: &SheetPath, uses: &BTreeMap<SheetPath, Vec<SheetPath>>) -> Vec<SheetPath> {
    let mut users: BTreeMap<&SheetPath, Vec<&SheetPath>> = BTreeMap::new();
    for (path, used) in uses {
        used.iter().for_each(|used| users.entry(used).or_default().push(path));
    }
    let mut found: BTreeSet<&SheetPath> = BTreeSet::new();
    let mut open = vec![target];
    while let Some(at) = open.pop() {
        let next = users.get(at).into_iter().flatten().filter(|path| **path != target && found.insert(path));
        open.extend(next.copied().collect::<Vec<_>>());
    }
    found.into_iter().cloned().collect()
}

// A list of gear, with a document beside it that uses it and says nothing else.
struct Listed<'f> {
    files: &'f dyn Files,
    path: SheetPath,
    text: Text,
}

impl<'f> Listed<'f> {
    fn new(files: &'f dyn Files, list: &SheetPath) -> Self {
        let name = list.as_str().rsplit('/').next().unwrap_or_default();
        Listed { files, path: SheetPath::new(&format!("{list}.md")), text: Text::new(&format!("```rig\nuse \"{name}\"\n```\n")) }
    }
}

impl Files for Listed<'_> {
    fn read(&self, path: &SheetPath) -> Result<Text, Unreadable> {
        if *path == self.path { Ok(self.text.clone()) } else { self.files.read(path) }
    }

    fn day(&self) -> Option<Day> {
        self.files.day()
    }
}

#[cfg(test)]
mod tests {
    use super::{leading_to, uses};
    use crate::source::SheetPath;
    use std::collections::BTreeMap;

    #[test]
    fn uses_are_read_from_fences_and_nowhere_else() {
        let text = "use \"prose.md\"\n\n```rig\n# use \"comment.md\"\nuse \"../gear/a.md\" as a\ntake x = 1 N\n    because \"use\"\n\
                    use \"b.csv\" pinned \"sha256:00\"\n```\n\n```text\nuse \"shown.md\"\n```\n";
        let used: Vec<String> = uses(&SheetPath::new("sheets/x.md"), text).iter().map(ToString::to_string).collect();
        assert_eq!(used, ["gear/a.md", "sheets/b.csv"]);
        assert!(uses(&SheetPath::new("x.md"), "```rig\nuse \"../out.md\"\n```\n").is_empty());
    }

    #[test]
    fn those_that_lead_to_a_file_are_found_through_others_and_in_rings() {
        let path = SheetPath::new;
        let edges = [("a", "b"), ("b", "c"), ("c", "b"), ("d", "c"), ("e", "x"), ("c", "target"), ("target", "d")];
        let mut uses: BTreeMap<SheetPath, Vec<SheetPath>> = BTreeMap::new();
        edges.iter().for_each(|(from, to)| uses.entry(path(from)).or_default().push(path(to)));
        let found: Vec<String> = leading_to(&path("target"), &uses).iter().map(ToString::to_string).collect();
        assert_eq!(found, ["a", "b", "c", "d"]);
    }
}
