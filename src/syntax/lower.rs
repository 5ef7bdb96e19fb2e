//! What the parser read of statements and of the lines of a kind, turned into the tree.

use crate::diagnostics::catalogue::syntax;
use crate::source::Extent;
use crate::syntax::ast::{
    Caution, Check, Choice, Condition, Correlation, Definition, Demand, Evidence, Expression, Field, Gear, Goal, Guard, Input, Instrument,
    Kind, KindItem, Machine, Name, Path, Port, Ports, Propagate, Quoted, Readings, Row, Setting, SheetHead, Shown, Size, Statement,
    Station, Step, Table, Train, Trials, Use, Vary, Words,
};
use crate::syntax::expression::{Fault, Lowered, Reader};
use crate::syntax::names;
use crate::syntax::parser::{Piece, Rule};
use crate::syntax::readings;

/// What a statement brings besides its own words: its indented lines, read in another way.
#[derive(Default)]
pub(crate) struct Under {
    pub(crate) settings: Vec<Setting>,
    pub(crate) items: Vec<KindItem>,
}

impl Under {
    /// Puts the lines below the statement `above`, which was read without them.
    pub(super) fn put(self, above: &mut Statement) {
        match above {
            Statement::Machine(Machine { settings, .. })
            | Statement::Train(Train { settings, .. })
            | Statement::Gear(Gear { settings, .. }) => {
                *settings = self.settings;
            }
            Statement::Kind(kind) => kind.items = self.items,
            _ => {}
        }
    }
}

pub(super) fn child<'t>(piece: &Piece<'t>, rule: Rule) -> Option<Piece<'t>> {
    piece.clone().into_inner().find(|inner| inner.as_rule() == rule)
}

impl Reader {
    pub(super) fn name_in(&self, piece: &Piece<'_>) -> Lowered<Name> {
        Ok(self.name(&self.promised(child(piece, Rule::name), self.at(piece), "a name")?))
    }

    pub(super) fn label_in(&self, piece: &Piece<'_>) -> Option<Quoted> {
        child(piece, Rule::string).map(|text| self.quoted(&text))
    }

    pub(super) fn evidence_in(&self, piece: &Piece<'_>) -> Lowered<Vec<Evidence>> {
        piece
            .clone()
            .into_inner()
            .filter(|inner| matches!(inner.as_rule(), Rule::evidence | Rule::confirmation))
            .map(|inner| self.evidence(&inner))
            .collect()
    }

