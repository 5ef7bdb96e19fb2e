//! `sign`: one signature more in the record beside a sheet, or a message that says why not.

use crate::engine::Engine;
use crate::faces::arguments::{Role, Sign};
use crate::faces::disk::{reason, replace};
use crate::faces::project::Project;
use crate::faces::session::{guarded, spacious};
use crate::faces::terminal::Terminal;
use crate::faces::{Status, Trouble};
use crate::sheet::{Act, Ask};
use std::fs;
use std::io;
use std::path::Path;

/// Signs the sheet that is asked for. The record is replaced whole, or left alone.
pub(super) fn run(asked: &Sign, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.file == Path::new("-") {
        return Err(Trouble::new("standard input has no record beside it").with_help("name the file of the sheet"));
    }
    if asked.file.is_dir() {
        return Err(Trouble::new(format!("`{}` is a folder, and a signature is of one sheet", asked.file.display()))
            .with_help("name the file of the sheet"));
    }
    let project = Project::open(std::slice::from_ref(&asked.file), asked.root.as_deref(), None, 1)?;
    let Some(path) = project.sheets.first() else { return Err(Trouble::new("there is no sheet there")) };
    let ask = ask(asked);
    let worked = spacious(|| guarded(|| Engine::new().sign(&project.disk, path, &ask)));
    let (sheet, place, signed) = match worked.and_then(|worked| worked) {
        Ok(Ok(worked)) => worked,
        Ok(Err(notices)) => {
            terminal.notices(&notices);
            return Ok(Status::Errors);
        }
        Err(fault) => {
            terminal.fault(&format!("{fault}, in `{path}`"));
            return Ok(Status::Errors);
        }
    };
    let text = match signed {
        Ok(Some(text)) => text,
        Ok(None) => {
            terminal.say(&format!("`{path}` is signed so already; nothing was written"));
            return Ok(Status::Clean);
        }
        Err(refusal) => {
            let errors: Vec<_> = sheet.notices.iter().filter(|notice| notice.severity == "error").cloned().collect();
            terminal.notices(&errors);
            return Err(Trouble::new(format!("`{path}` is not signed: {}", refusal.what)).with_help(refusal.help));
        }
    };
    let unwritable = |error: io::Error| Trouble::new(format!("cannot write `{place}`: {}", reason(&error)));
    // A record that is a link is written where it really is.
    let written = project.disk.place(&place);
    let written = if written.exists() { fs::canonicalize(&written).map_err(unwritable)? } else { written };
    replace(&written, text.as_bytes()).map_err(unwritable)?;
    let done = match ask.act {
        Act::Void => "is void from now on".to_string(),
        Act::Superseded => format!("is superseded by {}", ask.meaning),
        act => format!("is signed by {} as {}", ask.name, act.word()),
    };
    terminal.say(&format!("`{path}` {done}, on {}; the record is `{place}`", ask.date));
    terminal.say(&format!("digest of the calculation {}, of the text {}", sheet.record.calculation, sheet.record.telling));
    Ok(Status::Clean)
}

fn ask(asked: &Sign) -> Ask {
    let (act, meaning) = match (&asked.void, &asked.superseded_by, asked.role) {
        (Some(why), ..) => (Act::Void, why),
        (None, Some(by), _) => (Act::Superseded, by),
        (None, None, Some(Role::Checker)) => (Act::Checker, &asked.meaning),
        (None, None, Some(Role::Approver)) => (Act::Approver, &asked.meaning),
        (None, None, Some(Role::Originator) | None) => (Act::Originator, &asked.meaning),
    };
    let date = asked.date.clone().unwrap_or_else(|| chrono::Local::now().format("%Y-%m-%d").to_string());
    Ask { act, name: asked.name.clone(), meaning: meaning.clone(), date }
}
