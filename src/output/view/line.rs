//! Quantities, rows of inputs and lines of working as the templates print them.

use crate::output::beside::{Beside, way};
use crate::output::linear::is_tight;
use crate::output::mathml::{escape, mathml};
use crate::sheet::parts::{CorrelationRow, Figure, GearRow, InputRow, Math, WorkingLine};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// What the whole page has in common: the ids given out, where links may lead, and the numbers of the lines.
#[derive(Debug, Default)]
pub(super) struct Shared<'a> {
    /// Ids already on the page.
    pub taken: BTreeSet<String>,
    /// Ids that stand in the author's prose.
    pub written: BTreeSet<String>,
    /// Anchors that the rest of the page is going to print.
    pub known: BTreeSet<&'a str>,
    /// Line numbers by anchor.
    pub numbers: BTreeMap<&'a str, &'a str>,
    /// Trains set so far.
    pub trains: usize,
    /// Where the page is going to stand, counted from the folder it is written to.
    pub place: &'a str,
    /// The path of the sheet.
    pub path: &'a str,
    /// The pages written together with it.
    pub beside: Option<&'a Beside>,
}

impl<'a> Shared<'a> {
    /// Notes that `anchor` is going to be printed.
    pub fn know(&mut self, anchor: &'a str) {
        if is_fit(anchor) {
            self.known.insert(anchor);
        }
    }

    /// Notes that `line` is going to be printed.
    pub fn number(&mut self, line: &'a WorkingLine) {
        self.know(&line.anchor);
        self.numbers.entry(&line.anchor).or_insert(&line.number);
    }

    /// The anchor a link may lead to; empty where the page has no such place.
    pub fn link<'b>(&self, anchor: &'b str) -> &'b str {
        if self.known.contains(anchor) || self.written.contains(anchor) { anchor } else { "" }
    }

    /// The id for `anchor`: itself where it is first printed, empty where it is printed again or cannot be an id.
    pub fn claim(&mut self, anchor: &str) -> String {
        if is_fit(anchor) && self.taken.insert(anchor.to_owned()) { anchor.to_owned() } else { String::new() }
    }
}

impl Shared<'_> {
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

/// An id holds no blanks, and those of the page's own parts begin with `sheet.`, which no name can.
fn is_fit(anchor: &str) -> bool {
    !anchor.is_empty() && !anchor.contains(char::is_whitespace) && !anchor.starts_with("sheet.")
}

/// A quantity in two parts, so that numbers and units can be lined up under each other.
#[derive(Debug, Serialize)]
pub(super) struct Quantity<'a> {
    amount: &'a str,
    unit: &'a str,
    spoken: &'a str,
    /// Whether the unit stands against the number.
    tight: bool,
}

impl<'a> Quantity<'a> {
    pub fn new(figure: &'a Figure) -> Self {
        // Cut from the printed text, not put together again, so that the page shows what the sheet says.
        let amount = if figure.unit.is_empty() { None } else { figure.text.strip_suffix(figure.unit.as_str()) };
        match amount {
            Some(amount) => {
                let trimmed = amount.trim_end();
                let tight = trimmed.len() == amount.len() || is_tight(&figure.unit);
                Quantity { amount: trimmed, unit: &figure.unit, spoken: &figure.unit_spoken, tight }
            }
            None => Quantity { amount: &figure.text, unit: "", spoken: "", tight: true },
        }
    }

    pub fn maybe(figure: &'a Option<Figure>) -> Option<Self> {
        figure.as_ref().map(Quantity::new)
    }
}

/// A row of inputs, assumptions, settings or ratings.
#[derive(Debug, Serialize)]
pub(super) struct Input<'a> {
    id: String,
    anchor: &'a str,
    name: &'a str,
    symbol_html: String,
    label: &'a str,
    value: Option<Quantity<'a>>,
    doubt_stated: &'a str,
    evidence: &'a str,
    source: &'a str,
    effect: &'a str,
    state: &'a str,
}

impl<'a> Input<'a> {
    pub fn new(row: &'a InputRow, shared: &mut Shared<'_>) -> Self {
        Input {
            id: shared.claim(&row.anchor),
            anchor: shared.link(&row.anchor),
            name: &row.name,
            symbol_html: named(&row.symbol),
            label: &row.label,
            value: Quantity::maybe(&row.figure),
            doubt_stated: &row.doubt_stated,
            evidence: &row.evidence,
            source: &row.source,
            effect: &row.effect,
            state: &row.state,
        }
    }

