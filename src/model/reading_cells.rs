//! `readings`: the table matched with its columns, and every cell made an input with its sources of doubt.

use crate::diagnostics::catalogue::readings::{
    ColumnMissing, ColumnTwice, ColumnUnknown, CsvQuotes, DirectionUnknown, NotTested, ReadingMissing, ReadingNotANumber,
    ReadingWithoutUnit, ReadingsWithoutTable, RowRagged,
};
use crate::diagnostics::nearest;
use crate::model::definitions::label;
use crate::model::expressions::unfit;
use crate::model::quantity::Quantity;
use crate::model::readings::{CellRead, Column, Read, Tested, Trial, direction};
use crate::model::resolve::Resolver;
use crate::model::scope::Bound;
use crate::model::tree::{Constant, EntryId, Shape, Tree, TreeForm};
use crate::model::{Direction, FrictionState, Owner, Readings, Role, State};
use crate::source::{Extent, Home};
use crate::syntax::ast;
use crate::syntax::ast::{By, Cell, ColumnBy, Expression, Form, Name, Operator, Path, Stated, Table, UnitText};
use crate::units::Dimension;

/// Columns that hold no readings.
const WORDS: [&str; 3] = ["trial", "direction", "remark"];

impl Resolver<'_> {
    /// `readings`.
    pub(super) fn readings(&mut self, stated: &ast::Readings) -> Option<usize> {
        if !self.is_free(&stated.name) {
            return None;
        }
        let mut state = State::default();
        for word in &stated.states {
            self.state_word(&word.text, word.at, &mut state);
        }
        let of = stated.of.as_ref().and_then(|path| self.tested(path));
        let mut made = Readings {
            name: stated.name.text.clone(),
            label: label(stated.label.as_ref()),
            span: self.home.span(stated.at),
            of,
            of_name: stated.of.as_ref().map(words_of).unwrap_or_default(),
            friction: state.friction,
            trials: Vec::new(),
            columns: Vec::new(),
            groups: Vec::new(),
            each: Default::default(),
            members: Default::default(),
            pairs: None,
            ratio_of: None,
            own_ratio: None,
            file: None,
            broken: true,
        };
        let place = self.model.readings.len();
        let fence = self.home;
        let table = self.table_of(stated, &mut made);
        let sound = table.as_ref().is_some_and(|(table, home)| {
            self.home = *home;
            let sound = self.table(table, state, stated, fence, place, &mut made);
            self.home = fence;
            sound
        });
        self.model.readings.push(made);
        self.bind(&stated.name, Bound::Readings(place));
        if !sound {
            return None;
        }
        self.reading_results(place);
        Some(place)
    }

    // The table, and the home its places are counted from.
    fn table_of(&mut self, stated: &ast::Readings, made: &mut Readings) -> Option<(Table, Home)> {
        match (&stated.file, stated.table.columns.is_empty()) {
            (Some(file), true) => {
                let (id, table) = self.material.tables.get(&(self.home.file, file.text.clone()))?;
                made.file = Some(*id);
                if !self.model.used.contains(id) {
                    self.model.used.push(*id);
                }
                Some((table.clone(), Home::file(*id)))
            }
            (Some(_), false) => {
                let found = "this stands beside a file; one of the two is the table";
                self.put(stated.table.at, &ReadingsWithoutTable { found: found.into() });
                None
            }
            (None, true) => {
                self.put(stated.name.at, &ReadingsWithoutTable { found: "no header and no file below it".into() });
                None
            }
            (None, false) => Some((stated.table.clone(), self.home)),
        }
    }

    fn tested(&mut self, path: &ast::Path) -> Option<Tested> {
        let found = match self.bound(path) {
            Some(Bound::Machine(at)) => {
                let machine = self.model.machines.get(at)?;
                if machine.broken || machine.instances.is_empty() {
                    return None;
                }
                if machine.ends.load.is_some() {
                    return Some(Tested::Machine(at));
                }
                "this is a load, and not what moves it"
            }
            Some(Bound::Train(at)) => return self.model.trains.get(at).filter(|train| !train.broken).map(|_| Tested::Train(at)),
            Some(Bound::Quiet) => return None,
            Some(_) => "this is something else",
            None if self.scopes.get(self.scope).is_some_and(|scope| scope.blind) => return None,
            None => "nothing above goes by that name",
        };
        self.put(path.at, &NotTested { name: words_of(path), found: found.into() });
        None
    }

    // Matches the table with its columns and reads every cell; whether everything could be read.
    fn table(&mut self, table: &Table, state: State, stated: &ast::Readings, fence: Home, place: usize, made: &mut Readings) -> bool {
        for fault in &table.faults {
            self.put(*fault, &CsvQuotes {});
        }
        let mut sound = table.faults.is_empty();
        let is_file = made.file.is_some();
        if table.rows.is_empty() {
            let found = if is_file { "the file has no row below its header" } else { "no row below the header" };
            let at = if is_file && table.columns.is_empty() { Extent::default() } else { table.at };
            self.put(at, &ReadingsWithoutTable { found: found.into() });
            return false;
        }
        for row in &table.rows {
            if row.cells.len() != table.columns.len() {
                self.put(row.at, &RowRagged { cells: row.cells.len(), columns: table.columns.len(), file: is_file });
                sound = false;
            }
        }
        let mut places: Vec<(Read, usize)> = Vec::new();
        let mut worded: [Option<usize>; 3] = [None; 3];
        for (at, column) in table.columns.iter().enumerate() {
            if let Some(read) = Read::ALL.into_iter().find(|read| read.words() == column.words) {
                places.push((read, at));
                continue;
            }
            if let Some(slot) = WORDS.iter().position(|word| *word == column.words).and_then(|word| worded.get_mut(word)) {
                if slot.replace(at).is_some() {
                    self.put(column.at, &ColumnTwice { name: column.words.clone() });
                    sound = false;
                }
                continue;
            }
            let known = Read::ALL.iter().map(|read| read.words()).chain(WORDS);
            let near = nearest(&column.words, known).first().map(|near| (*near).to_string());
            sound &= near.is_none();
            self.put(column.at, &ColumnUnknown { name: column.words.clone(), near });
        }
        let present: Vec<Read> = places.iter().map(|(read, _)| *read).collect();
        let has = |read: Read| present.contains(&read);
        for needed in [Read::Load, Read::Effort].into_iter().filter(|read| !has(*read)) {
            self.put(table.at, &ColumnMissing { name: needed.words().into(), has: None });
            sound = false;
        }
        for (one, other) in [(Read::LoadTravel, Read::EffortTravel), (Read::EffortTravel, Read::LoadTravel)] {
            if has(one) && !has(other) {
                self.put(table.at, &ColumnMissing { name: other.words().into(), has: Some(one.words().into()) });
                places.retain(|(read, _)| *read != one);
            }
        }
        let instruments = self.column_instruments(&stated.instruments, fence);
        sound &= instruments.is_some();
        let instruments = instruments.unwrap_or_default();
        for at in 0..table.rows.len() {
            sound &= self.trial_row(table, at, worded, state, made);
        }
        if !sound {
            return false;
        }
        for read in Read::ALL {
            let columns: Vec<usize> = places.iter().filter(|(found, _)| *found == read).map(|(_, at)| *at).collect();
            if columns.is_empty() {
                continue;
            }
            let by = instruments.iter().find(|(found, _)| *found == read).map(|(_, by)| by);
            match self.column_read(table, read, &columns, by, place, made) {
                Some(column) => made.columns.push(column),
                None => sound = false,
            }
        }
        made.broken = !sound;
        sound
    }

    fn column_instruments(&mut self, lines: &[ColumnBy], fence: Home) -> Option<Vec<(Read, ColumnBy)>> {
        let mut found: Vec<(Read, ColumnBy)> = Vec::new();
        let home = std::mem::replace(&mut self.home, fence);
        let mut sound = true;
        for line in lines {
            let words = line.column.text.replace('_', " ");
            let Some(read) = Read::ALL.into_iter().find(|read| read.words() == words) else {
                let near = nearest(&words, Read::ALL.iter().map(|read| read.words())).first().map(|near| (*near).to_string());
                sound &= near.is_none();
                self.put(line.column.at, &ColumnUnknown { name: words, near });
                continue;
            };
            if found.iter().any(|(before, _)| *before == read) {
                self.put(line.column.at, &ColumnTwice { name: words });
                sound = false;
                continue;
            }
            sound &= self.instrument_named(&line.by).is_some();
            found.push((read, line.clone()));
        }
        self.home = home;
        sound.then_some(found)
    }

    // What a row says besides its readings.
    fn trial_row(&mut self, table: &Table, at: usize, worded: [Option<usize>; 3], state: State, made: &mut Readings) -> bool {
        let Some(row) = table.rows.get(at) else { return false };
        let cell = |column: Option<usize>| column.and_then(|column| row.cells.get(column)).filter(|cell| !cell.is_blank());
        let [label, way, remark] = worded;
        let mut sound = true;
        let stated = cell(way).and_then(|cell| {
            let found = direction(cell.text.trim().to_lowercase().as_str());
            if found.is_none() {
                self.put(cell.at, &DirectionUnknown { found: cell.text.clone() });
                sound = false;
            }
            found
        });
        let words = |cell: &Cell| cell.text.trim().trim_matches('"').to_string();
        made.trials.push(Trial {
            label: cell(label).map_or_else(|| (at + 1).to_string(), words),
            direction: stated.or(state.direction).or_else(|| self.own_direction(made.of)).unwrap_or(Direction::Raising),
            remark: cell(remark).map(words).unwrap_or_default(),
            span: self.home.span(row.at),
        });
        sound
    }

    fn own_direction(&self, of: Option<Tested>) -> Option<Direction> {
        match of? {
            Tested::Machine(at) => self.model.machines.get(at)?.state.direction,
            Tested::Train(at) => self.model.trains.get(at)?.state.direction,
        }
    }

    /// The friction that counts where the head of the readings says nothing: that of what was tested.
    pub(super) fn own_friction(&self, of: Option<Tested>) -> Option<FrictionState> {
        match of? {
            Tested::Machine(at) => self.model.machines.get(at)?.state.friction,
            Tested::Train(at) => self.model.trains.get(at)?.state.friction,
        }
    }

    fn column_read(
        &mut self,
        table: &Table,
        read: Read,
        columns: &[usize],
        by: Option<&ColumnBy>,
        place: usize,
        made: &Readings,
    ) -> Option<Column> {
        let mut units: Vec<Option<&UnitText>> = Vec::new();
        for column in columns.iter().filter_map(|at| table.columns.get(*at)) {
            if let Some(unit) = &column.unit {
                self.header_unit(read, unit)?;
            }
            units.push(column.unit.as_ref());
        }
        let instrument = by.map(|by| words_of(&by.by)).unwrap_or_default();
        let mut found = Column { read, instrument, cells: Vec::new() };
        let mut sound = true;
        for (trial, row) in table.rows.iter().enumerate() {
            let cells: Vec<(&Cell, Option<&UnitText>)> = columns
                .iter()
                .zip(&units)
                .filter_map(|(at, unit)| Some((row.cells.get(*at)?, *unit)))
                .filter(|(cell, _)| !cell.is_blank())
                .collect();
            if cells.is_empty() {
                let at = columns.first().and_then(|at| row.cells.get(*at)).map_or(row.at, |cell| cell.at);
                let at = if at.start == at.end { row.at } else { at };
                self.put(at, &ReadingMissing { column: read.words().into() });
                sound = false;
                continue;
            }
            match self.cell_read(table, read, &cells, by, place, made, trial) {
                Some(cell) => found.cells.push(cell),
                None => sound = false,
            }
        }
        sound.then_some(found)
    }

    // Whether the unit of a column is known, and of what the column holds.
    fn header_unit(&mut self, read: Read, text: &UnitText) -> Option<()> {
        let unit = self.read(|reader| reader.unit(text))?;
        let quantity = Quantity { dimension: unit.dimension, nature: unit.nature };
        if suits(read, quantity) {
            return Some(());
        }
        let constant = TreeForm::Constant(Constant { si: unit.scale, parts: vec![("1".into(), Some(unit))] });
        let tree = Tree { form: constant, span: self.home.span(text.at), quantity, shape: Shape::Single };
        self.put(text.at, unfit(&format!("the column `{}`", read.words()), wanted(read), &tree).as_ref());
        None
    }

    #[expect(clippy::too_many_arguments, reason = "one cell of one table, put together once")]
    fn cell_read(
        &mut self,
        table: &Table,
        read: Read,
        cells: &[(&Cell, Option<&UnitText>)],
        by: Option<&ColumnBy>,
        place: usize,
        made: &Readings,
        trial: usize,
    ) -> Option<CellRead> {
        let mut stated: Vec<Stated> = Vec::new();
        for (cell, unit) in cells {
            stated.push(self.cell_stated(table, read, cell, *unit, made.file.is_some())?);
        }
        let text = cells.iter().map(|(cell, _)| cell.text.clone()).collect::<Vec<_>>().join(", ");
        let at = cells.iter().map(|(cell, _)| cell.at).reduce(Extent::to)?;
        let mut whole = stated.pop()?;
        if !stated.is_empty() {
            // Columns of one name are repeats of each other.
            let mut items: Vec<Expression> = stated.into_iter().map(|stated| stated.value).collect();
            items.push(whole.value);
            whole.value = Expression { form: Form::List(items), at };
        }
        if let Form::List(items) = &mut whole.value.form {
            if items.len() == 1 {
                whole.value = items.pop()?;
            } else {
                whole.repeats.get_or_insert(whole.value.at);
            }
        }
        if let (Some(by), None) = (by, &whole.by) {
            // Named above the table; what does not suit it is told at the reading.
            let parts = by.by.parts.iter().map(|part| Name { at, ..part.clone() }).collect();
            whole.by = Some(By { instrument: Path { parts, at }, inverted: by.inverted.map(|_| at), at });
        }
        let name = format!("{}.each.{}[{}]", made.name, read.name(), trial + 1);
        let span = self.home.span(at);
        let mut entry = self.stated_entry(&name, &whole, Role::Reading, span, None)?;
        if entry.value.is_unknown() || !suits(read, entry.quantity) {
            if entry.quantity.is_number()
                && matches!(entry.value.form, TreeForm::Constant(_) | TreeForm::Negative(_) | TreeForm::Binary(..))
            {
                let wanted = if matches!(read, Read::Load | Read::Effort) { "a force or a mass" } else { "a length" };
                self.put(at, &ReadingWithoutUnit { column: read.words().into(), wanted: wanted.into() });
            } else {
                self.put(at, unfit(&format!("the column `{}`", read.words()), wanted(read), &entry.value).as_ref());
            }
            return None;
        }
        entry.local = read.name().into();
        entry.label = format!("{}, trial {}", read.words(), made.trials.get(trial).map_or("", |trial| trial.label.as_str()));
        entry.owner = Owner::Readings(place);
        let mass = entry.quantity == Quantity::MASS;
        let id = self.model.push(entry);
        let value = if mass { self.weight_of(id, place, &name)? } else { id };
        Some(CellRead { text, read: id, value })
    }

    // The force that a mass pulls with under the sheet's gravity.
    fn weight_of(&mut self, mass: EntryId, place: usize, name: &str) -> Option<EntryId> {
        let gravity = self.scopes.get(self.scope)?.gravity?;
        let span = self.model.entry(mass).span;
        let mass = Tree::entry(mass, Quantity::MASS, Shape::Single, span);
        let gravity = Tree::entry(gravity, Quantity::ACCELERATION, Shape::Single, span);
        let form = TreeForm::Binary(Operator::Multiply, Box::new(mass), Box::new(gravity));
        let value = Tree { form, span, quantity: Quantity::FORCE, shape: Shape::Single };
        let mut entry = self.plain_entry(name, value, Role::Passed, span);
        entry.owner = Owner::Readings(place);
        Some(self.model.push(entry))
    }

    fn cell_stated(&mut self, table: &Table, read: Read, cell: &Cell, unit: Option<&UnitText>, file: bool) -> Option<Stated> {
        let text = cell.text.trim();
        let mut plain = text.to_string();
        if file {
            let number = text.strip_prefix(['+', '-', '−']).unwrap_or(text);
            if !number.starts_with(|c: char| c.is_ascii_digit() || c == '[' || c == '.') {
                self.put(cell.at, &ReadingNotANumber { text: text.into(), column: read.words().into() });
                return None;
            }
            plain = text.strip_prefix('+').unwrap_or(text).to_string();
            if plain.starts_with('.') {
                plain.insert(0, '0');
            }
            if table.decimal_comma {
                plain = decimal_points(&plain);
            }
        }
        // A quotation mark stands before what a quoted cell of a file says.
        let start = cell.at.start + u32::from(cell.at.end - cell.at.start > cell.text.len() as u32);
        let mut stated = crate::syntax::stated(&plain, start, self.home, &mut self.sink)?;
        if let Some(unit) = unit {
            give_unit(&mut stated.value, unit);
            let doubt = stated.doubt.as_mut().filter(|doubt| !doubt.of_value).map(|doubt| &mut doubt.amount);
            for amount in doubt.into_iter().chain(&mut stated.resolution) {
                give_unit(amount, unit);
            }
        }
        Some(stated)
    }
}

