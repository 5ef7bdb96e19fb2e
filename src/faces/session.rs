//! Runs the compiler over documents one by one, on a thread with room to recurse, and outlives its faults.

use crate::engine::{Engine, Outcome, ProjectFile};
use crate::faces::disk::{Disk, reason};
use crate::sheet::parts::Sheet;
use crate::source::SheetPath;
use indicatif::ProgressBar;
use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Mutex, PoisonError};
use std::thread;

// Twice what a program's first thread usually has; a fixed size gives one limit of nesting on every system.
const STACK: usize = 16 * 1024 * 1024;

/// What came of one document.
#[derive(Debug)]
pub(super) struct Finished<T> {
    /// The document.
    pub(super) path: SheetPath,
    /// What the compiler made of it and what was then made of its sheet (none without a sheet); or, in words, how
    /// the program failed on it.
    pub(super) result: Result<(Outcome, Option<T>), String>,
}

/// Compiles each of `sheets` and makes something of it with `finish`, in order. A fault in one of them costs that
/// one only.
pub(super) fn work<T: Send>(disk: &Disk, sheets: &[SheetPath], bar: &ProgressBar, finish: impl Fn(&Sheet) -> T + Sync) -> Vec<Finished<T>> {
    let all = || {
        let mut engine = Engine::new();
        let mut finished = Vec::with_capacity(sheets.len());
        for path in sheets {
            let result = guarded(|| {
                let outcome = engine.compile(disk, std::slice::from_ref(path)).outcomes.pop();
                let outcome = outcome.ok_or_else(|| "the compiler gave no account of this document".to_string())?;
                let product = outcome.sheet.as_ref().map(&finish);
                Ok((outcome, product))
            });
            if result.is_err() {
                // What it had learnt before it failed is not to be relied on.
                engine = Engine::new();
            }
            finished.push(Finished { path: path.clone(), result: result.and_then(|made| made) });
            bar.inc(1);
        }
        bar.finish_and_clear();
        finished
    };
    spacious(all).unwrap_or_else(|fault| sheets.iter().map(|path| Finished { path: path.clone(), result: Err(fault.clone()) }).collect())
}

/// The project files that count for `finished`, each once, in the order met.
pub(super) fn projects<'f, T: 'f>(finished: impl IntoIterator<Item = &'f Finished<T>>) -> Vec<&'f ProjectFile> {
    let mut found: Vec<&ProjectFile> = Vec::new();
    for project in finished.into_iter().filter_map(|one| Some(one.result.as_ref().ok()?.0.project.as_ref())) {
        if !found.iter().any(|known| known.house.file == project.house.file) {
            found.push(project);
        }
    }
    found
}

/// Runs `task` on a thread with room to recurse and waits for it; in words, why there is no such thread.
pub(super) fn spacious<T: Send>(task: impl FnOnce() -> T + Send) -> Result<T, String> {
    thread::scope(|scope| match thread::Builder::new().name("compiler".to_string()).stack_size(STACK).spawn_scoped(scope, task) {
        Ok(thread) => Ok(thread.join().unwrap_or_else(|fault| std::panic::resume_unwind(fault))),
        Err(error) => Err(format!("no thread could be started: {}", reason(&error))),
    })
}

static LAST_FAULT: Mutex<Option<String>> = Mutex::new(None);

/// Keeps panics from writing to standard error themselves; [`guarded`] says what they had to say.
pub(super) fn quiet_panics() {
    std::panic::set_hook(Box::new(|fault| {
        let message = words(fault.payload());
        // The file's name without its folder: the rest is a path of the machine that built the program.
        let place = fault.location().map(|at| format!(" ({}:{})", at.file().rsplit(['/', '\\']).next().unwrap_or_default(), at.line()));
        *LAST_FAULT.lock().unwrap_or_else(PoisonError::into_inner) = Some(message + &place.unwrap_or_default());
    }));
}

/// Runs `task`; a panic in it becomes an error that says what it was.
pub(super) fn guarded<T>(task: impl FnOnce() -> T) -> Result<T, String> {
    catch_unwind(AssertUnwindSafe(task)).map_err(|payload| {
        let noted = LAST_FAULT.lock().unwrap_or_else(PoisonError::into_inner).take();
        noted.unwrap_or_else(|| words(payload.as_ref()))
    })
}

fn words(payload: &(dyn Any + Send)) -> String {
    let fixed = payload.downcast_ref::<&str>().map(|text| text.to_string());
    fixed.or_else(|| payload.downcast_ref::<String>().cloned()).unwrap_or_else(|| "no reason was given".to_string())
}

#[cfg(test)]
mod tests {
    use super::guarded;

    #[test]
    fn a_fault_is_caught_and_told() {
        let count = std::hint::black_box(3);
        let fault = guarded(|| {
            if count > 2 {
                panic!("{count} sheaves on two pins")
            }
        });
        assert_eq!(fault, Err("3 sheaves on two pins".to_string()));
        assert_eq!(guarded(|| 7), Ok(7));
    }
}
