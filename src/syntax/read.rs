//! The way through one fence: cut it into statements, read each on its own, keep what is broken with its name.

use crate::diagnostics::catalogue::{slips, syntax};
use crate::diagnostics::{Sink, nearest};
use crate::source::{Extent, Home};
use crate::syntax::ast::{Ast, Broken, DoubtAlone, KindItem, Name, Setting, Stated, Statement};
use crate::syntax::expression::{Fault, Lowered, Reader};
use crate::syntax::layout::EVIDENCE;
use crate::syntax::lower::Under;
use crate::syntax::parser::{Grammar, Piece, Rule};
use crate::syntax::split::{Line, groups, lines, whole};
use crate::syntax::{names, quick_lines, recover};
use pest::Parser;

const STATEMENTS: [&str; 18] = [
    "law",
    "agreement",
    "exercise",
    "sheet",
    "take",
    "assume",
    "gear",
    "instrument",
    "correlation",
    "machine",
    "train",
    "check",
    "vary",
    "size",
    "propagate",
    "kind",
    "use",
    "readings",
];
const ITEMS: [&str; 10] = ["field", "option", "from", "gives", "relation", "node", "limit", "question", "sustains", "caution"];

/// Reads the whole of one fence.
pub fn parse(text: &str, home: Home, sink: &mut Sink) -> Ast {
    let lines = lines(text);
    let margin = lines.iter().take_while(|line| line.indent > 0).count();
    let (loose, rest) = lines.split_at(margin);
    let mut statements = Vec::new();
    if let Some(first) = loose.first() {
        sink.push(home.span(first.at), &syntax::LineWithoutStatement {});
        let at = whole(loose);
        statements.push(Statement::Broken(Broken { name: None, text: cut(text, at).to_string(), at }));
    }
    let rest = below_their_statements(text, rest, home, sink);
    for group in groups(&rest) {
        statements.push(statement(text, group, home, sink));
    }
    Ast { statements }
}

// Lines that begin at the margin and yet belong to the statement just above, which are told and read as if they were indented.
fn below_their_statements(text: &str, lines: &[Line], home: Home, sink: &mut Sink) -> Vec<Line> {
    let mut read = lines.to_vec();
    let mut above: Option<(&str, Extent)> = None;
    let mut told = None;
    for (place, line) in lines.iter().enumerate() {
        if line.indent > 0 {
            continue;
        }
        let said = cut(text, line.at);
        let word = head_word(said);
        if let Some((form, at)) = above
            && says_of(form, word, said)
        {
            // Once for each statement: what is wrong with the lines below is the same.
            if told != Some(at) {
                told = Some(at);
                let above = at_head(cut(text, at));
                let span = home.span(Extent::new(0, word.len()).shifted(line.at.start));
                sink.push(span, &slips::NotIndented { word: word.into(), above });
            }
            let mut beside = [place + 1, place.wrapping_sub(1)].into_iter().filter_map(|at| lines.get(at)).map(|line| line.indent);
            let indent = beside.find(|indent| *indent > 0).unwrap_or(4);
            read.get_mut(place).into_iter().for_each(|line| line.indent = indent);
        } else {
            above = Some((word, line.at));
        }
    }
    read
}

// The statement in two words, `machine falls`.
fn at_head(said: &str) -> String {
    let words: Vec<&str> = said.split(|c: char| !(c.is_alphanumeric() || c == '_')).filter(|word| !word.is_empty()).take(2).collect();
    format!("`{}`", words.join(" "))
}

// Whether a line at the margin that begins with `word` can only be meant as one of the statement `form` above it.
fn says_of(form: &str, word: &str, said: &str) -> bool {
    if form == "kind" && ITEMS.contains(&word) {
        return true;
    }
    if EVIDENCE.contains(&word) {
        return said.get(word.len()..).is_some_and(|rest| rest.trim_start().starts_with('"'));
    }
    if !["sheet", "gear", "instrument", "machine", "load", "train", "propagate", "law", "exercise"].contains(&form) {
        return false;
    }
    let plain = said.split('"').step_by(2).collect::<String>();
    let other = STATEMENTS.contains(&word) || plain.contains(['=', '>', '→']) || plain.contains("≤");
    // Looked for last: to hold a word against every other takes longer than to read its line.
    let near = || !nearest(word, STATEMENTS).is_empty() && !["date", "load"].contains(&word);
    !other && word.starts_with(char::is_alphabetic) && !near()
}

