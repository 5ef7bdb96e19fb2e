//! Statements, lines of a kind and values as most are written, read without the grammar (`quick.rs` says when and why).

use crate::syntax::ast::{
    Caution, Check, Choice, Condition, Definition, Doubt, Evidence, EvidenceWord, Field, Gear, Guard, Input, Kind, KindItem, Machine,
    Meaning, Name, Port, Ports, Stated, Statement, Station, Train, Words,
};
use crate::syntax::names;
use crate::syntax::parser::Rule;
use crate::syntax::quick::Quick;

const STATES: [&str; 5] = ["raising", "holding", "lowering", "starting", "moving"];

/// A statement of the form `rule`, without the lines below it; none when the grammar has to read it.
pub(super) fn statement(rule: Rule, text: &str, base: u32) -> Option<Statement> {
    let mut quick = Quick::new(text, base)?;
    let statement = match rule {
        Rule::definition => Statement::Definition(quick.definition().filter(|definition| definition.when.is_none())?),
        Rule::take => Statement::Take(quick.input()?),
        Rule::assume => Statement::Assume(quick.input()?),
        Rule::machine | Rule::load_as => Statement::Machine(quick.machine(rule == Rule::load_as)?),
        Rule::train => Statement::Train(quick.train()?),
        Rule::check => Statement::Check(quick.check()?),
        Rule::gear => {
            let (name, label) = quick.headed()?;
            Statement::Gear(Gear { name, label, settings: Vec::new(), at: quick.since(0) })
        }
        Rule::kind => {
            let (name, label) = quick.headed()?;
            Statement::Kind(Kind { name, label, items: Vec::new(), at: quick.since(0) })
        }
        _ => return None,
    };
    quick.at_end().then_some(statement)
}

/// A line of a kind of the form `rule`; none when the grammar has to read it.
pub(super) fn item(rule: Rule, text: &str, base: u32) -> Option<KindItem> {
    let mut quick = Quick::new(text, base)?;
    quick.any_word()?;
    let item = match rule {
        Rule::relation => KindItem::Relation(quick.definition()?),
        Rule::node => KindItem::Node(quick.definition()?),
        Rule::limit => KindItem::Limit(quick.condition()?),
        Rule::question => KindItem::Question(quick.condition()?),
        Rule::sustains => KindItem::Sustains(quick.condition()?),
        Rule::caution => {
            let says = quick.string()?;
            let (when, evidence) = quick.clauses()?;
            KindItem::Caution(Caution { says, when, evidence, at: quick.since(0) })
        }
        Rule::field => KindItem::Field(quick.field()?),
        Rule::option => KindItem::Choice(quick.choice()?),
        Rule::ports => {
            let from = quick.port()?;
            let to = quick.is_word("to").then(|| quick.port())??;
            let (when, evidence) = quick.clauses()?;
            evidence.is_empty().then(|| KindItem::Ports(Ports { from: Some(from), to, when, at: quick.since(0) }))?
        }
        Rule::gives => KindItem::Ports(Ports { from: None, to: quick.port()?, when: None, at: quick.since(0) }),
        _ => return None,
    };
    quick.at_end().then_some(item)
}

/// What stands behind the name of a setting, whole; none when the grammar has to read it.
pub(super) fn stated(text: &str, base: u32) -> Option<Stated> {
    let mut quick = Quick::new(text, base)?;
    let stated = quick.body()?;
    quick.at_end().then_some(stated)
}

/// A value in prose, whole; none when the grammar has to read it.
pub(super) fn inline(text: &str, base: u32) -> Option<Stated> {
    let mut quick = Quick::new(text, base)?;
    let value = quick.expression()?;
    let shown_in = quick.shown_in()?;
    let stated = Stated { value, repeats: None, doubt: None, resolution: None, by: None, shown_in, evidence: Vec::new() };
    quick.at_end().then_some(stated)
}

