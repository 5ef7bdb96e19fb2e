//! Notice of what happens on disk: folders are listened to, never single files, because editors save by renaming; what
//! comes in a burst is taken together.

use notify::event::{AccessKind, AccessMode, EventKind};
use notify::{Event, RecommendedWatcher, RecursiveMode, Watcher};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

/// How long it must have been quiet before what happened is worked: one saving makes several events, a moment apart.
const LULL: Duration = Duration::from_millis(10);
/// How long it must have been quiet before what was worked is shown. The work is done in this time.
const QUIET: Duration = Duration::from_millis(100);
/// After this long, it is shown however busy it is.
const LONGEST: Duration = Duration::from_millis(500);

/// What happened at once.
#[derive(Debug, Default)]
pub(super) struct Batch {
    /// Where something happened.
    pub(super) places: BTreeSet<PathBuf>,
    /// Whether something may have happened unheard, so that everything is to be looked at.
    pub(super) all: bool,
}

impl Batch {
    fn is_empty(&self) -> bool {
        self.places.is_empty() && !self.all
    }
}

/// What [`Ears::listened`] has heard.
#[derive(Debug)]
pub(super) enum Heard {
    /// Something of interest, to be worked and not yet shown: more may follow.
    Stir(Batch),
    /// Nothing more has followed: what was worked is to be shown.
    Quiet,
    /// Nothing for as long as was asked.
    Silence,
    /// Nothing will be heard any more.
    Deaf,
}

/// Listens to folders, each by itself and not below it.
pub(super) struct Ears {
    // None when the system gives no notice at all.
    watcher: Option<RecommendedWatcher>,
    events: Receiver<notify::Result<Event>>,
    // Keeps the channel open where there is no watcher.
    _open: std::sync::mpsc::Sender<notify::Result<Event>>,
    heard: BTreeSet<PathBuf>,
    unheard: BTreeSet<PathBuf>,
    // What has been heard and not been shown yet: when the first of it was heard, and the last.
    stirred: Option<(Instant, Instant)>,
}

impl Ears {
    /// Begins to listen, to nothing yet.
    pub(super) fn new() -> Self {
        let (sender, events) = channel();
        let watcher = notify::recommended_watcher(sender.clone()).ok();
        Ears { watcher, events, _open: sender, heard: BTreeSet::new(), unheard: BTreeSet::new(), stirred: None }
    }

    /// Listens to exactly the folders of `wanted`. Gives those that are newly listened to: what happened in them before
    /// is not known.
    pub(super) fn listen(&mut self, wanted: &BTreeSet<PathBuf>) -> BTreeSet<PathBuf> {
        let Some(watcher) = &mut self.watcher else {
            self.unheard = wanted.clone();
            return BTreeSet::new();
        };
        for folder in self.heard.difference(wanted) {
            // A folder that is gone is no longer listened to anyway.
            let _ = watcher.unwatch(folder);
        }
        self.heard.retain(|folder| wanted.contains(folder));
        let (mut new, mut unheard) = (BTreeSet::new(), BTreeSet::new());
        for folder in wanted.difference(&self.heard) {
            match watcher.watch(folder, RecursiveMode::NonRecursive) {
                Ok(()) => new.insert(folder.clone()),
                Err(_) => unheard.insert(folder.clone()),
            };
        }
        self.heard.extend(new.iter().cloned());
        self.unheard = unheard;
        new
    }

    /// The folders of which the system gives no notice.
    pub(super) fn unheard(&self) -> &BTreeSet<PathBuf> {
        &self.unheard
    }

    /// Waits until something of interest has happened and a moment has passed, or until it has been quiet for long enough since; at
    /// most `patience` for the beginning.
    pub(super) fn listened(&mut self, patience: Option<Duration>, matters: impl Fn(&Path) -> bool) -> Heard {
        let until = patience.map(|patience| Instant::now() + patience);
        let mut batch = Batch::default();
        loop {
            let longest = self.stirred.map(|(began, _)| began + LONGEST);
            if batch.is_empty() && longest.is_some_and(|longest| Instant::now() >= longest) {
                self.stirred = None;
                return Heard::Quiet;
            }
            let pause = if batch.is_empty() { QUIET } else { LULL };
            let deadline = self.stirred.zip(longest).map(|((_, last), longest)| (last + pause).min(longest)).or(until);
            let event = match deadline {
                None => self.events.recv().map_err(|_| RecvTimeoutError::Disconnected),
                Some(at) => self.events.recv_timeout(at.saturating_duration_since(Instant::now())),
            };
            match event {
                Ok(event) => {
                    if self.take(event, &mut batch, &matters) {
                        let now = Instant::now();
                        self.stirred = Some((self.stirred.map_or(now, |(began, _)| began), now));
                    }
                }
                Err(RecvTimeoutError::Timeout) if !batch.is_empty() => return Heard::Stir(batch),
                Err(RecvTimeoutError::Timeout) if self.stirred.take().is_some() => return Heard::Quiet,
                Err(RecvTimeoutError::Timeout) => return Heard::Silence,
                Err(RecvTimeoutError::Disconnected) => return Heard::Deaf,
            }
        }
    }

