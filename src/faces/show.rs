//! `show`: one sheet as plain text.

use crate::faces::arguments::Show;
use crate::faces::build::report;
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
    let project = Project::open(std::slice::from_ref(&asked.file), asked.root.as_deref(), None, 1)?;
    let (mut tally, mut printed) = (Tally::default(), Ok(()));
    work(1, &project.disk, &project.sheets, &terminal.progress(1), output::text, |one| {
        report(&one, terminal);
        tally.add(&one);
        if let Ok((_, Some(text))) = &one.result {
            printed = terminal.print(&harmless(text));
        }
    });
    printed?;
    Ok(tally.status_of_writing())
}
