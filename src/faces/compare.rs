//! `compare`: what changed between two states of sheets, on the disk or in a repository.

use crate::engine::{self, Engine, Files};
use crate::faces::arguments::{Compare, Review};
use crate::faces::build::report;
use crate::faces::project::Project;
use crate::faces::revision::{Revision, taken_apart};
use crate::faces::session::{Finished, compiled, cores, work};
use crate::faces::tally::Tally;
use crate::faces::terminal::{Terminal, harmless};
use crate::faces::{Status, Trouble};
use crate::output::{self, Compared};
use crate::sheet::Detail;
use crate::sheet::parts::Sheet;
use crate::sheet::{Snapshot, difference, snapshot};
use crate::source::SheetPath;
use crate::words::{Language, Voice, say, speaking};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Component, Path};

// One state of one sheet.
struct State {
    // Its place below the folder that was asked for; empty for a file that was asked for itself.
    place: String,
    // Its path as it is told.
    path: String,
    // None when it could not be read.
    snapshot: Option<Snapshot>,
    // The language of its house.
    language: Language,
}

// What is kept of a sheet.
fn kept(sheet: &Sheet) -> (Snapshot, Language) {
    (snapshot(sheet), sheet.house.voice.language)
}

/// Compares and prints.
pub(super) fn run(asked: &Compare, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.blind {
        return judge(asked, terminal);
    }
    let (old, broken_before) = side(&asked.old, terminal)?;
    let (new, broken_now) = side(&asked.new, terminal)?;
    let compared = || paired(&old, &new).into_iter().map(|(old, new)| compared(old, new)).collect::<Vec<Compared>>();
    let printed = match asked.format {
        Review::Text => harmless(&output::comparison_text(&compared())).into_owned(),
        Review::Json => output::comparison_json(&compared()),
        Review::Html => {
            // A page is in the language of the house of the newer state; figures are as both states have them.
            let language = new.first().or(old.first()).map(|state| state.language).unwrap_or_default();
            speaking(Voice { language, ..Voice::default() }, || output::comparison_html(&compared()))
        }
    };
    terminal.print(&printed)?;
    Ok(if broken_before || broken_now { Status::Errors } else { Status::Clean })
}

// Holds the form of an independent calculation against the sheet.
fn judge(asked: &Compare, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.format == Review::Html {
        return Err(Trouble::new("an independent calculation is compared as text or as JSON").with_help("leave out `--format html`"));
    }
    let project = Project::open(std::slice::from_ref(&asked.new), None, None, 1)?;
    let form = Project::open(std::slice::from_ref(&asked.old), None, None, 1)?;
    let (Some(path), [_]) = (form.sheets.first(), project.sheets.as_slice()) else {
        return Err(Trouble::new("`--blind` compares one form with one sheet"));
    };
    let judging = |sheet: &Sheet| engine::independent(&form.disk, path, sheet);
    let (mut tally, mut finished) = (Tally::default(), Vec::new());
    work((1, Detail::Whole), &project.disk, &project.sheets, &terminal.progress(1), judging, |one| {
        report(&one, &mut tally, terminal);
        finished.push(one);
    });
    let mut status = tally.status_of_writing();
    for one in &finished {
        match &one.result {
            Ok((_, Some(Ok(found)))) => {
                let printed = match asked.format {
                    Review::Json => output::independent_json(one.path.as_str(), found),
                    _ => harmless(&output::independent_text(one.path.as_str(), found)).into_owned(),
                };
                terminal.print(&printed)?;
                let counts =
                    ["agrees", "within doubt", "differs", "no answer"].map(|standing| format!("{} {standing}", found.count(standing)));
                terminal.say(&counts.join(", "));
                if status == Status::Clean && found.count("differs") > 0 {
                    status = Status::Moved;
                }
            }
            Ok((_, Some(Err(faults)))) => {
                terminal.notices(faults);
                status = Status::Errors;
            }
            _ => status = Status::Errors,
        }
    }
    Ok(status)
}

