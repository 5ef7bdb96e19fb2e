//! `check`: findings and verdicts, and nothing written.

use crate::faces::arguments::{Check, Format};
use crate::faces::build::report;
use crate::faces::project::Project;
use crate::faces::session::work;
use crate::faces::tally::Tally;
use crate::faces::terminal::{Terminal, harmless};
use crate::faces::{Status, Trouble};
use crate::output;
use crate::sheet::parts::{CheckRow, Sheet};

/// Checks what was asked and reports it as text or as JSON.
pub(super) fn run(asked: &Check, terminal: &Terminal) -> Result<Status, Trouble> {
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), None)?;
    let bar = terminal.progress(project.sheets.len());
    let finished = work(&project.disk, &project.sheets, &bar, verdicts);
    let tally = Tally::of(&finished);
    match asked.format {
        Format::Text => {
            for one in &finished {
                report(one, terminal);
            }
            let lines: String = finished.iter().filter_map(|one| one.result.as_ref().ok()?.1.as_deref()).collect();
            terminal.print(&harmless(&lines))?;
            terminal.say(&tally.summary());
        }
        Format::Json => {
            let mut outcomes = Vec::new();
            for one in finished {
                match one.result {
                    Ok((outcome, _)) => outcomes.push(outcome),
                    Err(_) => report(&one, terminal),
                }
            }
            terminal.print(&output::notices_json(&outcomes))?;
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
    if !check.remark.is_empty() {
        line += &format!(" ({})", check.remark);
    }
    line + "\n"
}
