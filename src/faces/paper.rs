//! Sheets on paper: pages printed to PDF by a Chromium of this machine, which is no part of this program.

use crate::faces::Trouble;
use crate::faces::arguments::Paper;
use crate::faces::disk::{Disk, reason};
use crate::faces::outputs::{unwritable, write};
use crate::faces::tally::count;
use crate::faces::terminal::Terminal;
use crate::output::address;
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::thread;
use std::time::{Duration, Instant};

/// Names the browser where it is not found by itself.
const PROGRAM: &str = "PARBUCKLE_BROWSER";
/// What else the browser is to be told, with blanks between.
const OPTIONS: &str = "PARBUCKLE_BROWSER_OPTIONS";
/// What distributions call the browser.
const NAMES: [&str; 4] = ["chromium", "chromium-browser", "google-chrome", "google-chrome-stable"];
/// A sheet of four thousand pages takes less on a slow machine.
const PATIENCE: Duration = Duration::from_secs(300);

impl Paper {
    /// What a style sheet calls this paper (CSS Paged Media, `size`).
    pub(super) fn size(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::Letter => "letter",
        }
    }
}

/// The pages of a build that wait to be printed, each in a file of its own, so that none has to be held.
#[derive(Debug)]
pub(super) struct Papers {
    folder: tempfile::TempDir,
}

impl Papers {
    /// A place for them beside the outputs.
    pub(super) fn open(out: &Path) -> Result<Papers, Trouble> {
        let folder = tempfile::Builder::new().prefix(".parbuckle-papers-").tempdir_in(out);
        Ok(Papers { folder: folder.map_err(|error| unwritable(out, &error.kind().into()))? })
    }

    /// Keeps `page`, of the sheet with the number `at`.
    pub(super) fn keep(&self, at: usize, page: &str) -> Result<(), Trouble> {
        let place = self.place(at);
        fs::write(&place, page).map_err(|error| unwritable(&place, &error))
    }

    /// Prints each page beside itself, as `sheets` say: number and name. What was printed before a browser failed stands.
    pub(super) fn print(&self, sheets: &[(usize, &String)], out: &Path, disk: &Disk, terminal: &Terminal) -> Result<(), Trouble> {
        let printer = Printer::find(out)?;
        let (bar, mut replaced) = (terminal.progress(sheets.len()), 0);
        for (at, stem) in sheets {
            let place = self.place(*at);
            let page = fs::read_to_string(&place)
                .map_err(|error| Trouble::new(format!("a page that was to be printed cannot be read again: {}", reason(&error))))?;
            let pdf = printer.print(&page)?;
            replaced += write(disk, &[(out.join(format!("{stem}.pdf")), pdf.as_slice())])?;
            bar.inc(1);
        }
        bar.finish_and_clear();
        let unchanged = sheets.len() - replaced;
        let kept = if unchanged > 0 { format!(", {unchanged} unchanged") } else { String::new() };
        terminal.say(&format!("{} printed to {}{kept}", count(replaced, "PDF"), out.display()));
        Ok(())
    }

    fn place(&self, at: usize) -> PathBuf {
        self.folder.path().join(at.to_string())
    }
}

/// A browser that prints.
#[derive(Debug)]
pub(super) struct Printer {
    program: PathBuf,
    // Pages and the browser's own files while it prints. It stands beside the outputs, for a browser that is shut off
    // from the rest of the disk by its packaging.
    scratch: tempfile::TempDir,
}

impl Printer {
    /// The browser that the environment names, else the first that is found along the path.
    pub(super) fn find(out: &Path) -> Result<Printer, Trouble> {
        let program = find_program()?;
        let scratch = fs::canonicalize(out).and_then(|out| tempfile::Builder::new().prefix("printing-").tempdir_in(out));
        // An error of this crate tells the path it tried; what kind of error it was is enough.
        Ok(Printer { program, scratch: scratch.map_err(|error| unwritable(out, &error.kind().into()))? })
    }

    /// The PDF of `page`, the same bytes for the same page from the same browser.
    pub(super) fn print(&self, page: &str) -> Result<Vec<u8>, Trouble> {
        let (html, pdf) = (self.scratch.path().join("sheet.html"), self.scratch.path().join("sheet.pdf"));
        let said = self.scratch.path().join("said");
        let _ = fs::remove_file(&pdf);
        fs::write(&html, page).map_err(|error| unwritable(&html, &error))?;
        let ear = File::create(&said).map_err(|error| unwritable(&said, &error))?;
        let mut child = self.command(&html, &pdf).stderr(ear).spawn().map_err(|error| self.failed(&reason(&error), ""))?;
        let ended = wait(&mut child).map_err(|error| self.failed(&reason(&error), ""))?;
        let words = fs::read(&said).unwrap_or_default();
        let words = String::from_utf8_lossy(&words);
        match (ended, fs::read(&pdf)) {
            (Some(status), Ok(bytes)) if status.success() && bytes.starts_with(b"%PDF-") => Ok(undated(bytes)),
            (Some(status), _) => Err(self.failed(&format!("{status}"), &words)),
            (None, _) => Err(self.failed(&format!("it was stopped after {} seconds", PATIENCE.as_secs()), &words)),
        }
    }

