//! `build`: every sheet as a page and as JSON, and an index over a folder.

use crate::engine::{self, Engine};
use crate::faces::arguments::Build;
use crate::faces::outputs::Outputs;
use crate::faces::paper::Papers;
use crate::faces::project::Project;
use crate::faces::session::{Asked, Finished, Noting, compiled, cores, each, work};
use crate::faces::stowed::{Known, Program, Stowed};
use crate::faces::tally::{Tally, count};
use crate::faces::terminal::Terminal;
use crate::faces::{Status, Trouble};
use crate::output::{self, Beside, IndexEntry, KindEntry, address};
use crate::sheet::Detail;
use crate::sheet::parts::Sheet;
use crate::source::SheetPath;
use crate::words::Voice;
use indicatif::ProgressBar;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::path::Path;

/// What is kept of a sheet when its pages have been made.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Row {
    pub(super) entry: IndexEntry,
    // The kinds of its machines that come with the program.
    pub(super) kinds: BTreeSet<String>,
}

impl Row {
    /// The row of `sheet`.
    pub(super) fn of(sheet: &Sheet) -> Row {
        Row { entry: IndexEntry::new(sheet, &page_place(&sheet.path)), kinds: kinds_of(sheet) }
    }
}

/// Where the page of the sheet at `path` stands among the outputs, as an address.
pub(super) fn page_place(path: &str) -> String {
    address(&format!("{}.html", stem(path)))
}