impl Quick<'_> {
    // A word of the language, a name and a label.
    fn headed(&mut self) -> Option<(Name, Option<crate::syntax::ast::Quoted>)> {
        self.any_word()?;
        Some((self.name()?, self.label()?))
    }

    fn definition(&mut self) -> Option<Definition> {
        let name = self.name()?;
        let index = if self.is_mark("[") { Some(self.name().filter(|_| self.is_mark("]"))?) } else { None };
        let label = self.label()?;
        self.equals()?;
        let value = self.expression()?;
        let running = self.running()?;
        if index.is_some_and(|index| running.as_ref().is_none_or(|running| running.index.text != index.text)) {
            return None;
        }
        let shown_in = self.shown_in()?;
        let (when, evidence) = self.clauses()?;
        Some(Definition { name, label, running, value, shown_in, when, evidence, at: self.since(0) })
    }

    fn input(&mut self) -> Option<Input> {
        let (name, label) = self.headed()?;
        self.equals()?;
        let stated = self.body()?;
        Some(Input { name, label, stated, at: self.since(0) })
    }

    fn machine(&mut self, is_load: bool) -> Option<Machine> {
        let (name, label) = self.headed()?;
        self.equals()?;
        let kind = self.name()?;
        Some(Machine { name, label, kind, is_load, settings: Vec::new(), at: self.since(0) })
    }

    fn train(&mut self) -> Option<Train> {
        let (name, label) = self.headed()?;
        self.colon()?;
        let mut stations = vec![self.station()?];
        while ["->", "→", "−>"].into_iter().any(|arrow| self.is_mark(arrow)) {
            stations.push(self.station()?);
        }
        (stations.len() > 1).then(|| Train { name, label, stations, settings: Vec::new(), at: self.since(0) })
    }

    fn station(&mut self) -> Option<Station> {
        match self.label()? {
            Some(label) => Some(Station::Label(label)),
            None => self.path().map(Station::Named),
        }
    }

    fn check(&mut self) -> Option<Check> {
        self.any_word()?;
        let title = self.string()?;
        self.colon()?;
        let comparison = self.comparison(false)?;
        let (when, evidence) = self.clauses()?;
        when.is_none().then(|| Check { title, comparison, evidence, at: self.since(0) })
    }

    fn condition(&mut self) -> Option<Condition> {
        let comparison = self.comparison(false)?;
        let says = self.string()?;
        let (when, evidence) = self.clauses()?;
        Some(Condition { comparison, says, when, evidence, at: self.since(0) })
    }

    fn field(&mut self) -> Option<Field> {
        let (name, quantity) = (self.name()?, self.name()?);
        let each = |quick: &mut Self| if quick.is_word("each") { quick.expression().map(Some) } else { Some(None) };
        let before = each(self)?;
        let label = self.label()?;
        let after = each(self)?;
        if before.is_some() && after.is_some() {
            return None;
        }
        let optional = self.is_word("optional");
        let default = if !optional && self.is_word("default") { Some(self.expression()?) } else { None };
        let (when, evidence) = self.clauses()?;
        when.is_none().then(|| Field { name, quantity, each: before.or(after), label, optional, default, evidence, at: self.since(0) })
    }

    fn choice(&mut self) -> Option<Choice> {
        let (name, label) = (self.name()?, self.label()?);
        self.colon()?;
        let mut choices = vec![self.words()?];
        while self.is_mark("|") {
            choices.push(self.words()?);
        }
        let default = if self.is_word("default") { Some(self.words()?) } else { None };
        Some(Choice { name, label, choices, default, at: self.since(0) })
    }

    // Plain words, as a choice is said in.
    fn words(&mut self) -> Option<Words> {
        let start = self.skip();
        let mut text = String::new();
        loop {
            self.skip();
            if matches!(self.word(), "" | "default" | "and" | "or" | "ref" | "from" | "when" | "because") {
                break;
            }
            text.push_str(if text.is_empty() { "" } else { " " });
            text.push_str(&names::plain(self.any_word()?.0));
            // Words with a hyphen are left to the grammar.
            if self.is_mark("-") {
                return None;
            }
        }
        (!text.is_empty()).then(|| Words { text, at: self.since(start) })
    }

    fn port(&mut self) -> Option<Port> {
        let name = self.name()?;
        self.colon()?;
        Some(Port { name, quantity: self.name()? })
    }

    // When something holds and what says so, in any order.
    fn clauses(&mut self) -> Option<(Option<Guard>, Vec<Evidence>)> {
        let (mut when, mut evidence) = (None, Vec::new());
        loop {
            if let Some(said) = self.evidence()? {
                evidence.push(said);
            } else if when.is_none() && self.is_word("when") {
                when = Some(self.guard()?);
            } else {
                return Some((when, evidence));
            }
        }
    }

    fn evidence(&mut self) -> Option<Option<Evidence>> {
        let start = self.skip();
        let word = match self.word() {
            "from" => EvidenceWord::From,
            "measured" => EvidenceWord::Measured,
            "marked" => EvidenceWord::Marked,
            "weighed" => EvidenceWord::Weighed,
            "drawing" => EvidenceWord::Drawing,
            "because" => EvidenceWord::Because,
            "effect" => EvidenceWord::Effect,
            "ref" => EvidenceWord::Ref,
            _ => return Some(None),
        };
        self.any_word()?;
        let text = self.string()?;
        Some(Some(Evidence { word, text, at: self.since(start) }))
    }

    fn guard(&mut self) -> Option<Guard> {
        let mut any = vec![self.guards()?];
        while self.is_word("or") {
            any.push(self.guards()?);
        }
        if any.len() == 1 { any.pop() } else { Some(Guard::Any(any)) }
    }

    fn guards(&mut self) -> Option<Guard> {
        let mut all = vec![self.atom()?];
        while self.is_word("and") {
            all.push(self.atom()?);
        }
        if all.len() == 1 { all.pop() } else { Some(Guard::All(all)) }
    }

    fn atom(&mut self) -> Option<Guard> {
        self.skip();
        let word = self.word();
        let before = self.place();
        if let Some(name) = self.name() {
            if self.is_word("is") {
                let negated = self.is_word("not");
                if self.is_word("given") {
                    return Some(Guard::Given { field: name, negated });
                }
                return Some(Guard::Is { option: name, choice: self.words()?, negated });
            }
            if STATES.contains(&word) {
                self.back(before);
                return Some(Guard::State(self.name()?));
            }
        }
        self.back(before);
        self.comparison(true).map(Guard::Compare)
    }

    // The right-hand side of an input or of a setting.
    fn body(&mut self) -> Option<Stated> {
        self.skip();
        // `(12 ± 2) %` and what instruments and repeated readings need is read by the grammar.
        if self.is_mark("(") {
            return None;
        }
        let value = self.expression()?;
        let doubt = self.doubt()?;
        let shown_in = self.shown_in()?;
        let mut evidence = Vec::new();
        while let Some(said) = self.evidence()? {
            evidence.push(said);
        }
        Some(Stated { value, repeats: None, doubt, resolution: None, by: None, shown_in, evidence })
    }

    fn doubt(&mut self) -> Option<Option<Doubt>> {
        let start = self.skip();
        if !["±", "+/-", "+/−"].into_iter().any(|mark| self.is_mark(mark)) {
            return Some(None);
        }
        let amount = self.expression()?;
        let of_value = if self.is_word("of") { self.is_word("value").then_some(true)? } else { false };
        let at = self.since(start);
        // What the amount means, where it is said, is read by the grammar.
        if self.is_mark("(") {
            return None;
        }
        Some(Some(Doubt { amount, of_value, meaning: Meaning::Limits, degrees: None, at }))
    }
}
