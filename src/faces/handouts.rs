//! `build --for learners`: the exercises of every sheet as a page without answers, and nothing else of it.

use crate::faces::arguments::Build;
use crate::faces::build::{report, stems};
use crate::faces::outputs::Outputs;
use crate::faces::project::Project;
use crate::faces::session::{cores, work};
use crate::faces::tally::{Tally, count};
use crate::faces::terminal::Terminal;
use crate::faces::{Status, Trouble};
use crate::output;
use std::path::Path;

/// Builds the pages. Neither the pages of the sheets nor their JSON are written, so that a folder of these can be handed out.
pub(super) fn run(asked: &Build, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.pdf {
        return Err(Trouble::new("`--pdf` prints sheets with their answers, and `--for learners` writes pages without any")
            .with_help("build without --pdf, and print the page from a browser"));
    }
    let printed = asked.out == Path::new("-");
    let cores = cores(asked.cores);
    let skip = (!printed).then_some(asked.out.as_path());
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), skip, cores)?.on(asked.looked.on);
    if printed && project.sheets.len() > 1 {
        return Err(Trouble::new("`--out -` prints one page, and there are several sheets").with_help("name a folder after --out"));
    }
    let names: Vec<String> = stems(&project.sheets)?.iter().map(|stem| format!("{stem}-for-learners.html")).collect();
    let outputs = if printed { None } else { Some(Outputs::open(&project.disk, &asked.out, names.iter().cloned())?) };
    let (mut tally, mut pages) = (Tally::default(), Vec::new());
    let bar = terminal.progress(project.sheets.len());
    work(
        cores,
        &project.disk,
        &project.sheets,
        &bar,
        |sheet| output::learners(sheet).map(Box::new),
        |one| {
            bar.suspend(|| {
                report(&one, &mut tally, terminal);
                if matches!(&one.result, Ok((_, Some(None)))) && !project.has_folder {
                    terminal.warn(&format!("`{}` poses no exercise, so there is nothing in it for learners", one.path));
                }
            });
            pages.push(one.result.ok().and_then(|(_, page)| page.flatten()));
        },
    );
    let made = names.iter().zip(&pages).filter_map(|(name, page)| Some((name, page.as_ref()?)));
    let Some(outputs) = outputs else {
        for (_, page) in made {
            terminal.print(page)?;
        }
        terminal.say(&tally.summary());
        return Ok(tally.status_of_writing());
    };
    for (name, page) in made {
        outputs.put(name, page.as_bytes(), false)?;
    }
    let (replaced, unchanged) = outputs.settle()?;
    let kept = if unchanged > 0 { format!(", {unchanged} unchanged") } else { String::new() };
    terminal.say(&format!("{}; {} for learners written to {}{kept}", tally.summary(), count(replaced, "page"), asked.out.display()));
    Ok(tally.status_of_writing())
}
