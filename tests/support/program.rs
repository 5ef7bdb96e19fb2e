//! The real program, run in a folder of its own.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// How a run ended.
pub struct Ran {
    pub status: i32,
    pub out: String,
    pub err: String,
}

impl Ran {
    /// A document at fault must never be answered by a fault of the program.
    pub fn without_fault(self) -> Self {
        assert!(!self.err.contains("fault of the program") && !self.err.contains("panicked"), "{}", self.err);
        self
    }
}

/// The program, to be started in `folder`.
pub fn program(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_parbuckle"));
    command.current_dir(folder).env_remove("NO_COLOR").stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

/// Runs it to its end.
pub fn run(folder: &Path, arguments: &[&str]) -> Ran {
    finish(program(folder).args(arguments), b"")
}

/// Runs `command` to its end with `input` to read.
pub fn finish(command: &mut Command, input: &[u8]) -> Ran {
    let mut child = command.stdin(Stdio::piped()).spawn().expect("the program starts");
    // The program may stop reading early, when the input is too long for it.
    let _ = child.stdin.take().expect("a pipe was asked for").write_all(input);
    let output = child.wait_with_output().expect("the program ends");
    Ran {
        status: output.status.code().expect("the program was not killed"),
        out: String::from_utf8(output.stdout).expect("standard output is text"),
        err: String::from_utf8(output.stderr).expect("standard error is text"),
    }
}

/// A folder that goes away by itself.
pub fn folder() -> TempDir {
    tempfile::tempdir().expect("a temporary folder")
}

/// Writes a file below `folder`, and the folders it needs.
pub fn put(folder: &Path, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
    let path = folder.join(name);
    fs::create_dir_all(path.parent().expect("a folder")).expect("the folder is made");
    fs::write(&path, bytes).expect("the file is written");
    path
}

/// The text of a file.
pub fn read(path: impl AsRef<Path>) -> String {
    fs::read_to_string(path.as_ref()).unwrap_or_else(|error| panic!("{}: {error}", path.as_ref().display()))
}