// The sheets of one side, and whether one of them has errors.
fn side(written: &Path, terminal: &Terminal) -> Result<(Vec<State>, bool), Trouble> {
    let Some((name, path)) = taken_apart(written) else {
        let cores = cores(None);
        let project = Project::open(&[written.to_path_buf()], None, None, cores)?;
        let folder = fs::canonicalize(written).ok().filter(|_| written.is_dir());
        let mut finished = Vec::new();
        let bar = terminal.progress(project.sheets.len());
        work((cores, Detail::Whole), &project.disk, &project.sheets, &bar, kept, |one| finished.push(one));
        let place = |sheet: &SheetPath| {
            let below = folder.as_ref().and_then(|folder| project.disk.place(sheet).strip_prefix(folder).ok().map(Path::to_path_buf));
            below.map(|below| below.to_string_lossy().replace('\\', "/")).unwrap_or_default()
        };
        return Ok(states(finished, terminal, place, ""));
    };
    let (revision, prefix) = Revision::open(name)?;
    let folder = joined(&prefix, path).ok_or_else(|| Trouble::new(format!("`{path}` leads out of the repository")))?;
    let mut sheets = revision.list(&folder)?;
    let is_file = sheets.iter().any(|sheet| sheet.as_str() == folder);
    if !is_file {
        sheets.retain(|sheet| revision.read(sheet).map_or(true, |text| engine::is_sheet(text.as_str())));
    }
    if sheets.is_empty() {
        return Err(Trouble::new(format!("there is no sheet at `{}`", written.display())));
    }
    let mut engine = Engine::new();
    let finished: Vec<Finished<(Snapshot, Language)>> =
        sheets.iter().map(|path| Finished { path: path.clone(), result: compiled(&mut engine, &revision, path, kept) }).collect();
    let place = |sheet: &SheetPath| match sheet.as_str().strip_prefix(&folder) {
        Some(below) if !is_file => below.trim_start_matches('/').to_string(),
        _ => String::new(),
    };
    Ok(states(finished, terminal, place, &format!("{name}:")))
}

fn states(
    finished: Vec<Finished<(Snapshot, Language)>>,
    terminal: &Terminal,
    place: impl Fn(&SheetPath) -> String,
    before: &str,
) -> (Vec<State>, bool) {
    let mut broken = false;
    let states = finished.into_iter().map(|one| {
        let path = format!("{before}{}", one.path);
        let snapshot = match one.result {
            Ok((account, snapshot)) => {
                if account.tally.has_errors() {
                    broken = true;
                    terminal.warn(&format!("`{path}` has errors; what rests on them is missing here (`parbuckle check` names them)"));
                }
                snapshot
            }
            Err(fault) => {
                broken = true;
                terminal.fault(&format!("{fault}, in `{path}`"));
                None
            }
        };
        let (snapshot, language) = snapshot.unzip();
        State { place: place(&one.path), path, snapshot, language: language.unwrap_or_default() }
    });
    let states = states.collect();
    (states, broken)
}

// `path` as written in the folder `prefix` of a repository, from its top; none when it leads out.
fn joined(prefix: &str, path: &str) -> Option<String> {
    let mut parts: Vec<String> = Vec::new();
    for part in Path::new(prefix).join(path).components() {
        match part {
            Component::Normal(name) => parts.push(name.to_str()?.to_string()),
            Component::ParentDir => drop(parts.pop()?),
            Component::CurDir => {}
            Component::RootDir | Component::Prefix(_) => return None,
        }
    }
    Some(parts.join("/"))
}

// Two files are one sheet; of folders, sheets in one place are, then those of one number: a sheet may be moved.
fn paired<'s>(old: &'s [State], new: &'s [State]) -> Vec<(Option<&'s State>, Option<&'s State>)> {
    if let ([before], [now]) = (old, new) {
        return vec![(Some(before), Some(now))];
    }
    let number = |state: &State| state.snapshot.as_ref().map(|snapshot| snapshot.number.clone()).filter(|number| !number.is_empty());
    let mut by_place: BTreeMap<&str, &State> = old.iter().map(|state| (state.place.as_str(), state)).collect();
    let mut pairs: Vec<(Option<&State>, Option<&State>)> =
        new.iter().map(|state| (by_place.remove(state.place.as_str()), Some(state))).collect();
    for (before, now) in &mut pairs {
        let Some(wanted) = now.and_then(number) else { continue };
        if before.is_none() {
            let fellow = by_place.iter().find(|(_, state)| number(state).as_ref() == Some(&wanted)).map(|(place, _)| *place);
            *before = fellow.and_then(|place| by_place.remove(place));
        }
    }
    pairs.extend(by_place.into_values().map(|state| (Some(state), None)));
    pairs
}

fn compared(old: Option<&State>, new: Option<&State>) -> Compared {
    let of = |state: Option<&State>| state.and_then(|state| state.snapshot.clone());
    let (before, now) = (of(old), of(new));
    let found = before.as_ref().zip(now.as_ref()).map(|(before, now)| difference(before, now));
    let known = now.or(before).unwrap_or_default();
    let summary = match (&found, old.is_some(), new.is_some()) {
        (Some(found), ..) => found.summary(),
        (None, false, true) => say!("a new sheet").to_string(),
        (None, true, false) => say!("the sheet is gone").to_string(),
        _ => say!("could not be read in both states").to_string(),
    };
    let path = |state: Option<&State>| state.map(|state| state.path.clone()).unwrap_or_default();
    Compared { old: path(old), new: path(new), number: known.number, title: known.title, summary, difference: found }
}