// `31,5` as `31.5`, where a comma stands between digits.
fn decimal_points(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let digit = |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(char::is_ascii_digit);
    let point = |(at, letter): (usize, &char)| {
        if *letter == ',' && digit(at.checked_sub(1)) && digit(Some(at + 1)) { '.' } else { *letter }
    };
    letters.iter().enumerate().map(point).collect()
}

// A bare number takes the unit of its column.
fn give_unit(expression: &mut Expression, unit: &UnitText) {
    match &mut expression.form {
        Form::Quantity(terms) => {
            for term in terms.iter_mut().filter(|term| term.unit.is_none()) {
                term.unit = Some(unit.clone());
            }
        }
        Form::Negative(of) => give_unit(of, unit),
        Form::List(items) => items.iter_mut().for_each(|item| give_unit(item, unit)),
        _ => {}
    }
}

fn suits(read: Read, quantity: Quantity) -> bool {
    match read {
        Read::Load | Read::Effort => {
            [Quantity::FORCE, Quantity::MASS, Quantity::TORQUE].into_iter().any(|wanted| wanted.meets(quantity).is_some())
        }
        Read::LoadTravel | Read::EffortTravel => quantity == Quantity::ANGLE || quantity.dimension == Dimension::LENGTH,
    }
}

fn wanted(read: Read) -> Quantity {
    match read {
        Read::Load | Read::Effort => Quantity::FORCE,
        Read::LoadTravel | Read::EffortTravel => Quantity::LENGTH,
    }
}

/// A path as written.
pub(super) fn words_of(path: &ast::Path) -> String {
    path.parts.iter().map(|part| part.text.as_str()).collect::<Vec<_>>().join(".")
}