    pub fn all(rows: &'a [InputRow], shared: &mut Shared<'_>) -> Vec<Self> {
        rows.iter().map(|row| Input::new(row, shared)).collect()
    }
}

/// A symbol for a narrow column: a name of several letters as words that can be broken between lines, which mathematics
/// cannot; a single letter as mathematics.
pub(super) fn named(symbol: &Math) -> String {
    match symbol {
        Math::Symbol { base, subscript, index, .. } if index.is_empty() && base.chars().count() > 2 => {
            let below = if subscript.is_empty() { String::new() } else { format!("<sub>{}</sub>", escape(subscript)) };
            format!("<span class=\"name\">{}</span>{below}", escape(base))
        }
        _ => mathml(symbol, false),
    }
}

/// Words in which names stand between back quotes, with the names set as names.
pub(super) fn ticked_names(text: &str) -> String {
    let set = |(place, part): (usize, &str)| match place % 2 {
        0 => escape(part),
        _ => format!("<span class=\"name\">{}</span>", escape(&part.replace('_', " "))),
    };
    text.split('`').enumerate().map(set).collect()
}

/// A piece of gear.
#[derive(Debug, Serialize)]
pub(super) struct Gear<'a> {
    id: String,
    name: &'a str,
    label: &'a str,
    ratings: Vec<Input<'a>>,
}

impl<'a> Gear<'a> {
    pub fn new(row: &'a GearRow, shared: &mut Shared<'_>) -> Self {
        Gear { id: shared.claim(&row.anchor), name: &row.name, label: &row.label, ratings: Input::all(&row.ratings, shared) }
    }
}

/// A correlation of two inputs.
#[derive(Debug, Serialize)]
pub(super) struct CorrelationView<'a> {
    first_html: String,
    first_anchor: &'a str,
    second_html: String,
    second_anchor: &'a str,
    text: &'a str,
    source: &'a str,
}

impl<'a> CorrelationView<'a> {
    pub fn new(row: &'a CorrelationRow, shared: &mut Shared<'_>) -> Self {
        CorrelationView {
            first_html: named(&row.first.symbol),
            first_anchor: shared.link(&row.first.anchor),
            second_html: named(&row.second.symbol),
            second_anchor: shared.link(&row.second.anchor),
            text: &row.text,
            source: &row.source,
        }
    }
}

/// A line of working.
#[derive(Debug, Serialize)]
pub(super) struct Line<'a> {
    id: String,
    number: &'a str,
    name: &'a str,
    label: &'a str,
    symbol_html: String,
    formula_html: String,
    substitution_html: String,
    result: Option<Quantity<'a>>,
    items: Vec<Quantity<'a>>,
    reference: &'a str,
    /// The lines it was worked from that have a number.
    from: Vec<Link<'a>>,
}

fn some(text: &str) -> Option<&str> {
    if text.is_empty() { None } else { Some(text) }
}

/// A number that leads to a line.
#[derive(Debug, Serialize)]
pub(super) struct Link<'a> {
    anchor: &'a str,
    number: &'a str,
}

impl<'a> Line<'a> {
    pub fn new(line: &'a WorkingLine, shared: &mut Shared<'a>) -> Self {
        let from = line.worked_from.iter().filter(|anchor| **anchor != line.anchor);
        Line {
            id: shared.claim(&line.anchor),
            number: &line.number,
            name: &line.name,
            label: &line.label,
            symbol_html: named(&line.symbol),
            formula_html: mathml(&line.formula, true),
            substitution_html: line.substitution.as_ref().map_or(String::new(), |substitution| mathml(substitution, true)),
            result: Quantity::maybe(&line.result),
            items: line.items.iter().map(Quantity::new).collect(),
            reference: &line.reference,
            from: from
                .filter_map(|anchor| Some(Link { anchor: some(shared.link(anchor))?, number: shared.numbers.get(anchor.as_str())? }))
                .collect(),
        }
    }

    pub fn all(lines: &'a [WorkingLine], shared: &mut Shared<'a>) -> Vec<Self> {
        lines.iter().map(|line| Line::new(line, shared)).collect()
    }
}
