//! `new`: a starter sheet, never over a file that is already there.

use crate::faces::arguments::New;
use crate::faces::disk::{create, reason};
use crate::faces::terminal::Terminal;
use crate::faces::{Status, Trouble};
use std::io::ErrorKind;
use std::path::Path;

/// The starter sheet. It is compiled by the tests, so it builds.
const STARTER: &str = include_str!("starter.md");

/// Writes the starter sheet to the file named, or to standard output for `-`.
pub(super) fn run(asked: &New, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.file == Path::new("-") {
        terminal.print(STARTER)?;
        return Ok(Status::Clean);
    }
    let mut file = asked.file.clone();
    if file.extension().is_none() {
        file.set_extension("md");
    }
    create(&file, STARTER.as_bytes()).map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists => {
            Trouble::new(format!("`{}` is already there; it was left alone", file.display())).with_help("choose another name")
        }
        _ => Trouble::new(format!("cannot write `{}`: {}", file.display(), reason(&error))),
    })?;
    terminal.say(&format!("wrote {0}; see it with `parbuckle show {0}`", file.display()));
    Ok(Status::Clean)
}
