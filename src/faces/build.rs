//! `build`: every sheet as a page and as JSON, and an index over a folder.

use crate::engine;
use crate::faces::arguments::Build;
use crate::faces::disk::{Disk, reason, replace};
use crate::faces::paper::Printer;
use crate::faces::project::Project;
use crate::faces::session::{Finished, projects, work};
use crate::faces::tally::{Tally, count};
use crate::faces::terminal::Terminal;
use crate::faces::{Status, Trouble};
use crate::output::{self, Beside, IndexEntry, KindEntry, address};
use crate::sheet::parts::Sheet;
use crate::source::SheetPath;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// A sheet in its printed forms.
#[derive(Debug)]
pub(super) struct Pages {
    pub(super) html: String,
    pub(super) json: String,
    // The page as it is printed to PDF, when that was asked for.
    paper: Option<String>,
    pub(super) entry: IndexEntry,
    // The kinds of its machines that come with the program.
    pub(super) kinds: BTreeSet<String>,
}

impl Pages {
    /// Prints `sheet` as it is going to stand `beside` the others.
    pub(super) fn of(sheet: &Sheet, beside: &Beside) -> Self {
        let place = address(&format!("{}.html", stem(&sheet.path)));
        Pages {
            html: output::html_beside(sheet, beside, &place),
            json: output::json(sheet),
            paper: None,
            entry: IndexEntry::new(sheet, &place),
            kinds: kinds_of(sheet),
        }
    }
}

/// Builds what was asked. Trouble when a place cannot be written; nothing is then left half done.
pub(super) fn run(asked: &Build, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.out == Path::new("-") {
        return print_page(asked, terminal);
    }
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), Some(&asked.out))?;
    let stems = stems(&project.sheets)?;
    // Made before the work, so that a place that cannot be written is told at once.
    fs::create_dir_all(&asked.out).map_err(|error| unwritable(&asked.out, &error))?;

    let beside = beside(&project.sheets, &stems, project.has_folder);
    let bar = terminal.progress(project.sheets.len());
    let finished = work(&project.disk, &project.sheets, &bar, |sheet| {
        let paper = asked.pdf.then(|| output::html_on_paper(sheet, asked.paper.size()));
        Pages { paper, ..Pages::of(sheet, &beside) }
    });
    report_projects(&finished, terminal);
    let mut files: Vec<(PathBuf, &[u8])> = Vec::new();
    for (one, stem) in finished.iter().zip(&stems) {
        report(one, terminal);
        let html = asked.out.join(format!("{stem}.html"));
        match &one.result {
            Ok((_, Some(pages))) => {
                files.push((html, pages.html.as_bytes()));
                files.push((asked.out.join(format!("{stem}.json")), pages.json.as_bytes()));
            }
            _ if html.exists() => terminal.warn(&format!("`{}` was not built; its page of an earlier build still stands", one.path)),
            _ => {}
        }
    }
    let reference = Reference::new(&finished, &beside, project.has_folder);
    if !files.is_empty() {
        files.extend(reference.pages.iter().map(|(address, html)| (asked.out.join(address), html.as_bytes())));
        reference.hidden(&beside, terminal);
    }
    let index = index(&finished, &beside.kinds_index);
    // With nothing to list, the index of an earlier build is no worse than an empty one.
    if project.has_folder && !files.is_empty() {
        if stems.iter().any(|stem| stem == "index") {
            terminal.warn("no index was written: the sheet `index` has its place");
        } else {
            files.push((asked.out.join("index.html"), index.as_bytes()));
        }
    }
    let replaced = write(&project.disk, &files)?;

    let tally = Tally::of(&finished);
    let unchanged = files.len() - replaced;
    let kept = if unchanged > 0 { format!(", {unchanged} unchanged") } else { String::new() };
    terminal.say(&format!("{}; {} written to {}{kept}", tally.summary(), count(replaced, "file"), asked.out.display()));
    if asked.pdf && !files.is_empty() {
        print_papers(asked, &project.disk, &finished, &stems, terminal)?;
    }
    Ok(tally.status_of_writing())
}