/// Reads the value part of a setting: `VALUE [± DOUBT] [as UNIT] EVIDENCE*`. `text` begins `offset` bytes into its home.
pub fn stated(text: &str, offset: u32, home: Home, sink: &mut Sink) -> Option<Stated> {
    quick_lines::stated(text, offset).or_else(|| told(stated_by_grammar(text, offset), home, sink))
}

/// Reads a doubt that stands alone: `± DOUBT EVIDENCE*`. `text` begins `offset` bytes into its home.
pub fn doubt(text: &str, offset: u32, home: Home, sink: &mut Sink) -> Option<DoubtAlone> {
    told(alone(Rule::doubt_alone, text, offset, |reader, piece| reader.doubt_alone(piece)), home, sink)
}

/// Reads the inside of an inline value: `EXPRESSION [as UNIT]`.
pub fn inline(text: &str, home: Home, sink: &mut Sink) -> Option<Stated> {
    quick_lines::inline(text, 0).or_else(|| told(inline_by_grammar(text), home, sink))
}

pub(super) fn stated_by_grammar(text: &str, offset: u32) -> Lowered<Stated> {
    alone(Rule::stated_alone, text, offset, |reader, piece| reader.stated(piece.clone().into_inner(), reader.at(piece)))
}

pub(super) fn inline_by_grammar(text: &str) -> Lowered<Stated> {
    alone(Rule::inline_alone, text, 0, |reader, piece| reader.stated(piece.clone().into_inner(), reader.at(piece)))
}

fn told<T>(read: Lowered<T>, home: Home, sink: &mut Sink) -> Option<T> {
    match read {
        Ok(value) => Some(value),
        Err(fault) => {
            sink.push(home.span(fault.at), fault.finding.as_ref());
            None
        }
    }
}

fn cut(text: &str, at: Extent) -> &str {
    text.get(at.range()).unwrap_or("")
}

