//! The record of signatures beside a sheet: plain lines, each standing by itself, so that two branches that have each
//! signed are merged by keeping the lines of both. Every line begins with the mark of the signature it belongs to, or
//! with that of the calculation that was signed.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::signing::{RecordLine, RecordNewer, RecordUnmerged, SignatureAltered};
use crate::sheet::digests::digest;
use crate::sheet::sign_lines::{FACTS, Field, fields, line, numbered, snapshot_lines, snapshot_of, uncounted};
use crate::sheet::snapshot::Snapshot;
use crate::source::{Extent, FileId, Home, Span};
use std::collections::{BTreeMap, BTreeSet};

/// The form of the record that is written.
const FORM: &str = "1";

/// The ending of a record's name, in place of that of its sheet.
pub const ENDING: &str = "signoff";

const HEADER: &str = "# Signatures of a calculation sheet, written by the command `sign`. Every line stands by itself: where two branches\n\
                      # meet, keep the lines of both. A line that is changed by hand breaks the signature it belongs to.\n";

// How many digits of a digest tell it from the others of a record.
const MARK: usize = 12;

// What divides two sides of a merge that nobody has settled.
const BETWEEN: [&str; 4] = ["<<<<<<<", "=======", ">>>>>>>", "|||||||"];

/// As what somebody signs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Act {
    /// Who made the calculation.
    Originator,
    /// Who went through it.
    Checker,
    /// Who lets it be used.
    Approver,
    /// Who takes it out of use.
    Void,
    /// Who puts another sheet in its place.
    Superseded,
}

impl Act {
    /// All of them, in the order in which they follow each other.
    pub const ALL: [Act; 5] = [Act::Originator, Act::Checker, Act::Approver, Act::Void, Act::Superseded];

    /// Its word in the record and on the page.
    pub fn word(self) -> &'static str {
        match self {
            Act::Originator => "originator",
            Act::Checker => "checker",
            Act::Approver => "approver",
            Act::Void => "void",
            Act::Superseded => "superseded",
        }
    }

    // The word before what was said with it.
    fn saying(self) -> &'static str {
        match self {
            Act::Void => "why",
            Act::Superseded => "by",
            _ => "meaning",
        }
    }
}

/// One signature.
#[derive(Debug, Clone, PartialEq)]
pub struct Signature {
    /// As what.
    pub act: Act,
    /// Who, as declared.
    pub name: String,
    /// When, `2026-03-14`.
    pub date: String,
    /// What it means; why a sheet is void; by what it is superseded.
    pub meaning: String,
    /// The number of the sheet.
    pub number: String,
    /// Its revision, perhaps empty.
    pub revision: String,
    /// Digest of what it calculated.
    pub calculation: String,
    /// Digest of what it told beside that.
    pub telling: String,
    /// Mark of the lines that say what it came to.
    pub values: String,
}

/// A signature with its place in the record.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Placed {
    pub(super) signature: Signature,
    pub(super) span: Span,
}

/// The record of one sheet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Record {
    pub(super) signatures: Vec<Placed>,
    // What a sheet came to, line by line, by the mark of those lines.
    states: BTreeMap<String, BTreeSet<String>>,
    // Whether every line of it could be read and every mark agrees.
    pub(super) sound: bool,
}

/// The path of the record of the sheet at `path`: its name with the ending `.signoff` in place of its own.
pub fn record_path(path: &str) -> String {
    let name = path.rfind('/').map_or(0, |slash| slash + 1);
    let stem = path.get(name..).and_then(|name| name.rfind('.')).filter(|dot| *dot > 0).map_or(path.len(), |dot| name + dot);
    format!("{}.{ENDING}", path.get(..stem).unwrap_or(path))
}

impl Signature {
    // Its lines without their mark.
    fn said(&self) -> [String; 4] {
        [
            line(&[self.act.word(), &self.name, &self.date]),
            line(&[self.act.saying(), &self.meaning]),
            line(&["sheet", &self.number, "revision", &self.revision]),
            line(&["calc", &self.calculation, "text", &self.telling, "values", &self.values]),
        ]
    }
}