// Prints each page beside itself. What was printed before a browser failed stands.
fn print_papers(asked: &Build, disk: &Disk, finished: &[Finished<Pages>], stems: &[String], terminal: &Terminal) -> Result<(), Trouble> {
    let printer = Printer::find(&asked.out)?;
    let papers: Vec<(&String, &String)> =
        finished.iter().zip(stems).filter_map(|(one, stem)| Some((stem, one.result.as_ref().ok()?.1.as_ref()?.paper.as_ref()?))).collect();
    let (bar, mut replaced) = (terminal.progress(papers.len()), 0);
    for (stem, page) in &papers {
        let pdf = printer.print(page)?;
        replaced += write(disk, &[(asked.out.join(format!("{stem}.pdf")), pdf.as_slice())])?;
        bar.inc(1);
    }
    bar.finish_and_clear();
    let unchanged = papers.len() - replaced;
    let kept = if unchanged > 0 { format!(", {unchanged} unchanged") } else { String::new() };
    terminal.say(&format!("{} printed to {}{kept}", count(replaced, "PDF"), asked.out.display()));
    Ok(())
}

fn print_page(asked: &Build, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.pdf {
        return Err(Trouble::new("`--pdf` writes files, and `--out -` writes none").with_help("name a folder after --out"));
    }
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), None)?;
    if project.sheets.len() > 1 {
        return Err(Trouble::new("`--out -` prints one sheet, and there are several").with_help("name a folder after --out"));
    }
    let finished = work(&project.disk, &project.sheets, &terminal.progress(1), output::html);
    report_projects(&finished, terminal);
    for one in &finished {
        report(one, terminal);
        if let Ok((_, Some(html))) = &one.result {
            terminal.print(html)?;
        }
    }
    let tally = Tally::of(&finished);
    terminal.say(&tally.summary());
    Ok(tally.status_of_writing())
}

/// Writes the findings in the project files of what is finished: once, however many sheets there are.
pub(super) fn report_projects<'f, T: 'f>(finished: impl IntoIterator<Item = &'f Finished<T>>, terminal: &Terminal) {
    projects(finished).iter().for_each(|project| terminal.notices(&project.notices));
}

/// Writes the findings of a document, or the fault that it met, to standard error.
pub(super) fn report<T>(finished: &Finished<T>, terminal: &Terminal) {
    match &finished.result {
        Ok((outcome, _)) => terminal.notices(&outcome.notices),
        Err(fault) => terminal.fault(&format!("{fault}, in `{}`", finished.path)),
    }
}

// What is going to stand beside each page. Every kind has a place here; its page is written when the rule below says so.
pub(super) fn beside(sheets: &[SheetPath], stems: &[String], has_folder: bool) -> Beside {
    let free = |stem: &str| !stems.iter().any(|taken| taken == stem);
    let kinds = engine::kind_words().filter(|word| free(&format!("kinds/{word}")));
    let index = has_folder && free("kinds/index");
    Beside {
        kinds: kinds.map(|word| (word.to_string(), format!("kinds/{word}.html"))).collect(),
        kinds_index: if index { "kinds/index.html".to_string() } else { String::new() },
        sheets: sheets.iter().zip(stems).map(|(sheet, stem)| (sheet.to_string(), address(&format!("{stem}.html")))).collect(),
    }
}

fn kinds_of(sheet: &Sheet) -> BTreeSet<String> {
    sheet.machines.iter().filter(|machine| machine.kind_path.is_empty()).map(|machine| machine.kind.clone()).collect()
}

/// The pages of reference: of every kind when a folder is built, otherwise of the kinds that the built sheets use.
struct Reference {
    // Address and page, the index last.
    pages: Vec<(String, String)>,
    wanted: Vec<&'static str>,
    folder: bool,
}

