//! Which documents a command line means, and the folder they are counted from.

use crate::engine::{self, Day, Engine, Unreadable};
use crate::faces::Trouble;
use crate::faces::disk::{Disk, reason};
use crate::faces::session::each;
use crate::house::FILE;
use crate::sheet::parts::Notice;
use crate::source::{SheetPath, Text};
use indicatif::ProgressBar;
use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Component, Path, PathBuf};

/// The name that standard input goes by, in findings and as an output.
const STANDARD_INPUT: &str = "standard-input";

/// The documents to work on.
#[derive(Debug)]
pub(super) struct Project {
    /// Where they are read from.
    pub(super) disk: Disk,
    /// Each once, in the order asked; those of a folder by path.
    pub(super) sheets: Vec<SheetPath>,
    /// Whether a folder was asked for.
    pub(super) has_folder: bool,
    // The folders that were looked into.
    folders: Vec<PathBuf>,
}

#[derive(Debug)]
enum Asked {
    File(PathBuf),
    Folder(PathBuf),
    StandardInput,
}

/// What a command line asked for, before any folder has been looked into.
#[derive(Debug)]
pub(super) struct Scope {
    /// The folder that paths are counted from, free of links.
    pub(super) root: PathBuf,
    asked: Vec<Asked>,
    // The folder of outputs; it need not be there yet.
    skip: Option<PathBuf>,
}

impl Scope {
    /// Settles what `paths` mean, leaving out the folder `skip` inside a folder that was asked for.
    ///
    /// The root is `root`; else the nearest folder with a project file that holds every path; else the current folder when
    /// it does, else the nearest folder that does.
    /// Standard input counts as standing in the current folder.
    pub(super) fn settle(paths: &[PathBuf], root: Option<&Path>, skip: Option<&Path>) -> Result<Scope, Trouble> {
        let asked = paths.iter().map(|path| place(path)).collect::<Result<Vec<_>, _>>()?;
        let root = choose_root(&asked, root)?;
        Ok(Scope { root, asked, skip: skip.map(Path::to_path_buf) })
    }

    /// Whether a folder was asked for.
    pub(super) fn has_folder(&self) -> bool {
        self.asked.iter().any(|one| matches!(one, Asked::Folder(_)))
    }

    /// The documents as they are now: each once, in the order asked; those of a folder by path. The folders that were
    /// looked into are added to `folders`, and `are_sheets` says which of the documents in them are wanted.
    pub(super) fn sheets(
        &self,
        disk: &Disk,
        folders: &mut Vec<PathBuf>,
        are_sheets: impl Fn(&[SheetPath]) -> Vec<bool>,
    ) -> Result<Vec<SheetPath>, Trouble> {
        let skip = self.skip.as_ref().and_then(|skip| fs::canonicalize(skip).ok());
        let (mut sheets, mut known) = (Vec::new(), BTreeSet::new());
        let mut add = |sheet: SheetPath| {
            if known.insert(sheet.clone()) {
                sheets.push(sheet);
            }
        };
        for one in &self.asked {
            match one {
                Asked::StandardInput => {
                    let sheet = SheetPath::new(STANDARD_INPUT);
                    disk.put(&sheet, io::stdin().lock());
                    add(sheet);
                }
                Asked::File(file) => add(sheet_path(&self.root, file)?),
                Asked::Folder(folder) => {
                    let mut found = Vec::new();
                    walk(folder, skip.as_deref(), &mut found, folders)?;
                    let mut below = found.iter().map(|file| sheet_path(&self.root, file)).collect::<Result<Vec<_>, _>>()?;
                    below.sort();
                    let wanted = are_sheets(&below);
                    below.into_iter().zip(wanted).filter(|(_, wanted)| *wanted).for_each(|(sheet, _)| add(sheet));
                }
            }
        }
        Ok(sheets)
    }
}

/// Whether what was read is a sheet. What cannot be read is kept, so that it is reported rather than passed over.
pub(super) fn is_wanted(read: &Result<Text, Unreadable>) -> bool {
    read.as_ref().map_or(true, |text| engine::is_sheet(text.as_str()))
}

impl Project {
    /// Finds the documents of `paths`, as [`Scope`] settles them; there must be at least one. `cores` of them are looked
    /// into at a time.
    pub(super) fn open(paths: &[PathBuf], root: Option<&Path>, skip: Option<&Path>, cores: usize) -> Result<Project, Trouble> {
        let scope = Scope::settle(paths, root, skip)?;
        let disk = Disk::new(scope.root.clone()).standing_still();
        let mut folders = Vec::new();
        let sheets = scope.sheets(&disk, &mut folders, |paths| {
            let mut wanted = Vec::with_capacity(paths.len());
            let look = |_: &mut Engine, path: &SheetPath| is_wanted(&disk.glance(path));
            each(cores, paths, &ProgressBar::hidden(), look, |_, is_wanted| {
                wanted.push(is_wanted.unwrap_or(true));
                true
            });
            wanted
        })?;
        if sheets.is_empty() {
            return Err(Trouble::new("there is no sheet there")
                .with_help("a folder stands for the .md files below it that have a fence beginning ```rig"));
        }
        Ok(Project { disk, sheets, has_folder: scope.has_folder(), folders })
    }
}

