//! `check`: findings and verdicts, and nothing written.

use crate::faces::arguments::{Check, Format};
use crate::faces::build::report;
use crate::faces::project::Project;
use crate::faces::session::{cores, work};
use crate::faces::tally::Tally;
use crate::faces::terminal::{Terminal, harmless};
use crate::faces::{Status, Trouble};
use crate::output::{self, Findings, Listing};
use crate::sheet::parts::{CheckRow, Sheet};

/// Checks what was asked and reports it as text or as JSON.
pub(super) fn run(asked: &Check, terminal: &Terminal) -> Result<Status, Trouble> {
    let cores = cores(asked.cores);
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), None, cores)?;
    let bar = terminal.progress(project.sheets.len());
    let print = |sheet: &Sheet| match asked.format {
        Format::Text => verdicts(sheet),
        Format::Json => output::notices_json_of(&Findings { path: &sheet.path, sheet: Some(sheet), notices: &sheet.notices }),
    };
    let mut tally = Tally::default();
    let (mut lines, mut listing, mut printed) = (String::new(), Listing::default(), Ok(()));
    work(cores, &project.disk, &project.sheets, &bar, print, |one| {
        tally.add(&one);
        match asked.format {
            Format::Text => {
                bar.suspend(|| report(&one, terminal));
                lines.extend(one.result.ok().and_then(|(_, verdicts)| verdicts));
            }
            Format::Json => {
                let said = match one.result {
                    Ok((_, Some(said))) => said,
                    Ok((account, None)) => {
                        output::notices_json_of(&Findings { path: one.path.as_str(), sheet: None, notices: &account.notices })
                    }
                    Err(_) => {
                        // A fault of the program is no finding about the document.
                        bar.suspend(|| report(&one, terminal));
                        output::notices_json_of(&Findings { path: one.path.as_str(), sheet: None, notices: &[] })
                    }
                };
                if printed.is_ok() {
                    printed = bar.suspend(|| terminal.print(&listing.next(&said)));
                }
            }
        }
    });
    printed?;
    match asked.format {
        Format::Text => {
            terminal.print(&harmless(&lines))?;
            terminal.say(&tally.summary());
        }
        Format::Json => terminal.print(&listing.end())?,
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
