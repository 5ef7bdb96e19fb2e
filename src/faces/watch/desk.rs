//! What is known of every sheet between one save and the next, and the work of a round: only what rests on a changed file
//! is worked again.

use crate::engine::{self, Day, Engine, Files};
use crate::faces::Trouble;
use crate::faces::build::{Row, beside, page_place, stems};
use crate::faces::disk::{Disk, Look};
use crate::faces::project::{Scope, is_wanted};
use crate::faces::session::{Account, Finished, Noting, guarded};
use crate::faces::watch::board::Shown;
use crate::faces::watch::changes::Batch;
use crate::output::{self, Beside};
use crate::source::SheetPath;
use crate::words::Voice;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Of how many sheets what was worked is kept, besides the page: those that were saved last.
const KEPT: usize = 24;

/// A sheet as it was printed.
#[derive(Debug)]
pub(super) struct Made {
    pub(super) html: Arc<str>,
    // Where files are written too.
    pub(super) json: Option<Arc<str>>,
    pub(super) row: Row,
}

/// What is known of one sheet.
struct Held {
    stem: String,
    finished: Finished<Made>,
    // The files it was made from, those that are missing among them.
    asked: BTreeSet<SheetPath>,
    // The last page without errors.
    good: Option<Arc<str>>,
}

impl Held {
    // The page of the sheet as it was last worked, whatever was wrong with it.
    fn as_it_is(&self) -> Option<&Arc<str>> {
        let Ok((_, Some(made))) = &self.finished.result else { return None };
        Some(&made.html)
    }
}

/// What one round has come to.
#[derive(Debug, Default)]
pub(super) struct Round {
    /// Files that say something else than before.
    pub(super) changed: Vec<SheetPath>,
    /// Sheets that were worked.
    pub(super) worked: Vec<SheetPath>,
    /// Sheets that are there no more, by what their pages were called.
    pub(super) gone: Vec<String>,
    /// Whether pages may be linked otherwise than before.
    pub(super) relinked: bool,
}

impl Round {
    /// Adds what a `later` round has come to.
    pub(super) fn join(&mut self, later: Round) {
        self.changed.extend(later.changed);
        self.worked.extend(later.worked);
        self.gone.extend(later.gone);
        self.relinked |= later.relinked;
        [&mut self.changed, &mut self.worked].into_iter().for_each(once_each);
        once_each(&mut self.gone);
    }
}

fn once_each<T: Ord + Clone>(all: &mut Vec<T>) {
    let mut met = BTreeSet::new();
    all.retain(|one| met.insert(one.clone()));
}

/// Every sheet of a project as it was last worked.
pub(super) struct Desk {
    pub(super) scope: Scope,
    pub(super) disk: Disk,
    engine: Engine,
    // Whether JSON is wanted as well.
    writes: bool,
    pub(super) sheets: Vec<SheetPath>,
    pub(super) beside: Beside,
    // Moves when what stands beside the pages becomes another.
    linked: u64,
    held: BTreeMap<SheetPath, Held>,
    // The folders of the project that were looked into for sheets.
    walked: BTreeSet<PathBuf>,
    // What the text of each file rests on, and the same the other way about.
    spots: BTreeMap<SheetPath, Vec<PathBuf>>,
    resting: BTreeSet<(PathBuf, SheetPath)>,
    // Files that are likely being saved.
    halfway: BTreeSet<SheetPath>,
    // Files that say something else than what their sheets were worked from: more than none after a round that could not be done.
    stale: Vec<SheetPath>,
}

impl Desk {
    /// A desk with nothing on it; with `writes`, sheets are made as files as well.
    pub(super) fn new(scope: Scope, writes: bool, day: Option<Day>) -> Self {
        let disk = Disk::new(scope.root.clone()).on(day);
        Desk {
            scope,
            disk,
            engine: Engine::keeping(KEPT),
            writes,
            sheets: Vec::new(),
            beside: Beside::default(),
            linked: 0,
            held: BTreeMap::new(),
            walked: BTreeSet::new(),
            spots: BTreeMap::new(),
            resting: BTreeSet::new(),
            halfway: BTreeSet::new(),
            stale: Vec::new(),
        }
    }

