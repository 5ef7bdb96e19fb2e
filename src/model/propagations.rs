//! `propagate`: which results are drawn, and how.

use crate::diagnostics::catalogue::draws::DrawsSetting;
use crate::diagnostics::catalogue::machines::FieldTwice;
use crate::model::resolve::Resolver;
use crate::model::settings::{Matched, matched, plain};
use crate::model::studies::Shown;
use crate::source::Span;
use crate::syntax::ast;
use std::collections::BTreeSet;

/// The seed where none is stated: the number of the document that the method comes from.
const SEED: u64 = 101;

/// The most draws where nothing is said.
const MOST: usize = 2_000_000;

const SETTINGS: &[&str] = &["draws", "draws_at_most", "seed", "interval", "level", "digits"];

/// Results whose distributions are drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagation {
    /// The results.
    pub results: Vec<Shown>,
    /// Where the statement stands.
    pub span: Span,
    /// How many draws.
    pub draws: Draws,
    /// Where that is stated; the statement itself where it is not.
    pub draws_span: Span,
    /// Where the generator starts.
    pub seed: u64,
    /// Whether the interval printed is the shortest; otherwise as many draws lie below it as above.
    pub shortest: bool,
    /// How much of the distribution it holds, above 0 and below 1.
    pub level: f64,
    /// How many significant digits of the uncertainty are meant, 1 or 2.
    pub digits: i32,
}

/// How many draws.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Draws {
    /// Just so many.
    Fixed(usize),
    /// Until the results are steady, and no more than so many.
    UpTo(usize),
}

impl Resolver<'_> {
    /// `propagate`. One in a used file says nothing here.
    pub(super) fn propagate(&mut self, propagate: &ast::Propagate) -> Option<usize> {
        if self.home.file != self.root {
            return None;
        }
        let results = self.asked_for(&propagate.results)?;
        let span = self.home.span(propagate.at);
        let (draws, draws_span) = (Draws::UpTo(MOST), span);
        let mut found = Propagation { results, span, draws, draws_span, seed: SEED, shortest: true, level: 0.95, digits: 2 };
        let mut told = BTreeSet::new();
        let mut whole = true;
        for setting in &propagate.settings {
            let Some(line) = matched(setting, |name| SETTINGS.contains(&name)) else {
                self.unknown_setting(setting, "`propagate`", SETTINGS);
                whole = false;
                continue;
            };
            let name = line.name.split('_').next().unwrap_or_default().to_string();
            if !told.insert(name.clone()) {
                self.put(line.name_at, &FieldTwice { name });
                whole = false;
            } else if let Err(wanted) = self.drawn_by(&line, &mut found) {
                let at = if line.rest.is_empty() { line.name_at } else { line.rest_at };
                let said = if line.rest.is_empty() { "nothing".to_string() } else { plain(line.rest) };
                self.put(at, &DrawsSetting { name: line.name.replace('_', " "), found: said, wanted: wanted.into() });
                whole = false;
            }
        }
        if !whole {
            return None;
        }
        self.model.propagations.push(found);
        Some(self.model.propagations.len() - 1)
    }

    // Takes one setting over, or says what is wanted instead.
    fn drawn_by(&self, line: &Matched<'_>, found: &mut Propagation) -> Result<(), &'static str> {
        const COUNT: &str = "a whole number above nought";
        const LEVEL: &str = "a percentage above 0 % and below 100 %";
        let rest = line.rest.trim();
        match line.name.as_str() {
            "seed" => found.seed = whole(rest).ok_or("a whole number")?,
            "interval" => found.shortest = choice(rest, ["shortest", "symmetric"]).ok_or("`shortest` or `symmetric`")?,
            "digits" => found.digits = if choice(rest, ["1", "2"]).ok_or("1 or 2")? { 1 } else { 2 },
            "level" => {
                let percent = rest.strip_suffix('%').map(str::trim).and_then(|number| number.parse::<f64>().ok());
                found.level = percent.filter(|percent| *percent > 0.0 && *percent < 100.0).ok_or(LEVEL)? / 100.0;
            }
            name => {
                let count = whole(rest).and_then(|count| usize::try_from(count).ok()).filter(|count| *count > 0).ok_or(COUNT)?;
                found.draws = if name == "draws" { Draws::Fixed(count) } else { Draws::UpTo(count) };
                found.draws_span = self.home.span(line.rest_at);
            }
        }
        Ok(())
    }
}

// Whether the first of two words stands there; none when neither does.
fn choice(text: &str, [first, second]: [&str; 2]) -> Option<bool> {
    if text == first { Some(true) } else { (text == second).then_some(false) }
}

fn whole(text: &str) -> Option<u64> {
    let digits: String = text.chars().filter(|letter| *letter != '_').collect();
    digits.parse().ok().filter(|_| text.starts_with(|letter: char| letter.is_ascii_digit()))
}
