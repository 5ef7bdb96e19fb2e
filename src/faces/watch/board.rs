//! The pages as they are served: held in memory, numbered by generation, and told of when they change.
//!
//! A page is put here whole before anyone hears of it, so whoever asks after hearing gets it.

use crate::faces::watch::link::Token;
use crate::faces::watch::parts::changes;
use hyper::body::Bytes;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use tokio::sync::watch;

// How many pages that are no longer there are remembered, so that a page left open hears of it.
const REMEMBERED: usize = 1000;

/// What is shown at one address.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Shown {
    /// The page as `build` would write it: the last one without errors, where there is one.
    pub(super) html: Arc<str>,
    /// What stands over it while the document has errors; empty otherwise.
    pub(super) banner: Arc<str>,
}

/// One page with the generation it was put up in.
#[derive(Debug, Clone)]
pub(super) struct Page {
    /// What is shown; none when there is no such page any more.
    pub(super) shown: Option<Shown>,
    /// The generation in which this last changed.
    pub(super) changed: u64,
    /// What was shown until then, and since which generation.
    pub(super) before: Option<(u64, Shown)>,
    /// What makes this page of the one before, as it is sent, where that was found ahead of the asking.
    pub(super) changes: Option<Bytes>,
}

/// All pages. The number of the newest generation is sent to whoever listens.
#[derive(Debug)]
pub(super) struct Board {
    /// The part of every address that only this run knows.
    pub(super) token: Token,
    /// The port that is answered.
    pub(super) port: u16,
    /// The address to begin at, counted from the folder of pages.
    pub(super) home: String,
    inner: Mutex<Inner>,
    told: watch::Sender<u64>,
}

#[derive(Debug, Default)]
struct Inner {
    generation: u64,
    pages: BTreeMap<String, Page>,
    // Pages that are being made.
    coming: BTreeSet<String>,
    // Pages that are going to be put up, with what makes each of the one that is there.
    ready: BTreeMap<String, (Arc<str>, Option<Bytes>)>,
    // How many readers have each page open.
    open: BTreeMap<String, usize>,
}

/// A reader who has one page open, until this is dropped; hears of every generation from then on.
#[derive(Debug)]
pub(super) struct Open {
    pub(super) heard: watch::Receiver<u64>,
    board: Arc<Board>,
    address: String,
}

impl Drop for Open {
    fn drop(&mut self) {
        let mut inner = self.board.inner();
        if let Some(readers) = inner.open.get_mut(&self.address) {
            *readers -= 1;
            if *readers == 0 {
                inner.open.remove(&self.address);
            }
        }
    }
}

impl Board {
    /// A board without pages.
    pub(super) fn new(token: Token, port: u16, home: String) -> Self {
        Board { token, port, home, inner: Mutex::default(), told: watch::Sender::new(0) }
    }

    /// Where the pages begin, as it is typed into a browser.
    pub(super) fn link(&self) -> String {
        format!("http://127.0.0.1:{}/{}/", self.port, self.token.text())
    }

    /// Finds ahead of its being put up what `html` changes at `address`, where anybody has that page open.
    pub(super) fn prepare(&self, address: &str, html: &Arc<str>) {
        if !self.inner().open.contains_key(address) {
            return;
        }
        let there = self.page(address).and_then(|page| page.shown);
        let changes = there.and_then(|there| as_sent(&there.html, html));
        self.inner().ready.insert(address.to_string(), (Arc::clone(html), changes));
    }

    /// Puts up what has become of each address (none: it is gone), says which pages are still to come, and tells everybody.
    /// Gives the new generation.
    pub(super) fn publish(&self, changes: Vec<(String, Option<Shown>)>, coming: BTreeSet<String>) -> u64 {
        let mut inner = self.inner();
        let generation = inner.generation + 1;
        inner.generation = generation;
        inner.coming = coming;
        let mut ready = std::mem::take(&mut inner.ready);
        for (address, shown) in changes {
            let ready = ready.remove(&address);
            let page = inner.pages.entry(address).or_insert(Page { shown: None, changed: 0, before: None, changes: None });
            if page.shown != shown {
                let before = page.shown.take().map(|before| (page.changed, before));
                let is_it = |html: &Arc<str>| shown.as_ref().is_some_and(|shown| Arc::ptr_eq(&shown.html, html));
                let changes = ready.filter(|(html, _)| is_it(html)).and_then(|(_, changes)| changes);
                *page = Page { shown, changed: generation, before, changes };
            }
        }
        let gone: Vec<(u64, String)> =
            inner.pages.iter().filter(|(_, page)| page.shown.is_none()).map(|(address, page)| (page.changed, address.clone())).collect();
        if gone.len() > REMEMBERED {
            let mut gone = gone;
            gone.sort();
            let old = gone.len() - REMEMBERED;
            gone.iter().take(old).for_each(|(_, address)| {
                inner.pages.remove(address);
            });
        }
        drop(inner);
        self.told.send_replace(generation);
        generation
    }