// Reads `text`, which begins `base` bytes into its home, as one whole `rule`.
fn alone<T>(rule: Rule, text: &str, base: u32, lower: impl FnOnce(&Reader, &Piece<'_>) -> Lowered<T>) -> Lowered<T> {
    if let Some(fault) = recover::scan(text, base) {
        return Err(fault);
    }
    let mut pieces = Grammar::parse(rule, text).map_err(|error| recover::diagnose(text, base, &error))?;
    let reader = Reader::new(base);
    let piece = reader.promised(pieces.next(), Extent::new(0, text.len()).shifted(base), "a value")?;
    lower(&reader, &piece)
}

fn head_word(text: &str) -> &str {
    let end = text.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(text.len());
    text.get(..end).unwrap_or("")
}

/// The form of the statement `all`, which begins with `word`.
pub(super) fn form_of(word: &str, all: &str) -> Rule {
    match word {
        "sheet" => Rule::sheet,
        "take" => Rule::take,
        "assume" => Rule::assume,
        "gear" => Rule::gear,
        "instrument" => Rule::instrument,
        "correlation" => Rule::correlation,
        "machine" => Rule::machine,
        "train" => Rule::train,
        "check" => Rule::check,
        "vary" => Rule::vary,
        "size" => Rule::size,
        "law" => Rule::law,
        "agreement" => Rule::agreement,
        "exercise" => Rule::exercise,
        "propagate" => Rule::propagate,
        "kind" => Rule::kind,
        "use" => Rule::use_file,
        "readings" => Rule::readings,
        // `load trailer = resistance` states a load; `load = weight(boat)` is a working line like any other.
        "load" if names_a_load(all) => Rule::load_as,
        _ => Rule::definition,
    }
}

/// Whether a statement of the form `rule` has lines of another form below its own.
pub(super) fn has_lines(rule: Rule) -> bool {
    matches!(
        rule,
        Rule::sheet
            | Rule::gear
            | Rule::instrument
            | Rule::machine
            | Rule::load_as
            | Rule::train
            | Rule::propagate
            | Rule::law
            | Rule::exercise
            | Rule::kind
            | Rule::readings
    )
}

fn statement(text: &str, group: &[Line], home: Home, sink: &mut Sink) -> Statement {
    let at = whole(group);
    let first = group.first().map_or(at, |line| line.at);
    let all = cut(text, at);
    let word = head_word(all);
    let rule = form_of(word, all);
    let with_lines = has_lines(rule);
    let below = group.get(1..).unwrap_or(&[]);
    let under = |sink: &mut Sink| match rule {
        Rule::kind => Under { settings: Vec::new(), items: groups(below).into_iter().map(|lines| item(text, lines, home, sink)).collect() },
        // A row of a table never runs on, however its numbers are lined up.
        Rule::readings => Under { settings: below.chunks(1).map(|line| setting(text, line)).collect(), items: Vec::new() },
        _ if with_lines => Under { settings: groups(below).into_iter().map(|lines| setting(text, lines)).collect(), items: Vec::new() },
        _ => Under::default(),
    };
    let own = if with_lines { cut(text, first) } else { all };
    if let Some(mut read) = quick_lines::statement(rule, own, at.start) {
        under(sink).put(&mut read);
        return read;
    }
    let rest = all.get(word.len()..).unwrap_or("").trim_start();
    let read = match refused(word, rest, rule, first, all) {
        Some(fault) => Err(fault),
        None => alone(rule, own, at.start, |reader, piece| reader.statement(piece, under(sink))),
    };
    told(read, home, sink).unwrap_or_else(|| {
        Statement::Broken(Broken { name: broken_name(all, at.start, STATEMENTS.contains(&word)), text: all.to_string(), at })
    })
}

fn names_a_load(all: &str) -> bool {
    all.strip_prefix("load").filter(|rest| rest.starts_with([' ', '\t'])).is_some_and(|rest| {
        let rest = rest.trim_start();
        let after = rest.trim_start_matches(|c: char| c.is_alphanumeric() || c == '_');
        after.len() < rest.len() && after.trim_start().starts_with(['=', '"'])
    })
}

// Statements that are told by their first word alone.
fn refused(word: &str, rest: &str, rule: Rule, first: Extent, all: &str) -> Option<Fault> {
    let at = Extent::new(0, word.len()).shifted(first.start);
    if rule == Rule::load_as {
        return None;
    }
    let given = rest.starts_with('=') && !rest.starts_with("==");
    if given && reserved(word) {
        return Some(Fault::new(at, syntax::ReservedName { word: word.into() }));
    }
    if STATEMENTS.contains(&word) {
        let name = head_word(rest);
        let start = first.start as usize + all.len() - rest.len();
        let named = matches!(
            rule,
            Rule::take
                | Rule::assume
                | Rule::gear
                | Rule::instrument
                | Rule::machine
                | Rule::train
                | Rule::law
                | Rule::kind
                | Rule::readings
        );
        let place = Extent::new(start, start + name.len());
        return match name {
            _ if !named => None,
            name if reserved(name) => Some(Fault::new(place, syntax::ReservedName { word: name.into() })),
            name if name.starts_with(|c: char| c.is_ascii_digit()) => Some(Fault::new(place, syntax::NameWithDigit { found: name.into() })),
            "" if rest.is_empty() || rest.starts_with(['=', '"', ':']) => Some(Fault::new(at, syntax::MissingName { after: word.into() })),
            _ => None,
        };
    }
    if word.is_empty() {
        let letter = all.chars().next()?;
        if letter == '"' || letter == '(' || letter == '[' || letter == ')' || letter == ']' || "“”„«»".contains(letter) {
            return None;
        }
        let at = Extent::new(0, letter.len_utf8()).shifted(first.start);
        return Some(Fault::new(at, syntax::StrangeCharacter { found: letter.to_string() }));
    }
    if word.starts_with(|c: char| c.is_ascii_digit()) {
        return Some(Fault::new(at, syntax::NameWithDigit { found: word.into() }));
    }
    if rest.starts_with(['=', ':']) || rest.starts_with('[') {
        return None;
    }
    // `load` is a word of the language itself, whatever it comes near to.
    let near: Vec<String> = nearest(word, STATEMENTS).into_iter().filter(|_| word != "load").map(String::from).collect();
    // `mean "of three" = ...` is a definition with a label, however near its name comes to a word of the language.
    let labelled = rest.strip_prefix('"').is_some_and(|rest| {
        let plain = rest.replace("\\\"", "");
        plain.split_once('"').is_some_and(|(_, after)| after.trim_start().starts_with('='))
    });
    let follows_word = rest.starts_with(|c: char| c.is_alphanumeric() || c == '_' || c == '"');
    if labelled || (!reserved(word) && near.is_empty() && !(follows_word && rest.contains('='))) {
        return None;
    }
    Some(Fault::new(at, syntax::UnknownStatement { word: word.into(), near }))
}

fn reserved(word: &str) -> bool {
    names::RESERVED.contains(&word)
}

// The name a broken statement would have defined: the first word, or the second behind a word of the language.
fn broken_name(all: &str, base: u32, worded: bool) -> Option<Name> {
    let word = head_word(all);
    let rest = all.get(word.len()..).unwrap_or("");
    let second = head_word(rest.trim_start());
    let follows = second.starts_with(|c: char| c.is_alphabetic() || c == '_');
    let (name, start) = if worded || follows { (second, word.len() + rest.len() - rest.trim_start().len()) } else { (word, 0) };
    let plain = name.starts_with(|c: char| c.is_alphabetic() || c == '_') && !reserved(name);
    plain.then(|| Name { text: names::plain(name), at: Extent::new(start, start + name.len()).shifted(base) })
}

fn setting(text: &str, group: &[Line]) -> Setting {
    let at = whole(group);
    let body = cut(text, at);
    let mut words = Vec::new();
    let mut start = 0;
    for piece in body.split_inclusive(char::is_whitespace) {
        // A colon behind the name is told where the value is read.
        let word = piece.trim_end().trim_end_matches(':');
        let plain = word.chars().all(|c| c.is_alphanumeric() || c == '_') && word.starts_with(|c: char| c.is_alphabetic() || c == '_');
        if !word.is_empty() {
            if !plain {
                break;
            }
            words.push(Name { text: names::plain(word), at: Extent::new(start, start + word.len()).shifted(at.start) });
        }
        start += piece.len();
    }
    Setting { text: body.to_string(), at, words }
}

fn item(text: &str, group: &[Line], home: Home, sink: &mut Sink) -> KindItem {
    let at = whole(group);
    let all = cut(text, at);
    let word = head_word(all);
    let rule = item_form(word);
    if let Some(read) = rule.and_then(|rule| quick_lines::item(rule, all, at.start)) {
        return read;
    }
    let read = match rule {
        Some(rule) => item_by_grammar(rule, all, at.start),
        None => {
            let end = if word.is_empty() { all.chars().next().map_or(0, char::len_utf8) } else { word.len() };
            let found = all.get(..end).unwrap_or("").to_string();
            let near = nearest(word, ITEMS).into_iter().map(String::from).collect();
            Err(Fault::new(Extent::new(0, end).shifted(at.start), syntax::UnknownKindLine { word: found, near }))
        }
    };
    told(read, home, sink)
        .unwrap_or_else(|| KindItem::Broken(Broken { name: broken_name(all, at.start, ITEMS.contains(&word)), text: all.to_string(), at }))
}

/// The form of a line of a kind that begins with `word`.
pub(super) fn item_form(word: &str) -> Option<Rule> {
    Some(match word {
        "field" => Rule::field,
        "option" => Rule::option,
        "from" => Rule::ports,
        "gives" => Rule::gives,
        "relation" => Rule::relation,
        "node" => Rule::node,
        "limit" => Rule::limit,
        "question" => Rule::question,
        "sustains" => Rule::sustains,
        "caution" => Rule::caution,
        _ => return None,
    })
}

pub(super) fn item_by_grammar(rule: Rule, text: &str, base: u32) -> Lowered<KindItem> {
    alone(rule, text, base, |reader, piece| reader.item(piece))
}

#[cfg(test)]
pub(super) fn statement_by_grammar(rule: Rule, text: &str, base: u32) -> Lowered<Statement> {
    alone(rule, text, base, |reader, piece| reader.statement(piece, Under::default()))
}
