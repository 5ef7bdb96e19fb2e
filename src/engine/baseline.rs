//! What a sheet is compared with: its accepted results, from the file beside it, and a calculation by somebody else; and files
//! beside a sheet that is not there any more.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::files::{AnswerUnread, BaselineLine};
use crate::diagnostics::catalogue::signing::RecordWithoutSheet;
use crate::engine::compile::tell_unreadable;
use crate::engine::{Files, Unreadable};
use crate::sheet::parts::{Notice, Sheet};
use crate::sheet::{self, Accepted, Independent};
use crate::source::{Extent, Home, SheetPath, Sources};
use std::collections::BTreeSet;

const ENDING: &str = ".accepted";

/// Where the accepted results of `sheet` stand: beside it, under its name without ending.
pub fn baseline_path(sheet: &SheetPath) -> SheetPath {
    let path = sheet.as_str();
    let name = path.rfind('/').map_or(0, |slash| slash + 1);
    let stem = match path.get(name..).and_then(|name| name.rfind('.')) {
        Some(dot) if dot > 0 => path.get(..name + dot).unwrap_or(path),
        _ => path,
    };
    SheetPath::new(&format!("{stem}{ENDING}"))
}

/// The accepted results of `sheet`; none where there is no such file.
///
/// # Errors
/// The findings, when the file is there and cannot be read or understood.
pub fn baseline(files: &dyn Files, sheet: &SheetPath) -> Result<Option<Vec<Accepted>>, Vec<Notice>> {
    let path = baseline_path(sheet);
    let (mut sources, mut sink) = (Sources::new(), Sink::new());
    let text = match files.read(&path) {
        Ok(text) => text,
        Err(Unreadable::Missing) => return Ok(None),
        Err(unreadable) => {
            let file = sources.add(path.clone(), crate::source::Text::new(""));
            tell_unreadable(&mut sink, Home::file(file).span(Extent::default()), &path, &unreadable, false);
            return Err(sheet::notices(&sink.into_sorted(), &sources));
        }
    };
    let faults = match sheet::read_baseline(text.as_str()) {
        Ok(results) => return Ok(Some(results)),
        Err(faults) => faults,
    };
    let file = sources.add(path, text.clone());
    for fault in faults {
        let start = text.lines().start_of(fault.line);
        let line = text.lines().line(text.as_str(), fault.line);
        let span = Home::file(file).span(Extent::new(start, start + line.len()));
        sink.push(span, &BaselineLine { expected: fault.expected });
    }
    Err(sheet::notices(&sink.into_sorted(), &sources))
}

/// How the form of an independent calculation at `path` stands to `sheet`.
///
/// # Errors
/// The findings, when the form cannot be read or understood.
pub fn independent(files: &dyn Files, path: &SheetPath, sheet: &Sheet) -> Result<Independent, Vec<Notice>> {
    let (mut sources, mut sink) = (Sources::new(), Sink::new());
    let text = match files.read(path) {
        Ok(text) => text,
        Err(unreadable) => {
            let file = sources.add(path.clone(), crate::source::Text::new(""));
            tell_unreadable(&mut sink, Home::file(file).span(Extent::default()), path, &unreadable, false);
            return Err(sheet::notices(&sink.into_sorted(), &sources));
        }
    };
    let faults = match sheet::independent(text.as_str(), sheet) {
        Ok(found) => return Ok(found),
        Err(faults) => faults,
    };
    let file = sources.add(path.clone(), text);
    for fault in faults {
        sink.push(Home::file(file).span(Extent::new(fault.start, fault.end)), &AnswerUnread { expected: fault.expected });
    }
    Err(sheet::notices(&sink.into_sorted(), &sources))
}

/// What is to be said of each file in `beside` that holds signatures or accepted results and belongs to none of `sheets`.
pub fn strays(files: &dyn Files, beside: &[SheetPath], sheets: &[SheetPath]) -> Vec<(SheetPath, Vec<Notice>)> {
    let owned: BTreeSet<SheetPath> =
        sheets.iter().flat_map(|sheet| [baseline_path(sheet), SheetPath::new(&sheet::record_path(sheet.as_str()))]).collect();
    let mut told = Vec::new();
    for path in beside.iter().filter(|path| !owned.contains(path)) {
        let Some((stem, ending)) = path.as_str().rsplit_once('.') else { continue };
        let what = if format!(".{ending}") == ENDING { "accepted results stand" } else { "signatures stand" };
        let (mut sources, mut sink) = (Sources::new(), Sink::new());
        let text = files.read(path).unwrap_or_else(|_| crate::source::Text::new(""));
        let first = text.lines().line(text.as_str(), 1).len();
        let file = sources.add(path.clone(), text);
        sink.push(Home::file(file).span(Extent::new(0, first)), &RecordWithoutSheet { what, sheet: format!("{stem}.md") });
        told.push((path.clone(), sheet::notices(&sink.into_sorted(), &sources)));
    }
    told
}

/// Whether `path` goes by the name of a file that stands beside a sheet: of its signatures or of its accepted results.
pub fn stands_beside(path: &str) -> bool {
    path.rsplit_once('.').is_some_and(|(_, ending)| ending == sheet::RECORD_ENDING || format!(".{ending}") == ENDING)
}

#[cfg(test)]
mod tests {
    use super::{baseline, baseline_path};
    use crate::engine::MemoryFiles;
    use crate::source::SheetPath;

    #[test]
    fn it_stands_beside_its_sheet() {
        for (sheet, place) in
            [("slip.md", "slip.accepted"), ("a.b/slip.rev-b.md", "a.b/slip.rev-b.accepted"), ("a.b/slip", "a.b/slip.accepted")]
        {
            assert_eq!(baseline_path(&SheetPath::new(sheet)).as_str(), place);
        }
        assert_eq!(baseline(&MemoryFiles::new(), &SheetPath::new("slip.md")), Ok(None));
    }

    #[test]
    fn a_line_that_is_not_understood_is_told_with_its_place() {
        let text = "name\tvalue\tstandard uncertainty\tunit\npull\t1.0\t0.0\tN\n>>>>>>> theirs\n";
        let notices = baseline(&MemoryFiles::new().with("slip.accepted", text), &SheetPath::new("slip.md")).expect_err("a line is wrong");
        let told: Vec<_> = notices.iter().map(|notice| (notice.slug.as_str(), notice.place.path.as_str(), notice.place.line)).collect();
        assert_eq!(told, [("baseline-line", "slip.accepted", 3)]);
        assert_eq!(notices[0].place.width, 14);
    }
}
