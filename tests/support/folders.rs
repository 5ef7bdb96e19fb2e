//! Finding the files of this project from the tests.

use std::path::{Path, PathBuf};

/// The folder that holds `Cargo.toml`.
pub fn project() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Every file under `folder` whose name ends in `.ending`, in order of path.
pub fn files_under(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    gather(folder, ending, &mut found);
    found.sort();
    found
}

fn gather(folder: &Path, ending: &str, found: &mut Vec<PathBuf>) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            gather(&path, ending, found);
        } else if path.extension().is_some_and(|extension| extension == ending) {
            found.push(path);
        }
    }
}

/// `path` as seen from the project's folder, with `/`.
pub fn relative(path: &Path) -> String {
    path.strip_prefix(project()).unwrap_or(path).to_string_lossy().replace('\\', "/")
}

/// The text of `path`; a test that cannot read its own files fails there.
pub fn text_of(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display())).replace("\r\n", "\n")
}

/// Whether marks and tables are to be rewritten instead of compared.
pub fn updating() -> bool {
    std::env::var("UPDATE").is_ok_and(|value| value == "1")
}
