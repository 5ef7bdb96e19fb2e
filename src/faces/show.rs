//! `show`: one sheet as plain text, or the budgets that are asked for.

use crate::diagnostics::nearest;
use crate::engine::Engine;
use crate::faces::arguments::{self, Show};
use crate::faces::build::{report, tell_misnamed};
use crate::faces::project::Project;
use crate::faces::session::{Finished, compiled, each};
use crate::faces::tally::Tally;
use crate::faces::terminal::{Terminal, harmless};
use crate::faces::{Status, Trouble};
use crate::output;
use crate::sheet::parts::Sheet;
use crate::sheet::{BudgetsAsked, item_of};
use crate::source::SheetPath;

/// The word that stands for every value.
const EVERY: &str = "every";

/// Prints the sheet, or its budgets, to standard output and its findings to standard error.
pub(super) fn run(asked: &Show, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.file.is_dir() {
        return Err(
            Trouble::new(format!("`{}` is a folder", asked.file.display())).with_help("`show` prints one sheet; `build` takes folders")
        );
    }
    let project = Project::open(std::slice::from_ref(&asked.file), asked.root.as_deref(), None, 1)?.on(asked.looked.on);
    let budgets = match asked.budget.as_slice() {
        [] => BudgetsAsked::None,
        names if names.iter().any(|name| name == EVERY) => BudgetsAsked::Every,
        names => BudgetsAsked::Named(names.to_vec()),
    };
    let read = |text: String| harmless(&text).into_owned();
    let printed = |sheet: &Sheet| match (&budgets, asked.table) {
        // Data is given as it is; what is laid out for reading must not drive the reader's terminal.
        (_, Some(which)) => Ok(output::table(sheet, table(which))),
        (BudgetsAsked::None, None) => Ok(read(output::text(sheet))),
        (BudgetsAsked::Named(names), None) => {
            names.iter().try_for_each(|name| known(sheet, name)).map(|()| read(output::budgets_text(sheet)))
        }
        (BudgetsAsked::Every, None) => Ok(read(output::budgets_text(sheet))),
    };
    let make = |engine: &mut Engine, path: &SheetPath| {
        engine.make(asked.brief.into());
        *engine = std::mem::take(engine).with_budgets(budgets.clone());
        compiled(engine, &project.disk, path, printed)
    };
    let (mut tally, mut ended) = (Tally::default(), Ok(()));
    each(1, &project.sheets, &terminal.progress(1), make, |at, result| {
        let Some(path) = project.sheets.get(at) else { return true };
        let one = Finished { path: path.clone(), result: result.and_then(|made| made) };
        report(&one, &mut tally, terminal);
        match &one.result {
            Ok((_, Some(Ok(text)))) => ended = terminal.print(text),
            Ok((_, Some(Err((what, help))))) => ended = Err(Trouble::new(what.clone()).with_help(help.clone())),
            _ => {}
        }
        true
    });
    ended?;
    tell_misnamed(&project, &mut tally, terminal);
    Ok(tally.status_of_writing())
}

// Whether a value goes by that name, and has the item asked for; else what is wrong, and what may have been meant.
fn known(sheet: &Sheet, name: &str) -> Result<(), (String, String)> {
    let (base, item) = item_of(name);
    let names = || sheet.values.iter().map(|value| value.name.as_str());
    let Some(value) = sheet.values.iter().find(|value| value.name == base) else {
        let near = nearest(base, names());
        let help = match near.as_slice() {
            [] => "`show` without `--budget` prints every value with its name, `--budget every` every budget".to_string(),
            near => format!("near it are `{}`", near.join("`, `")),
        };
        return Err((format!("no value of this sheet is called `{base}`"), help));
    };
    let Some(item) = item else { return Ok(()) };
    match (value.items.len(), &value.figure) {
        (0, Some(_)) => Err((format!("`{base}` is one value, not a list"), format!("ask for `--budget {base}`"))),
        (count, _) if item == 0 || item > count => {
            Err((format!("`{base}` has no item {item}"), format!("its items are counted from 1 to {count}")))
        }
        _ => Ok(()),
    }
}

fn table(which: arguments::Table) -> output::Table {
    match which {
        arguments::Table::Results => output::Table::Results,
        arguments::Table::Inputs => output::Table::Inputs,
        arguments::Table::Checks => output::Table::Checks,
        arguments::Table::Gear => output::Table::Gear,
    }
}
