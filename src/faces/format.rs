//! `format`: the fences of sheets laid out the one way, in place.

use crate::engine::{self, Files};
use crate::faces::arguments::Layout;
use crate::faces::disk::{reason, replace};
use crate::faces::project::Project;
use crate::faces::session::cores;
use crate::faces::tally::count;
use crate::faces::terminal::Terminal;
use crate::faces::{Status, Trouble};
use std::fs;
use std::io;
use std::path::Path;

/// Lays out every sheet asked for; with `check` it only names those that would change.
pub(super) fn run(asked: &Layout, terminal: &Terminal) -> Result<Status, Trouble> {
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), None, cores(None))?;
    let piped = asked.paths.paths.iter().any(|path| path == Path::new("-"));
    if piped && asked.paths.paths.len() > 1 {
        return Err(Trouble::new("standard input is laid out alone, and other sheets were named with it"));
    }
    let mut changed = 0;
    for sheet in &project.sheets {
        let text = project
            .disk
            .read(sheet)
            .map_err(|_| Trouble::new(format!("cannot read `{sheet}`")).with_help("`parbuckle check` says what is wrong with the file"))?;
        let laid_out = engine::formatted(text.as_str());
        let same = laid_out == text.as_str();
        if piped && !asked.check {
            terminal.print(&laid_out)?;
            continue;
        }
        if same {
            continue;
        }
        changed += 1;
        if asked.check {
            terminal.print(&format!("{sheet}\n"))?;
            continue;
        }
        let unwritable = |error: io::Error| Trouble::new(format!("cannot write `{sheet}`: {}", reason(&error)));
        // A linked sheet is laid out where it really is; a mark of byte order stays in front.
        let place = fs::canonicalize(project.disk.place(sheet)).map_err(unwritable)?;
        let marked = fs::read(&place).map_err(unwritable)?.starts_with("\u{feff}".as_bytes());
        let bytes = if marked { format!("\u{feff}{laid_out}") } else { laid_out };
        replace(&place, bytes.as_bytes()).map_err(unwritable)?;
    }
    let of = count(project.sheets.len(), "sheet");
    if asked.check {
        terminal.say(&if changed == 0 { format!("{of}, nothing to lay out anew") } else { format!("{changed} of {of} would change") });
    } else if !piped {
        terminal.say(&format!("{changed} of {of} laid out anew"));
    }
    Ok(if asked.check && changed > 0 { Status::Errors } else { Status::Clean })
}
