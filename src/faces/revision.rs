//! The files of a revision of a git repository, read through git itself; the work tree is not touched.

use crate::engine::{Files, Unreadable};
use crate::faces::Trouble;
use crate::faces::disk::LIMIT;
use crate::source::{SheetPath, Text};
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Arc;

/// One revision. Paths count from the top of the repository.
#[derive(Debug)]
pub(super) struct Revision {
    // The object name that the revision stood for when it was asked for.
    commit: String,
}

impl Revision {
    /// The revision that `name` stands for in the repository of the current folder, and the path of that folder in it,
    /// with `/` at its end; empty at its top.
    pub(super) fn open(name: &str) -> Result<(Revision, String), Trouble> {
        let asked = format!("{name}^{{commit}}");
        // What begins with a dash would be read as an option.
        let commit = git(&["rev-parse", "--verify", "--quiet", "--end-of-options", &asked]).map_err(|why| {
            Trouble::new(format!("git knows no revision `{name}` here{}", if why.is_empty() { String::new() } else { format!(" ({why})") }))
                .with_help("write REVISION:PATH, as `HEAD~1:sheets`, from inside the repository")
        })?;
        let prefix = git(&["rev-parse", "--show-prefix"]).map_err(|why| Trouble::new(format!("git says nothing of this folder: {why}")))?;
        let text = |bytes: Vec<u8>| String::from_utf8_lossy(&bytes).trim_end_matches('\n').to_string();
        Ok((Revision { commit: text(commit) }, text(prefix)))
    }

    /// The files below `folder` whose names end in `.md`, or `folder` itself when it is a file; by path.
    pub(super) fn list(&self, folder: &str) -> Result<Vec<SheetPath>, Trouble> {
        let mut asked = vec!["ls-tree", "-r", "-z", "--name-only", "--full-tree", self.commit.as_str()];
        if !folder.is_empty() {
            asked.extend(["--", folder]);
        }
        let listed = git(&asked).map_err(|why| Trouble::new(format!("git cannot list `{folder}`: {why}")))?;
        let names = listed.split(|byte| *byte == 0).filter_map(|name| std::str::from_utf8(name).ok());
        Ok(names.filter(|name| name.to_ascii_lowercase().ends_with(".md")).map(SheetPath::new).collect())
    }
}

impl Files for Revision {
    fn read(&self, path: &SheetPath) -> Result<Text, Unreadable> {
        let text = self.read_bytes(path)?;
        match std::str::from_utf8(&text) {
            Ok(text) => Ok(Text::new(text.strip_prefix('\u{feff}').unwrap_or(text))),
            Err(error) => Err(Unreadable::NotText { at: error.valid_up_to() }),
        }
    }

    fn read_bytes(&self, path: &SheetPath) -> Result<Arc<[u8]>, Unreadable> {
        let object = format!("{}:{path}", self.commit);
        let size = git(&["cat-file", "-s", &object]).map_err(|_| Unreadable::Missing)?;
        let bytes = String::from_utf8_lossy(&size).trim().parse().unwrap_or(0);
        if bytes > LIMIT {
            return Err(Unreadable::TooLarge { bytes, limit: LIMIT });
        }
        git(&["cat-file", "blob", &object]).map(Arc::from).map_err(|_| Unreadable::Missing)
    }
}

/// `REVISION:PATH` taken apart; none for what is on the disk, or has no such form.
pub(super) fn taken_apart(written: &Path) -> Option<(&str, &str)> {
    if written.exists() {
        return None;
    }
    // A single letter before the colon is a drive of some systems.
    written.to_str()?.split_once(':').filter(|(revision, _)| revision.len() > 1)
}

// What git prints, or why it would not, in its own words.
fn git(arguments: &[&str]) -> Result<Vec<u8>, String> {
    let ran = Command::new("git").args(arguments).stdin(Stdio::null()).output().map_err(|_| "git itself is not there".to_string())?;
    if ran.status.success() {
        return Ok(ran.stdout);
    }
    let said = String::from_utf8_lossy(&ran.stderr);
    Err(said.lines().next().unwrap_or("").trim_start_matches("fatal: ").to_string())
}
