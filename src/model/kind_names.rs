//! A kind read by itself: whether each name it mentions is one it knows, above the line that mentions it.

use crate::diagnostics::catalogue::machines::ChoiceUnknown;
use crate::diagnostics::catalogue::names::{NameTaken, Taken, UnknownName, UsedBeforeDefined};
use crate::diagnostics::{Label, Sink, nearest};
use crate::model::KindSource;
use crate::model::elaborate::each_name;
use crate::model::faults::defined;
use crate::model::machines::field_quantity;
use crate::source::Extent;
use crate::syntax::ast::{Comparison, Expression, Form, Guard, KindItem, Name, Port, Running, Words};

/// What an end of a machine may be.
const ENDS: [&str; 2] = ["force", "torque"];

/// Choices that every machine has, though no option asks for them: what its ends are.
const GIVEN_CHOICES: [&str; 2] = ["effort_end", "load_end"];

/// Puts down what is wrong with the names of `source`.
pub(super) fn names(source: &KindSource, sink: &mut Sink) {
    let mut names = Names { source, sink };
    for (place, item) in source.kind.items.iter().enumerate() {
        names.item(place, item);
    }
}

struct Names<'n> {
    source: &'n KindSource,
    sink: &'n mut Sink,
}

impl Names<'_> {
    fn item(&mut self, place: usize, item: &KindItem) {
        match item {
            KindItem::Field(field) => {
                self.only_once(place, &field.name);
                if field_quantity(field).is_none() {
                    self.unknown(&field.quantity, "the list of quantities", crate::units::quantities());
                }
                field.each.iter().chain(&field.default).for_each(|written| self.above(place, written, None));
            }
            KindItem::Choice(choice) => {
                self.only_once(place, &choice.name);
                if let Some(default) = &choice.default {
                    self.choice(&choice.name, default, &choice.choices);
                }
            }
            KindItem::Ports(ports) => {
                ports.from.iter().chain([&ports.to]).for_each(|port| self.end(port));
                self.guard(place, ports.when.as_ref());
            }
            KindItem::Relation(definition) | KindItem::Node(definition) => {
                self.guard(place, definition.when.as_ref());
                self.above(place, &definition.value, definition.running.as_ref());
                if let Some(running) = &definition.running {
                    [&running.from, &running.to].into_iter().for_each(|written| self.above(place, written, None));
                }
            }
            KindItem::Limit(condition) | KindItem::Question(condition) | KindItem::Sustains(condition) => {
                self.guard(place, condition.when.as_ref());
                self.compared(place, &condition.comparison);
            }
            KindItem::Caution(caution) => self.guard(place, caution.when.as_ref()),
            KindItem::Broken(_) => {}
        }
    }

    fn unknown<'k>(&mut self, name: &Name, of: &str, known: impl IntoIterator<Item = &'k str>) {
        let near = nearest(&name.text, known).into_iter().map(String::from).collect();
        self.sink.push(self.source.home.span(name.at), &UnknownName { name: name.text.clone(), of: of.into(), near });
    }

    fn end(&mut self, port: &Port) {
        let ends: Vec<Words> = ENDS.iter().map(|end| Words { text: (*end).into(), at: port.quantity.at }).collect();
        self.choice(&port.name, &Words { text: port.quantity.text.clone(), at: port.quantity.at }, &ends);
    }

    // A field or an option has one line; a relation may have as many as it has alternatives.
    fn only_once(&mut self, place: usize, name: &Name) {
        let settings = self.source.kind.items.iter().take(place).filter_map(|item| match item {
            KindItem::Field(field) => Some(&field.name),
            KindItem::Choice(choice) => Some(&choice.name),
            _ => None,
        });
        let first = settings.into_iter().find(|other| other.text == name.text);
        if let Some(first) = first {
            let there = Label { span: self.source.home.span(first.at), text: "first defined here".into() };
            self.sink.push_with(self.source.home.span(name.at), &NameTaken { name: name.text.clone(), by: Taken::Above }, vec![there]);
        }
    }

    fn choice(&mut self, option: &Name, chosen: &Words, choices: &[Words]) {
        if choices.iter().any(|choice| choice.text == chosen.text) {
            return;
        }
        let choices = choices.iter().map(|choice| choice.text.clone()).collect();
        let finding = ChoiceUnknown { option: option.text.replace('_', " "), found: chosen.text.clone(), choices };
        self.sink.push(self.source.home.span(chosen.at), &finding);
    }

    fn guard(&mut self, place: usize, guard: Option<&Guard>) {
        match guard {
            None | Some(Guard::State(_)) => {}
            Some(Guard::Any(guards) | Guard::All(guards)) => guards.iter().for_each(|guard| self.guard(place, Some(guard))),
            Some(Guard::Compare(comparison)) => self.compared(place, comparison),
            Some(Guard::Given { field, .. }) => {
                let source = self.source;
                let fields = || {
                    source
                        .kind
                        .items
                        .iter()
                        .filter_map(|item| if let KindItem::Field(field) = item { Some(field.name.text.as_str()) } else { None })
                };
                // Whether a travel was stated can be asked of every machine.
                if field.text != "load_travel" && !fields().any(|known| known == field.text) {
                    self.unknown(field, "the list of its fields", fields());
                }
            }
            Some(Guard::Is { option, choice, .. }) => {
                let source = self.source;
                let options =
                    || source.kind.items.iter().filter_map(|item| if let KindItem::Choice(option) = item { Some(option) } else { None });
                match options().find(|known| known.name.text == option.text) {
                    Some(known) => self.choice(option, choice, &known.choices),
                    None if GIVEN_CHOICES.contains(&option.text.as_str()) => {
                        let ends: Vec<Words> = ENDS.iter().map(|end| Words { text: (*end).into(), at: choice.at }).collect();
                        self.choice(option, choice, &ends);
                    }
                    None => self.unknown(option, "the list of its options", options().map(|known| known.name.text.as_str())),
                }
            }
        }
    }

    fn compared(&mut self, place: usize, comparison: &Comparison) {
        self.above(place, &comparison.left, None);
        self.above(place, &comparison.right, None);
    }

    // Names of the kind must stand above the line that mentions them; a name it does not know at all is told when the line is
    // tried.
    fn above(&mut self, place: usize, written: &Expression, running: Option<&Running>) {
        let mut mentioned = Vec::new();
        each_name(written, &mut mentioned);
        for name in mentioned {
            if running.is_some_and(|running| running.index.text == name) {
                continue;
            }
            let first = self.source.kind.items.iter().position(|item| defined(item).is_some_and(|defined| defined.text == name));
            let Some(first) = first.filter(|first| *first >= place) else { continue };
            let there = self.source.kind.items.get(first).and_then(defined).map(|defined| defined.at);
            let Some((at, there)) = place_of(written, name).zip(there) else { continue };
            let there = Label { span: self.source.home.span(there), text: "defined here".into() };
            self.sink.push_with(self.source.home.span(at), &UsedBeforeDefined { name: name.into() }, vec![there]);
        }
    }
}

// Where `name` first stands in an expression.
fn place_of(written: &Expression, name: &str) -> Option<Extent> {
    let among = |items: &[Expression]| items.iter().find_map(|item| place_of(item, name));
    match &written.form {
        Form::Quantity(_) => None,
        Form::Name(path) => path.parts.first().filter(|part| part.text == name).map(|part| part.at),
        Form::Item { list, index } => {
            list.parts.first().filter(|part| part.text == name).map(|part| part.at).or_else(|| place_of(index, name))
        }
        Form::List(items) => among(items),
        Form::Negative(of) => place_of(of, name),
        Form::Binary { left, right, .. } => place_of(left, name).or_else(|| place_of(right, name)),
        Form::Call { arguments, .. } => among(arguments),
        Form::Over { body, running, .. } => {
            place_of(body, name).or_else(|| place_of(&running.from, name)).or_else(|| place_of(&running.to, name))
        }
    }
}