    /// Whether something at `place` could make a difference.
    pub(super) fn matters(&self, place: &Path) -> bool {
        let mut below = self.resting.range((place.to_path_buf(), SheetPath::new(""))..);
        if below.next().is_some_and(|(spot, _)| spot.starts_with(place)) || self.walked.contains(place) {
            return true;
        }
        let hidden = place.file_name().is_none_or(|name| name.as_encoded_bytes().starts_with(b"."));
        let inside = place.parent().is_some_and(|folder| self.walked.contains(folder));
        let sheet = place.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("md"));
        inside && !hidden && (sheet || place.is_dir())
    }

    /// The folders in which something could happen that makes a difference, up to the project's own.
    pub(super) fn folders(&self) -> BTreeSet<PathBuf> {
        let root = &self.scope.root;
        let mut folders: BTreeSet<PathBuf> = self.walked.iter().cloned().collect();
        for spot in self.spots.values().flatten().filter(|spot| spot.starts_with(root)) {
            for folder in spot.ancestors().skip(1).take_while(|folder| folder.starts_with(root)) {
                if !folders.insert(folder.to_path_buf()) {
                    break;
                }
            }
        }
        for folder in folders.clone() {
            folders.extend(folder.ancestors().take_while(|above| above.starts_with(root)).map(Path::to_path_buf));
        }
        folders.retain(|folder| folder.is_dir());
        folders
    }

    /// Whether a file is to be looked at once more soon, as it was likely being saved.
    pub(super) fn is_halfway(&self) -> bool {
        !self.halfway.is_empty()
    }

    /// Looks at what happened and works what rests on it. With `settled`, files that were likely being saved are now
    /// taken as they are.
    pub(super) fn round(&mut self, batch: &Batch, settled: bool) -> Result<Round, Trouble> {
        let mut round = Round::default();
        let mut touched: BTreeSet<SheetPath> = match batch.all {
            true => self.disk.asked().into_iter().collect(),
            false => batch.places.iter().flat_map(|place| self.resting_on(place)).collect(),
        };
        if settled {
            touched.append(&mut self.halfway);
        }
        for path in touched {
            self.halfway.remove(&path);
            match self.disk.look_again(&path, settled) {
                Look::Same => {}
                Look::Changed => self.stale.push(path.clone()),
                Look::Halfway => {
                    self.halfway.insert(path.clone());
                }
            }
            // It may be another link to another place now.
            self.forget_spots(&path);
        }
        let mut folders = Vec::new();
        let mut sheets = self.scope.sheets(&self.disk, &mut folders, |paths| are_sheets(&self.disk, paths))?;
        sheets.extend(
            self.halfway.iter().filter(|path| self.held.contains_key(*path) && !sheets.contains(path)).cloned().collect::<Vec<_>>(),
        );
        let stems = stems(&sheets)?;
        self.walked = folders.into_iter().collect();
        round.changed = std::mem::take(&mut self.stale);
        once_each(&mut round.changed);

        let beside = beside(&sheets, &stems, self.scope.has_folder());
        let kinds_moved = beside.kinds != self.beside.kinds || beside.kinds_index != self.beside.kinds_index;
        let differs = |path: &SheetPath| beside.sheets.contains_key(path.as_str()) != self.beside.sheets.contains_key(path.as_str());
        let stale: BTreeSet<&SheetPath> = round.changed.iter().collect();
        let work: Vec<usize> = (0..sheets.len())
            .filter(|at| match sheets.get(*at).and_then(|path| self.held.get(path)) {
                Some(held) => kinds_moved || held.asked.iter().any(|path| stale.contains(path) || differs(path)),
                None => true,
            })
            .collect();
        round.relinked = kinds_moved || self.held.is_empty();
        if self.beside != beside {
            self.linked += 1;
            self.beside = beside;
        }
        self.sheets = sheets;
        for at in work {
            let (Some(path), Some(stem)) = (self.sheets.get(at).cloned(), stems.get(at)) else { continue };
            self.work(&path, stem);
            round.worked.push(path);
        }
        let there: BTreeSet<&SheetPath> = self.sheets.iter().collect();
        let gone: Vec<SheetPath> = self.held.keys().filter(|path| !there.contains(path)).cloned().collect();
        for path in gone {
            self.engine.forget(&path);
            round.gone.extend(self.held.remove(&path).map(|held| held.stem));
        }
        self.tidy();
        Ok(round)
    }

    fn work(&mut self, path: &SheetPath, stem: &str) {
        let noting = Noting::new(&self.disk);
        let (engine, beside, linked, writes) = (&mut self.engine, &self.beside, self.linked, self.writes);
        let result = guarded(|| {
            let outcome = engine.compile(&noting, std::slice::from_ref(path)).outcomes.pop();
            let outcome = outcome.ok_or_else(|| "the compiler gave no account of this document".to_string())?;
            let place = page_place(path.as_str());
            let html = engine.printed(&outcome, &format!("page {linked}"), |sheet| output::html_beside(sheet, beside, &place));
            let json = if writes { engine.printed(&outcome, "json", output::json) } else { None };
            let made = html.zip(outcome.sheet.as_deref()).map(|(html, sheet)| Made { html, json, row: Row::of(sheet) });
            Ok((Account::of(outcome), made))
        });
        if result.is_err() {
            self.engine = Engine::keeping(KEPT);
        }
        let result = result.and_then(|made| made);
        let is_good = |finished: &Finished<Made>| match &finished.result {
            Ok((account, Some(made))) if !account.tally.has_errors() => Some(Arc::clone(&made.html)),
            _ => None,
        };
        let mut asked: BTreeSet<SheetPath> = noting.asked().paths().cloned().collect();
        asked.insert(path.clone());
        let finished = Finished { path: path.clone(), result };
        let before = self.held.remove(path).and_then(|held| held.good);
        let good = is_good(&finished).or(before);
        self.held.insert(path.clone(), Held { stem: stem.to_string(), finished, asked, good });
    }

    /// Clears away what is kept of before the last round.
    pub(super) fn clear_away(&mut self) {
        self.engine.clear_away();
    }

    /// Whether there is a sheet whose page is called by `stem`.
    pub(super) fn has(&self, stem: &str) -> bool {
        self.held.values().any(|held| held.stem == stem)
    }

    /// What was made of `path`.
    pub(super) fn finished(&self, path: &SheetPath) -> Option<&Finished<Made>> {
        self.held.get(path).map(|held| &held.finished)
    }

    /// The name of the page of `path`, and that page without a banner: the last one without errors, where there is one.
    pub(super) fn page(&self, path: &SheetPath) -> Option<(String, Arc<str>)> {
        let held = self.held.get(path)?;
        let html = held.good.as_ref().or(held.as_it_is()).map_or_else(|| Arc::from(EMPTY), Arc::clone);
        Some((format!("{}.html", held.stem), html))
    }

    /// The name of the page of `path` and what it shows.
    pub(super) fn shown(&self, path: &SheetPath) -> Option<(String, Shown)> {
        let (held, (name, html)) = (self.held.get(path)?, self.page(path)?);
        let words = match (&held.good, held.as_it_is()) {
            (Some(_), _) => "This page is the sheet as it was last without errors.",
            (None, Some(_)) => "This page shows as much of the sheet as could be worked.",
            (None, None) => "There is nothing to show of this sheet yet.",
        };
        let banner = match &held.finished.result {
            Ok((account, _)) if account.tally.has_errors() => output::banner(&account.notices, words),
            Ok((account, _)) if !account.project_notices.is_empty() => {
                output::banner(&account.project_notices, "This page follows the project file as far as that could be read.")
            }
            Ok(_) => String::new(),
            Err(_) => output::banner(&[], "The program itself failed on this sheet; the terminal says how. This page is from before."),
        };
        Some((name, Shown { html, banner: banner.into() }))
    }

    /// The words of the kinds whose pages are wanted: all with a folder, otherwise those that the sheets use.
    pub(super) fn kinds(&self) -> Vec<&'static str> {
        let used = |word: &str| {
            self.held.values().any(|held| matches!(&held.finished.result, Ok((_, Some(made))) if made.row.kinds.contains(word)))
        };
        engine::kind_words().filter(|word| self.beside.kinds.contains_key(*word) && (self.scope.has_folder() || used(word))).collect()
    }

    /// The voice of the pages of reference: that of the first sheet.
    pub(super) fn voice(&self) -> Voice {
        let made = |held: &Held| match &held.finished.result {
            Ok((_, Some(made))) => Some(made.row.entry.voice),
            _ => None,
        };
        self.held.values().find_map(made).unwrap_or_default()
    }

    // Every file whose text may have changed when something happened at `place`.
    fn resting_on(&self, place: &Path) -> Vec<SheetPath> {
        let below = self.resting.range((place.to_path_buf(), SheetPath::new(""))..);
        below.take_while(|(spot, _)| spot.starts_with(place)).map(|(_, path)| path.clone()).collect()
    }

    /// The files that stand in one of `folders`, or are reached through it.
    pub(super) fn files_in(&self, folders: &BTreeSet<PathBuf>) -> BTreeSet<PathBuf> {
        self.resting
            .iter()
            .map(|(spot, _)| spot)
            .filter(|spot| spot.parent().is_some_and(|folder| folders.contains(folder)))
            .cloned()
            .collect()
    }

    fn forget_spots(&mut self, path: &SheetPath) {
        for spot in self.spots.remove(path).unwrap_or_default() {
            self.resting.remove(&(spot, path.clone()));
        }
    }

    // Lets go of what no sheet rests on any more, and learns where the files stand that are new.
    fn tidy(&mut self) {
        let asked: BTreeSet<&SheetPath> = self.held.values().flat_map(|held| &held.asked).collect();
        let known: BTreeSet<SheetPath> =
            self.disk.asked().into_iter().filter(|path| asked.contains(path) || self.disk.read(path).is_ok()).collect();
        self.disk.keep(&known);
        let old: Vec<SheetPath> = self.spots.keys().filter(|path| !known.contains(path)).cloned().collect();
        old.iter().for_each(|path| self.forget_spots(path));
        for path in known {
            if !self.spots.contains_key(&path) {
                let spots = self.disk.spots(&path);
                self.resting.extend(spots.iter().map(|spot| (spot.clone(), path.clone())));
                self.spots.insert(path, spots);
            }
        }
    }
}

/// Which of `paths` are sheets. Their texts are kept, to be compared with what they say later.
pub(super) fn are_sheets(disk: &Disk, paths: &[SheetPath]) -> Vec<bool> {
    paths.iter().map(|path| is_wanted(&disk.read(path))).collect()
}

const EMPTY: &str = "<!DOCTYPE html>\n<html lang=\"en\">\n<head><meta charset=\"utf-8\"><title>Not read yet</title></head>\n\
<body>\n<main></main>\n</body>\n</html>\n";