    // Whether the event was of interest.
    fn take(&mut self, event: notify::Result<Event>, batch: &mut Batch, matters: &impl Fn(&Path) -> bool) -> bool {
        let Ok(event) = event else {
            batch.all = true;
            return true;
        };
        // Our own reading is heard too.
        if matches!(event.kind, EventKind::Access(kind) if kind != AccessKind::Close(AccessMode::Write)) {
            return false;
        }
        let mut interest = event.need_rescan();
        batch.all |= interest;
        for path in event.paths {
            // A folder that was taken away is no longer listened to, whatever comes to stand there.
            if self.heard.contains(&path)
                && matches!(event.kind, EventKind::Remove(_) | EventKind::Modify(notify::event::ModifyKind::Name(_)))
            {
                if let Some(watcher) = &mut self.watcher {
                    let _ = watcher.unwatch(&path);
                }
                self.heard.remove(&path);
                interest = true;
                batch.places.insert(path);
            } else if matters(&path) {
                interest = true;
                batch.places.insert(path);
            }
        }
        interest
    }
}

#[cfg(test)]
mod tests {
    use super::{Ears, Heard};
    use std::collections::BTreeSet;
    use std::fs;
    use std::path::Path;
    use std::time::Duration;

    const LONG: Option<Duration> = Some(Duration::from_secs(60));

    #[test]
    fn a_burst_is_heard_at_once_and_what_does_not_matter_not_at_all() {
        let folder = tempfile::tempdir().expect("a folder");
        let here = fs::canonicalize(folder.path()).expect("it is there");
        let mut ears = Ears::new();
        assert_eq!(ears.listen(&BTreeSet::from([here.clone()])), BTreeSet::from([here.clone()]));
        assert!(ears.listen(&BTreeSet::from([here.clone()])).is_empty());
        for number in 0..300 {
            fs::write(here.join(format!("{number}.md")), "x").expect("written");
            fs::write(here.join(format!("{number}.html")), "x").expect("written");
        }
        let matters = |path: &Path| path.extension().is_some_and(|ending| ending == "md");
        let mut heard = BTreeSet::new();
        let mut shown = 0;
        while heard.len() < 300 || shown == 0 {
            match ears.listened(LONG, matters) {
                Heard::Stir(batch) => heard.extend(batch.places),
                Heard::Quiet => shown += 1,
                other => panic!("{} of 300 were heard, then {other:?}", heard.len()),
            }
        }
        assert!(heard.iter().all(|path| matters(path)));
    }

    #[test]
    fn what_never_rests_is_shown_all_the_same() {
        let folder = tempfile::tempdir().expect("a folder");
        let here = fs::canonicalize(folder.path()).expect("it is there");
        let mut ears = Ears::new();
        ears.listen(&BTreeSet::from([here.clone()]));
        let mut written = 0_u32;
        let mut write = || {
            written += 1;
            fs::write(here.join("sheet.md"), written.to_string()).expect("written");
        };
        write();
        // Every work is followed by another saving at once.
        let mut worked = 0;
        loop {
            match ears.listened(LONG, |_| true) {
                Heard::Stir(_) => worked += 1,
                Heard::Quiet => break,
                other => panic!("{other:?} after {worked}"),
            }
            write();
        }
        assert!(worked > 0);
    }

    #[test]
    fn a_folder_that_cannot_be_listened_to_is_named_and_one_that_comes_back_is_listened_to_again() {
        let folder = tempfile::tempdir().expect("a folder");
        let here = fs::canonicalize(folder.path()).expect("it is there");
        let below = here.join("below");
        let mut ears = Ears::new();
        let both = BTreeSet::from([here.clone(), below.clone()]);
        assert_eq!(ears.listen(&both), BTreeSet::from([here.clone()]));
        assert_eq!(*ears.unheard(), BTreeSet::from([below.clone()]));
        fs::create_dir(&below).expect("a folder");
        assert_eq!(ears.listen(&both), BTreeSet::from([below.clone()]));
        assert!(ears.unheard().is_empty());
        fs::remove_dir(&below).expect("it was there");
        while ears.heard.contains(&below) {
            assert!(matches!(ears.listened(LONG, |_| false), Heard::Stir(_) | Heard::Quiet), "its going was not heard");
        }
        fs::create_dir(&below).expect("a folder");
        assert_eq!(ears.listen(&both), BTreeSet::from([below]));
    }
}
