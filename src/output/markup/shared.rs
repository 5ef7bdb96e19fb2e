//! What the whole page has in common: the ids given out, where links may lead, and the numbers of the lines.

use crate::output::beside::{Beside, way};
use crate::sheet::parts::{InputRow, WorkingLine};
use crate::source::Numbered;
use std::collections::{BTreeMap, BTreeSet};

/// What a page knows while it is written.
#[derive(Debug)]
pub(in crate::output) struct Shared<'a> {
    /// Every anchor that the page prints or that something on it uses.
    anchors: Numbered<'a>,
    /// What is known of each of them.
    places: Vec<Place<'a>>,
    /// Whether one that is printed begins with a figure, as numbers of lines do.
    figures: bool,
    /// Numbers of lines that are ids.
    numbers: Numbered<'a>,
    /// Ids that stand in the author's prose.
    written: BTreeSet<String>,
    /// Lines and checks counted so far.
    counted: usize,
    /// The level at which headings of ours stand below the author's last one.
    pub level: usize,
    /// The drawings set so far, by machine: the id of the lines of each, and their frame.
    pub sketches: BTreeMap<&'a str, (String, String)>,
    /// Trains set so far.
    pub trains: usize,
    /// Where the page is going to stand, counted from the folder it is written to.
    pub place: &'a str,
    /// The path of the sheet.
    pub path: &'a str,
    /// The pages written together with it.
    pub beside: Option<&'a Beside>,
}

/// A line or a check that uses a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::output) struct Use<'a> {
    /// The place of its anchor.
    pub place: usize,
    /// Its printed number.
    pub number: &'a str,
    /// Which line or check of the page it is.
    pub at: usize,
}

#[derive(Debug, Default)]
struct Place<'a> {
    /// Whether it is printed.
    printed: bool,
    /// The number of its line; empty where it is none.
    number: &'a str,
    /// Whether that number is an id of its own.
    leads: bool,
    /// Whether its id has been given out.
    claimed: bool,
    /// What it is used in, in the order of the page.
    uses: Vec<Use<'a>>,
}

impl<'a> Shared<'a> {
    /// What is known of a page before any of it is written.
    pub fn new(path: &'a str, beside: Option<&'a Beside>, place: &'a str) -> Self {
        Shared {
            anchors: Numbered::default(),
            places: Vec::new(),
            figures: false,
            numbers: Numbered::default(),
            written: BTreeSet::new(),
            counted: 0,
            level: 2,
            sketches: BTreeMap::new(),
            trains: 0,
            place,
            path,
            beside,
        }
    }

    /// The level of headings below those.
    pub fn below(&self) -> usize {
        (self.level + 1).min(6)
    }

    /// Notes an id that the author's prose carries.
    pub fn prose(&mut self, anchor: String) {
        self.written.insert(anchor);
    }

    /// Notes that `anchor` is going to be printed.
    pub fn know(&mut self, anchor: &'a str) {
        if is_fit(anchor) {
            self.printed(anchor);
        }
    }

    // The place of an anchor, whether or not it is printed.
    fn place(&mut self, anchor: &'a str) -> usize {
        let number = self.anchors.number(anchor);
        if number >= self.places.len() {
            self.places.resize_with(number + 1, Place::default);
        }
        number
    }

    // The place of an anchor that is printed.
    fn printed(&mut self, anchor: &'a str) -> usize {
        let number = self.place(anchor);
        if let Some(place) = self.places.get_mut(number).filter(|place| !place.printed) {
            place.printed = true;
            self.figures |= begins_with_figure(anchor);
        }
        number
    }

