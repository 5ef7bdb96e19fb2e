//! Standard output and standard error: colour only where it is wanted, a reader who leaves is no fault.

use crate::faces::Trouble;
use crate::faces::arguments::Colour;
use crate::faces::disk::reason;
use crate::output::{self, Style};
use crate::sheet::parts::Notice;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::borrow::Cow;
use std::io::{self, ErrorKind, IsTerminal, Write};

// Fewer documents than this are done before a bar could be read.
const MANY: usize = 20;

// Select Graphic Rendition of ECMA-48: bold, and the first colours, which every terminal maps to something legible.
const COLOUR: Style =
    Style { error: "\x1b[1;31m", warning: "\x1b[1;33m", note: "\x1b[1;36m", strong: "\x1b[1m", quiet: "\x1b[34m", reset: "\x1b[0m" };

/// Where this process writes.
#[derive(Debug)]
pub(super) struct Terminal {
    style: Style,
    silent: bool,
}

impl Terminal {
    /// Decides on colour for standard error; standard output carries data and is never coloured.
    pub(super) fn new(when: Colour) -> Self {
        let unwanted = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let dumb = std::env::var_os("TERM").is_some_and(|value| value == "dumb");
        let colour = match when {
            Colour::Always => true,
            Colour::Never => false,
            Colour::Auto => io::stderr().is_terminal() && !unwanted && !dumb,
        };
        Terminal { style: if colour { COLOUR } else { Style::default() }, silent: false }
    }

    /// One that writes nothing to standard error, for work done on the way to something else.
    pub(super) fn silent(&self) -> Self {
        Terminal { style: self.style, silent: true }
    }

    /// Writes `text` to standard output. A closed pipe ends the writing quietly.
    pub(super) fn print(&self, text: &str) -> Result<(), Trouble> {
        let mut out = io::stdout().lock();
        match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
            Err(error) if error.kind() != ErrorKind::BrokenPipe => {
                Err(Trouble::new(format!("cannot write to standard output: {}", reason(&error))))
            }
            _ => Ok(()),
        }
    }

    /// Writes one line to standard error.
    pub(super) fn say(&self, line: &str) {
        if self.silent {
            return;
        }
        // There is nowhere left to complain when standard error itself is gone.
        let _ = writeln!(io::stderr().lock(), "{line}");
    }

    /// Writes findings to standard error, each followed by an empty line.
    pub(super) fn notices(&self, notices: &[Notice]) {
        for notice in notices {
            self.say(&format!("{}\n", output::notice(notice, self.style).trim_end()));
        }
    }

    /// Says why the command was not carried out.
    pub(super) fn trouble(&self, trouble: &Trouble) {
        self.marked("error", self.style.error, &trouble.what);
        if !trouble.help.is_empty() {
            self.marked("help", self.style.note, &trouble.help);
        }
    }

    /// Says something that the reader should know although the work goes on.
    pub(super) fn warn(&self, what: &str) {
        self.marked("warning", self.style.warning, what);
    }

    /// Owns up to a fault of the program.
    pub(super) fn fault(&self, fault: &str) {
        self.marked("error", self.style.error, &output::fault_words(fault));
        self.marked("help", self.style.note, "please report it, with the document that shows it");
    }

    /// A bar over `count` documents; hidden when there are few or nobody watches.
    pub(super) fn progress(&self, count: usize) -> ProgressBar {
        if self.silent || count <= MANY || !io::stderr().is_terminal() {
            return ProgressBar::hidden();
        }
        let bar = ProgressBar::with_draw_target(Some(count as u64), ProgressDrawTarget::stderr());
        match ProgressStyle::with_template("{bar:30} {pos} of {len} sheets, {eta} to go") {
            Ok(style) => bar.with_style(style),
            Err(_) => bar,
        }
    }

    fn marked(&self, word: &str, hue: &str, text: &str) {
        self.say(&format!("{hue}{word}{}: {}", self.style.reset, harmless(text)));
    }
}

/// `text` with its control characters made visible, so that a file name cannot drive the reader's terminal.
pub(super) fn harmless(text: &str) -> Cow<'_, str> {
    let drives = |c: char| c.is_control() && c != '\n' && c != '\t';
    if text.contains(drives) { text.replace(drives, "\u{fffd}").into() } else { text.into() }
}

#[cfg(test)]
mod tests {
    use super::harmless;

    #[test]
    fn escape_sequences_lose_their_power_and_lines_stay() {
        assert_eq!(harmless("a\x1b[2Jb\n\tc"), "a\u{fffd}[2Jb\n\tc");
        assert_eq!(harmless("as it was"), "as it was");
    }
}
