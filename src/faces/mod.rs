//! The command line: arguments in, sheets and messages out, and an exit status that a script can act on.
//!
//! *Takes and gives*: the arguments of the process and the files they name; files, text and an exit status.
//! *Never*: knows a unit, a machine or the grammar; words a finding; opens the network, but for `watch`, which answers this machine alone.
//! *To add*: a command is a file here, a variant in `arguments.rs` and an arm in [`run`].

mod accept;
mod arguments;
mod build;
mod check;
mod compare;
mod copies;
mod disk;
mod explain;
mod format;
mod impact;
mod new;
mod outputs;
mod paper;
mod project;
mod rebuilds;
mod revision;
mod session;
mod show;
mod sign;
mod stowed;
mod tally;
mod terminal;
#[cfg(feature = "watch")]
mod watch;

use crate::faces::arguments::{Arguments, Command};
use crate::faces::terminal::Terminal;
use clap::Parser;
use std::ffi::OsString;
use std::process::ExitCode;

/// How a command ended. The numbers are the exit status of the process.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Status {
    /// Nothing to report.
    Clean = 0,
    /// A document has errors, or the program itself failed on it.
    Errors = 1,
    /// The command could not be carried out as asked.
    Usage = 2,
    /// A check is not accepted by the decision rule of its sheet.
    Check = 3,
    /// A check is not evaluated, or an assumption open, where the project file refuses it.
    Refused = 4,
    /// A sheet is without the sign-off that the project file demands.
    Unsigned = 5,
    /// Results moved from the accepted ones by more than the tolerance.
    Moved = 6,
    /// Published pages are not what their sources give.
    Pages = 7,
}

/// Why a command could not be carried out, in the words its user will read.
#[derive(Debug)]
struct Trouble {
    // One sentence, lower case, no full stop.
    what: String,
    // What to do about it; perhaps empty.
    help: String,
}

impl Trouble {
    fn new(what: impl Into<String>) -> Self {
        Trouble { what: what.into(), help: String::new() }
    }

    fn with_help(mut self, help: impl Into<String>) -> Self {
        self.help = help.into();
        self
    }
}

/// Carries out one command line; `arguments` begins with the name of the program.
///
/// Exit status: 0 clean, 1 a document has errors, 2 usage, 3 a check is not accepted by its decision rule, 6 results moved
/// from the accepted ones, 7 published pages do not match their sources.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(answer) => {
            // Help and version come this way too; a reader who has gone away is no fault.
            let _ = answer.print();
            return ExitCode::from(u8::try_from(answer.exit_code()).unwrap_or(Status::Usage as u8));
        }
    };
    session::quiet_panics();
    let terminal = Terminal::new(arguments.colour);
    let ended = session::guarded(|| match &arguments.command {
        Command::Build(asked) => match asked.purpose {
            Some(purpose) => copies::run(asked, purpose, &terminal),
            None => build::run(asked, &terminal),
        },
        #[cfg(feature = "watch")]
        Command::Watch(asked) => watch::run(asked, &terminal),
        Command::Check(asked) => check::run(asked, &terminal),
        Command::Accept(asked) => accept::run(asked, &terminal),
        Command::Show(asked) => show::run(asked, &terminal),
        Command::Explain(asked) => explain::run(asked, &terminal),
        Command::Compare(asked) => compare::run(asked, &terminal),
        Command::Format(asked) => format::run(asked, &terminal),
        Command::Sign(asked) => sign::run(asked, &terminal),
        Command::New(asked) => new::run(asked, &terminal),
    });
    let status = match ended {
        Ok(Ok(status)) => status,
        Ok(Err(trouble)) => {
            terminal.trouble(&trouble);
            Status::Usage
        }
        Err(fault) => {
            terminal.fault(&fault);
            Status::Errors
        }
    };
    ExitCode::from(status as u8)
}
