//! `accept`: the results of sheets as they are now become those that `check` compares with.

use crate::engine::{self, baseline_path};
use crate::faces::arguments::Accept;
use crate::faces::build::report_below;
use crate::faces::disk::{reason, replace};
use crate::faces::project::Project;
use crate::faces::session::{cores, work};
use crate::faces::tally::{Tally, count};
use crate::faces::terminal::{Terminal, harmless};
use crate::faces::{Status, Trouble};
use crate::output;
use crate::sheet::Detail;
use crate::sheet::{accepted, baseline_text, departure};
use std::path::Path;

/// Writes a baseline beside every sheet, or none at all when one of them has errors.
pub(super) fn run(asked: &Accept, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.paths.paths.iter().any(|path| path == Path::new("-")) {
        return Err(Trouble::new("accepted results are written beside their sheet, and standard input has no place")
            .with_help("name the file of the sheet"));
    }
    let cores = cores(None);
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), None, cores)?;
    let bar = terminal.progress(project.sheets.len());
    let (mut tally, mut finished) = (Tally::default(), Vec::new());
    work((cores, Detail::Whole), &project.disk, &project.sheets, &bar, accepted, |one| {
        report_below(&bar, &one, &mut tally, terminal);
        finished.push(one);
    });
    if tally.status_of_writing() != Status::Clean {
        terminal.warn("no results were accepted: where a document has errors, some of its results are missing");
        return Ok(Status::Errors);
    }
    let (mut results, mut written, mut lines) = (0, 0, String::new());
    for one in &finished {
        let Ok((_, Some(now))) = &one.result else { continue };
        // What was accepted before is told only where it can be read; it is replaced in any case.
        let before = engine::baseline(&project.disk, &one.path).ok().flatten();
        if now.is_empty() && before.is_none() {
            continue;
        }
        if let Some(before) = before {
            lines += &output::departure_text(one.path.as_str(), &departure(&before, now, 0.0));
        }
        results += now.len();
        let place = project.disk.place(&baseline_path(&one.path));
        let replaced = replace(&place, baseline_text(now).as_bytes())
            .map_err(|error| Trouble::new(format!("cannot write `{}`: {}", place.display(), reason(&error))))?;
        written += usize::from(replaced);
    }
    terminal.print(&harmless(&lines))?;
    terminal.say(&format!(
        "{}; {} accepted; {} written",
        count(project.sheets.len(), "sheet"),
        count(results, "result"),
        count(written, "file")
    ));
    Ok(Status::Clean)
}
