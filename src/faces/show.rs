//! `show`: one sheet as plain text.

use crate::faces::arguments::{self, Show};
use crate::faces::build::report;
use crate::faces::project::Project;
use crate::faces::session::work;
use crate::faces::tally::Tally;
use crate::faces::terminal::{Terminal, harmless};
use crate::faces::{Status, Trouble};
use crate::output;
use crate::sheet::parts::Sheet;

/// Prints the sheet to standard output and its findings to standard error.
pub(super) fn run(asked: &Show, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.file.is_dir() {
        return Err(
            Trouble::new(format!("`{}` is a folder", asked.file.display())).with_help("`show` prints one sheet; `build` takes folders")
        );
    }
    let project = Project::open(std::slice::from_ref(&asked.file), asked.root.as_deref(), None, 1)?.on(asked.looked.on);
    let printed = |sheet: &Sheet| match asked.table {
        // Data is given as it is; what is laid out for reading must not drive the reader's terminal.
        Some(which) => output::table(sheet, table(which)),
        None => harmless(&output::text(sheet)).into_owned(),
    };
    let (mut tally, mut ended) = (Tally::default(), Ok(()));
    work((1, asked.brief.into()), &project.disk, &project.sheets, &terminal.progress(1), printed, |one| {
        report(&one, &mut tally, terminal);
        if let Ok((_, Some(text))) = &one.result {
            ended = terminal.print(text);
        }
    });
    ended?;
    Ok(tally.status_of_writing())
}

fn table(which: arguments::Table) -> output::Table {
    match which {
        arguments::Table::Results => output::Table::Results,
        arguments::Table::Inputs => output::Table::Inputs,
        arguments::Table::Checks => output::Table::Checks,
        arguments::Table::Gear => output::Table::Gear,
    }
}
