//! Expressions as most lines write them, read letter by letter into the same tree that the grammar gives, in a fraction of its time.
//!
//! The files under `grammar/` are the language, and pest alone says what is wrong with a text. What stands here reads what is plainly
//! well formed and gives up, without a word, at the first thing that it is not sure of; then the grammar reads the text from its
//! start. `quick_tests.rs` holds the two to the same tree. A clause that is new in the grammar need not be known here.

use crate::source::Extent;
use crate::syntax::ast::{Comparison, Expression, Fold, Form, Name, Operator, Path, Quoted, Relation, Running, Term, UnitText};
use crate::syntax::expression::{finite, star_in_unit, unquoted};
use crate::syntax::names::{self, NO_UNITS, RESERVED};

// How many steps one expression may have here: well below what the grammar's own reader allows to stand inside each other.
const STEPS: usize = 100;

/// A text, and how far it has been read.
pub(super) struct Quick<'t> {
    text: &'t str,
    // How far it was read, and where what was read last ends: blanks behind it belong to nothing.
    at: usize,
    last: usize,
    base: u32,
    steps: usize,
}

impl<'t> Quick<'t> {
    /// Begins to read `text`, which begins `base` bytes into its home; none when it holds a letter that is not known here.
    pub(super) fn new(text: &'t str, base: u32) -> Option<Self> {
        (text.is_ascii() || familiar(text)).then_some(Quick { text, at: 0, last: 0, base, steps: 0 })
    }

