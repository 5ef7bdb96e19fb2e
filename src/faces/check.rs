//! `check`: findings and verdicts, and nothing written.

use crate::faces::arguments::{Check, Format};
use crate::faces::build::{report, report_projects};
use crate::faces::project::Project;
use crate::faces::session::{projects, work};
use crate::faces::tally::Tally;
use crate::faces::terminal::{Terminal, harmless};
use crate::faces::{Status, Trouble};
use crate::output::{self, Findings};
use crate::sheet::parts::{CheckRow, Sheet};
use crate::source::SheetPath;

/// Checks what was asked and reports it as text or as JSON.
pub(super) fn run(asked: &Check, terminal: &Terminal) -> Result<Status, Trouble> {
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), None)?;
    let bar = terminal.progress(project.sheets.len());
    let finished = work(&project.disk, &project.sheets, &bar, verdicts);
    let tally = Tally::of(&finished);
    match asked.format {
        Format::Text => {
            report_projects(&finished, terminal);
            for one in &finished {
                report(one, terminal);
            }
            let lines: String = finished.iter().filter_map(|one| one.result.as_ref().ok()?.1.as_deref()).collect();
            terminal.print(&harmless(&lines))?;
            terminal.say(&tally.summary());
        }
        Format::Json => {
            let told = projects(&finished).into_iter().filter(|project| !project.notices.is_empty());
            let mut documents: Vec<Findings<'_>> = told
                .map(|project| {
                    let path = project.house.file.as_ref().map_or("", SheetPath::as_str);
                    Findings { path, sheet: None, notices: project.notices.as_slice() }
                })
                .collect();
            for one in &finished {
                let (sheet, notices) = match &one.result {
                    Ok((outcome, _)) => (outcome.sheet.as_ref(), outcome.notices.as_slice()),
                    Err(_) => {
                        // A fault of the program is no finding about the document.
                        report(one, terminal);
                        (None, &[][..])
                    }
                };
                documents.push(Findings { path: one.path.as_str(), sheet, notices });
            }
            terminal.print(&output::notices_json(&documents))?;
        }
    }
    Ok(tally.status())
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