/// Builds what was asked. Trouble when a place cannot be written; every file is then the old one or the new one, whole.
pub(super) fn run(asked: &Build, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.out == Path::new("-") {
        return print_page(asked, terminal);
    }
    let cores = cores(asked.cores);
    // One sheet is made sooner than a look at what was made of it.
    let many = asked.paths.paths.len() > 1 || asked.paths.paths.iter().any(|path| path.is_dir());
    let program = many.then(Program::read);
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), Some(&asked.out), cores)?.on(asked.looked.on);
    let stems = stems(&project.sheets)?;
    let endings: &[&str] = if asked.pdf { &["html", "json", "pdf"] } else { &["html", "json"] };
    let names = stems.iter().flat_map(|stem| endings.iter().map(move |ending| format!("{stem}.{ending}")));
    let outputs = Outputs::open(&project.disk, &asked.out, names)?;
    let papers = asked.pdf.then(|| Papers::open(&asked.out)).transpose()?;

    let beside = beside(&project.sheets, &stems, project.has_folder);
    let stowed = program.and_then(|program| Stowed::open(&asked.out, program, &told(asked, &beside)));
    let outputs = outputs.drafting_in(stowed.as_ref().map(Stowed::folder));
    let page_of = |path: &str| beside.sheets.get(path).cloned();
    let jobs: Vec<(usize, &SheetPath, &String)> =
        project.sheets.iter().zip(&stems).enumerate().map(|(at, (sheet, stem))| (at, sheet, stem)).collect();
    let make = |engine: &mut Engine, (at, path, stem): &(usize, &SheetPath, &String)| {
        let name = format!("sheet {path}");
        let ours = match stowed.as_ref().map(|stowed| stowed.look(&name, &project.disk, page_of)) {
            // To be printed, a page has to be made.
            Some(Known::Stands(files, (account, row))) if papers.is_none() => {
                outputs.stand(files);
                return Ok(Ok((account, Some(row))));
            }
            Some(Known::Stands(..) | Known::Ours) => true,
            Some(Known::Nothing) | None => false,
        };
        engine.make(asked.brief.into());
        let noting = Noting::new(&project.disk);
        let made = compiled(engine, &noting, path, |sheet| {
            let paper = papers.as_ref().map(|_| output::html_on_paper(sheet, asked.paper.map(|paper| paper.size())));
            let html = output::html_beside(sheet, &beside, &page_place(&sheet.path));
            (html, output::json(sheet), Row::of(sheet), paper)
        });
        let files = noting.asked();
        project.disk.release(path, files.paths());
        outputs.spare(files.paths().filter(|file| file != path))?;
        let (account, product) = match made {
            Ok(made) => made,
            Err(fault) => return Ok(Err(fault)),
        };
        let Some((html, json, row, paper)) = product else { return Ok(Ok((account, None))) };
        let written = [(format!("{stem}.html"), html.as_bytes()), (format!("{stem}.json"), json.as_bytes())];
        let mut stand = true;
        for (name, bytes) in &written {
            stand &= outputs.put(name, bytes, ours)?;
        }
        if let Some(stowed) = stowed.as_ref().filter(|_| stand) {
            stowed.note(&name, &files, page_of, &written, (&account, &row));
        }
        if let Some((papers, page)) = papers.as_ref().zip(paper) {
            papers.keep(*at, &page)?;
        }
        Ok(Ok((account, Some(row))))
    };
    let bar = terminal.progress(project.sheets.len());
    let (mut tally, mut entries, mut used) = (Tally::default(), Vec::new(), BTreeSet::new());
    let mut printed = Vec::new();
    let mut trouble = None;
    each(cores, &jobs, &bar, make, |at, made| {
        let (Some(path), Some(stem)) = (project.sheets.get(at), stems.get(at)) else { return true };
        let result = match made {
            Ok(Err(unwritten)) => {
                trouble = Some(unwritten);
                return false;
            }
            Ok(Ok(result)) => result,
            Err(fault) => Err(fault),
        };
        let one = Finished { path: path.clone(), result };
        report_below(&bar, &one, &mut tally, terminal);
        if !matches!(one.result, Ok((_, Some(_)))) && outputs.place(&format!("{stem}.html")).exists() {
            bar.suspend(|| terminal.warn(&format!("`{}` was not built; its page of an earlier build still stands", one.path)));
        }
        if let Ok((_, Some(row))) = one.result {
            entries.push(row.entry);
            used.extend(row.kinds);
            printed.push((at, stem));
        }
        true
    });
    if let Some(trouble) = trouble {
        return Err(trouble);
    }
    tell_misnamed(&project, &mut tally, terminal);
    // With nothing to list, the index of an earlier build is no worse than an empty one.
    if !entries.is_empty() {
        // Where there are several houses, they are in the voice of the first sheet, as the register is.
        let voice = entries.first().map(|entry: &IndexEntry| entry.voice).unwrap_or_default();
        let wanted = Wanted { used: &used, folder: project.has_folder, voice };
        reference(&outputs, stowed.as_ref(), &beside, &wanted, cores, terminal)?;
        if project.has_folder && stems.iter().any(|stem| stem == "index") {
            terminal.warn("no index was written: the sheet `index` has its place");
        } else if project.has_folder {
            let register =
                |file: &mut dyn Write| output::index_into(&entries, &beside.kinds_index, |piece| file.write_all(piece.as_bytes()));
            outputs.pour("index.html", register, false)?;
        }
    }
    let (replaced, unchanged) = outputs.settle()?;
    let damaged = stowed.as_ref().map_or(0, |stowed| stowed.tidy(project.has_folder));
    if damaged > 0 {
        terminal.warn(&format!("{} of earlier builds could not be read and made anew", count(damaged, "record")));
    }
    let kept = if unchanged > 0 { format!(", {unchanged} unchanged") } else { String::new() };
    terminal.say(&format!("{}; {} written to {}{kept}", tally.summary(), count(replaced, "file"), asked.out.display()));
    if let Some(papers) = papers.filter(|_| !printed.is_empty()) {
        papers.print(&printed, &asked.out, &project.disk, terminal)?;
    }
    Ok(tally.status_of_writing())
}

// All that a page depends on beside the program and the files of its sheet. A new option has to be given its place here.
fn told(asked: &Build, beside: &Beside) -> String {
    let Build { paths: _, looked, out: _, brief, purpose: _, cores: _, pdf: _, paper: _ } = asked;
    let day = looked.on.map(|day| day.to_string()).unwrap_or_default();
    format!("{:?} {:?} {day} {:?}", beside.kinds, beside.kinds_index, Detail::from(*brief))
}

fn print_page(asked: &Build, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.pdf {
        return Err(Trouble::new("`--pdf` writes files, and `--out -` writes none").with_help("name a folder after --out"));
    }
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), None, 1)?.on(asked.looked.on);
    if project.sheets.len() > 1 {
        return Err(Trouble::new("`--out -` prints one sheet, and there are several").with_help("name a folder after --out"));
    }
    let (mut tally, mut printed) = (Tally::default(), Ok(()));
    work((1, asked.brief.into()), &project.disk, &project.sheets, &terminal.progress(1), output::html, |one| {
        report(&one, &mut tally, terminal);
        if let Ok((_, Some(html))) = &one.result {
            printed = terminal.print(html);
        }
    });
    printed?;
    tell_misnamed(&project, &mut tally, terminal);
    terminal.say(&tally.summary());
    Ok(tally.status_of_writing())
}

