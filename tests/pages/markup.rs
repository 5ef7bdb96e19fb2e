//! Markup: every page through the checker of the living HTML standard, without an error.

use super::{built, none, pages};
use crate::support::checkers;
use serde_json::Value;
use std::process::Command;

/// What `checker` says of `files` that is an error.
pub(super) fn errors(files: &[std::path::PathBuf]) -> Option<Vec<String>> {
    let (java, checker) = checkers::markup_checker()?;
    let ran = Command::new(java).arg("-jar").arg(checker).args(["--format", "json", "--exit-zero-always"]).args(files).output();
    let said = ran.unwrap_or_else(|error| panic!("the checker of markup starts: {error}")).stderr;
    let said: Value = serde_json::from_slice(&said).unwrap_or_else(|error| panic!("{error}: {}", String::from_utf8_lossy(&said)));
    let messages = said["messages"].as_array().cloned().unwrap_or_default();
    // Anything but a remark: an error, or that a file could not be checked at all.
    let faults = messages.iter().filter(|message| message["type"] != "info");
    let told = |fault: &Value| {
        let file = fault["url"].as_str().and_then(|url| url.rsplit('/').next()).unwrap_or_default();
        format!("{file}:{}: {} in {}", fault["lastLine"], fault["message"], fault["extract"])
    };
    Some(faults.map(told).collect())
}

#[test]
fn the_markup_of_every_page_is_valid() {
    if let Some(errors) = errors(&pages(built())) {
        none(&errors);
    }
}

#[test]
fn the_checker_of_markup_finds_what_is_wrong() {
    let wrong = tempfile::Builder::new().suffix(".html").tempfile_in(env!("CARGO_TARGET_TMPDIR")).expect("a file");
    std::fs::write(wrong.path(), "<!DOCTYPE html><html lang=en><head><title>t</title></head><body><p id=a><p id=a><tr></body></html>")
        .expect("written");
    if let Some(errors) = errors(&[wrong.path().to_path_buf()]) {
        assert!(errors.iter().any(|error| error.contains("Duplicate ID")), "{errors:?}");
    }
}