impl Project {
    /// The files in the folders that were looked into that stand beside a sheet, or stood beside one. A folder that has gone since
    /// has none.
    pub(super) fn beside(&self) -> Vec<SheetPath> {
        let entries = self.folders.iter().filter_map(|folder| fs::read_dir(folder).ok()).flatten().filter_map(Result::ok);
        let files = entries.filter(|entry| !entry.file_name().as_encoded_bytes().starts_with(b".")).map(|entry| entry.path());
        let mut beside: Vec<SheetPath> = files
            .filter(|path| path.to_str().is_some_and(engine::stands_beside) && path.is_file())
            .filter_map(|path| sheet_path(&self.disk.place(&SheetPath::new("")), &path).ok())
            .collect();
        beside.sort();
        beside.dedup();
        beside
    }

    /// The files that nobody reads for a slip in their name, with what is said of each.
    pub(super) fn misnamed(&self) -> Vec<(SheetPath, Vec<Notice>)> {
        engine::misnamed(&self.disk, &self.sheets, |folder| self.disk.names(folder))
    }

    /// The same documents, looked at on `day`.
    pub(super) fn on(mut self, day: Option<Day>) -> Project {
        self.disk = self.disk.on(day);
        self
    }
}

fn place(path: &Path) -> Result<Asked, Trouble> {
    if path == Path::new("-") {
        return Ok(Asked::StandardInput);
    }
    let failed = |error: io::Error| Trouble::new(format!("cannot open `{}`: {}", path.display(), reason(&error)));
    if fs::metadata(path).map_err(failed)?.is_dir() {
        return fs::canonicalize(path).map(Asked::Folder).map_err(failed);
    }
    // Only the folder is freed of links: a file that is a link out of the project shall be seen to be one.
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let name = path.file_name().unwrap_or_default();
    fs::canonicalize(folder).map(|folder| Asked::File(folder.join(name))).map_err(failed)
}

fn choose_root(asked: &[Asked], root: Option<&Path>) -> Result<PathBuf, Trouble> {
    let folder = |path: &Path| {
        fs::canonicalize(path).map_err(|error| Trouble::new(format!("cannot open the folder `{}`: {}", path.display(), reason(&error))))
    };
    let current = folder(Path::new("."))?;
    let folders: Vec<&Path> = asked
        .iter()
        .map(|one| match one {
            Asked::File(file) => file.parent().unwrap_or(file),
            Asked::Folder(folder) => folder,
            Asked::StandardInput => &current,
        })
        .collect();
    if let Some(root) = root {
        let root = folder(root)?;
        // A sheet on standard input stands in no folder, so it is at home under any root.
        let stray = asked.iter().zip(&folders).any(|(one, folder)| !matches!(one, Asked::StandardInput) && !folder.starts_with(&root));
        return if stray { Err(Trouble::new("a PATH lies outside the folder that --root names")) } else { Ok(root) };
    }
    // The root of the machine is nobody's project: paths counted from there would be paths of the machine.
    let shared = folders.iter().map(|folder| folder.to_path_buf()).reduce(|a, b| in_common(&a, &b)).unwrap_or_else(|| current.clone());
    let housed = shared.ancestors().find(|folder| folder.parent().is_some() && folder.join(FILE).is_file());
    if let Some(housed) = housed.filter(|housed| !housed.starts_with(&current)) {
        return Ok(housed.to_path_buf());
    }
    if current.parent().is_some() && folders.iter().all(|folder| folder.starts_with(&current)) {
        return Ok(current);
    }
    if shared.parent().is_none() && folders.len() > 1 {
        return Err(Trouble::new("the paths have no folder in common").with_help("build them one at a time, or name a folder with --root"));
    }
    Ok(shared)
}

fn in_common(a: &Path, b: &Path) -> PathBuf {
    a.components().zip(b.components()).take_while(|(a, b)| a == b).map(|(part, _)| part).collect()
}

fn sheet_path(root: &Path, file: &Path) -> Result<SheetPath, Trouble> {
    let relative = file.strip_prefix(root).unwrap_or(file);
    let mut parts = Vec::new();
    for part in relative.components() {
        match part {
            Component::Normal(name) => match name.to_str() {
                // A backslash is a separator on some systems; a sheet has one path on all of them.
                Some(name) if !name.contains('\\') => parts.push(name),
                _ => return Err(unnamable(file)),
            },
            _ => return Err(unnamable(file)),
        }
    }
    Ok(SheetPath::new(&parts.join("/")))
}

fn unnamable(file: &Path) -> Trouble {
    Trouble::new(format!("the name of `{}` cannot be used", file.file_name().map(Path::new).unwrap_or(file).display()))
        .with_help("a sheet's name is text in UTF-8 without a backslash")
}

// Linked folders are not followed: they may lead in a circle, or out of the project.
fn walk(folder: &Path, skip: Option<&Path>, found: &mut Vec<PathBuf>, folders: &mut Vec<PathBuf>) -> Result<(), Trouble> {
    let failed = |error: io::Error| {
        let name = folder.file_name().map(Path::new).unwrap_or(folder);
        Trouble::new(format!("cannot list the folder `{}`: {}", name.display(), reason(&error)))
    };
    folders.push(folder.to_path_buf());
    for entry in fs::read_dir(folder).map_err(failed)? {
        let entry = entry.map_err(failed)?;
        let (path, kind) = (entry.path(), entry.file_type().map_err(failed)?);
        if entry.file_name().as_encoded_bytes().starts_with(b".") {
            continue;
        }
        if kind.is_dir() {
            if Some(path.as_path()) != skip {
                walk(&path, skip, found, folders)?;
            }
        } else if path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("md")) && (kind.is_file() || !path.is_dir()) {
            found.push(path);
        }
    }
    Ok(())
}
