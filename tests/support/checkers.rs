//! The programs that look at our pages: a browser, a reader of PDF, a checker of markup, a checker of access.
//! Where one is not installed, its tests are left out and say so; with `PAGE_TESTS=required`, as in the gate, they fail.

use crate::support::folders;
use std::path::{Path, PathBuf};

const VARIABLE: &str = "PAGE_TESTS";

/// The first of `places` that is there.
fn found(what: &str, places: impl IntoIterator<Item = PathBuf>) -> Option<PathBuf> {
    let place = places.into_iter().find(|place| place.is_file());
    if place.is_none() {
        let required = std::env::var(VARIABLE).is_ok_and(|value| value == "required");
        assert!(!required, "{what} is not installed, and {VARIABLE} says that it must be (see .ci/run)");
        // Written past the capture of tests that pass, so that a test left out never looks like one that held.
        let _ = std::io::Write::write_all(&mut std::io::stderr(), format!("LEFT OUT: {what} is not installed\n").as_bytes());
    }
    place
}

fn on_path(names: &[&str]) -> Vec<PathBuf> {
    let path = std::env::var_os("PATH").unwrap_or_default();
    names.iter().flat_map(|name| std::env::split_paths(&path).map(move |folder| folder.join(name))).collect()
}

fn fetched(name: &str) -> [PathBuf; 1] {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR")).parent().unwrap_or(Path::new("target"));
    [target.join("checkers/node_modules").join(name)]
}

/// A Chromium.
pub fn chromium() -> Option<PathBuf> {
    let named = std::env::var_os("PARBUCKLE_BROWSER").map(PathBuf::from);
    let installed = on_path(&["chromium", "chromium-browser", "google-chrome", "google-chrome-stable"]);
    // The pipes are handed over by a shell.
    found("a Chromium browser", named.into_iter().chain(installed).filter(|_| cfg!(unix)))
}

/// The program that gives the text of a PDF.
pub fn pdf_reader() -> Option<PathBuf> {
    found("pdftotext (poppler)", on_path(&["pdftotext"]))
}

/// The checker of access, as a script.
pub fn access_checker() -> Option<String> {
    found("the accessibility checker axe-core", fetched("axe-core/axe.min.js")).map(|place| folders::text_of(&place))
}

/// Java, and the checker of markup that runs on it.
pub fn markup_checker() -> Option<(PathBuf, PathBuf)> {
    let java = found("Java", on_path(&["java"]));
    let checker = found("the HTML checker vnu", fetched("vnu-jar/build/dist/vnu.jar"));
    java.zip(checker)
}