    /// What stands at `address` now.
    pub(super) fn page(&self, address: &str) -> Option<Page> {
        self.inner().pages.get(address).cloned()
    }

    /// Whether a page is going to stand at `address`.
    pub(super) fn is_coming(&self, address: &str) -> bool {
        self.inner().coming.contains(address)
    }

    /// The generation, and every page there is with the generation it changed in and whether its document has errors.
    pub(super) fn state(&self) -> (u64, Vec<(String, u64, bool)>) {
        let inner = self.inner();
        let there =
            inner.pages.iter().filter_map(|(address, page)| Some((address.clone(), page.changed, !page.shown.as_ref()?.banner.is_empty())));
        (inner.generation, there.collect())
    }

    /// Notes that somebody has the page at `address` open.
    pub(super) fn open(self: &Arc<Self>, address: &str) -> Open {
        *self.inner().open.entry(address.to_string()).or_default() += 1;
        Open { heard: self.hear(), board: Arc::clone(self), address: address.to_string() }
    }

    /// Hears of every generation from now on.
    pub(super) fn hear(&self) -> watch::Receiver<u64> {
        self.told.subscribe()
    }

    fn inner(&self) -> MutexGuard<'_, Inner> {
        // Nothing that could panic is done while it is held.
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// What makes the page `new` of `old`, as it is sent; none where the whole is no more to read.
pub(super) fn as_sent(old: &str, new: &str) -> Option<Bytes> {
    serde_json::to_string(&changes(old, new)?).ok().map(Bytes::from)
}

#[cfg(test)]
mod tests {
    use super::{Board, REMEMBERED, Shown, as_sent};
    use crate::faces::watch::link::Token;
    use std::collections::BTreeSet;
    use std::sync::Arc;

    fn shown(html: &str) -> Option<Shown> {
        Some(Shown { html: html.into(), banner: "".into() })
    }

    #[test]
    fn only_what_has_changed_takes_the_new_generation() {
        let board = Board::new(Token::new().expect("entropy"), 1, String::new());
        let heard = board.hear();
        let put = |a: &str, b: &str| board.publish(vec![("a".into(), shown(a)), ("b".into(), shown(b))], BTreeSet::new());
        assert_eq!(put("one", "two"), 1);
        assert_eq!(put("one", "three"), 2);
        assert_eq!(*heard.borrow(), 2);
        let changed = |address: &str| board.page(address).map(|page| page.changed);
        assert_eq!((changed("a"), changed("b"), changed("c")), (Some(1), Some(2), None));
        board.publish(vec![("a".into(), None)], BTreeSet::new());
        assert!(board.page("a").is_some_and(|page| page.shown.is_none() && page.changed == 3));
        let before = |address: &str| board.page(address).and_then(|page| page.before).map(|(since, shown)| (since, shown.html));
        assert_eq!((before("a"), before("b")), (Some((1, "one".into())), Some((1, "two".into()))));
        assert_eq!(board.state(), (3, vec![("b".to_string(), 2, false)]));
    }

    #[test]
    fn what_is_found_ahead_is_sent_with_the_page_that_it_was_found_for_and_no_other() {
        let board = Arc::new(Board::new(Token::new().expect("entropy"), 1, String::new()));
        let page = |number: u32| Arc::<str>::from(format!("<body>{}<div>{number}</div></body>", "<div>the same</div>".repeat(50)));
        let put = |html: &Arc<str>| {
            let shown = Shown { html: Arc::clone(html), banner: "".into() };
            board.publish(vec![("a".into(), Some(shown))], BTreeSet::new());
            board.page("a").and_then(|page| page.changes)
        };
        let [one, two, three] = [page(1), page(2), page(3)];
        board.prepare("a", &one);
        assert_eq!(put(&one), None);
        board.prepare("a", &two);
        assert_eq!(put(&two), None, "nobody has a page open");
        let elsewhere = board.open("b");
        board.prepare("a", &one);
        assert_eq!(put(&one), None, "nobody has this page open");
        drop((board.open("a"), elsewhere));
        board.prepare("a", &two);
        assert_eq!(put(&two), None, "nobody has it open any more");
        let _reader = board.open("a");
        board.prepare("a", &one);
        let found = put(&one);
        assert!(found.is_some() && found == as_sent(&two, &one));
        // Another page was put up than was expected, and then that one.
        board.prepare("a", &two);
        assert_eq!((put(&three), put(&two)), (None, None));
    }

    #[test]
    fn pages_that_are_gone_do_not_pile_up() {
        let board = Board::new(Token::new().expect("entropy"), 1, String::new());
        for number in 0..REMEMBERED + 50 {
            board.publish(vec![(number.to_string(), shown("x"))], BTreeSet::new());
            board.publish(vec![(number.to_string(), None)], BTreeSet::new());
        }
        assert_eq!(board.inner().pages.len(), REMEMBERED);
        assert!(board.page("0").is_none() && board.page("50").is_some());
    }
}
