//! Slips that can be told for what they are: a sign or a word from elsewhere, a range for a value, lines run together.

use crate::diagnostics::catalogue::slips;
use crate::source::Extent;
use crate::syntax::expression::Fault;
use crate::syntax::layout::EVIDENCE;

/// What stopped the parser, as far as slips go.
pub(crate) struct Stop<'t> {
    /// The whole piece.
    pub(crate) text: &'t str,
    /// Where its text begins.
    pub(crate) base: u32,
    /// Where in it the parser stopped.
    pub(crate) at: usize,
    /// Whether a value may stand there.
    pub(crate) value: bool,
    /// Whether the piece may end there.
    pub(crate) end: bool,
    /// Whether a sign of equality may stand there.
    pub(crate) equals: bool,
    /// Whether a comparison sign may stand there.
    pub(crate) compared: bool,
}

fn is_word(letter: char) -> bool {
    letter.is_alphanumeric() || letter == '_'
}

fn first_word(text: &str) -> &str {
    text.get(..text.find(|c: char| !is_word(c)).unwrap_or(text.len())).unwrap_or("")
}

fn last_word(text: &str) -> &str {
    text.rsplit(|c: char| !is_word(c)).next().unwrap_or("")
}

// The number that `text` ends with, or begins with.
fn number_behind(text: &str) -> &str {
    let word = text.rsplit(|c: char| !(c.is_ascii_digit() || c == '.' || c == '_')).next().unwrap_or("");
    if word.starts_with(|c: char| c.is_ascii_digit()) { word } else { "" }
}

fn number_ahead(text: &str) -> &str {
    text.get(..text.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '_')).unwrap_or(text.len())).unwrap_or("")
}