    fn rest(&self) -> &'t str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn byte(&self, on: usize) -> u8 {
        self.text.as_bytes().get(self.at + on).copied().unwrap_or(0)
    }

    fn take(&mut self, bytes: usize) {
        self.at += bytes;
        self.last = self.at;
    }

    /// From `start` to the end of what was read last.
    pub(super) fn since(&self, start: usize) -> Extent {
        Extent::new(start, self.last).shifted(self.base)
    }

    pub(super) fn place(&self) -> (usize, usize) {
        (self.at, self.last)
    }

    pub(super) fn back(&mut self, (at, last): (usize, usize)) {
        (self.at, self.last) = (at, last);
    }

    /// Goes past blanks and comments; where the next thing stands.
    pub(super) fn skip(&mut self) -> usize {
        loop {
            match self.byte(0) {
                b' ' | b'\t' | b'\n' | b'\r' => self.at += 1,
                b'#' => self.at += self.rest().find('\n').unwrap_or(self.rest().len()),
                _ => match wide_blank(self.rest()) {
                    0 => return self.at,
                    bytes => self.at += bytes,
                },
            }
        }
    }

    /// Whether nothing is left.
    pub(super) fn at_end(&mut self) -> bool {
        self.skip() == self.text.len()
    }

    /// The word that stands next, letters, digits and `_`; empty when none does.
    pub(super) fn word(&self) -> &'t str {
        let rest = self.rest();
        let end = rest.find(|c: char| !in_name(c)).unwrap_or(rest.len());
        rest.get(..end).unwrap_or("")
    }

    /// Reads `word`, if it stands next.
    pub(super) fn is_word(&mut self, word: &str) -> bool {
        self.skip();
        let found = self.rest().starts_with(word) && self.word().len() == word.len();
        if found {
            self.take(word.len());
        }
        found
    }

    /// Reads `mark`, if it stands next.
    pub(super) fn is_mark(&mut self, mark: &str) -> bool {
        self.skip();
        let found = self.rest().starts_with(mark);
        if found {
            self.take(mark.len());
        }
        found
    }

    pub(super) fn equals(&mut self) -> Option<()> {
        (self.is_mark("=") && self.byte(0) != b'=').then_some(())
    }

    pub(super) fn colon(&mut self) -> Option<()> {
        (self.is_mark(":") && self.byte(0) != b'=').then_some(())
    }

    /// A word that stands next, consumed, as it is written.
    pub(super) fn any_word(&mut self) -> Option<(&'t str, Extent)> {
        let start = self.skip();
        let word = self.word();
        self.take(word.len());
        (!word.is_empty()).then(|| (word, self.since(start)))
    }

    pub(super) fn name(&mut self) -> Option<Name> {
        let (word, at) = self.any_word()?;
        let named = !word.starts_with(|c: char| c.is_ascii_digit()) && !RESERVED.contains(&word);
        named.then(|| Name { text: names::plain(word), at })
    }

    /// Text in quotation marks, if it stands next.
    pub(super) fn label(&mut self) -> Option<Option<Quoted>> {
        self.skip();
        if self.byte(0) == b'"' { self.string().map(Some) } else { Some(None) }
    }

    pub(super) fn string(&mut self) -> Option<Quoted> {
        let start = self.skip();
        let bytes = self.text.as_bytes().get(start..).filter(|bytes| bytes.first() == Some(&b'"'))?;
        let mut end = 1;
        loop {
            match bytes.get(end)? {
                b'"' => break,
                b'\n' => return None,
                b'\\' if !bytes.get(end + 1)?.is_ascii_graphic() => return None,
                b'\\' => end += 2,
                _ => end += 1,
            }
        }
        self.take(end + 1);
        let written = self.text.get(start..self.at)?;
        Some(Quoted { text: unquoted(written), at: self.since(start) })
    }

    /// A name or a dotted chain of names.
    pub(super) fn path(&mut self) -> Option<Path> {
        let start = self.skip();
        let mut parts = vec![self.name()?];
        // A blank behind the dot, of whatever width, ends the path.
        let goes_on =
            |quick: &Self| quick.rest().strip_prefix('.').is_some_and(|rest| rest.starts_with(|c: char| is_letter(c) || c == '_'));
        while goes_on(self) {
            self.take(1);
            match self.word() {
                "each" => {
                    let (text, at) = self.any_word()?;
                    parts.push(Name { text: text.into(), at });
                }
                _ => parts.push(self.name()?),
            }
        }
        Some(Path { parts, at: self.since(start) })
    }

    fn number(&mut self) -> Option<(&'t str, f64)> {
        let start = self.at;
        let digits = |quick: &mut Self| {
            while quick.byte(0).is_ascii_digit() || quick.byte(0) == b'_' {
                quick.take(1);
            }
        };
        digits(self);
        if self.byte(0) == b'.' && self.byte(1).is_ascii_digit() {
            self.take(1);
            digits(self);
        }
        if matches!(self.byte(0), b'e' | b'E') {
            let signed = usize::from(matches!(self.byte(1), b'+' | b'-'));
            // What looks like a minus sign and is none of these is left to the grammar.
            if self.byte(1) >= 0x80 {
                return None;
            }
            if self.byte(1 + signed).is_ascii_digit() {
                self.take(1 + signed);
                while self.byte(0).is_ascii_digit() {
                    self.take(1);
                }
            }
        }
        let typed = self.text.get(start..self.at)?;
        Some((typed, finite(typed)?))
    }

    /// The unit that stands right here, if one does.
    fn unit(&mut self) -> Option<Option<UnitText>> {
        let (start, before) = (self.at, self.place());
        if !self.unit_factor()? {
            self.back(before);
            return Some(None);
        }
        loop {
            let before = self.place();
            let Some(joint) = ["/", "·", "⋅"].into_iter().find(|joint| self.rest().starts_with(joint)) else { break };
            self.take(joint.len());
            if self.byte(0) == b'(' {
                return None;
            }
            if !self.unit_factor()? {
                self.back(before);
                break;
            }
        }
        let text = self.text.get(start..self.at)?.to_string();
        Some(Some(UnitText { text, at: self.since(start) }))
    }

    fn unit_factor(&mut self) -> Option<bool> {
        let first = self.rest().chars().next().unwrap_or(' ');
        match first {
            '%' | '°' => {
                self.take(first.len_utf8());
                let rest = self.rest();
                self.take(rest.find(|c: char| !is_letter(c)).unwrap_or(rest.len()));
            }
            '′' | '″' => self.take(first.len_utf8()),
            _ if is_letter(first) => {
                let word = self.word();
                if NO_UNITS.contains(&word) || RESERVED.contains(&word) {
                    return Some(false);
                }
                self.take(word.len());
                // Spellings such as `ft-lb`, and `6 in 3 steps`, are the grammar's.
                let next = self.rest();
                let counted = word == "in" && next.trim_start().starts_with(|c: char| c.is_ascii_digit());
                if counted || next.starts_with(['-', '\'', '°']) {
                    return None;
                }
            }
            _ => return Some(false),
        }
        self.unit_power()?;
        Some(true)
    }

    fn unit_power(&mut self) -> Option<()> {
        if self.byte(0) == b'^' {
            let signed = usize::from(self.byte(1) == b'-');
            if self.byte(1) >= 0x80 {
                return None;
            }
            if self.byte(1 + signed).is_ascii_digit() {
                self.take(1 + signed);
                while self.byte(0).is_ascii_digit() {
                    self.take(1);
                }
            }
        } else if !self.byte(0).is_ascii() {
            let rest = self.rest();
            let signless = rest.strip_prefix('⁻').unwrap_or(rest);
            let raised = signless.find(|c| !is_raised(c)).unwrap_or(signless.len());
            if raised > 0 {
                self.take(rest.len() - signless.len() + raised);
            } else if signless.len() < rest.len() {
                return None;
            }
        }
        Some(())
    }

    /// A number with its unit, and whether it has one.
    fn term(&mut self) -> Option<(Term, bool)> {
        let start = self.at;
        let (typed, number) = self.number()?;
        let bare = self.place();
        while matches!(self.byte(0), b' ' | b'\t') || wide_blank(self.rest()) > 0 {
            self.at += wide_blank(self.rest()).max(1);
        }
        let unit = self.unit()?;
        if unit.is_none() {
            self.back(bare);
        }
        let united = unit.is_some();
        Some((Term { typed: typed.into(), number, unit, at: self.since(start) }, united))
    }

    fn quantity(&mut self) -> Option<Expression> {
        let start = self.at;
        let (first, mut united) = self.term()?;
        let mut terms = vec![first];
        while united {
            let before = self.place();
            self.skip();
            let more = if self.byte(0).is_ascii_digit() { self.term()? } else { break };
            united = more.1;
            if united {
                terms.push(more.0);
            } else {
                self.back(before);
            }
        }
        Some(Expression { form: Form::Quantity(terms), at: self.since(start) })
    }

    pub(super) fn expression(&mut self) -> Option<Expression> {
        let mut left = self.product()?;
        loop {
            let (operator, bytes) = match self.sign() {
                ('+', bytes) => (Operator::Add, bytes),
                ('-', bytes) => (Operator::Subtract, bytes),
                _ => return Some(left),
            };
            let at = self.operator(bytes)?;
            let right = self.product()?;
            left = joined(left, operator, at, right);
        }
    }

    fn product(&mut self) -> Option<Expression> {
        let mut left = self.signed()?;
        loop {
            let (operator, bytes) = match self.sign() {
                ('*', bytes) => (Operator::Multiply, bytes),
                ('/', bytes) => (Operator::Divide, bytes),
                _ => return Some(left),
            };
            let at = self.operator(bytes)?;
            let right = self.signed()?;
            star_in_unit(&left, at, &right).ok()?;
            left = joined(left, operator, at, right);
        }
    }

    // The operator that stands next, in one spelling for each, and its length.
    fn sign(&mut self) -> (char, usize) {
        self.skip();
        match (self.byte(0), self.byte(1)) {
            (b'+', b'/') if self.rest().starts_with("+/-") || self.rest().starts_with("+/−") => ('±', 0),
            (b'-', b'>') | (b'*', b'*') => ('>', 0),
            (mark @ (b'+' | b'-' | b'*' | b'/' | b'^'), _) => (char::from(mark), 1),
            (0x80.., _) => match self.rest().chars().next() {
                Some('−') => ('-', '−'.len_utf8()),
                Some(times @ ('×' | '·' | '⋅')) => ('*', times.len_utf8()),
                Some('÷') => ('/', '÷'.len_utf8()),
                _ => (' ', 0),
            },
            _ => (' ', 0),
        }
    }

    fn operator(&mut self, bytes: usize) -> Option<Extent> {
        self.step()?;
        let start = self.at;
        self.take(bytes);
        Some(self.since(start))
    }

    fn step(&mut self) -> Option<()> {
        self.steps += 1;
        (self.steps < STEPS).then_some(())
    }

    fn signed(&mut self) -> Option<Expression> {
        if let ('-', bytes) = self.sign() {
            let sign = self.operator(bytes)?;
            let under = self.signed()?;
            let at = sign.to(under.at);
            return Some(Expression { form: Form::Negative(Box::new(under)), at });
        }
        let base = self.operand()?;
        let ('^', bytes) = self.sign() else { return Some(base) };
        let at = self.operator(bytes)?;
        let exponent = self.signed()?;
        Some(joined(base, Operator::Power, at, exponent))
    }

    fn operand(&mut self) -> Option<Expression> {
        self.step()?;
        let start = self.skip();
        match self.byte(0) {
            b'0'..=b'9' => self.quantity(),
            b'(' => {
                self.take(1);
                let inner = self.expression()?;
                // A bracket leaves no mark in the tree but its place.
                self.is_mark(")").then(|| Expression { at: self.since(start), ..inner })
            }
            b'[' => {
                self.take(1);
                let items = self.several("]")?;
                Some(Expression { form: Form::List(items), at: self.since(start) })
            }
            _ if self.rest().get(self.word().len()..).is_some_and(|rest| rest.starts_with('(')) => self.call(start),
            _ => {
                let path = self.path()?;
                if !self.is_mark("[") {
                    return Some(Expression { form: Form::Name(path), at: self.since(start) });
                }
                let index = Box::new(self.expression()?);
                self.is_mark("]").then(|| Expression { form: Form::Item { list: path, index }, at: self.since(start) })
            }
        }
    }

    // Expressions with commas between them, up to the mark that closes them.
    fn several(&mut self, close: &str) -> Option<Vec<Expression>> {
        let mut items = Vec::new();
        if self.is_mark(close) {
            return Some(items);
        }
        loop {
            items.push(self.expression()?);
            if self.is_mark(close) {
                return Some(items);
            }
            if !self.is_mark(",") {
                return None;
            }
        }
    }

    fn call(&mut self, start: usize) -> Option<Expression> {
        let function = self.name()?;
        self.take(1);
        let fold = match function.text.as_str() {
            "sum" => Some(Fold::Sum),
            "product" => Some(Fold::Product),
            _ => None,
        };
        let Some(fold) = fold else {
            let arguments = self.several(")")?;
            return Some(Expression { form: Form::Call { function, arguments }, at: self.since(start) });
        };
        let body = self.expression()?;
        if let Some(running) = self.running()? {
            let form = Form::Over { fold, body: Box::new(body), running };
            return self.is_mark(")").then(|| Expression { form, at: self.since(start) });
        }
        let mut arguments = vec![body];
        if self.is_mark(",") {
            arguments.extend(self.several(")").filter(|more| !more.is_empty())?);
        } else if !self.is_mark(")") {
            return None;
        }
        Some(Expression { form: Form::Call { function, arguments }, at: self.since(start) })
    }

    /// What an index runs over, if that is said.
    pub(super) fn running(&mut self) -> Option<Option<Running>> {
        if !self.is_word("for") {
            return Some(None);
        }
        let index = self.name()?;
        let from = self.is_word("from").then(|| self.expression())??;
        let to = self.is_word("to").then(|| self.expression())??;
        Some(Some(Running { index, from: Box::new(from), to: Box::new(to) }))
    }

    /// A comparison; by `=` too, where that is allowed.
    pub(super) fn comparison(&mut self, equal: bool) -> Option<Comparison> {
        let start = self.skip();
        let left = self.expression()?;
        let sign = self.skip();
        let signs = [
            ("<=", Relation::AtMost),
            ("≤", Relation::AtMost),
            ("<", Relation::Below),
            (">=", Relation::AtLeast),
            ("≥", Relation::AtLeast),
            (">", Relation::Above),
        ];
        let relation = match signs.into_iter().find(|(mark, _)| self.is_mark(mark)) {
            Some((_, relation)) => relation,
            None if equal => self.equals().map(|()| Relation::Equal)?,
            None => return None,
        };
        let relation_at = self.since(sign);
        let right = self.expression()?;
        Some(Comparison { left, relation, right, relation_at, at: self.since(start) })
    }

    /// The unit that something is to be shown in, if that is said.
    pub(super) fn shown_in(&mut self) -> Option<Option<UnitText>> {
        if !self.is_word("as") {
            return Some(None);
        }
        self.skip();
        self.unit()?.map(Some)
    }
}

