//! `watch`: sheets in a browser beside the editor, renewed on every save.
//!
//! *Takes and gives*: folders and sheets, notice of what changes; pages from memory, one line a round on the terminal.
//! *Never*: serves a file; answers another machine; lets the browser hear of a page before it is whole.
//! *To add*: an address is a variant of `link::Wanted` and its answer in `answer.rs`; what a page does while it is served
//! is in `live.js`.

mod answer;
mod board;
mod changes;
mod desk;
mod link;
mod parts;
mod reference;
mod serve;

use crate::faces::arguments::Watch;
use crate::faces::build::{report_alone, stem};
use crate::faces::outputs::{unwritable, write};
use crate::faces::project::Scope;
use crate::faces::session::spacious;
use crate::faces::tally::{Tally, count};
use crate::faces::terminal::Terminal;
use crate::faces::watch::board::{Board, Shown};
use crate::faces::watch::changes::{Batch, Ears, Heard};
use crate::faces::watch::desk::{Desk, Round, are_sheets};
use crate::faces::watch::link::Token;
use crate::faces::watch::reference::References;
use crate::faces::{Status, Trouble};
use crate::output::{self, IndexEntry, address};
use crate::sheet::parts::Notice;
use crate::source::SheetPath;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

/// How long a file that is likely being saved is given.
const SAVING: Duration = Duration::from_millis(400);
/// How often a folder is looked at of which the system gives no notice.
const LOOK: Duration = Duration::from_secs(1);

/// Watches until the process is ended.
pub(super) fn run(asked: &Watch, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.paths.paths.iter().any(|path| path == Path::new("-")) {
        return Err(Trouble::new("standard input cannot be watched").with_help("name a sheet or a folder of sheets"));
    }
    // Left out as `build` leaves it out, so that both see the same sheets.
    let skip = asked.out.as_deref().unwrap_or(Path::new("out"));
    let scope = Scope::settle(&asked.paths.paths, asked.paths.root.as_deref(), Some(skip))?;
    if let Some(out) = &asked.out {
        fs::create_dir_all(out).map_err(|error| unwritable(out, &error))?;
    }
    let token =
        Token::new().ok_or_else(|| Trouble::new("the system gives no random bytes, without which the pages cannot be kept private"))?;
    let (listener, port) = serve::bind(asked.port)?;
    let desk = Desk::new(scope, asked.out.is_some(), asked.looked.on);
    let first = desk.scope.sheets(&desk.disk, &mut Vec::new(), |paths| are_sheets(&desk.disk, paths))?;
    let home = match first.first() {
        Some(sheet) if !desk.scope.has_folder() => address(&format!("{}.html", stem(sheet.as_str()))),
        _ => "index.html".to_string(),
    };
    let board = Arc::new(Board::new(token, port, home));
    let served = Arc::clone(&board);
    std::thread::Builder::new()
        .name("server".to_string())
        .spawn(move || serve::serve(listener, served))
        .map_err(|error| Trouble::new(format!("no thread could be started: {}", crate::faces::disk::reason(&error))))?;
    let mut watching = Watching {
        asked,
        terminal,
        board,
        desk,
        ears: Ears::new(),
        references: References::default(),
        entries: Vec::new(),
        told: BTreeSet::new(),
        misnamed: BTreeSet::new(),
        due: None,
    };
    spacious(move || watching.run()).map_err(Trouble::new)?
}

struct Watching<'w> {
    asked: &'w Watch,
    terminal: &'w Terminal,
    board: Arc<Board>,
    desk: Desk,
    ears: Ears,
    references: References,
    entries: Vec<IndexEntry>,
    // Folders of which it was said that they give no notice.
    told: BTreeSet<PathBuf>,
    // Files of which it was said that nobody reads them for a slip in their name.
    misnamed: BTreeSet<SheetPath>,
    due: Option<Due>,
}

/// What was worked and is not yet shown.
#[derive(Default)]
struct Due {
    round: Round,
    // Why the last of the work could not be done.
    trouble: Option<Trouble>,
    took: Duration,
}