/// Counts a document and writes its findings, or the fault that it met, to standard error; before them those of a project
/// file that is met for the first time.
pub(super) fn report<T>(finished: &Finished<T>, tally: &mut Tally, terminal: &Terminal) {
    terminal.notices(tally.add(finished));
    report_alone(finished, terminal);
}

/// The same while `bar` stands, which is set aside only where there is something to say: of thousands of sheets most have nothing.
pub(super) fn report_below<T>(bar: &ProgressBar, finished: &Finished<T>, tally: &mut Tally, terminal: &Terminal) {
    let says_nothing = matches!(&finished.result, Ok((account, _)) if account.notices.is_empty() && account.project_notices.is_empty());
    if says_nothing {
        tally.add(finished);
    } else {
        bar.suspend(|| report(finished, tally, terminal));
    }
}

/// Writes the findings of a document alone.
pub(super) fn report_alone<T>(finished: &Finished<T>, terminal: &Terminal) {
    match &finished.result {
        Ok((account, _)) => terminal.notices(&account.notices),
        Err(fault) => terminal.fault(&format!("{fault}, in `{}`", finished.path)),
    }
}

/// Tells of files that nobody reads for a slip in their name.
pub(super) fn tell_misnamed(project: &Project, tally: &mut Tally, terminal: &Terminal) {
    for (_, notices) in &project.misnamed() {
        tally.add_notices(notices);
        terminal.notices(notices);
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

// Which pages of reference are wanted, and in which voice.
struct Wanted<'w> {
    used: &'w BTreeSet<String>,
    folder: bool,
    voice: Voice,
}

// Writes the pages of reference: of every kind when a folder is built, otherwise of the kinds that the built sheets use. A
// sheet of the author's goes before a page of ours that would have the same name.
fn reference(
    outputs: &Outputs,
    stowed: Option<&Stowed>,
    beside: &Beside,
    asked: &Wanted<'_>,
    cores: usize,
    terminal: &Terminal,
) -> Result<(), Trouble> {
    let voice = asked.voice;
    let wanted: Vec<&'static str> = engine::kind_words().filter(|word| asked.folder || asked.used.contains(*word)).collect();
    let (free, hidden): (Vec<&str>, Vec<&str>) = wanted.into_iter().partition(|word| beside.kinds.contains_key(*word));
    let make = |_: &mut Engine, word: &&str| {
        let name = format!("kind {word}");
        let ours = match stowed.map(|stowed| stowed.look::<KindEntry>(&name, outputs.disk(), |_| None)) {
            // A page in the voice of another house is made again.
            Some(Known::Stands(files, entry)) if entry.is_in(voice) => {
                outputs.stand(files);
                return Ok(Some(entry));
            }
            Some(Known::Stands(..) | Known::Ours) => true,
            Some(Known::Nothing) | None => false,
        };
        let Some((address, sheet)) = beside.kinds.get(*word).zip(engine::reference_in(word, voice)) else { return Ok(None) };
        let html = output::html_beside(&sheet, beside, address);
        let entry = KindEntry::new(word, &sheet, &format!("{word}.html"));
        if outputs.put(address, html.as_bytes(), ours)?
            && let Some(stowed) = stowed
        {
            stowed.note(&name, &Asked::default(), |_| None, &[(address.clone(), html.as_bytes())], &entry);
        }
        Ok(Some(entry))
    };
    let (mut entries, mut trouble) = (Vec::new(), None);
    each(cores, &free, &ProgressBar::hidden(), make, |at, made| {
        match made {
            Ok(Ok(entry)) => entries.extend(entry),
            Ok(Err(unwritten)) => trouble = Some(unwritten),
            Err(fault) => terminal.fault(&format!("{fault}, in the kind `{}`", free.get(at).unwrap_or(&""))),
        }
        trouble.is_none()
    });
    if let Some(trouble) = trouble {
        return Err(trouble);
    }
    if !beside.kinds_index.is_empty() {
        outputs.put(&beside.kinds_index, output::kinds_index(&entries, "../index.html").as_bytes(), false)?;
    }
    for word in hidden {
        terminal.warn(&format!("no reference page of `{word}` was written: the sheet `kinds/{word}` has its place"));
    }
    if asked.folder && beside.kinds_index.is_empty() {
        terminal.warn("no index of kinds was written: the sheet `kinds/index` has its place");
    }
    Ok(())
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
