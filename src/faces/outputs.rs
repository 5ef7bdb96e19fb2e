//! The files of a build: each written whole as soon as it is made, and none over a document that the build reads.

use crate::faces::Trouble;
use crate::faces::disk::{Disk, Draft, is_same, reason, replace};
use crate::source::SheetPath;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Where a build writes.
#[derive(Debug)]
pub(super) struct Outputs<'d> {
    disk: &'d Disk,
    // The folder of outputs, free of links, and every place below it that a sheet of this build may be written to.
    out: PathBuf,
    planned: BTreeSet<PathBuf>,
    // Where drafts are made; none: beside the place.
    drafts: Option<PathBuf>,
    put: Mutex<Put>,
}

#[derive(Debug, Default)]
struct Put {
    replaced: usize,
    unchanged: usize,
    late: BTreeMap<PathBuf, Draft>,
}

impl<'d> Outputs<'d> {
    /// Makes the folder `out`, so that a place that cannot be written is told before any work is done. The outputs of
    /// sheets are called `names`.
    pub(super) fn open(disk: &'d Disk, out: &Path, names: impl Iterator<Item = String>) -> Result<Self, Trouble> {
        fs::create_dir_all(out).map_err(|error| unwritable(out, &error))?;
        let free = fs::canonicalize(out).map_err(|error| unwritable(out, &error))?;
        let planned = names.map(|name| free.join(name)).collect();
        Ok(Outputs { disk, out: out.to_path_buf(), planned, drafts: None, put: Mutex::default() })
    }

    /// Makes drafts in `folder`, where there is one.
    pub(super) fn drafting_in(mut self, folder: Option<&Path>) -> Self {
        self.drafts = folder.map(Path::to_path_buf);
        self
    }

    /// Where the output `name` stands, as the user would write it.
    pub(super) fn place(&self, name: &str) -> PathBuf {
        self.out.join(name)
    }

    /// What the build reads.
    pub(super) fn disk(&self) -> &Disk {
        self.disk
    }

    /// Refuses to go on where one of the files that were `asked` for is going to be written over.
    pub(super) fn spare<'a>(&self, mut asked: impl Iterator<Item = &'a SheetPath>) -> Result<(), Trouble> {
        match asked.find(|path| self.planned.contains(&self.disk.place(path))) {
            Some(path) => Err(source(Path::new(path.as_str()))),
            None => Ok(()),
        }
    }

    /// Puts `bytes` at `name`. What stands there and was not put there by a build of ours, as `ours` says, might be read by
    /// a document that has not had its turn; it is replaced when all have been read, by [`Outputs::settle`]. Gives whether
    /// the file says `bytes` already.
    pub(super) fn put(&self, name: &str, bytes: &[u8], ours: bool) -> Result<bool, Trouble> {
        let place = self.place(name);
        if is_same(&place, bytes) {
            self.lock().unchanged += 1;
            return Ok(true);
        }
        let draft = || match &self.drafts {
            Some(folder) => Draft::within(folder, bytes),
            None => Draft::beside(&place, bytes),
        };
        self.give(place.clone(), draft, ours)
    }

    /// The same of what `pour` writes piece by piece, which is held nowhere but in its draft.
    pub(super) fn pour(&self, name: &str, pour: impl FnOnce(&mut dyn Write) -> io::Result<()>, ours: bool) -> Result<bool, Trouble> {
        let place = self.place(name);
        let folder = self.drafts.as_deref().unwrap_or(&self.out);
        let draft = Draft::poured(folder, pour).map_err(|error| unwritable(&place, &error))?;
        if draft.is_at(&place) {
            self.lock().unchanged += 1;
            return Ok(true);
        }
        self.give(place, || Ok(draft), ours)
    }

    fn give(&self, place: PathBuf, draft: impl FnOnce() -> io::Result<Draft>, ours: bool) -> Result<bool, Trouble> {
        let failed = |error: io::Error| unwritable(&place, &error);
        if self.disk.is_source(&place) {
            return Err(source(&place));
        }
        // A folder in its place is told at once.
        if ours || fs::symlink_metadata(&place).map_or(true, |facts| facts.is_dir()) {
            draft().and_then(|draft| stand(draft, &place)).map_err(failed)?;
            self.lock().replaced += 1;
            return Ok(true);
        }
        let late = draft().map_err(failed)?;
        self.lock().late.insert(place, late);
        Ok(false)
    }

    /// Counts `more` files that stand as they would be written.
    pub(super) fn stand(&self, more: usize) {
        self.lock().unchanged += more;
    }

    /// Replaces what had to wait, after a look at every place. Gives how many files were written and how many stood.
    pub(super) fn settle(&self) -> Result<(usize, usize), Trouble> {
        let late = std::mem::take(&mut self.lock().late);
        if let Some(place) = late.keys().find(|place| self.disk.is_source(place)) {
            return Err(source(place));
        }
        for (place, draft) in late {
            stand(draft, &place).map_err(|error| unwritable(&place, &error))?;
            self.lock().replaced += 1;
        }
        let put = self.lock();
        Ok((put.replaced, put.unchanged))
    }

    fn lock(&self) -> MutexGuard<'_, Put> {
        // Nothing that could panic is done while it is held.
        self.put.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

// Gives the draft its name. A folder below the outputs may stand on another disk, to which no file is renamed.
fn stand(draft: Draft, place: &Path) -> io::Result<()> {
    if let Some(folder) = place.parent() {
        fs::create_dir_all(folder)?;
    }
    match draft.stand(place) {
        Err((draft, error)) if error.kind() == ErrorKind::CrossesDevices => {
            replace(place, &fs::read(draft.path())?)?;
            Ok(())
        }
        ended => ended.map_err(|(_, error)| error),
    }
}

/// Writes `files`, after a look at every place. Gives how many were replaced.
pub(super) fn write(disk: &Disk, files: &[(PathBuf, &[u8])]) -> Result<usize, Trouble> {
    if let Some((place, _)) = files.iter().find(|(place, _)| disk.is_source(place)) {
        return Err(source(place));
    }
    let mut replaced = 0;
    for (place, bytes) in files {
        replaced += usize::from(replace(place, bytes).map_err(|error| unwritable(place, &error))?);
    }
    Ok(replaced)
}

pub(super) fn unwritable(place: &Path, error: &io::Error) -> Trouble {
    Trouble::new(format!("cannot write `{}`: {}", place.display(), reason(error)))
        .with_help("name a folder after --out that can be written")
}

fn source(place: &Path) -> Trouble {
    Trouble::new(format!("`{}` is a document this build reads; it will not be written over", place.display()))
        .with_help("name another folder after --out")
}