    pub(crate) fn statement(&self, piece: &Piece<'_>, under: Under) -> Lowered<Statement> {
        let at = self.at(piece);
        let settings = under.settings;
        Ok(match piece.as_rule() {
            Rule::sheet => {
                let number =
                    child(piece, Rule::sheet_number).map(|number| Name { text: number.as_str().to_string(), at: self.at(&number) });
                Statement::Sheet(SheetHead { number, title: self.label_in(piece), settings, at })
            }
            Rule::take => Statement::Take(self.input(piece, at)?),
            Rule::assume => Statement::Assume(self.input(piece, at)?),
            Rule::gear => Statement::Gear(Gear { name: self.name_in(piece)?, label: self.label_in(piece), settings, at }),
            Rule::instrument => Statement::Instrument(Instrument { name: self.name_in(piece)?, label: self.label_in(piece), settings, at }),
            Rule::correlation => {
                let mut paths = piece.clone().into_inner().filter(|inner| inner.as_rule() == Rule::path).map(|inner| self.path(&inner));
                let first = self.promised(paths.next(), at, "a name")?;
                let second = self.promised(paths.next(), at, "a name")?;
                let (value, evidence) = (self.value_in(piece)?, self.evidence_in(piece)?);
                Statement::Correlation(Correlation { first, second, value, evidence, at })
            }
            Rule::machine | Rule::load_as => {
                let mut words = piece.clone().into_inner().filter(|inner| inner.as_rule() == Rule::name).map(|inner| self.name(&inner));
                let name = self.promised(words.next(), at, "a name")?;
                let kind = self.promised(words.next(), at, "the word of a kind")?;
                let is_load = piece.as_rule() == Rule::load_as;
                Statement::Machine(Machine { name, label: self.label_in(piece), kind, is_load, settings, at })
            }
            Rule::train => Statement::Train(Train {
                name: self.name_in(piece)?,
                label: self.label_in(piece),
                stations: piece
                    .clone()
                    .into_inner()
                    .filter(|inner| inner.as_rule() == Rule::station)
                    .filter_map(|s| self.station(&s))
                    .collect(),
                settings,
                at,
            }),
            Rule::check => {
                let comparison = self.promised(child(piece, Rule::comparison), at, "a comparison")?;
                Statement::Check(Check {
                    title: self.promised(self.label_in(piece), at, "a title")?,
                    comparison: self.comparison(&comparison)?,
                    evidence: self.evidence_in(piece)?,
                    at,
                })
            }
            Rule::vary => {
                let showing = self.shown(piece)?;
                let trials = self.promised(child(piece, Rule::trials), at, "a range")?;
                Statement::Vary(Vary { name: self.path_in(piece)?, trials: self.trials(&trials)?, showing, at })
            }
            Rule::size => {
                let goal = if child(piece, Rule::word_least).is_some() { Goal::Least } else { Goal::Greatest };
                let mut demands = Vec::new();
                for demand in piece.clone().into_inner().filter(|inner| inner.as_rule() == Rule::demand) {
                    demands.push(self.demand(&demand)?);
                }
                let trials = child(piece, Rule::trials).map(|trials| self.trials(&trials)).transpose()?;
                Statement::Size(Size { name: self.path_in(piece)?, trials, goal, demands, at })
            }
            Rule::law => Statement::Law(self.law(piece, settings, at)?),
            Rule::agreement => Statement::Agreement(self.agreement(piece, at)?),
            Rule::exercise => Statement::Exercise(self.exercise(piece, settings, at)?),
            Rule::propagate => Statement::Propagate(Propagate { results: self.shown(piece)?, settings, at }),
            Rule::use_file => {
                let path = self.promised(self.label_in(piece), at, "a file in quotation marks")?;
                let name = child(piece, Rule::name).map(|name| self.name(&name));
                let pinned = match child(piece, Rule::pinned) {
                    Some(pinned) => Some(self.promised(self.label_in(&pinned), at, "a digest in quotation marks")?),
                    None => None,
                };
                Statement::Use(Use { path, name, pinned, at })
            }
            Rule::readings => Statement::Readings(Box::new(self.readings(piece, settings, at)?)),
            Rule::kind => Statement::Kind(Kind { name: self.name_in(piece)?, label: self.label_in(piece), items: under.items, at }),
            _ => {
                let definition = self.definition(piece, at)?;
                match child(piece, Rule::when) {
                    Some(when) => return Err(Fault::new(self.at(&when), syntax::WhenOutsideKind {})),
                    None => Statement::Definition(definition),
                }
            }
        })
    }

    // Above the header stand the instruments and the file, below it the rows.
    fn readings(&self, piece: &Piece<'_>, lines: Vec<Setting>, at: Extent) -> Lowered<Readings> {
        let mut found = Readings {
            name: self.name_in(piece)?,
            label: self.label_in(piece),
            of: child(piece, Rule::path).map(|path| self.path(&path)),
            states: piece.clone().into_inner().filter(|inner| inner.as_rule() == Rule::word_state).map(|word| self.name(&word)).collect(),
            instruments: Vec::new(),
            file: None,
            table: Table::default(),
            at,
        };
        for line in lines {
            let table = &mut found.table;
            if !table.columns.is_empty() {
                table.rows.push(Row { cells: readings::cells(&line.text, line.at.start), at: line.at });
            } else if let Some(file) = readings::file_line(&line.text, line.at.start) {
                if found.file.replace(file).is_some() {
                    return Err(Fault::new(line.at, syntax::ClauseTwice { word: "file".into() }));
                }
            } else if let Some(by) = readings::by_line(&line.text, line.at.start) {
                found.instruments.push(by);
            } else {
                table.columns = readings::cells(&line.text, line.at.start).iter().map(readings::column).collect();
                table.at = line.at;
            }
        }
        Ok(found)
    }

