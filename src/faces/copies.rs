//! `build --for`: copies of sheets for whoever checks them, beside which nothing else is written.

use crate::faces::arguments::{Build, Purpose};
use crate::faces::build::{report, stems};
use crate::faces::outputs::Outputs;
use crate::faces::project::Project;
use crate::faces::session::{cores, work};
use crate::faces::tally::{Tally, count};
use crate::faces::terminal::Terminal;
use crate::faces::{Status, Trouble};
use crate::output;
use crate::sheet::Detail;
use crate::sheet::parts::Sheet;
use std::path::Path;

/// Writes the copies of every sheet that was asked for; nothing that was worked goes with those of a blind calculation.
pub(super) fn run(asked: &Build, purpose: Purpose, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.out == Path::new("-") {
        return Err(Trouble::new("`--for` writes files, and `--out -` writes none").with_help("name a folder after --out"));
    }
    let cores = cores(asked.cores);
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), Some(&asked.out), cores)?.on(asked.looked.on);
    let stems = stems(&project.sheets)?;
    let endings: &[&str] = match purpose {
        Purpose::Checking => &["checking.html"],
        Purpose::Blind => &["blind.html", "blind.csv"],
    };
    let names = stems.iter().flat_map(|stem| endings.iter().map(move |ending| format!("{stem}.{ending}")));
    let outputs = Outputs::open(&project.disk, &asked.out, names)?;
    let (mut tally, mut at, mut written) = (Tally::default(), 0, Ok(()));
    let bar = terminal.progress(project.sheets.len());
    work(
        (cores, Detail::Whole),
        &project.disk,
        &project.sheets,
        &bar,
        |sheet| copies(sheet, purpose),
        |one| {
            bar.suspend(|| report(&one, &mut tally, terminal));
            let stem = stems.get(at);
            at += 1;
            let (Some(stem), Ok((_, Some(copies)))) = (stem, &one.result) else { return };
            for (ending, text) in copies {
                if written.is_ok() {
                    written = outputs.put(&format!("{stem}.{ending}"), text.as_bytes(), false).map(|_| ());
                }
            }
        },
    );
    written?;
    let (replaced, unchanged) = outputs.settle()?;
    let kept = if unchanged > 0 { format!(", {unchanged} unchanged") } else { String::new() };
    terminal.say(&format!(
        "{}; {} written to {}{kept}",
        count(project.sheets.len(), "sheet"),
        count(replaced, "file"),
        asked.out.display()
    ));
    Ok(tally.status_of_writing())
}

// Endings and texts.
fn copies(sheet: &Sheet, purpose: Purpose) -> Vec<(&'static str, String)> {
    match purpose {
        Purpose::Checking => vec![("checking.html", output::checking_html(sheet))],
        Purpose::Blind => vec![("blind.html", output::blind_html(sheet)), ("blind.csv", output::blind_form(sheet))],
    }
}