impl Stop<'_> {
    fn rest(&self) -> &str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn before(&self) -> &str {
        self.text.get(..self.at).unwrap_or("").trim_end()
    }

    fn place(&self, start: usize, end: usize) -> Extent {
        Extent::new(start, end).shifted(self.base)
    }

    /// The slip, where it is one of those known.
    pub(crate) fn slip(&self) -> Option<Fault> {
        self.run_on()
            .or_else(|| self.setting())
            .or_else(|| self.sign())
            .or_else(|| self.apart())
            .or_else(|| self.unsettled())
            .or_else(|| self.word())
    }

    // The rest of a line that was only meant to stand below the one above.
    fn run_on(&self) -> Option<Fault> {
        let (_, below) = self.before().split_once('\n').or_else(|| self.text.get(..self.at)?.split_once('\n'))?;
        let word = first_word(self.rest());
        let first = below.rsplit('\n').next().is_none_or(|line| line.trim().is_empty());
        (first && !word.is_empty() && word.starts_with(char::is_alphabetic))
            .then(|| Fault::new(self.place(self.at, self.at + word.len()), slips::RunsOn { word: word.into() }))
    }

    // `parts = 3` below a machine: the value begins with a sign.
    fn setting(&self) -> Option<Fault> {
        let sign = self.rest().chars().next().filter(|c| *c == '=' || *c == ':')?;
        (self.at == 0).then(|| self.other_sign(1, sign.into(), "write the value straight after the name, with a blank between them", None))
    }

    fn other_sign(&self, length: usize, found: String, mend: &str, why: Option<&str>) -> Fault {
        let finding = slips::OtherSign { found, mend: mend.into(), why: why.map(String::from) };
        Fault::new(self.place(self.at, self.at + length), finding)
    }

    fn sign(&self) -> Option<Fault> {
        let rest = self.rest();
        let form = first_word(self.text);
        let before = self.before();
        let told = |found: &str, mend: &str| Some(self.other_sign(found.len(), found.into(), mend, None));
        if rest.starts_with("**") {
            return told("**", "a power is written `^`");
        }
        if rest.starts_with("//") || rest.starts_with('/') && before.ends_with('/') {
            let start = if before.ends_with('/') { before.len() - 1 } else { self.at };
            let mend = "a comment begins with `#`".into();
            return Some(Fault::new(self.place(start, start + 2), slips::OtherSign { found: "//".into(), mend, why: None }));
        }
        if self.value && before.ends_with("--") {
            let mend = "a comment begins with `#`".into();
            let place = self.place(before.len() - 2, before.len());
            return Some(Fault::new(place, slips::OtherSign { found: "--".into(), mend, why: None }));
        }
        if self.end && rest.starts_with("--") || self.value && rest.starts_with('-') && before.ends_with('-') {
            return told("--", "a comment begins with `#`");
        }
        if self.end && rest.starts_with(';') {
            return told(";", "leave it out: the end of the line ends a statement, and each statement has a line of its own");
        }
        if self.end && rest.starts_with(',') && !["vary", "propagate", "readings", "size", "train", "law"].contains(&form) {
            let behind = first_word(rest.trim_start_matches(',').trim_start());
            return told(
                ",",
                if evidence(behind) { "leave it out: a blank parts a value from what is said of it" } else { "write one statement a line" },
            );
        }
        if let Some(raised) = rest.chars().next().filter(|c| "⁰¹²³⁴⁵⁶⁷⁸⁹⁻".contains(*c)) {
            return told(&raised.to_string(), "a power of a value is written `^`, as in `x^2`; raised figures stand in units");
        }
        if rest.starts_with('\'') && !number_behind(before).is_empty() {
            let minutes = number_behind(before);
            return told("'", &format!("minutes of arc are written `{minutes}′` or `{minutes} arcmin`, feet `{minutes} ft`"));
        }
        if rest.starts_with('\'') && evidence(last_word(before)) {
            return told("'", "text stands in plain double quotation marks, as in `from \"weighbridge ticket\"`");
        }
        if self.equals && rest.starts_with(':') {
            return told(":", "write `=` before a value, and before the kind of a machine");
        }
        if self.end && rest.starts_with('=') && ["gear", "instrument", "kind"].contains(&form) {
            return told("=", &format!("leave it out: `{form}` has its values on indented lines below it"));
        }
        if let Some(dash) = rest.chars().next().filter(|c| self.end && "–—".contains(*c))
            && number_behind(before).is_empty()
            && !measured(before)
        {
            return told(&dash.to_string(), "to subtract, write `-`; this is the dash of running text");
        }
        if rest.starts_with('±') && ["take", "assume"].contains(&form) && before.rfind('[') > before.rfind(']') {
            return told("±", "a doubt stands once behind the list, and each item has it for itself: `[1 m, 2 m] ± 0.1 m`");
        }
        if self.end && rest.starts_with('[') && before.ends_with(']') {
            return told("[", "give the list a name first; `name[1]` is then its first item");
        }
        if (self.compared || self.value) && rest.starts_with("=<") {
            return told("=<", "write `<=`");
        }
        if (self.compared || self.value) && rest.starts_with("=>") {
            return told("=>", "write `>=`");
        }
        if rest.starts_with('~') || rest.starts_with('≈') {
            let sign = rest.chars().next().map(String::from).unwrap_or_default();
            return Some(self.guess(sign.len(), &sign));
        }
        None
    }

    // A name in several words, before the `=` that gives it its value.
    fn apart(&self) -> Option<Fault> {
        if !self.equals {
            return None;
        }
        let form = first_word(self.text);
        if !["take", "assume", "gear", "machine", "load", "law", "readings"].contains(&form) {
            return None;
        }
        let behind = self.text.get(form.len()..).unwrap_or("");
        let said = behind.get(..behind.find(['=', ':', '"', '\n'])?).unwrap_or("").trim();
        let words: Vec<&str> = said.split([' ', '-', '\t']).filter(|word| !word.is_empty()).collect();
        let plain =
            words.len() > 1 && words.iter().all(|word| word.chars().all(is_word) && !word.starts_with(|c: char| c.is_ascii_digit()));
        let start = form.len() + behind.len() - behind.trim_start().len();
        (plain && self.at > start && self.at < start + said.len()).then(|| {
            let finding = slips::NameApart { found: said.into(), mended: words.join("_") };
            Fault::new(self.place(start, start + said.len()), finding)
        })
    }

    // Text in quotation marks behind a value, without the word that says what it is.
    fn unsaid(&self, form: &str) -> Fault {
        let rest = self.rest();
        let end = rest.get(1..).and_then(|text| text.find(['"', '\n'])).map_or(rest.len(), |at| at + 2).min(rest.len());
        let found = rest.get(..end).unwrap_or("\"").trim_end();
        let word = if form == "assume" { "because" } else { "from" };
        let mend = format!("write `{word} {found}` if it is the reason for the value; a label stands behind the name, before the `=`");
        let mend = if form == "take" { mend.replace("the reason for the value", "where the value comes from") } else { mend };
        Fault::new(self.place(self.at, self.at + found.len()), slips::OtherWord { found: found.into(), mend })
    }

    fn guess(&self, length: usize, found: &str) -> Fault {
        let mend = "write the value with how well it is known, as in `96 kg ± 5 kg`";
        let finding = slips::ValueNotSettled { found: found.into(), mend: mend.into() };
        Fault::new(self.place(self.at, self.at + length), finding)
    }

    // `94 to 98 kg`, `about 96 kg`, `1 096 kg`.
    fn unsettled(&self) -> Option<Fault> {
        let (rest, before) = (self.rest(), self.before());
        let word = first_word(rest);
        if !self.end {
            return None;
        }
        if ["about", "approx", "approximately", "roughly", "circa", "ca", "say", "max", "min"].contains(&last_word(before)) {
            let start = before.len() - last_word(before).len();
            let finding = slips::ValueNotSettled {
                found: last_word(before).into(),
                mend: "write the value with how well it is known, as in `96 kg ± 5 kg`".into(),
            };
            return Some(Fault::new(self.place(start, before.len()), finding));
        }
        let sign = rest.chars().next().filter(|c| *c == '–' || *c == '—').map(String::from);
        let joint = if word == "to" { Some("to".to_string()) } else { sign };
        let joint = joint.or_else(|| rest.starts_with("..").then(|| "..".to_string()));
        if let Some(joint) = joint
            && !number_ahead(rest.get(joint.len()..).unwrap_or("").trim_start()).is_empty()
        {
            let ahead = rest.get(joint.len()..).unwrap_or("");
            let high = number_ahead(ahead.trim_start());
            let after = ahead.trim_start().get(high.len()..).unwrap_or("");
            let unit = after.trim_start().split(char::is_whitespace).next().unwrap_or("");
            let unit = if after.starts_with('\n') || evidence(unit) || unit.starts_with('"') { "" } else { unit };
            let low = before.trim_end_matches(|c: char| c.is_alphabetic() || "°%/·^".contains(c)).trim_end();
            let low = number_behind(low);
            let end = self.at + joint.len() + (ahead.len() - ahead.trim_start().len()) + high.len();
            let start = before.rfind(low).unwrap_or(self.at);
            return Some(Fault::new(
                self.place(start, end),
                slips::ValueNotSettled {
                    found: self.text.get(start..end).unwrap_or("").into(),
                    mend: format!("write the middle and half the width, {}; to try several values, write `vary`", middle(low, high, unit)),
                },
            ));
        }
        let behind = number_behind(before);
        let ahead = number_ahead(rest);
        let grouped = ahead.split('.').next().is_some_and(|whole| whole.len() == 3) && !behind.is_empty() && !behind.contains('.');
        grouped.then(|| {
            let start = before.len() - behind.len();
            let mut end = self.at + ahead.len();
            // `1 234 567` to its end.
            while let Some(more) =
                self.text.get(end..).map(|more| number_ahead(more.strip_prefix(' ').unwrap_or(""))).filter(|more| more.len() == 3)
            {
                end += 1 + more.len();
            }
            let found = self.text.get(start..end).unwrap_or("");
            Fault::new(self.place(start, end), slips::DigitsApart { found: found.into(), mended: found.replace(' ', "_") })
        })
    }

    // A word that begins another value, or is of everyday speech.
    fn word(&self) -> Option<Fault> {
        let (rest, before) = (self.rest(), self.before());
        let form = first_word(self.text);
        let found = first_word(rest);
        if self.end && (rest.starts_with('±') || rest.starts_with("+/-")) {
            let length = if rest.starts_with('±') { '±'.len_utf8() } else { 3 };
            let place = self.place(self.at, self.at + length);
            return before.contains('=').then(|| Fault::new(place, slips::DoubtInWorking { name: form.into() }));
        }
        if self.end && (form == "machine" || form == "load") && before.contains('=') && !found.is_empty() {
            let (_, kind) = self.text.split_once('=')?;
            let kind = kind.split(['"', '\n']).next().unwrap_or("").trim();
            let start = self.text.len() - self.text.split_once('=')?.1.trim_start().len();
            if form == "load"
                && kind
                    .split_whitespace()
                    .any(|word| !word.chars().all(char::is_alphabetic) || evidence(word) || ["in", "to"].contains(&word))
            {
                return self.beside(found);
            }
            return Some(Fault::new(self.place(start, start + kind.len()), slips::KindInWords { found: kind.into() }));
        }
        self.beside(found)
    }

    // What stands behind a whole value.
    fn beside(&self, found: &str) -> Option<Fault> {
        let (rest, before) = (self.rest(), self.before());
        let form = first_word(self.text);
        let place = self.place(self.at, self.at + found.len());
        if form == "check" && self.end && (found == "and" || found == "or" || rest.starts_with('&')) {
            let length = if found.is_empty() { 1 } else { found.len() };
            return Some(Fault::new(self.place(self.at, self.at + length), slips::TwoInOneCheck {}));
        }
        let unit = rest.get(found.len()..).unwrap_or("").trim();
        if self.end && (found == "in" || found == "to" || found == "into") {
            let unit = unit.split_whitespace().next().unwrap_or("kN");
            return Some(Fault::new(
                place,
                slips::OtherWord { found: found.into(), mend: format!("write `as {unit}` for the unit that is printed") },
            ));
        }
        if ["take", "assume"].contains(&form) && self.end && before.contains('=') && rest.starts_with('"') {
            return Some(self.unsaid(form));
        }
        let begins = found.starts_with(|c: char| c.is_alphanumeric() || c == '_') && !evidence(found);
        if !begins || !self.end && (!self.compared || before.ends_with(['"', ')', ']'])) {
            return None;
        }
        if ["take", "assume"].contains(&form) && self.end && found.starts_with(char::is_alphabetic) {
            let mend = "where a value comes from stands behind `from`, or a word like it, in quotation marks: `from \"ticket\"`";
            let whole = measured(before) && found.chars().count() < 4 && rest.get(found.len()..).is_none_or(at_an_end);
            let mend =
                if whole { format!("if it belongs to the unit, join it: `{}·{found}`; {mend}", last_word(before)) } else { mend.into() };
            return Some(Fault::new(place, slips::OtherWord { found: found.into(), mend }));
        }
        let (left, right) = (last_word(before), found);
        let named = |word: &str| word.starts_with(|c: char| c.is_alphabetic() || c == '_');
        let mut mends = Vec::new();
        if before.ends_with('%') {
            mends.push(format!("to take a share, write `% * {right}`"));
        } else if left == "x" || left == "X" {
            mends.push(format!("to multiply, write `*`, as in `2 * {right}`"));
        } else if named(left) && named(right) {
            mends.push(format!("if it is one name, write `{left}_{right}`"));
            mends.push(format!("to multiply, `{left} * {right}`"));
            mends.push(format!("a function takes brackets, `{left}({right})`"));
        } else if named(left) {
            mends.push(format!("a function takes brackets, `{left}({right})`"));
            mends.push(format!("to multiply, write `{left} * {right}`"));
        } else if !left.is_empty() {
            mends.push(format!("to multiply, write `{left} * {right}`"));
        } else {
            mends.push("write `*` to multiply".into());
        }
        // Behind text in quotation marks nothing is multiplied.
        if before.ends_with('"') || ["law", "agreement", "size"].contains(&form) || form == "readings" || form == "sheet" {
            return None;
        }
        let left = if left.is_empty() { before.chars().next_back().map(String::from).unwrap_or_default() } else { left.into() };
        Some(Fault::new(place, slips::OperatorMissing { left, right: right.into(), mends }))
    }
}