// The mark of some lines: the beginning of their digest.
fn mark<'s>(lines: impl IntoIterator<Item = &'s String>) -> String {
    let lines: Vec<&str> = lines.into_iter().map(String::as_str).collect();
    digest(&lines.join("\n")).get(..MARK).unwrap_or_default().to_string()
}

impl Record {
    /// Reads the record `text`, which is `file`; what is wrong with it goes into `sink`.
    pub fn read(text: &str, file: FileId, sink: &mut Sink) -> Record {
        let mut reading =
            Reading { home: Home::file(file), groups: Vec::new(), states: BTreeMap::new(), torn: BTreeSet::new(), sound: true, sink };
        let mut at = 0;
        for whole in text.split_inclusive('\n') {
            let said = whole.trim_end_matches(['\n', '\r']);
            let start = at + said.len() - said.trim_start().len();
            if !said.trim().is_empty() && !said.trim_start().starts_with('#') && !reading.line(said.trim(), start) {
                break;
            }
            at += whole.len();
        }
        reading.settled()
    }

    /// What the sheet came to when `signature` was put to it.
    pub(super) fn state(&self, signature: &Signature) -> Option<Snapshot> {
        snapshot_of(self.states.get(&signature.values)?)
    }

    /// Whether `signature` stands in it already.
    pub(super) fn holds(&self, signature: &Signature) -> bool {
        self.signatures.iter().any(|placed| placed.signature == *signature)
    }
}

/// `before`, the text of a record or nothing, with `signature` of a sheet that came to `state` at its end.
pub(super) fn appended(before: &str, record: &Record, signature: &Signature, state: &Snapshot) -> String {
    let mut text = if before.is_empty() { format!("{HEADER}signatures {FORM}\n") } else { before.to_string() };
    if !text.ends_with('\n') {
        text.push('\n');
    }
    let said = signature.said();
    let own = mark(&said);
    text.push('\n');
    said.iter().for_each(|said| text.push_str(&format!("{own} {said}\n")));
    if !record.states.contains_key(&signature.values) {
        text.push('\n');
        lines_of(state).iter().for_each(|said| text.push_str(&format!("{} {said}\n", signature.values)));
    }
    text
}

/// The mark of what a sheet comes to.
pub(super) fn values_mark(state: &Snapshot) -> String {
    mark(&lines_of(state))
}

fn lines_of(state: &Snapshot) -> BTreeSet<String> {
    snapshot_lines(state).into_iter().collect()
}

// The lines of one signature as they are come upon.
#[derive(Default)]
struct Group {
    mark: String,
    act: Option<(Act, String, String)>,
    meaning: Option<String>,
    number: Option<(String, String)>,
    digests: Option<[String; 3]>,
    // The line that says as what and who.
    at: Extent,
}

struct Reading<'r> {
    home: Home,
    groups: Vec<Group>,
    states: BTreeMap<String, BTreeSet<String>>,
    // Marks of signatures of which a line cannot be read; that has been told.
    torn: BTreeSet<String>,
    sound: bool,
    sink: &'r mut Sink,
}

