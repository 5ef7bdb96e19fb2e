//! `build --for learners`: the exercises of every sheet as a page without answers, and nothing else of it.

use crate::faces::arguments::Build;
use crate::faces::build::{report, report_projects, stems, unwritable, write};
use crate::faces::project::Project;
use crate::faces::session::work;
use crate::faces::tally::{Tally, count};
use crate::faces::terminal::Terminal;
use crate::faces::{Status, Trouble};
use crate::output;
use std::fs;
use std::path::{Path, PathBuf};

/// Builds the pages. Neither the pages of the sheets nor their JSON are written, so that a folder of these can be handed out.
pub(super) fn run(asked: &Build, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.pdf {
        return Err(Trouble::new("`--pdf` prints sheets with their answers, and `--for learners` writes pages without any")
            .with_help("build without --pdf, and print the page from a browser"));
    }
    let printed = asked.out == Path::new("-");
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), (!printed).then_some(asked.out.as_path()))?;
    if printed && project.sheets.len() > 1 {
        return Err(Trouble::new("`--out -` prints one page, and there are several sheets").with_help("name a folder after --out"));
    }
    let stems = stems(&project.sheets)?;
    let finished = work(&project.disk, &project.sheets, &terminal.progress(project.sheets.len()), output::learners);
    report_projects(&finished, terminal);
    let mut files: Vec<(PathBuf, &[u8])> = Vec::new();
    for (one, stem) in finished.iter().zip(&stems) {
        report(one, terminal);
        match &one.result {
            Ok((_, Some(Some(page)))) if printed => terminal.print(page)?,
            Ok((_, Some(Some(page)))) => files.push((asked.out.join(format!("{stem}-for-learners.html")), page.as_bytes())),
            Ok(_) if !project.has_folder => {
                terminal.warn(&format!("`{}` poses no exercise, so there is nothing in it for learners", one.path));
            }
            _ => {}
        }
    }
    let tally = Tally::of(&finished);
    if printed {
        terminal.say(&tally.summary());
        return Ok(tally.status_of_writing());
    }
    if !files.is_empty() {
        fs::create_dir_all(&asked.out).map_err(|error| unwritable(&asked.out, &error))?;
    }
    let replaced = write(&project.disk, &files)?;
    let unchanged = files.len() - replaced;
    let kept = if unchanged > 0 { format!(", {unchanged} unchanged") } else { String::new() };
    terminal.say(&format!("{}; {} for learners written to {}{kept}", tally.summary(), count(replaced, "page"), asked.out.display()));
    Ok(tally.status_of_writing())
}
