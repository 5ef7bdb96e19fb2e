//! `check`: findings and verdicts, and nothing written.

use crate::engine;
use crate::faces::arguments::{Check, Format};
use crate::faces::build::{report_alone, report_below};
use crate::faces::disk::Disk;
use crate::faces::project::Project;
use crate::faces::rebuilds;
use crate::faces::session::{Finished, cores, work};
use crate::faces::tally::{Tally, count};
use crate::faces::terminal::{Terminal, harmless};
use crate::faces::{Status, Trouble};
use crate::house::Demands;
use crate::output::{self, Findings};
use crate::sheet::Detail;
use crate::sheet::parts::{CheckRow, Notice, Sheet};
use crate::sheet::{Accepted, Departure, TOLERANCE, accepted, departure};
use crate::source::SheetPath;
use std::path::Path;

/// What `check` keeps of a sheet.
struct Looked {
    // A line for each verdict.
    verdicts: String,
    // The accepted results, where there are any, and those that it has now.
    results: Option<(Vec<Accepted>, Vec<Accepted>)>,
    // How the latter stand to the former.
    departure: Option<Departure>,
    // What is wrong with the file of accepted results.
    faults: Vec<Notice>,
    // The sheet with its checks, for a report to another program.
    sheet: Option<Sheet>,
}

/// Checks what was asked and reports it, as text or for another program.
pub(super) fn run(asked: &Check, terminal: &Terminal) -> Result<Status, Trouble> {
    let cores = cores(asked.cores);
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), None, cores)?.on(asked.looked.on);
    let bar = terminal.progress(project.sheets.len());
    let for_reading = matches!(asked.format, Format::Text);
    let (mut tally, mut told, mut finished) = (Tally::default(), String::new(), Vec::new());
    work(
        (cores, Detail::Whole),
        &project.disk,
        &project.sheets,
        &bar,
        |sheet| look(&project.disk, sheet, !for_reading),
        |mut one| {
            if let Ok((account, Some(looked))) = &mut one.result {
                account.tell(&mut looked.faults);
                let tolerance = account.tolerance.unwrap_or(TOLERANCE);
                looked.departure = looked.results.take().map(|(before, now)| departure(&before, &now, tolerance));
            }
            if for_reading {
                report_below(&bar, &one, &mut tally, terminal);
            } else {
                tally.add(&one);
            }
            let looked = one.result.as_ref().ok().and_then(|(_, looked)| looked.as_ref());
            let departure = looked.and_then(|looked| looked.departure.as_ref());
            tally.moved += departure.map_or(0, |departure| departure.moved.len());
            if for_reading {
                told.extend(looked.map(|looked| looked.verdicts.as_str()));
                let refused = one.result.as_ref().map_or(String::new(), |(account, _)| account.tally.refused());
                told.extend((!refused.is_empty()).then(|| format!("{}  refused: {refused}\n", one.path)));
                told.extend(departure.map(|departure| output::departure_text(one.path.as_str(), departure)));
            } else {
                finished.push(one);
            }
        },
    );
    let strays = engine::strays(&project.disk, &project.beside(), &project.sheets);
    for (_, notices) in &strays {
        tally.add_notices(notices);
        if for_reading {
            terminal.notices(notices);
        }
    }
    match asked.format {
        Format::Text => {
            terminal.print(&harmless(&told))?;
            terminal.say(&tally.summary());
        }
        Format::Json => terminal.print(&output::notices_json(&documents(&finished, &strays, terminal)))?,
        Format::Sarif => terminal.print(&output::sarif(&documents(&finished, &strays, terminal)))?,
        Format::Junit => terminal.print(&output::junit(&documents(&finished, &strays, terminal)))?,
    }
    let pages = asked.rebuilds.as_deref().map(|folder| rebuilt(asked, folder, terminal)).transpose()?;
    Ok(match tally.status() {
        Status::Clean => pages.unwrap_or(Status::Clean),
        other => other,
    })
}

// Holds the published pages against their sources. The list goes to standard output, unless that is another program's.
fn rebuilt(asked: &Check, folder: &Path, terminal: &Terminal) -> Result<Status, Trouble> {
    let found = rebuilds::compare(&asked.paths, asked.looked, folder, terminal)?;
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

fn look(disk: &Disk, sheet: &Sheet, keep: bool) -> Looked {
    let (before, faults) = match engine::baseline(disk, &SheetPath::new(&sheet.path)) {
        Ok(before) => (before, Vec::new()),
        Err(faults) => (None, faults),
    };
    // Of a document with errors results are missing; its errors are told, and come first.
    let results = before.filter(|_| sheet.complete).map(|before| (before, accepted(sheet)));
    Looked { verdicts: verdicts(sheet), results, departure: None, faults, sheet: keep.then(|| reduced(sheet)) }
}

// A sheet with its checks, and without what would be the greater part of it.
fn reduced(sheet: &Sheet) -> Sheet {
    let mut reduced = sheet.clone();
    reduced.blocks.clear();
    reduced.machines.clear();
    reduced.trains.clear();
    reduced.studies.clear();
    reduced.values.clear();
    reduced
}

// What was found, for another program. A fault of this one is told on standard error too: it is no finding about a document.
fn documents<'f>(finished: &'f [Finished<Looked>], strays: &'f [Stray], terminal: &Terminal) -> Vec<Findings<'f>> {
    let one = |one: &'f Finished<Looked>| {
        let path = one.path.as_str();
        match &one.result {
            Ok((account, looked)) => {
                let departure = looked.as_ref().and_then(|looked| looked.departure.as_ref());
                let sheet = looked.as_ref().and_then(|looked| looked.sheet.as_ref());
                Findings { path, sheet, notices: &account.notices, fault: "", departure, demands: account.demands }
            }
            Err(fault) => {
                report_alone(one, terminal);
                Findings { path, sheet: None, notices: &[], fault, departure: None, demands: Demands::default() }
            }
        }
    };
    // The findings of a project file stand before the sheets of the project, once.
    let mut met: Vec<&str> = Vec::new();
    let mut told = Vec::new();
    for (account, _) in finished.iter().filter_map(|one| one.result.as_ref().ok()) {
        if !account.project_notices.is_empty() && !met.contains(&account.project.as_str()) {
            met.push(&account.project);
            let notices = &account.project_notices;
            told.push(Findings { path: &account.project, sheet: None, notices, fault: "", departure: None, demands: Demands::default() });
        }
    }
    let alone = strays.iter().map(|(path, notices)| Findings {
        path: path.as_str(),
        sheet: None,
        notices,
        fault: "",
        departure: None,
        demands: Demands::default(),
    });
    told.into_iter().chain(finished.iter().map(one)).chain(alone).collect()
}

// A file beside a sheet that is not there any more, with what is said of it.
type Stray = (SheetPath, Vec<Notice>);

// One line a check and one for the status, each standing alone, so that it can be searched for and counted.
fn verdicts(sheet: &Sheet) -> String {
    sheet.checks.iter().map(|check| line(&sheet.path, check)).chain(std::iter::once(status(sheet))).collect()
}

fn status(sheet: &Sheet) -> String {
    let told = sheet
        .sign_off
        .signatures
        .iter()
        .rev()
        .find(|row| !row.counts)
        .map(|row| format!(" ({} as {}: {})", row.name, row.role, row.standing));
    format!("{}  status {}{}\n", sheet.path, sheet.status, told.unwrap_or_default())
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