fn joined(left: Expression, operator: Operator, operator_at: Extent, right: Expression) -> Expression {
    let at = left.at.to(right.at);
    Expression { form: Form::Binary { operator, operator_at, left: Box::new(left), right: Box::new(right) }, at }
}

// Letters of which it is known what the grammar takes them for.
fn is_letter(letter: char) -> bool {
    letter.is_ascii_alphabetic() || matches!(letter, 'µ' | 'À'..='Ö' | 'Ø'..='ö' | 'ø'..='ÿ' | 'Α'..='Ρ' | 'Σ'..='Ω' | 'α'..='ω')
}

fn in_name(letter: char) -> bool {
    is_letter(letter) || letter.is_ascii_digit() || letter == '_'
}

fn is_raised(letter: char) -> bool {
    matches!(letter, '¹' | '²' | '³' | '⁰' | '⁴'..='⁹')
}

// The length of the blank that is no plain one at the front of `text`; 0 when none is there.
fn wide_blank(text: &str) -> usize {
    match text.as_bytes() {
        [0xC2, 0xA0, ..] => 2,
        [0xE2, 0x80, 0x89 | 0xAF, ..] => 3,
        _ => 0,
    }
}

// Whether each letter outside quotation marks and comments is one that is known here.
fn familiar(text: &str) -> bool {
    let sign = |c: char| {
        matches!(c, '×' | '÷' | '·' | '⋅' | '−' | '±' | '≤' | '≥' | '°' | '′' | '″' | '→' | '…' | '⁻' | '\u{A0}' | '\u{2009}' | '\u{202F}')
    };
    let mut letters = text.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '"' => while letters.next().is_some_and(|inside| inside != '"' && (inside != '\\' || letters.next().is_some())) {},
            '#' => while letters.next().is_some_and(|inside| inside != '\n') {},
            '\\' => return false,
            _ if letter.is_ascii() || is_letter(letter) || is_raised(letter) || sign(letter) => {}
            _ => return false,
        }
    }
    true
}