impl Watching<'_> {
    fn run(&mut self) -> Result<Status, Trouble> {
        self.work(Batch::default(), false);
        self.show(true)?;
        let link = self.board.link();
        self.terminal.print(&format!("{link}\n"))?;
        if self.asked.open && open::that_detached(&link).is_err() {
            self.terminal.warn("no browser could be opened; the address is above");
        }
        loop {
            // Pages of reference are made one at a time, whenever nothing else is to do.
            let patience = if self.references.is_pending() {
                Some(Duration::ZERO)
            } else if self.desk.is_halfway() {
                Some(SAVING)
            } else if self.ears.unheard().is_empty() {
                None
            } else {
                Some(LOOK)
            };
            let desk = &self.desk;
            match self.ears.listened(patience, |place| desk.matters(place)) {
                Heard::Stir(batch) => self.work(batch, false),
                Heard::Quiet => self.show(false)?,
                Heard::Silence if self.references.is_pending() => self.reference(),
                Heard::Silence if self.desk.is_halfway() => {
                    self.work(Batch::default(), true);
                    self.show(false)?;
                }
                Heard::Silence => {
                    let places = self.desk.files_in(self.ears.unheard()).into_iter().chain(self.ears.unheard().iter().cloned()).collect();
                    self.work(Batch { places, all: false }, false);
                    self.show(false)?;
                }
                Heard::Deaf => return Ok(Status::Errors),
            }
        }
    }

    // Works one round, and as many more as it takes to know of everything that happened before its folders were listened to. Nobody
    // sees anything of it yet.
    fn work(&mut self, batch: Batch, settled: bool) {
        let began = Instant::now();
        let mut due = self.due.take().unwrap_or_default();
        let mut batch = batch;
        for _ in 0..5 {
            due.trouble = match self.desk.round(&batch, settled) {
                Ok(round) => {
                    due.round.join(round);
                    None
                }
                Err(trouble) => Some(trouble),
            };
            let new = self.ears.listen(&self.desk.folders());
            for folder in self.ears.unheard() {
                if self.told.insert(folder.clone()) {
                    let name = folder.strip_prefix(&self.desk.scope.root).ok().filter(|name| !name.as_os_str().is_empty());
                    let name = name.map_or("the project's folder".to_string(), |name| format!("`{}`", name.display()));
                    self.terminal.warn(&format!("the system gives no notice of changes in {name}; it is looked at every second"));
                }
            }
            if new.is_empty() {
                break;
            }
            batch = Batch { places: self.desk.files_in(&new).into_iter().chain(new).collect(), all: false };
        }
        for (name, html) in due.round.worked.iter().filter_map(|path| self.desk.page(path)) {
            self.board.prepare(&name, &html);
        }
        due.took += began.elapsed();
        self.due = Some(due);
    }

    // Shows what was worked since the last time.
    fn show(&mut self, first: bool) -> Result<(), Trouble> {
        let Some(mut due) = self.due.take() else { return Ok(()) };
        if let Some(trouble) = due.trouble {
            if first {
                return Err(trouble);
            }
            self.terminal.trouble(&trouble);
        }
        // What went away and came back within a burst is there.
        due.round.gone.retain(|stem| !self.desk.has(stem));
        self.tell(&due.round, due.took, first)?;
        self.desk.clear_away();
        Ok(())
    }

    // Puts up what the round has made, then writes it, then tells the terminal.
    fn tell(&mut self, round: &Round, worked: Duration, first: bool) -> Result<(), Trouble> {
        let began = Instant::now();
        if round.relinked {
            self.references = References::new(&self.desk);
        } else if !round.worked.is_empty() {
            self.references.want(&self.desk);
        }
        if !first && round.worked.is_empty() && round.gone.is_empty() {
            return Ok(());
        }
        let mut changes: Vec<(String, Option<Shown>)> = round.gone.iter().map(|stem| (format!("{stem}.html"), None)).collect();
        changes.extend(round.worked.iter().filter_map(|path| self.desk.shown(path)).map(|(name, shown)| (name, Some(shown))));
        let index = self.index();
        changes.extend(index.iter().map(|html| ("index.html".to_string(), Some(Shown { html: html.as_str().into(), banner: "".into() }))));
        let generation = self.board.publish(changes, self.references.coming());
        let took = (worked + began.elapsed()).as_secs_f64() * 1e3;

        let finished: Vec<_> = round.worked.iter().filter_map(|path| self.desk.finished(path)).collect();
        let mut what: Vec<String> = round
            .changed
            .iter()
            .filter(|path| !round.gone.iter().any(|gone| gone == stem(path.as_str())))
            .map(|path| path.to_string())
            .collect();
        what.extend(round.gone.iter().map(|stem| format!("{stem} (gone)")));
        what.extend(
            round
                .worked
                .iter()
                .filter(|path| !first && round.changed.is_empty() && !what.contains(&path.to_string()))
                .map(|path| format!("{path} (new)"))
                .collect::<Vec<_>>(),
        );
        let more = what.len().saturating_sub(3);
        what.truncate(3);
        let mut what = if first { "begun".to_string() } else { what.join(", ") };
        if more > 0 {
            what += &format!(" and {more} more");
        }
        let mut tally = Tally::default();
        let of_projects: Vec<&Notice> = finished.iter().flat_map(|one| tally.add(one)).collect();
        let summary = tally.summary();
        self.terminal.say(&crate::faces::terminal::harmless(&format!("{generation}: {what}; {took:.1} ms; {summary}")));
        of_projects.into_iter().for_each(|notice| self.terminal.notices(std::slice::from_ref(notice)));
        for one in &finished {
            report_alone(one, self.terminal);
        }
        self.tell_misnamed();
        self.write_out(round, index.as_deref(), first)
    }

    // Tells once of each file that nobody reads for a slip in its name, for as long as it stands there.
    fn tell_misnamed(&mut self) {
        let disk = &self.desk.disk;
        let found = crate::engine::misnamed(disk, &self.desk.sheets, |folder| disk.names(folder));
        found.iter().filter(|(path, _)| !self.misnamed.contains(path)).for_each(|(_, notices)| self.terminal.notices(notices));
        self.misnamed = found.into_iter().map(|(path, _)| path).collect();
    }

    // The register of a folder, when it has become another.
    fn index(&mut self) -> Option<String> {
        let taken = self.desk.beside.sheets.values().any(|page| page == "index.html");
        if !self.desk.scope.has_folder() || taken {
            return None;
        }
        let made = self.desk.sheets.iter().filter_map(|path| self.desk.finished(path)?.result.as_ref().ok()?.1.as_ref());
        let entries: Vec<IndexEntry> = made.map(|made| made.row.entry.clone()).collect();
        if entries == self.entries && !entries.is_empty() {
            return None;
        }
        let html = output::index(&entries, &self.desk.beside.kinds_index);
        self.entries = entries;
        Some(html)
    }

    fn write_out(&self, round: &Round, index: Option<&str>, first: bool) -> Result<(), Trouble> {
        let Some(out) = &self.asked.out else { return Ok(()) };
        let mut files: Vec<(PathBuf, &[u8])> = Vec::new();
        for path in &round.worked {
            if let Some(Ok((_, Some(made)))) = self.desk.finished(path).map(|finished| &finished.result) {
                let stem = stem(path.as_str());
                files.push((out.join(format!("{stem}.html")), made.html.as_bytes()));
                files.extend(made.json.as_ref().map(|json| (out.join(format!("{stem}.json")), json.as_bytes())));
            }
        }
        files.extend(index.map(|html| (out.join("index.html"), html.as_bytes())));
        match write(&self.desk.disk, &files) {
            Err(trouble) if first => Err(trouble),
            Err(trouble) => {
                self.terminal.trouble(&trouble);
                Ok(())
            }
            Ok(replaced) if replaced > 0 => {
                self.terminal.say(&format!("{} written to {}", count(replaced, "file"), out.display()));
                Ok(())
            }
            Ok(_) => Ok(()),
        }
    }

    fn reference(&mut self) {
        let Some((name, html)) = self.references.make(&self.desk.beside) else { return };
        if let Some(out) = &self.asked.out
            && let Err(trouble) = write(&self.desk.disk, &[(out.join(&name), html.as_bytes())])
        {
            self.terminal.trouble(&trouble);
        }
        self.board.publish(vec![(name, Some(Shown { html: html.into(), banner: "".into() }))], self.references.coming());
    }
}