// Whether `text` ends with a number and a word behind it, its unit.
fn measured(text: &str) -> bool {
    let number = text.trim_end_matches(|c: char| c.is_alphabetic() || "°%/·^²³".contains(c));
    number.len() < text.len() && !number_behind(number.trim_end()).is_empty()
}

// Whether nothing but what is said of a value follows.
fn at_an_end(rest: &str) -> bool {
    let rest = rest.trim_start();
    rest.is_empty() || rest.starts_with('±') || rest.starts_with("+/-") || evidence(first_word(rest))
}

fn evidence(word: &str) -> bool {
    EVIDENCE.contains(&word) || ["as", "by", "for", "when"].contains(&word)
}

// `94`, `98`, `kg` as a middle with half the width.
fn middle(low: &str, high: &str, unit: &str) -> String {
    let number = |text: &str| text.replace('_', "").parse::<f64>().ok();
    match (number(low), number(high)) {
        (Some(low), Some(high)) if high > low => {
            let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
            // Halves of what was typed, without the dust of the machine's own numbers.
            let tidy = |value: f64| {
                let text = format!("{value:.6}");
                text.trim_end_matches('0').trim_end_matches('.').to_string()
            };
            format!("`{}{unit} ± {}{unit}`", tidy((low + high) / 2.0), tidy((high - low) / 2.0))
        }
        _ => "as in `96 kg ± 2 kg`".into(),
    }
}