    fn shown(&self, piece: &Piece<'_>) -> Lowered<Vec<Shown>> {
        let shown = |shown: Piece<'_>| {
            Ok(Shown {
                value: self.value_in(&shown)?,
                label: self.label_in(&shown),
                shown_in: child(&shown, Rule::as_unit).and_then(|unit| self.shown_in(&unit)),
            })
        };
        piece.clone().into_inner().filter(|inner| inner.as_rule() == Rule::shown).map(shown).collect()
    }

    fn path_in(&self, piece: &Piece<'_>) -> Lowered<Path> {
        Ok(self.path(&self.promised(child(piece, Rule::path), self.at(piece), "a name")?))
    }

    fn trials(&self, piece: &Piece<'_>) -> Lowered<Trials> {
        let at = self.at(piece);
        let mut ends = Vec::new();
        let mut step = None;
        for part in piece.clone().into_inner() {
            match part.as_rule() {
                Rule::expression => ends.push(self.expression(&part)?),
                Rule::by_step => step = Some(Step::By(self.value_in(&part)?)),
                Rule::in_steps => {
                    let number = self.promised(child(&part, Rule::number), at, "a number")?;
                    step = Some(Step::In { count: self.number(&number)?, at: self.at(&number) });
                }
                _ => {}
            }
        }
        let mut ends = ends.into_iter();
        let first = self.promised(ends.next(), at, "a value")?;
        Ok(match ends.next() {
            Some(to) => Trials::Between { from: first, to, step },
            None => Trials::Listed(first),
        })
    }

    fn demand(&self, piece: &Piece<'_>) -> Lowered<Demand> {
        let at = self.at(piece);
        let inner = self.promised(piece.clone().into_inner().next(), at, "a condition")?;
        Ok(match inner.as_rule() {
            Rule::every_check => Demand::Every(at),
            Rule::string => Demand::Titled(self.quoted(&inner)),
            _ => Demand::Holds(self.comparison(&inner)?),
        })
    }

    fn station(&self, piece: &Piece<'_>) -> Option<Station> {
        let inner = piece.clone().into_inner().next()?;
        Some(if inner.as_rule() == Rule::path { Station::Named(self.path(&inner)) } else { Station::Label(self.quoted(&inner)) })
    }

    fn input(&self, piece: &Piece<'_>, at: Extent) -> Lowered<Input> {
        Ok(Input { name: self.name_in(piece)?, label: self.label_in(piece), stated: self.stated(piece.clone().into_inner(), at)?, at })
    }

    fn definition(&self, piece: &Piece<'_>, at: Extent) -> Lowered<Definition> {
        let name = self.name_in(piece)?;
        let value = self.promised(child(piece, Rule::expression), at, "a value")?;
        let running = child(piece, Rule::running).map(|running| self.running(&running)).transpose()?;
        if let Some(indexed) = child(piece, Rule::indexed) {
            let index = self.name_in(&indexed)?;
            match &running {
                None => return Err(Fault::new(self.at(&indexed), syntax::IndexWithoutLoop { name: name.text, index: index.text })),
                Some(over) if over.index.text != index.text => {
                    let finding = syntax::IndexMismatch { index: index.text, running: over.index.text.clone() };
                    return Err(Fault::new(over.index.at, finding));
                }
                Some(_) => {}
            }
        }
        Ok(Definition {
            name,
            label: self.label_in(piece),
            running,
            value: self.expression(&value)?,
            shown_in: child(piece, Rule::as_unit).and_then(|unit| self.shown_in(&unit)),
            when: self.when(piece)?,
            evidence: self.evidence_in(piece)?,
            at,
        })
    }

    fn when(&self, piece: &Piece<'_>) -> Lowered<Option<Guard>> {
        let mut found = None;
        for when in piece.clone().into_inner().filter(|inner| inner.as_rule() == Rule::when) {
            if found.is_some() {
                return Err(Fault::new(self.at(&when), syntax::ClauseTwice { word: "when".into() }));
            }
            let guard = self.promised(child(&when, Rule::guard), self.at(&when), "a guard")?;
            found = Some(self.guard(&guard)?);
        }
        Ok(found)
    }

    fn guard(&self, piece: &Piece<'_>) -> Lowered<Guard> {
        let at = self.at(piece);
        let parts = || piece.clone().into_inner();
        Ok(match piece.as_rule() {
            Rule::guard | Rule::guard_all => {
                let mut guards = Vec::new();
                for part in parts().filter(|part| !matches!(part.as_rule(), Rule::word_or | Rule::word_and)) {
                    guards.push(self.guard(&part)?);
                }
                match (guards.len(), piece.as_rule()) {
                    (1, _) => self.promised(guards.pop(), at, "a guard")?,
                    (_, Rule::guard) => Guard::Any(guards),
                    _ => Guard::All(guards),
                }
            }
            Rule::word_state => Guard::State(self.name(piece)),
            Rule::guard_given => {
                Guard::Given { field: self.name_in(piece)?, negated: parts().any(|part| part.as_rule() == Rule::word_not) }
            }
            Rule::guard_is => {
                let choice = self.promised(child(piece, Rule::words), at, "what is chosen")?;
                let negated = parts().any(|part| part.as_rule() == Rule::word_not);
                Guard::Is { option: self.name_in(piece)?, choice: self.words(&choice), negated }
            }
            _ => Guard::Compare(self.comparison(piece)?),
        })
    }

    fn words(&self, piece: &Piece<'_>) -> Words {
        let words: Vec<String> = piece.clone().into_inner().map(|word| names::plain(word.as_str())).collect();
        Words { text: words.join(" "), at: self.at(piece) }
    }

    pub(crate) fn item(&self, piece: &Piece<'_>) -> Lowered<KindItem> {
        let at = self.at(piece);
        Ok(match piece.as_rule() {
            Rule::field => KindItem::Field(self.field(piece, at)?),
            Rule::option => {
                let default = child(piece, Rule::chosen).and_then(|chosen| child(&chosen, Rule::words)).map(|words| self.words(&words));
                let choices =
                    piece.clone().into_inner().filter(|inner| inner.as_rule() == Rule::words).map(|words| self.words(&words)).collect();
                KindItem::Choice(Choice { name: self.name_in(piece)?, label: self.label_in(piece), choices, default, at })
            }
            Rule::ports => {
                let mut ports = piece.clone().into_inner().filter(|inner| inner.as_rule() == Rule::port);
                let from = self.promised(ports.next(), at, "a port")?;
                let to = self.promised(ports.next(), at, "a port")?;
                KindItem::Ports(Ports { from: Some(self.port(&from)?), to: self.port(&to)?, when: self.when(piece)?, at })
            }
            Rule::gives => {
                let to = self.promised(child(piece, Rule::port), at, "a port")?;
                KindItem::Ports(Ports { from: None, to: self.port(&to)?, when: None, at })
            }
            Rule::relation => KindItem::Relation(self.definition(piece, at)?),
            Rule::node => KindItem::Node(self.definition(piece, at)?),
            Rule::limit => KindItem::Limit(self.condition(piece, at)?),
            Rule::question => KindItem::Question(self.condition(piece, at)?),
            Rule::sustains => KindItem::Sustains(self.condition(piece, at)?),
            _ => KindItem::Caution(Caution {
                says: self.promised(self.label_in(piece), at, "text in quotation marks")?,
                when: self.when(piece)?,
                evidence: self.evidence_in(piece)?,
                at,
            }),
        })
    }

    fn field(&self, piece: &Piece<'_>, at: Extent) -> Lowered<Field> {
        let mut words = piece.clone().into_inner().filter(|inner| inner.as_rule() == Rule::name).map(|inner| self.name(&inner));
        let name = self.promised(words.next(), at, "a name")?;
        let quantity = self.promised(words.next(), at, "a quantity")?;
        let mut each = None;
        for several in piece.clone().into_inner().filter(|inner| inner.as_rule() == Rule::each) {
            if each.is_some() {
                return Err(Fault::new(self.at(&several), syntax::ClauseTwice { word: "each".into() }));
            }
            each = Some(self.value_in(&several)?);
        }
        let default = child(piece, Rule::fallback).map(|fallback| self.value_in(&fallback)).transpose()?;
        let optional = child(piece, Rule::word_optional).is_some();
        Ok(Field { name, quantity, each, label: self.label_in(piece), optional, default, evidence: self.evidence_in(piece)?, at })
    }

    fn value_in(&self, piece: &Piece<'_>) -> Lowered<Expression> {
        self.expression(&self.promised(child(piece, Rule::expression), self.at(piece), "a value")?)
    }

    fn port(&self, piece: &Piece<'_>) -> Lowered<Port> {
        let mut words = piece.clone().into_inner().filter(|inner| inner.as_rule() == Rule::name).map(|inner| self.name(&inner));
        let at = self.at(piece);
        Ok(Port { name: self.promised(words.next(), at, "a name")?, quantity: self.promised(words.next(), at, "a quantity")? })
    }

    fn condition(&self, piece: &Piece<'_>, at: Extent) -> Lowered<Condition> {
        let comparison = self.promised(child(piece, Rule::comparison), at, "a comparison")?;
        Ok(Condition {
            comparison: self.comparison(&comparison)?,
            says: self.promised(self.label_in(piece), at, "text in quotation marks")?,
            when: self.when(piece)?,
            evidence: self.evidence_in(piece)?,
            at,
        })
    }
}