    fn find(&self, anchor: &str) -> Option<&Place<'a>> {
        self.places.get(self.anchors.find(anchor)?)
    }

    /// Notes that `line` is going to be printed, with its number as an id.
    pub fn number(&mut self, line: &'a WorkingLine) {
        let leads = is_fit(&line.number) && self.numbers.find(&line.number).is_none();
        if leads {
            self.numbers.number(&line.number);
        }
        self.numbered(line, leads);
    }

    /// Notes that `line` is going to be printed; only its anchor leads to it. `leads` where its number does as well.
    pub fn numbered(&mut self, line: &'a WorkingLine, leads: bool) {
        if is_fit(&line.anchor) {
            let at = self.printed(&line.anchor);
            if let Some(place) = self.places.get_mut(at).filter(|place| place.number.is_empty()) {
                place.number = &line.number;
                place.leads = leads;
                self.used(&line.anchor, &line.number, &line.worked_from);
            }
        }
    }

    /// Notes that the setting `row` is going to be printed, and what it takes its value from.
    pub fn setting(&mut self, row: &'a InputRow) {
        self.know(&row.anchor);
        for used in &row.worked_from {
            // Settings are no run of numbers.
            self.counted += 2;
            self.use_of(&used.anchor, &row.anchor, &row.name);
        }
        self.counted += 1;
    }

    /// Notes that the line or check at `anchor` is worked from `worked_from`.
    pub fn used(&mut self, anchor: &'a str, number: &'a str, worked_from: &'a [String]) {
        self.counted += 1;
        for used in worked_from.iter().filter(|used| *used != anchor) {
            self.use_of(used, anchor, number);
        }
    }

    fn use_of(&mut self, used: &'a str, anchor: &'a str, number: &'a str) {
        let (used, place, at) = (self.place(used), self.place(anchor), self.counted);
        if let Some(used) = self.places.get_mut(used) {
            used.uses.push(Use { place, number, at });
        }
    }

    /// What uses `anchor`, in the order of the page.
    pub fn uses(&self, anchor: &str) -> &[Use<'a>] {
        self.find(anchor).map_or(&[], |place| &place.uses)
    }

    /// The anchor a link may lead to; empty where the page has no such place.
    pub fn link<'b>(&self, anchor: &'b str) -> &'b str {
        if self.find(anchor).is_some_and(|place| place.printed) || self.written.contains(anchor) { anchor } else { "" }
    }

    /// The id that leads to `anchor` in fewest letters: the number of its line or check, or itself where something else on the
    /// page has that.
    pub fn stands_for<'b>(&self, anchor: &'b str) -> &'b str
    where
        'a: 'b,
    {
        self.anchors.find(anchor).map_or(anchor, |place| self.stands_at(place))
    }

    /// The same for the anchor of a place.
    pub fn stands_at(&self, place: usize) -> &'a str {
        let short = self.places.get(place).filter(|place| place.leads).map_or("", |place| place.number);
        // Most anchors begin with a letter, and then none of them is the number of a line.
        let elsewhere = || (self.figures || !begins_with_figure(short)) && self.find(short).is_some_and(|place| place.printed);
        if short.is_empty() || self.written.contains(short) || elsewhere() { self.anchors.text(place) } else { short }
    }

    /// The number of the line at `anchor`; empty where there is none.
    pub fn number_of(&self, anchor: &str) -> &'a str {
        self.find(anchor).map_or("", |place| place.number)
    }

    /// The number of the line at `anchor` and the id that leads to it; none where it has no number.
    pub fn numbered_at(&self, anchor: &str) -> Option<(&'a str, &'a str)> {
        let at = self.anchors.find(anchor)?;
        let number = self.places.get(at).map(|place| place.number).filter(|number| !number.is_empty())?;
        Some((number, self.stands_at(at)))
    }

    /// The id for `anchor`: itself where it is first printed, empty where it is printed again or cannot be an id.
    pub fn claim(&mut self, anchor: &'a str) -> &'a str {
        if !is_fit(anchor) || self.written.contains(anchor) {
            return "";
        }
        let at = self.printed(anchor);
        let claimed = self.places.get_mut(at).is_none_or(|place| std::mem::replace(&mut place.claimed, true));
        if claimed { "" } else { anchor }
    }

    /// The way to where the kind `word`, which the document `path` describes, is set out; empty where no page has it.
    pub fn kind(&self, word: &str, path: &str) -> String {
        let anchor = format!("kind-{word}");
        if path == self.path {
            return if self.link(&anchor).is_empty() { String::new() } else { format!("#{anchor}") };
        }
        let Some(beside) = self.beside else { return String::new() };
        match if path.is_empty() { beside.kinds.get(word) } else { beside.sheets.get(path) } {
            Some(address) if path.is_empty() => way(self.place, address),
            Some(address) => format!("{}#{anchor}", way(self.place, address)),
            None => String::new(),
        }
    }
}

fn begins_with_figure(text: &str) -> bool {
    text.starts_with(|letter: char| letter.is_ascii_digit())
}

/// An id holds no blanks, and those of the page's own parts begin with `sheet.`, which no name can.
fn is_fit(anchor: &str) -> bool {
    // Of most anchors each byte is a letter by itself, and none a blank.
    let plain = !anchor.bytes().fold(false, |found, byte| found | !(b'!'..=b'~').contains(&byte));
    !anchor.is_empty() && (plain || !anchor.contains(char::is_whitespace)) && !anchor.starts_with("sheet.")
}
