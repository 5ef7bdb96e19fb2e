//! `explain SHEET::NAME`: what a value is, and every result, check and sheet of the project that moves with it.

use crate::engine::{Engine, leading_to, uses};
use crate::faces::arguments::{Data, Explain};
use crate::faces::project::{Project, Scope};
use crate::faces::session::{Noting, cores, each};
use crate::faces::tally::count;
use crate::faces::terminal::{Terminal, harmless};
use crate::faces::{Status, Trouble};
use crate::output;
use crate::sheet::{Impact, NoSuchValue};
use crate::source::SheetPath;
use std::collections::BTreeMap;
use std::path::PathBuf;

/// Prints what there is to say of the value `name` of `sheet`.
pub(super) fn run(asked: &Explain, sheet: &str, name: &str, terminal: &Terminal) -> Result<Status, Trouble> {
    let (sheet, name) = (sheet.trim(), name.trim());
    if sheet.is_empty() || name.is_empty() {
        return Err(Trouble::new("a value is asked for as SHEET::NAME").with_help("for instance slip.md::boat"));
    }
    let file = PathBuf::from(sheet);
    if file.is_dir() {
        return Err(Trouble::new(format!("`{sheet}` is a folder, and a value stands in one sheet")).with_help("name the file of the sheet"));
    }
    let project = Project::open(std::slice::from_ref(&file), asked.root.as_deref(), None, 1)?;
    let Some(path) = project.sheets.first() else { return Err(Trouble::new("there is no sheet there")) };
    let mut answered = None;
    let bar = terminal.progress(1);
    each(
        1,
        std::slice::from_ref(path),
        &bar,
        |engine, path| engine.impact(&project.disk, path, name),
        |_, made| {
            answered = Some(made);
            true
        },
    );
    let asked_of = match answered {
        Some(Ok(Ok(asked_of))) => asked_of,
        Some(Ok(Err(notices))) => {
            terminal.notices(&notices);
            return Ok(Status::Errors);
        }
        Some(Err(fault)) => {
            terminal.fault(&format!("{fault}, in `{path}`"));
            return Ok(Status::Errors);
        }
        None => return Err(Trouble::new("the compiler gave no account of this document")),
    };
    let errors: Vec<_> = asked_of.notices.into_iter().filter(|notice| notice.severity == "error").collect();
    terminal.notices(&errors);
    let (value, written) = match asked_of.found {
        Ok(found) => found,
        Err(NoSuchValue { what, help }) => return Err(Trouble::new(what).with_help(help)),
    };
    let (mut sheets, mut looked, mut broken) = (Vec::new(), 0, false);
    // What a used file states is shared there; whoever uses that file has it too.
    if let Some(written) = &written {
        let (below, leading) = users(&project, written.file())?;
        looked = below;
        let leading: Vec<SheetPath> = leading.into_iter().filter(|other| other != path).collect();
        let bar = terminal.progress(leading.len());
        let make = |engine: &mut Engine, path: &SheetPath| {
            let noting = Noting::new(&project.disk);
            let made = engine.impact_of(&noting, path, written);
            project.disk.release(path, noting.asked().paths());
            made
        };
        each(cores(None), &leading, &bar, make, |at, made| {
            let path = leading.get(at).map(ToString::to_string).unwrap_or_default();
            broken |= told(&path, made, &mut sheets, terminal);
            true
        });
    }
    match asked.format {
        Data::Text => terminal.print(&harmless(&output::impact_text(&value, &sheets, asked.every)))?,
        Data::Json => terminal.print(&output::impact_json(&value, &sheets))?,
    }
    if let Some(written) = &written {
        let others = if sheets.is_empty() { "no other sheet".to_string() } else { count(sheets.len(), "other sheet") };
        terminal.say(&format!("`{}` is used by {others} of {}", written.file(), count(looked, "file")));
    }
    Ok(if broken || !errors.is_empty() { Status::Errors } else { Status::Clean })
}

type Made = Result<Result<(Option<Impact>, bool), Vec<crate::sheet::parts::Notice>>, String>;

// Takes up what one sheet said; whether it has errors.
fn told(path: &str, made: Made, sheets: &mut Vec<Impact>, terminal: &Terminal) -> bool {
    match made {
        Ok(Ok((found, errors))) => {
            if errors {
                terminal.warn(&format!("`{path}` has errors; what rests on them is missing here (`parbuckle check` names them)"));
            }
            sheets.extend(found);
            errors
        }
        Ok(Err(notices)) => {
            terminal.notices(&notices);
            true
        }
        Err(fault) => {
            terminal.fault(&format!("{fault}, in `{path}`"));
            true
        }
    }
}

// How many documents there are below the root, and those that lead to `file`.
fn users(project: &Project, file: &str) -> Result<(usize, Vec<SheetPath>), Trouble> {
    let disk = &project.disk;
    let root = disk.place(&SheetPath::new(""));
    let scope = Scope::settle(std::slice::from_ref(&root), Some(&root), None)?;
    let documents = scope.sheets(disk, &mut Vec::new(), |paths| vec![true; paths.len()])?;
    let mut all: BTreeMap<SheetPath, Vec<SheetPath>> = BTreeMap::new();
    let look = |_: &mut Engine, path: &SheetPath| disk.glance(path).map(|text| uses(path, text.as_str())).unwrap_or_default();
    each(cores(None), &documents, &indicatif::ProgressBar::hidden(), look, |at, made| {
        if let (Some(path), Ok(used)) = (documents.get(at), made) {
            all.insert(path.clone(), used);
        }
        true
    });
    Ok((documents.len(), leading_to(&SheetPath::new(file), &all)))
}
