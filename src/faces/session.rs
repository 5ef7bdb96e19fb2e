//! Runs the compiler over documents, on threads with room to recurse, and outlives its faults. What comes of them is told
//! in their order, on however many cores they were worked.

use crate::engine::{Day, Engine, Files, Outcome, Unreadable};
use crate::faces::disk::{Disk, reason};
use crate::faces::tally::Tally;
use crate::house::Demands;
use crate::sheet::Detail;
use crate::sheet::parts::{Notice, Sheet};
use crate::source::{SheetPath, Text};
use indicatif::ProgressBar;
use rayon::ThreadPoolBuilder;
use rayon::iter::{ParallelBridge, ParallelIterator};
use serde::{Deserialize, Serialize};
use std::any::Any;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::num::NonZeroUsize;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc;
use std::thread;
use std::time::{Duration, Instant};

// Twice what a program's first thread usually has; a fixed size gives one limit of nesting on every system.
const STACK: usize = 16 * 1024 * 1024;
// What is ready within this time is handed on together: of thousands of unchanged sheets, waking whoever listens for each would cost
// as much as looking at it.
const TOGETHER: Duration = Duration::from_millis(2);

/// What came of one document.
#[derive(Debug)]
pub(super) struct Finished<T> {
    /// The document.
    pub(super) path: SheetPath,
    /// What is told of it and what was made of its sheet (none without a sheet); or, in words, how the program failed on it.
    pub(super) result: Result<(Account, Option<T>), String>,
}

/// What is told of one document when its sheet is no longer at hand.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Account {
    /// Its findings, in order of place.
    pub(super) notices: Vec<Notice>,
    /// The count of them and of its verdicts.
    pub(super) tally: Tally,
    /// The project file that counts for it, and what was found there; empty without one.
    pub(super) project: String,
    pub(super) project_notices: Vec<Notice>,
    /// By how much the project file lets a result differ from an accepted one.
    pub(super) tolerance: Option<f64>,
    /// What the project file demands; for who tells it, and no part of a record.
    #[serde(skip)]
    pub(super) demands: Demands,
}

/// Of how many documents the engine of a batch keeps what it has worked: enough for the files that several of them use.
const KEPT: usize = 2;

impl Account {
    /// What is told of `outcome`.
    pub(super) fn of(outcome: Outcome) -> Account {
        let tally = Tally::of_outcome(&outcome);
        let project = outcome.project.house.file.as_ref().map(ToString::to_string).unwrap_or_default();
        Account {
            notices: outcome.notices,
            tally,
            project,
            project_notices: outcome.project.notices.clone(),
            tolerance: outcome.project.house.tolerance,
            demands: outcome.project.house.demands,
        }
    }

    /// Tells `more` as well.
    pub(super) fn tell(&mut self, more: &mut Vec<Notice>) {
        self.tally.add_notices(more);
        self.notices.append(more);
    }
}

/// How many documents are worked at a time: `asked`, else as many as the machine has cores for this process.
pub(super) fn cores(asked: Option<NonZeroUsize>) -> usize {
    asked.or_else(|| thread::available_parallelism().ok()).map_or(1, NonZeroUsize::get)
}

/// Compiles `path` and makes something of its sheet with `finish`, and keeps of the rest what is told.
pub(super) fn compiled<T>(
    engine: &mut Engine,
    files: &dyn Files,
    path: &SheetPath,
    finish: impl FnOnce(&Sheet) -> T,
) -> Result<(Account, Option<T>), String> {
    let outcome = engine.compile(files, std::slice::from_ref(path)).outcomes.pop();
    let outcome = outcome.ok_or_else(|| "the compiler gave no account of this document".to_string())?;
    let product = outcome.sheet.as_deref().map(finish);
    Ok((Account::of(outcome), product))
}

/// Compiles each of `sheets` on `cores` cores, `detail` of each, makes something of it with `finish`, and hands it to `tell`, in order. A
/// fault in one of them costs that one only.
pub(super) fn work<T: Send>(
    (cores, detail): (usize, Detail),
    disk: &Disk,
    sheets: &[SheetPath],
    bar: &ProgressBar,
    finish: impl Fn(&Sheet) -> T + Sync,
    mut tell: impl FnMut(Finished<T>),
) {
    let make = |engine: &mut Engine, path: &SheetPath| {
        engine.make(detail);
        let noting = Noting::new(disk);
        let made = compiled(engine, &noting, path, &finish);
        disk.release(path, noting.asked().paths());
        made
    };
    each(cores, sheets, bar, make, |at, result| {
        if let Some(path) = sheets.get(at) {
            tell(Finished { path: path.clone(), result: result.and_then(|made| made) });
        }
        true
    });
}

