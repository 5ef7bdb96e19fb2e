//! Compiles a case through the public door of the library, in each of the ways that must not matter.

use super::case::{Case, Document};
use parbuckle::{Engine, MemoryFiles, Notice, Sheet, SheetPath};

/// What came of a case.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// The sheet of the case's own document.
    pub sheet: Option<Sheet>,
    /// The findings of all its documents, each once, by place.
    pub notices: Vec<Notice>,
}

/// Compiles `documents` with `engine`, the first being the one whose sheet is wanted.
pub fn compile_with(engine: &mut Engine, documents: &[Document]) -> Seen {
    let files = documents.iter().fold(MemoryFiles::new(), |files, document| files.with(&document.path, &document.text));
    let sheets = documents.iter().filter(|document| !document.path.ends_with(".toml"));
    let roots: Vec<SheetPath> = sheets.map(|document| SheetPath::new(&document.path)).collect();
    let report = engine.compile(&files, &roots);
    let mut notices: Vec<Notice> =
        report.outcomes.iter().flat_map(|outcome| [&outcome.notices[..], &outcome.project.notices[..]].concat()).collect();
    notices.sort_by(|a, b| {
        let key = |n: &Notice| (n.place.path.clone(), n.place.line, n.place.column, n.slug.clone(), n.headline.clone());
        key(a).cmp(&key(b))
    });
    notices.dedup();
    Seen { sheet: report.outcomes.into_iter().next().and_then(|outcome| outcome.sheet), notices }
}

/// Compiles `documents` with a new engine.
pub fn compile(documents: &[Document]) -> Seen {
    compile_with(&mut Engine::new(), documents)
}

/// Compiles one document that uses no other.
pub fn compile_text(text: &str) -> Seen {
    compile(&[Document { path: super::case::MAIN.to_string(), text: text.to_string() }])
}

/// The case in the ways that must make no difference, each with a name for messages.
pub fn variants(case: &Case) -> Vec<(&'static str, Vec<Document>)> {
    let change = |edit: &dyn Fn(&str) -> String| {
        let edited = |document: &Document| Document { path: document.path.clone(), text: edit(&document.text) };
        case.documents.iter().map(edited).collect::<Vec<_>>()
    };
    // A table or a project file has no prose.
    let sheets = |edit: &dyn Fn(&str) -> String| {
        let kept = |document: &Document| if document.path.ends_with(".md") { edit(&document.text) } else { document.text.clone() };
        let edited = |document: &Document| Document { path: document.path.clone(), text: kept(document) };
        case.documents.iter().map(edited).collect::<Vec<_>>()
    };
    let mut ways = vec![("with CRLF line ends", change(&|text| text.replace('\n', "\r\n")))];
    if case.heading > 1 {
        // The first line is blank, for it stands before the case: prose put there moves nothing.
        ways.push(("with prose before it", sheets(&|text| replace_first_line(text, "Prose that says nothing of the matter."))));
    }
    if !case.open_ended() {
        ways.push(("with prose after it", sheets(&|text| format!("{text}\nProse that says nothing of the matter.\n"))));
    }
    ways
}

fn replace_first_line(text: &str, line: &str) -> String {
    match text.split_once('\n') {
        Some((first, rest)) if first.trim().is_empty() => format!("{line}\n{rest}"),
        _ => text.to_string(),
    }
}
