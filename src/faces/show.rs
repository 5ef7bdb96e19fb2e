//! `show`: one sheet as plain text.

use crate::faces::arguments::Show;
use crate::faces::build::{report, report_projects};
use crate::faces::project::Project;
use crate::faces::session::work;
use crate::faces::tally::Tally;
use crate::faces::terminal::{Terminal, harmless};
use crate::faces::{Status, Trouble};
use crate::output;

/// Prints the sheet to standard output and its findings to standard error.
pub(super) fn run(asked: &Show, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.file.is_dir() {
        return Err(
            Trouble::new(format!("`{}` is a folder", asked.file.display())).with_help("`show` prints one sheet; `build` takes folders")
        );
    }
    let project = Project::open(std::slice::from_ref(&asked.file), asked.root.as_deref(), None)?;
    let finished = work(&project.disk, &project.sheets, &terminal.progress(1), output::text);
    report_projects(&finished, terminal);
    for one in &finished {
        report(one, terminal);
        if let Ok((_, Some(text))) = &one.result {
            terminal.print(&harmless(text))?;
        }
    }
    Ok(Tally::of(&finished).status_of_writing())
}
