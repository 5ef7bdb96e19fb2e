//! Whether published pages are what their sources give: everything is built once more, aside, and compared byte for byte.

use crate::faces::arguments::{Build, Looked, Paths};
use crate::faces::disk::reason;
use crate::faces::terminal::Terminal;
use crate::faces::{Status, Trouble, build};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// What was found of published pages.
#[derive(Debug, Default)]
pub(super) struct Rebuilt {
    /// How many files are the same to the byte.
    pub(super) same: usize,
    /// One line a file that is not: `differs`, `missing` or `left over`, and its place below the folder.
    pub(super) lines: Vec<String>,
    /// Printed pages, which only a browser can make again.
    pub(super) printed: usize,
}

/// Builds `paths` aside and compares with what stands in `published`.
pub(super) fn compare(paths: &Paths, looked: Looked, published: &Path, terminal: &Terminal) -> Result<Rebuilt, Trouble> {
    if paths.paths.iter().any(|path| path == Path::new("-")) {
        return Err(
            Trouble::new("standard input can be read once, and `--rebuilds` builds it again").with_help("name the file of the sheet")
        );
    }
    if !published.is_dir() {
        return Err(Trouble::new(format!("`{}` is not a folder", published.display()))
            .with_help("name the folder that the pages were written to, as after `build --out`"));
    }
    let aside = tempfile::tempdir().map_err(|error| Trouble::new(format!("no folder could be made to build in: {}", reason(&error))))?;
    let again = Build::into(paths, looked, aside.path().to_path_buf());
    // What is found in the sheets is told by `check` itself.
    if build::run(&again, &terminal.silent())? == Status::Usage {
        return Err(Trouble::new("the pages could not be built again"));
    }
    let unreadable = |error: io::Error| Trouble::new(format!("cannot read `{}`: {}", published.display(), reason(&error)));
    let (fresh, standing) = (files(aside.path()).map_err(unreadable)?, files(published).map_err(unreadable)?);
    let mut found = Rebuilt::default();
    for (name, place) in &fresh {
        let Some(other) = standing.get(name) else {
            found.lines.push(format!("missing    {name}"));
            continue;
        };
        let (new, old) = (fs::read(place).map_err(unreadable)?, fs::read(other).map_err(unreadable)?);
        if new == old {
            found.same += 1;
        } else {
            found.lines.push(format!("differs    {name}, from line {} on", first_difference(&old, &new)));
        }
    }
    let stems: BTreeSet<&str> = fresh.keys().filter_map(|name| name.strip_suffix(".html")).collect();
    for name in standing.keys().filter(|name| !fresh.contains_key(*name)) {
        if name.strip_suffix(".pdf").is_some_and(|stem| stems.contains(stem)) {
            found.printed += 1;
        } else {
            found.lines.push(format!("left over  {name}"));
        }
    }
    Ok(found)
}

// The line, from 1, where two texts part.
fn first_difference(old: &[u8], new: &[u8]) -> usize {
    let at = old.iter().zip(new).position(|(a, b)| a != b).unwrap_or(old.len().min(new.len()));
    old.iter().take(at).filter(|byte| **byte == b'\n').count() + 1
}

// Every file below `folder` by its name from there; what begins with a dot is nothing published.
fn files(folder: &Path) -> io::Result<BTreeMap<String, PathBuf>> {
    let (mut found, mut open) = (BTreeMap::new(), vec![(String::new(), folder.to_path_buf())]);
    while let Some((prefix, folder)) = open.pop() {
        for entry in fs::read_dir(folder)? {
            let (place, name) = entry.map(|entry| (entry.path(), entry.file_name().to_string_lossy().into_owned()))?;
            if name.starts_with('.') {
                continue;
            }
            let name = format!("{prefix}{name}");
            if place.is_dir() { open.push((format!("{name}/"), place)) } else { drop(found.insert(name, place)) }
        }
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::first_difference;

    #[test]
    fn the_line_where_texts_part_is_found() {
        assert_eq!(first_difference(b"a\nb\nc\n", b"a\nb\nd\n"), 3);
        assert_eq!(first_difference(b"a\n", b"a\nb\n"), 2);
        assert_eq!(first_difference(b"", b"a"), 1);
    }
}