    fn command(&self, html: &Path, pdf: &Path) -> Command {
        let assigned = |name: &str, path: &Path| {
            let mut argument = std::ffi::OsString::from(name);
            argument.push(path);
            argument
        };
        let mut command = Command::new(&self.program);
        command.stdin(Stdio::null()).stdout(Stdio::null());
        command.args(["--headless", "--disable-gpu", "--no-first-run", "--disable-extensions", "--disable-sync"]);
        command.args(["--disable-background-networking", "--disable-component-update", "--disable-dev-shm-usage"]);
        // The second is what older browsers call the first.
        command.args(["--no-pdf-header-footer", "--print-to-pdf-no-header", "--generate-pdf-document-outline"]);
        // It is written into the PDF as its creator; the browser's own would tell of this machine.
        command.arg(format!("--user-agent=parbuckle {}", env!("CARGO_PKG_VERSION")));
        command.arg(assigned("--user-data-dir=", &self.scratch.path().join("profile"))).arg(assigned("--print-to-pdf=", pdf));
        command.args(std::env::var(OPTIONS).unwrap_or_default().split_whitespace());
        let path = html.to_string_lossy().replace('\\', "/");
        command.arg(format!("file://{}{}", if path.starts_with('/') { "" } else { "/" }, address(&path)));
        command
    }

    fn failed(&self, why: &str, words: &str) -> Trouble {
        let name = self.program.file_name().map(Path::new).unwrap_or(&self.program).display();
        let help = match words.lines().rfind(|line| line.to_lowercase().contains("sandbox")) {
            Some(line) => format!(
                "it said: {}; a container, or the user root, often gives it no room for its sandbox: run as another user, or set \
                 {OPTIONS}=--no-sandbox where you trust the sheets",
                line.trim()
            ),
            None => match words.lines().rfind(|line| !line.trim().is_empty()) {
                Some(line) => format!("it said: {}", line.trim()),
                None => format!("name another Chromium in {PROGRAM}"),
            },
        };
        Trouble::new(format!("the browser `{name}` did not print: {why}; the pages are written, and can be printed from any browser"))
            .with_help(help)
    }
}

fn find_program() -> Result<PathBuf, Trouble> {
    if let Some(named) = std::env::var_os(PROGRAM).filter(|named| !named.is_empty()).map(PathBuf::from) {
        if named.is_file() {
            return Ok(named);
        }
        return Err(Trouble::new(format!("no PDF was printed: {PROGRAM} names `{}`, and no program is there", named.display()))
            .with_help("the pages are written, and can be printed from any browser"));
    }
    let path = std::env::var_os("PATH").unwrap_or_default();
    let places = NAMES
        .iter()
        .flat_map(|name| std::env::split_paths(&path).map(move |folder| folder.join(format!("{name}{}", std::env::consts::EXE_SUFFIX))));
    places.into_iter().find(|place| place.is_file()).ok_or_else(|| {
        Trouble::new(format!("no PDF was printed: no Chromium was found (looked along PATH for {})", NAMES.join(", "))).with_help(format!(
            "install Chromium, or name the browser in {PROGRAM}; the pages are written, and can be printed from any browser"
        ))
    })
}

// How the browser ended; none when it did not and was stopped.
fn wait(child: &mut Child) -> std::io::Result<Option<ExitStatus>> {
    let begun = Instant::now();
    loop {
        if let Some(status) = child.try_wait()? {
            return Ok(Some(status));
        }
        if begun.elapsed() > PATIENCE {
            child.kill()?;
            child.wait()?;
            return Ok(None);
        }
        thread::sleep(Duration::from_millis(20));
    }
}

/// Puts blanks over the dates of `pdf` (ISO 32000-1, 14.3.3: both entries may be left out), so that no offset moves.
fn undated(mut pdf: Vec<u8>) -> Vec<u8> {
    for name in [&b"/CreationDate (D:"[..], b"/ModDate (D:"] {
        let Some(start) = pdf.windows(name.len()).position(|window| window == name) else { continue };
        let behind = pdf.iter().skip(start + name.len());
        let date = behind.take_while(|byte| byte.is_ascii_digit() || b"+-Z'".contains(byte)).count();
        let end = start + name.len() + date;
        if pdf.get(end) == Some(&b')') {
            pdf.iter_mut().take(end + 1).skip(start).for_each(|byte| *byte = b' ');
        }
    }
    pdf
}

#[cfg(test)]
mod tests {
    use super::undated;

    #[test]
    fn dates_are_blanked_in_place_and_nothing_else() {
        let dated = "<</Title (a)\n/CreationDate (D:20260314120000+00'00')\n/ModDate (D:20260314120000Z)>>\nendobj";
        let bare = format!("<</Title (a)\n{}\n{}>>\nendobj", " ".repeat(39), " ".repeat(28));
        assert_eq!(String::from_utf8(undated(dated.into())), Ok(bare));
        for other in ["/ModDate (D:2026", "/ModDate (D:20x)", "", "/ModDate"] {
            assert_eq!(undated(other.into()), other.as_bytes());
        }
    }
}
