//! `check`: findings and verdicts, and nothing written.

use crate::engine;
use crate::faces::arguments::{Check, Format};
use crate::faces::build::{report, report_projects};
use crate::faces::disk::Disk;
use crate::faces::project::Project;
use crate::faces::rebuilds;
use crate::faces::session::{Finished, projects, work};
use crate::faces::tally::{Tally, count};
use crate::faces::terminal::{Terminal, harmless};
use crate::faces::{Status, Trouble};
use crate::output::{self, Findings};
use crate::sheet::parts::{CheckRow, Notice, Sheet};
use crate::sheet::{Departure, TOLERANCE, accepted, departure};
use crate::source::SheetPath;
use std::path::Path;

/// What `check` keeps of a sheet.
struct Looked {
    // A line for each verdict.
    verdicts: String,
    // How its results stand to the accepted ones; none where nothing was accepted.
    departure: Option<Departure>,
    // What is wrong with the file of accepted results.
    faults: Vec<Notice>,
}

/// Checks what was asked and reports it, as text or for another program.
pub(super) fn run(asked: &Check, terminal: &Terminal) -> Result<Status, Trouble> {
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), None)?;
    let bar = terminal.progress(project.sheets.len());
    let mut finished = work(&project.disk, &project.sheets, &bar, |sheet| look(&project.disk, sheet));
    for one in &mut finished {
        if let Ok((outcome, Some(looked))) = &mut one.result {
            outcome.notices.append(&mut looked.faults);
        }
    }
    let mut tally = Tally::of(&finished);
    tally.moved = looked(&finished).filter_map(|(_, looked)| looked.departure.as_ref()).map(|departure| departure.moved.len()).sum();
    match asked.format {
        Format::Text => {
            report_projects(&finished, terminal);
            for one in &finished {
                report(one, terminal);
            }
            let told = looked(&finished).map(|(path, looked)| {
                let departure = looked.departure.as_ref().map(|departure| output::departure_text(path, departure));
                format!("{}{}", looked.verdicts, departure.unwrap_or_default())
            });
            terminal.print(&harmless(&told.collect::<String>()))?;
            terminal.say(&tally.summary());
        }
        Format::Json => terminal.print(&output::notices_json(&documents(&finished, terminal)))?,
        Format::Sarif => terminal.print(&output::sarif(&documents(&finished, terminal)))?,
        Format::Junit => terminal.print(&output::junit(&documents(&finished, terminal)))?,
    }
    let pages = asked.rebuilds.as_deref().map(|folder| rebuilt(asked, folder, terminal)).transpose()?;
    Ok(match tally.status() {
        Status::Clean => pages.unwrap_or(Status::Clean),
        other => other,
    })
}

// Holds the published pages against their sources. The list goes to standard output, unless that is another program's.
fn rebuilt(asked: &Check, folder: &Path, terminal: &Terminal) -> Result<Status, Trouble> {
    let found = rebuilds::compare(&asked.paths, folder, terminal)?;
    let lines: String = found.lines.iter().map(|line| format!("{line}\n")).collect();
    match asked.format {
        Format::Text => terminal.print(&harmless(&lines))?,
        _ => terminal.say(harmless(&lines).trim_end()),
    }
    let printed = if found.printed > 0 { format!(", {} not compared", count(found.printed, "PDF")) } else { String::new() };
    let other = if found.lines.is_empty() { String::new() } else { format!(", {} not", count(found.lines.len(), "file")) };
    terminal.say(&format!("pages in {}: {} as built from the sources{other}{printed}", folder.display(), count(found.same, "file")));
    Ok(if found.lines.is_empty() { Status::Clean } else { Status::Pages })
}

fn looked(finished: &[Finished<Looked>]) -> impl Iterator<Item = (&str, &Looked)> {
    finished.iter().filter_map(|one| Some((one.path.as_str(), one.result.as_ref().ok()?.1.as_ref()?)))
}

fn look(disk: &Disk, sheet: &Sheet) -> Looked {
    let (before, faults) = match engine::baseline(disk, &SheetPath::new(&sheet.path)) {
        Ok(before) => (before, Vec::new()),
        Err(faults) => (None, faults),
    };
    // Of a document with errors results are missing; its errors are told, and come first.
    let before = before.filter(|_| sheet.complete);
    let departure = before.map(|before| departure(&before, &accepted(sheet), TOLERANCE));
    Looked { verdicts: verdicts(sheet), departure, faults }
}

// What was found, for another program. A fault of this one is told on standard error too: it is no finding about a document.
fn documents<'f>(finished: &'f [Finished<Looked>], terminal: &Terminal) -> Vec<Findings<'f>> {
    let one = |one: &'f Finished<Looked>| {
        let path = one.path.as_str();
        match &one.result {
            Ok((outcome, looked)) => {
                let departure = looked.as_ref().and_then(|looked| looked.departure.as_ref());
                Findings { path, sheet: outcome.sheet.as_ref(), notices: &outcome.notices, fault: "", departure }
            }
            Err(fault) => {
                report(one, terminal);
                Findings { path, sheet: None, notices: &[], fault, departure: None }
            }
        }
    };
    let told = projects(finished).into_iter().filter(|project| !project.notices.is_empty()).map(|project| Findings {
        path: project.house.file.as_ref().map_or("", SheetPath::as_str),
        sheet: None,
        notices: &project.notices,
        fault: "",
        departure: None,
    });
    told.chain(finished.iter().map(one)).collect()
}

// One line a check, each standing alone, so that it can be searched for and counted.
fn verdicts(sheet: &Sheet) -> String {
    sheet.checks.iter().map(|check| line(&sheet.path, check)).collect()
}

fn line(path: &str, check: &CheckRow) -> String {
    let utilisation = check.utilisation.as_ref().map_or("-", |figure| figure.text.as_str());
    let mut line = format!("{path}  {:<4} {:<23}  {utilisation:>8}  {}", check.number, check.verdict, check.title);
    let wrong = if check.chance.is_empty() { String::new() } else { format!("chance of a wrong verdict {}", check.chance) };
    let told: Vec<&str> = [check.remark.as_str(), wrong.as_str()].into_iter().filter(|words| !words.is_empty()).collect();
    if !told.is_empty() {
        line += &format!(" ({})", told.join("; "));
    }
    line + "\n"
}