/// Does `make` for each of `jobs`, on `cores` threads with room to recurse, each with an engine of its own, and hands what
/// comes of it to `tell` in the order of the jobs, as soon as it can be. A fault costs one job; when `tell` answers false,
/// no further job is begun and none is told.
pub(super) fn each<J: Sync, T: Send>(
    cores: usize,
    jobs: &[J],
    bar: &ProgressBar,
    make: impl Fn(&mut Engine, &J) -> T + Sync,
    mut tell: impl FnMut(usize, Result<T, String>) -> bool,
) {
    let workers = cores.clamp(1, jobs.len().max(1));
    let built = ThreadPoolBuilder::new().num_threads(workers).stack_size(STACK).thread_name(|at| format!("compiler {at}")).build();
    let pool = match built {
        Ok(pool) => pool,
        Err(error) => {
            (0..jobs.len()).all(|at| tell(at, Err(format!("no thread could be started: {error}"))));
            return;
        }
    };
    let stopped = AtomicBool::new(false);
    let (done, arrived) = mpsc::channel();
    pool.in_place_scope(|scope| {
        let (make, stopped) = (&make, &stopped);
        scope.spawn(move |_| {
            let bench = || Bench { engine: Engine::keeping(KEPT), ready: Vec::new(), sent: Instant::now(), done: done.clone() };
            jobs.iter().enumerate().par_bridge().for_each_init(bench, |bench, (at, job)| {
                if !stopped.load(Ordering::Relaxed) {
                    bench.work(at, |engine| make(engine, job));
                }
            });
        });
        // What is ready before its turn waits here; jobs begin in order, so that is little.
        let mut early: BTreeMap<usize, Result<T, String>> = BTreeMap::new();
        let mut next = 0;
        for (at, result) in arrived.into_iter().flatten() {
            bar.inc(1);
            early.insert(at, result);
            while let Some(result) = early.remove(&next) {
                next += 1;
                if !stopped.load(Ordering::Relaxed) && !tell(next - 1, result) {
                    stopped.store(true, Ordering::Relaxed);
                }
            }
        }
    });
    bar.finish_and_clear();
}

/// Where one thread works, with an engine of its own.
struct Bench<T> {
    engine: Engine,
    // What is done and not yet handed on.
    ready: Vec<(usize, Result<T, String>)>,
    sent: Instant,
    done: mpsc::Sender<Vec<(usize, Result<T, String>)>>,
}

impl<T> Bench<T> {
    fn work(&mut self, at: usize, make: impl FnOnce(&mut Engine) -> T) {
        let result = guarded(|| make(&mut self.engine));
        if result.is_err() {
            // What it had learnt before it failed is not to be relied on.
            self.engine = Engine::keeping(KEPT);
        }
        self.ready.push((at, result));
        if self.sent.elapsed() >= TOGETHER {
            self.hand_on();
        }
    }

    fn hand_on(&mut self) {
        // Whoever listened may have been told enough.
        let _ = self.done.send(std::mem::take(&mut self.ready));
        self.sent = Instant::now();
    }
}

impl<T> Drop for Bench<T> {
    fn drop(&mut self) {
        self.hand_on();
    }
}

/// What one compilation asked for and what was read of it, files that are missing among them.
#[derive(Debug, Default)]
pub(super) struct Asked {
    pub(super) texts: BTreeMap<SheetPath, Result<Text, Unreadable>>,
    pub(super) pictures: BTreeMap<SheetPath, Result<Arc<[u8]>, Unreadable>>,
}

impl Asked {
    /// Every file of it.
    pub(super) fn paths(&self) -> impl Iterator<Item = &SheetPath> {
        self.texts.keys().chain(self.pictures.keys())
    }
}

/// The documents as one compilation sees them; it notes which it asked for.
#[derive(Debug)]
pub(super) struct Noting<'d> {
    disk: &'d Disk,
    asked: RefCell<Asked>,
}

impl<'d> Noting<'d> {
    /// Nothing asked for yet.
    pub(super) fn new(disk: &'d Disk) -> Self {
        Noting { disk, asked: RefCell::default() }
    }

    /// All that was asked for.
    pub(super) fn asked(self) -> Asked {
        self.asked.into_inner()
    }
}

impl Files for Noting<'_> {
    fn read(&self, path: &SheetPath) -> Result<Text, Unreadable> {
        let read = self.disk.read(path);
        self.asked.borrow_mut().texts.insert(path.clone(), read.clone());
        read
    }

    fn read_bytes(&self, path: &SheetPath) -> Result<Arc<[u8]>, Unreadable> {
        let read = self.disk.read_bytes(path);
        self.asked.borrow_mut().pictures.insert(path.clone(), read.clone());
        read
    }

    fn day(&self) -> Option<Day> {
        self.disk.day()
    }
}

/// Runs `task` on a thread with room to recurse and waits for it; in words, why there is no such thread.
pub(super) fn spacious<T: Send>(task: impl FnOnce() -> T + Send) -> Result<T, String> {
    thread::scope(|scope| match thread::Builder::new().name("compiler".to_string()).stack_size(STACK).spawn_scoped(scope, task) {
        Ok(thread) => Ok(thread.join().unwrap_or_else(|fault| std::panic::resume_unwind(fault))),
        Err(error) => Err(format!("no thread could be started: {}", reason(&error))),
    })
}

thread_local! {
    static LAST_FAULT: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// Keeps panics from writing to standard error themselves; [`guarded`] says what they had to say.
pub(super) fn quiet_panics() {
    std::panic::set_hook(Box::new(|fault| {
        let message = words(fault.payload());
        // The file's name without its folder: the rest is a path of the machine that built the program.
        let place = fault.location().map(|at| format!(" ({}:{})", at.file().rsplit(['/', '\\']).next().unwrap_or_default(), at.line()));
        LAST_FAULT.set(Some(message + &place.unwrap_or_default()));
    }));
}

/// Runs `task`; a panic in it becomes an error that says what it was.
pub(super) fn guarded<T>(task: impl FnOnce() -> T) -> Result<T, String> {
    catch_unwind(AssertUnwindSafe(task)).map_err(|payload| {
        let noted = LAST_FAULT.take();
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