impl Reading<'_> {
    fn refuse(&mut self, at: Extent, finding: &dyn crate::diagnostics::Finding) {
        self.sound = false;
        self.sink.push(self.home.span(at), finding);
    }

    // One line that stands at `start`; false when nothing behind it is to be read.
    fn line(&mut self, said: &str, start: usize) -> bool {
        let whole = Extent::new(start, start + said.len());
        if let Some(between) = BETWEEN.iter().find(|mark| said.starts_with(**mark)) {
            self.refuse(whole, &RecordUnmerged { found: (*between).to_string() });
            return false;
        }
        let found = match fields(said) {
            Ok(found) => found,
            Err(at) => {
                let at = Extent::new(start + at, start + said.len());
                self.torn.extend(said.split_whitespace().next().map(str::to_string));
                self.refuse(at, &RecordLine { found: "text is not closed".into(), wanted: "closing quotation marks belong here".into() });
                return true;
            }
        };
        let texts: Vec<&str> = found.iter().map(|field| field.text.as_str()).collect();
        match texts.as_slice() {
            ["signatures", FORM] => {}
            ["signatures", form] if numbered(form) => {
                self.refuse(whole, &RecordNewer { found: (*form).to_string(), known: FORM.into() });
                return false;
            }
            [mark, word, rest @ ..] if is_mark(mark) => self.marked(mark, word, rest, &found, whole),
            _ => {
                let wanted = "a line begins with a mark of twelve hexadecimal digits and a word".into();
                self.refuse(whole, &RecordLine { found: format!("it begins with `{}`", first(&found)), wanted });
            }
        }
        true
    }

    fn marked(&mut self, mark: &str, word: &str, rest: &[&str], found: &[Field], whole: Extent) {
        if FACTS.contains(&uncounted(word)) {
            let texts: Vec<&str> = found.iter().skip(1).map(|field| field.text.as_str()).collect();
            self.states.entry(mark.to_string()).or_default().insert(line(&texts));
            return;
        }
        let place = match self.groups.iter().position(|group| group.mark == mark) {
            Some(place) => place,
            None => {
                self.groups.push(Group { mark: mark.to_string(), at: whole, ..Group::default() });
                self.groups.len() - 1
            }
        };
        let Some(group) = self.groups.get_mut(place) else { return };
        let text = |at: usize| rest.get(at).map(|text| (*text).to_string()).unwrap_or_default();
        let wanted = match (word, rest) {
            ("meaning" | "why" | "by", [_]) => {
                group.meaning = Some(text(0));
                return;
            }
            ("sheet", [_, "revision", _]) => {
                group.number = Some((text(0), text(2)));
                return;
            }
            ("calc", [_, "text", _, "values", _]) => {
                group.digests = Some([text(0), text(2), text(4)]);
                return;
            }
            (word, [_, _]) if let Some(act) = Act::ALL.into_iter().find(|act| act.word() == word) => {
                group.act = Some((act, text(0), text(1)));
                group.at = whole;
                return;
            }
            ("meaning" | "why" | "by", _) => "one text in quotation marks belongs behind it",
            ("sheet", _) => "the number of the sheet, `revision` and the revision belong behind it",
            ("calc", _) => "a digest, `text`, another digest, `values` and a mark belong behind it",
            (word, _) if Act::ALL.iter().any(|act| act.word() == word) => "a name in quotation marks and a date belong behind it",
            _ => "no line of a record begins so",
        };
        self.torn.insert(mark.to_string());
        let at = found.get(1).map_or(whole, |field| field.at.shifted(whole.start));
        self.refuse(at, &RecordLine { found: format!("it says `{word}`"), wanted: wanted.into() });
    }

    fn settled(mut self) -> Record {
        let mut signatures = Vec::new();
        for group in std::mem::take(&mut self.groups) {
            let role = group.act.as_ref().map_or("somebody", |(act, ..)| act.word()).to_string();
            let name = group.act.as_ref().map(|(_, name, _)| name.clone()).unwrap_or_default();
            let at = group.at;
            let parts = (group.act, group.meaning, group.number, group.digests);
            let (Some((act, name, date)), Some(meaning), Some((number, revision)), Some([calculation, telling, values])) = parts else {
                if !self.torn.contains(&group.mark) {
                    self.refuse(at, &SignatureAltered { role, name, how: "one of its four lines is missing".into() });
                }
                continue;
            };
            let signature = Signature { act, name, date, meaning, number, revision, calculation, telling, values };
            let how = match self.states.get(&signature.values) {
                None => "the values that were signed are missing from the record".to_string(),
                Some(state) if mark(state) != signature.values => {
                    format!("the values that were signed do not agree with their mark {}", signature.values)
                }
                Some(_) if mark(&signature.said()) != group.mark => format!("its lines do not agree with its mark {}", group.mark),
                Some(_) => String::new(),
            };
            if !how.is_empty() {
                self.refuse(at, &SignatureAltered { role, name: signature.name, how });
                continue;
            }
            signatures.push(Placed { signature, span: self.home.span(at) });
        }
        Record { signatures, states: self.states, sound: self.sound }
    }
}

fn is_mark(text: &str) -> bool {
    text.len() == MARK && text.bytes().all(|byte| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte))
}

fn first(found: &[Field]) -> String {
    found.first().map(|field| field.text.chars().take(24).collect()).unwrap_or_default()
}