impl Reference {
    fn new(finished: &[Finished<Pages>], beside: &Beside, folder: bool) -> Self {
        let built = || finished.iter().filter_map(|one| one.result.as_ref().ok()?.1.as_ref());
        let wanted: Vec<&'static str> =
            engine::kind_words().filter(|word| folder || built().any(|pages| pages.kinds.contains(*word))).collect();
        let (mut pages, mut entries) = (Vec::new(), Vec::new());
        for word in &wanted {
            let Some((address, sheet)) = beside.kinds.get(*word).zip(engine::reference(word)) else { continue };
            entries.push(KindEntry::new(word, &sheet, &format!("{word}.html")));
            pages.push((address.clone(), output::html_beside(&sheet, beside, address)));
        }
        if !beside.kinds_index.is_empty() {
            pages.push((beside.kinds_index.clone(), output::kinds_index(&entries, "../index.html")));
        }
        Reference { pages, wanted, folder }
    }

    // A sheet of the author's goes before a page of ours that would have the same name.
    fn hidden(&self, beside: &Beside, terminal: &Terminal) {
        for word in self.wanted.iter().filter(|word| !beside.kinds.contains_key(**word)) {
            terminal.warn(&format!("no reference page of `{word}` was written: the sheet `kinds/{word}` has its place"));
        }
        if self.folder && beside.kinds_index.is_empty() {
            terminal.warn("no index of kinds was written: the sheet `kinds/index` has its place");
        }
    }
}

fn index(finished: &[Finished<Pages>], kinds: &str) -> String {
    let entries: Vec<IndexEntry> =
        finished.iter().filter_map(|one| one.result.as_ref().ok()?.1.as_ref()).map(|pages| pages.entry.clone()).collect();
    output::index(&entries, kinds)
}

// The path of a sheet without its ending: what its outputs are called.
pub(super) fn stem(path: &str) -> &str {
    let name = path.rfind('/').map_or(0, |slash| slash + 1);
    match path[name..].rfind('.') {
        Some(dot) if dot > 0 => &path[..name + dot],
        _ => path,
    }
}

pub(super) fn stems(sheets: &[SheetPath]) -> Result<Vec<String>, Trouble> {
    let mut taken: BTreeMap<&str, &SheetPath> = BTreeMap::new();
    for sheet in sheets {
        if let Some(other) = taken.insert(stem(sheet.as_str()), sheet) {
            return Err(Trouble::new(format!("`{other}` and `{sheet}` would be written to the same page")).with_help("rename one of them"));
        }
    }
    Ok(sheets.iter().map(|sheet| stem(sheet.as_str()).to_string()).collect())
}

// Looks at every place before the first is written.
pub(super) fn write(disk: &Disk, files: &[(PathBuf, &[u8])]) -> Result<usize, Trouble> {
    if let Some((place, _)) = files.iter().find(|(place, _)| disk.is_source(place)) {
        return Err(Trouble::new(format!("`{}` is a document this build reads; it will not be written over", place.display()))
            .with_help("name another folder after --out"));
    }
    let mut replaced = 0;
    for (place, bytes) in files {
        replaced += usize::from(replace(place, bytes).map_err(|error| unwritable(place, &error))?);
    }
    Ok(replaced)
}

pub(super) fn unwritable(place: &Path, error: &io::Error) -> Trouble {
    Trouble::new(format!("cannot write `{}`: {}", place.display(), reason(error)))
        .with_help("name a folder after --out that can be written")
}

#[cfg(test)]
mod tests {
    use super::stem;

    #[test]
    fn an_output_keeps_its_folder_and_loses_one_ending() {
        assert_eq!(stem("slip.md"), "slip");
        assert_eq!(stem("a.b/slip.rev-b.md"), "a.b/slip.rev-b");
        assert_eq!(stem("a.b/slip"), "a.b/slip");
        assert_eq!(stem("standard-input"), "standard-input");
    }
}
