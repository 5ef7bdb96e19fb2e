//! The statements of a sheet, from top to bottom.

use crate::diagnostics::catalogue::files::UsedFileBroken;
use crate::diagnostics::catalogue::machines::{HeadValue, SheetTwice};
use crate::diagnostics::catalogue::names::{NameTaken, Taken};
use crate::diagnostics::catalogue::signing::StatusTyped;
use crate::diagnostics::catalogue::units::ShownInWrong;
use crate::diagnostics::{Finding, Label, Sink};
use crate::model::expressions::Reader;
use crate::model::head::Head;
use crate::model::quantity::Quantity;
use crate::model::scope::{Bound, Lookup, Scope};
use crate::model::settings::{self, Matched, matched, plain};
use crate::model::studies::Substitute;
use crate::model::tree::{Constant, EntryId, Shape, Tree, TreeForm};
use crate::model::{Entry, Inline, KindSource, Material, Model, Owner, Placed, Role, State, Wording};
use crate::source::{Extent, FileId, Home, Span};
use crate::syntax::ast::{Evidence, Kind, Name, SheetHead, Statement, UnitText, Use};
use crate::units::Unit;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Standard gravity g_n, in m/s² (3rd CGPM, 1901).
const STANDARD_GRAVITY: f64 = 9.806_65;

/// Binds the names of `root` and of all it uses.
pub fn resolve(root: FileId, material: &Material, sink: &mut Sink) -> Model {
    bound(root, material, None, sink)
}

/// Like [`resolve`], with another value in the place of one entry's own.
pub fn resolve_with(root: FileId, material: &Material, substitute: Substitute, sink: &mut Sink) -> Model {
    bound(root, material, Some(substitute), sink)
}

fn bound(root: FileId, material: &Material, substitute: Option<Substitute>, sink: &mut Sink) -> Model {
    let mut resolver = Resolver::new(material, root, material.kinds.clone());
    resolver.model.substitute = substitute;
    resolver.file(root);
    resolver.inlines();
    resolver.try_kinds();
    resolver.tell_apart();
    sink.absorb(resolver.sink);
    resolver.model
}

/// Everything that is being put together.
pub(super) struct Resolver<'m> {
    pub(super) material: &'m Material,
    pub(super) model: Model,
    pub(super) scopes: Vec<Scope>,
    pub(super) files: BTreeMap<FileId, usize>,
    pub(super) kinds: BTreeMap<String, KindSource>,
    pub(super) sink: Sink,
    pub(super) home: Home,
    pub(super) scope: usize,
    pub(super) root: FileId,
    /// Places in kinds whose faults have been told, so that a second machine of the kind does not tell them again.
    pub(super) kind_faults: BTreeSet<(Span, &'static str)>,
    /// The kinds that were written, in the sheet and in the files it uses.
    pub(super) written: Vec<KindSource>,
    /// Where each used file is first asked for, by which path, and whether it has been told that it has faults.
    pub(super) used_at: BTreeMap<FileId, (Span, String, bool)>,
    /// Scopes whose names stand beside those of another, which comes first.
    pub(super) brought: Vec<(usize, usize)>,
    /// A used file could not be read, so that any kind may be described there.
    pub(super) kinds_unsure: bool,
    /// How many trains of the current file each machine stands in.
    pub(super) joined: BTreeMap<String, usize>,
    /// The state in which each stated load of the current file is moved, by the first train that ends at it.
    pub(super) driven: BTreeMap<String, State>,
}

impl<'m> Resolver<'m> {
    /// Nothing put together yet.
    pub(super) fn new(material: &'m Material, root: FileId, kinds: BTreeMap<String, KindSource>) -> Self {
        Resolver {
            material,
            model: Model::default(),
            scopes: Vec::new(),
            files: BTreeMap::new(),
            kinds,
            sink: Sink::new(),
            home: Home::file(root),
            scope: 0,
            root,
            kind_faults: BTreeSet::new(),
            joined: BTreeMap::new(),
            driven: BTreeMap::new(),
            written: Vec::new(),
            kinds_unsure: false,
            used_at: BTreeMap::new(),
            brought: Vec::new(),
        }
    }
}

impl Resolver<'_> {
    fn file(&mut self, file: FileId) -> usize {
        if let Some(scope) = self.files.get(&file) {
            return *scope;
        }
        let scope = self.scopes.len();
        self.scopes.push(Scope::default());
        self.files.insert(file, scope);
        let Some(trees) = self.material.files.get(&file) else { return scope };
        let before = (self.home, self.scope, std::mem::take(&mut self.joined), std::mem::take(&mut self.driven));
        self.scope = scope;
        let statements: Vec<(u32, &Statement)> =
            trees.fences.iter().flat_map(|(fragment, ast)| ast.statements.iter().map(|statement| (*fragment, statement))).collect();
        self.look_ahead(file, &statements);
        for (fragment, statement) in statements {
            self.home = Home::fragment(file, fragment);
            self.statement(statement, fragment);
        }
        (self.home, self.scope, self.joined, self.driven) = before;
        scope
    }

    // The head may stand anywhere and holds for the whole sheet; names that come later make for a better message.
    fn look_ahead(&mut self, file: FileId, statements: &[(u32, &Statement)]) {
        let mut head: Option<(u32, &SheetHead)> = None;
        for (fragment, statement) in statements {
            let home = Home::fragment(file, *fragment);
            match statement {
                Statement::Sheet(found) if head.is_none() => head = Some((*fragment, found)),
                Statement::Sheet(again) => self.sink.push(home.span(again.at), &SheetTwice {}),
                Statement::Train(train) => {
                    let machines: BTreeSet<String> = train
                        .stations
                        .iter()
                        .filter_map(|station| match station {
                            crate::syntax::ast::Station::Named(path) => {
                                Some(path.parts.iter().map(|p| p.text.as_str()).collect::<Vec<_>>().join("."))
                            }
                            crate::syntax::ast::Station::Label(_) => None,
                        })
                        .collect();
                    for name in machines {
                        *self.joined.entry(name).or_default() += 1;
                    }
                    self.driven(train);
                }
                _ => {}
            }
            if let (Statement::Kind(kind), Some(scope)) = (statement, self.scopes.get_mut(self.scope)) {
                scope.later_kinds.entry(kind.name.text.clone()).or_insert(home.span(kind.name.at));
            }
            if let (Some(name), Some(scope)) = (defines(statement), self.scopes.get_mut(self.scope)) {
                scope.later.insert(name.text.clone(), home.span(name.at));
            }
        }
        self.home = head.map_or(Home::file(file), |(fragment, _)| Home::fragment(file, fragment));
        self.head(head.map(|(_, head)| head));
    }

    pub(super) fn head(&mut self, head: Option<&SheetHead>) {
        let mut gravity = None;
        let is_root = self.home.file == self.root;
        if is_root {
            self.model.head.us_customary = self.material.preferences.us_customary;
        }
        if let Some(head) = head {
            let mut cells: BTreeMap<String, String> = BTreeMap::new();
            let known: Vec<&str> = settings::HEAD
                .iter()
                .map(|(name, _)| *name)
                .chain(["gravity", "units", "prefer", "rule", "coverage", "terms", "revised", "question", "language"])
                .collect();
            let (mut record, mut stands_at, mut said) = (Vec::new(), None, Head::default());
            for setting in &head.settings {
                if setting.words.first().is_some_and(|word| word.text == "status") {
                    let found = setting.text.trim().strip_prefix("status").unwrap_or("");
                    self.put(setting.at, &StatusTyped { found: plain(found) });
                    continue;
                }
                let Some(found) = matched(setting, |name| known.contains(&name)) else {
                    self.unknown_setting(setting, "the head of a sheet", &known);
                    continue;
                };
                if let Some(sign) = found.rest.chars().next().filter(|sign| [':', '='].contains(sign)) {
                    self.put(
                        Extent::new(found.rest_at.start as usize, found.rest_at.start as usize + 1),
                        &settings::with_sign(sign, &found.name),
                    );
                    continue;
                }
                match found.name.as_str() {
                    "gravity" => gravity = self.head_gravity(found.rest, found.rest_at),
                    "units" => match plain(found.rest).as_str() {
                        "US customary" | "US" if is_root => self.model.head.us_customary = Some(true),
                        "SI" if is_root => self.model.head.us_customary = Some(false),
                        "US customary" | "US" | "SI" => {}
                        other => {
                            let finding = HeadValue { name: "units".into(), found: other.into(), wanted: "`SI` or `US customary`".into() };
                            self.put(found.rest_at, &finding);
                        }
                    },
                    "prefer" => self.preferred(&found, is_root),
                    "revised" => self.revised(&found, &mut record),
                    "question" | "language" => self.words(&found, &mut said),
                    "rule" | "coverage" | "terms" => self.head_decides(&found, is_root),
                    name => {
                        self.cell(name, &found);
                        cells.insert(name.into(), plain(found.rest));
                        stands_at = Some(found).filter(|found| found.name == "revision").or(stands_at);
                    }
                }
            }
            self.stands_at(&mut cells, stands_at.as_ref(), &record);
            if is_root {
                self.model.head.number = head.number.as_ref().map(|name| name.text.clone()).unwrap_or_default();
                self.model.head.title = head.title.as_ref().map(|title| title.text.clone()).unwrap_or_default();
                self.model.head.duty = cells.get("duty").cloned().unwrap_or_default();
                let cell = |(name, label): &(&str, &str)| Some(((*label).to_string(), cells.get(*name)?.clone()));
                self.model.head.revisions = record;
                (self.model.head.question, self.model.head.language) = (said.question, said.language);
                self.model.head.cells = settings::HEAD.iter().filter_map(cell).collect();
            }
        }
        if is_root {
            // The first unit that fits a quantity is taken, so those of the house come behind the sheet's own.
            self.model.head.preferred.extend_from_slice(&self.material.preferences.units);
        }
        let id = gravity.unwrap_or_else(|| {
            let unit = crate::units::parse("m/s^2").ok();
            let constant = Constant { si: STANDARD_GRAVITY, parts: vec![("9.80665".into(), unit)] };
            let span = self.home.span(Extent::default());
            let value = Tree { form: TreeForm::Constant(constant), span, quantity: Quantity::ACCELERATION, shape: Shape::Single };
            let mut entry = self.plain_entry("g", value, Role::Gravity { declared: false }, span);
            entry.label = "standard gravity".into();
            entry.evidence = vec![(
                crate::syntax::ast::EvidenceWord::Because,
                "conventional value of the 3rd CGPM, 1901; no local value is declared".into(),
            )];
            self.model.push(entry)
        });
        if let Some(scope) = self.scopes.get_mut(self.scope) {
            scope.gravity = Some(id);
        }
    }

    // `prefer kN, mm`: a unit for each quantity that is printed otherwise than by its size.
    fn preferred(&mut self, found: &Matched<'_>, is_root: bool) {
        for word in found.rest.split(',').map(str::trim) {
            match crate::units::parse(word) {
                // A share printed in per cent would make one of every count and advantage as well.
                Ok(unit) if !unit.dimension.is_none() || unit.nature != crate::units::Nature::Plain => {
                    if is_root {
                        self.model.head.preferred.push(unit);
                    }
                }
                _ => {
                    let wanted = "units with commas between them, as in `prefer kN, mm`".into();
                    self.put(found.rest_at, &HeadValue { name: "prefer".into(), found: word.into(), wanted });
                }
            }
        }
    }

    fn head_gravity(&mut self, rest: &str, at: Extent) -> Option<EntryId> {
        let stated = crate::syntax::stated(rest, at.start, self.home, &mut self.sink)?;
        let span = self.home.span(at);
        let entry = self.stated_entry(
            "g",
            &stated,
            Role::Gravity { declared: true },
            span,
            Some(("the gravity of a sheet", Quantity::ACCELERATION)),
        )?;
        let id = self.model.push(entry);
        if let Some(entry) = self.model.entries.get_mut(id.0) {
            entry.label = "local gravity, declared".into();
        }
        Some(id)
    }

    fn statement(&mut self, statement: &Statement, fragment: u32) {
        if let (Some(name), Some(scope)) = (defines(statement), self.scopes.get_mut(self.scope)) {
            scope.later.remove(&name.text);
            scope.now.clone_from(&name.text);
        }
        let placed = match statement {
            Statement::Sheet(_) => None,
            Statement::Take(input) => self.input(input, Role::Take).map(Placed::Input),
            Statement::Assume(input) => self.input(input, Role::Assume).map(Placed::Input),
            Statement::Gear(gear) => self.gear(gear).map(Placed::Gear),
            Statement::Instrument(instrument) => self.instrument(instrument).map(Placed::Instrument),
            Statement::Correlation(correlation) => self.correlation(correlation).map(Placed::Correlation),
            Statement::Definition(definition) => self.working(definition).map(Placed::Working),
            Statement::Machine(machine) => {
                let at = self.machine(machine);
                at.filter(|at| self.model.machines.get(*at).is_some_and(|machine| !machine.broken)).map(Placed::Machine)
            }
            Statement::Train(train) => self.train(train).map(Placed::Train),
            Statement::Check(check) => self.check(check).map(Placed::Check),
            Statement::Law(law) => self.law(law).map(Placed::Law),
            Statement::Agreement(agreement) => self.agreement(agreement).map(Placed::Agreement),
            Statement::Exercise(exercise) => self.exercise(exercise).map(Placed::Exercise),
            Statement::Vary(vary) => self.vary(vary).map(Placed::Study),
            Statement::Size(size) => self.size(size).map(Placed::Study),
            Statement::Propagate(propagate) => self.propagate(propagate).map(Placed::Propagation),
            Statement::Kind(kind) => {
                let span = kind.items.last().map_or(kind.at, |item| kind.at.to(crate::model::elaborate::item_at(item)));
                if self.home.file == self.root {
                    self.model.kinds.push(KindSource::new(kind.clone(), self.home));
                }
                self.kind(kind);
                let label = kind.label.as_ref().map(|label| label.text.clone()).unwrap_or_default();
                let at = self.model.kinds.len().saturating_sub(1);
                Some(Placed::Kind { name: kind.name.text.clone(), label, span: self.home.span(span), at })
            }
            Statement::Use(used) => {
                self.use_file(used);
                None
            }
            Statement::Readings(readings) => self.readings(readings).map(Placed::Readings),
            Statement::Broken(broken) => {
                if let Some(name) = &broken.name {
                    self.bind_quiet(name);
                }
                self.spoiled_by(&broken.text);
                Some(Placed::Broken(self.home.span(broken.at)))
            }
        };
        if self.home.file == self.root {
            match placed {
                Some(placed) => self.model.layout.entry(fragment).or_default().push(placed),
                None if matches!(statement, Statement::Sheet(_) | Statement::Use(_)) => {}
                None => {
                    let span = self.home.span(statement_at(statement));
                    self.model.layout.entry(fragment).or_default().push(Placed::Broken(span));
                }
            }
        }
    }

    // Neither another kind of the sheet nor one of the program's own may have the name. The machines below were written
    // for this kind all the same, so it stands for the rest of the sheet and nothing more is said about them.
    fn kind(&mut self, kind: &Kind) {
        let (name, span) = (kind.name.text.clone(), self.home.span(kind.name.at));
        let built_in = crate::kinds::document(&name).is_some();
        // The document of a kind, read as a sheet, gives that same kind again.
        let same = built_in && self.kinds.get(&name).is_some_and(|known| *known.kind == *kind);
        let source = KindSource::new(kind.clone(), self.home);
        self.written.push(source.clone());
        if same {
            self.kinds.insert(name, source);
            return;
        }
        if built_in {
            self.sink.push(span, &NameTaken { name: name.clone(), by: Taken::BuiltIn });
        } else if let Some(before) = self.kinds.get(&name) {
            let there = Label { span: before.home.span(before.kind.name.at), text: "first defined here".into() };
            self.sink.push_with(span, &NameTaken { name: name.clone(), by: Taken::Above }, vec![there]);
        }
        // What every machine and every train has is no kind to be replaced.
        if !built_in || crate::kinds::words().any(|word| word == name) {
            self.kinds.insert(name, source);
        }
    }

    fn use_file(&mut self, used: &Use) {
        let key = (self.home.file, used.path.text.clone());
        let Some(file) = self.material.uses.get(&key).copied() else {
            self.kinds_unsure = true;
            match &used.name {
                Some(name) => self.bind_quiet(name),
                None => self.scopes.get_mut(self.scope).into_iter().for_each(|scope| scope.blind = true),
            }
            return;
        };
        // What is wrong inside a used file is told with that file; here it only matters that names may be missing.
        let mine = std::mem::take(&mut self.sink);
        let theirs = self.file(file);
        let found = std::mem::replace(&mut self.sink, mine);
        if !self.model.used.contains(&file) {
            self.model.used.push(file);
        }
        let place = (self.home.span(used.path.at), used.path.text.clone(), false);
        let (.., told) = self.used_at.entry(file).or_insert(place);
        if self.material.lists.contains(&file) {
            if std::mem::replace(told, true) {
                drop(found);
            } else {
                self.sink.absorb(found);
            }
        } else if found.has_errors() {
            *told = true;
            self.kinds_unsure = true;
            self.put(used.path.at, &UsedFileBroken { path: used.path.text.clone(), errors: found.error_count() });
        }
        match &used.name {
            Some(name) => self.bind(name, Bound::Used(theirs)),
            None => {
                self.brought.push((self.scope, theirs));
                let names = self.scopes.get(theirs).map(|scope| scope.names.clone()).unwrap_or_default();
                for (text, (bound, _)) in names {
                    self.bind_by(&Name { text, at: used.path.at }, bound, || Taken::Brought(used.path.text.clone()));
                }
            }
        }
    }

    /// Puts down that a used file has faults of its own that came to light at the end, where the sheet asks for it.
    pub(super) fn used_is_broken(&mut self, file: FileId, errors: usize) {
        let Some((span, path, told)) = self.used_at.get_mut(&file) else { return };
        if std::mem::replace(told, true) {
            return;
        }
        let (span, path) = (*span, path.clone());
        if span.home.file == self.root {
            self.sink.push(span, &UsedFileBroken { path, errors });
        } else {
            self.used_is_broken(span.home.file, errors);
        }
    }

    fn inlines(&mut self) {
        let Some(trees) = self.material.files.get(&self.root) else { return };
        for (fragment, stated) in &trees.inlines {
            self.home = Home::fragment(self.root, *fragment);
            self.scope = 0;
            let value = self.read(|reader| reader.single(&stated.value));
            let shown_in = self.shown_in(stated.shown_in.as_ref(), &value);
            self.model.inlines.insert(*fragment, Inline { value, shown_in, asked: stated.shown_in.is_some() });
        }
    }

    // ---- what the other files of this room build on

    /// Puts down a finding in the current fence.
    pub(super) fn put(&mut self, at: Extent, finding: &dyn Finding) {
        self.sink.push(self.home.span(at), finding);
    }

    /// Reads an expression in the current sheet.
    pub(super) fn read<T>(&mut self, with: impl FnOnce(&mut Reader<'_>) -> T) -> T {
        let lookup = Lookup::Sheet { scopes: &self.scopes, scope: self.scope };
        with(&mut Reader::new(&self.model, lookup, self.home, &mut self.sink))
    }

    /// Binds a name, once.
    pub(super) fn bind(&mut self, name: &Name, bound: Bound) {
        self.bind_by(name, bound, || Taken::Above);
    }

    fn bind_by(&mut self, name: &Name, bound: Bound, by: impl FnOnce() -> Taken) {
        let span = self.home.span(name.at);
        let Some(scope) = self.scopes.get_mut(self.scope) else { return };
        if let Some((_, before)) = scope.names.get(&name.text) {
            let there = Label { span: *before, text: "first defined here".into() };
            self.sink.push_with(span, &NameTaken { name: name.text.clone(), by: by() }, vec![there]);
            return;
        }
        scope.names.insert(name.text.clone(), (bound, span));
    }

    /// Binds a name whose statement has a fault, so that its uses stay quiet.
    pub(super) fn bind_quiet(&mut self, name: &Name) {
        let span = self.home.span(name.at);
        if let Some(scope) = self.scopes.get_mut(self.scope) {
            scope.names.entry(name.text.clone()).or_insert((Bound::Quiet, span));
        }
    }

    /// Whether a name is still free; puts down a finding when it is not.
    pub(super) fn is_free(&mut self, name: &Name) -> bool {
        let taken = self.scopes.get(self.scope).and_then(|scope| scope.names.get(&name.text)).map(|(_, span)| *span);
        if let Some(before) = taken {
            let there = Label { span: before, text: "first defined here".into() };
            self.sink.push_with(self.home.span(name.at), &NameTaken { name: name.text.clone(), by: Taken::Above }, vec![there]);
        }
        taken.is_none()
    }

    /// An entry with nothing but a name and a value.
    pub(super) fn plain_entry(&self, name: &str, value: Tree, role: Role, span: Span) -> Entry {
        let owner = if self.home.file == self.root { Owner::Sheet } else { Owner::Used };
        let wording = Arc::new(Wording { local: name.into(), ..Wording::default() });
        self.worded_entry((name.into(), wording), value, role, span, owner)
    }

    /// An entry with its name, what is said of it and a value.
    pub(super) fn worded_entry(&self, said: (String, Arc<Wording>), value: Tree, role: Role, span: Span, owner: Owner) -> Entry {
        let (name, wording) = said;
        Entry {
            name,
            wording,
            span,
            quantity: value.quantity,
            shape: value.shape,
            shown_in: self.taken_over(&value),
            asked: false,
            value,
            index: None,
            role,
            doubts: Vec::new(),
            reading: None,
            owner,
        }
    }

    /// The unit a value is to be shown in: as asked, or taken over from what it is made of.
    pub(super) fn shown_in(&mut self, asked: Option<&UnitText>, value: &Tree) -> Option<Unit> {
        let Some(text) = asked else { return self.taken_over(value) };
        let unit = self.read(|reader| reader.unit(text))?;
        let of = Quantity { dimension: unit.dimension, nature: unit.nature };
        let fits = of.meets(value.quantity).is_some() || (of.is_number() && value.quantity.is_number());
        if !fits && !value.is_unknown() {
            self.put(text.at, &ShownInWrong { unit: unit.symbol.clone(), unit_quantity: of.name(), quantity: value.quantity.name() });
            return None;
        }
        Some(unit)
    }

    // The author's own unit is kept where a value is a sum, a share or a copy of one that has it.
    fn taken_over(&self, value: &Tree) -> Option<Unit> {
        use crate::model::functions::Function;
        use crate::syntax::ast::Operator;
        match &value.form {
            TreeForm::Constant(constant) => {
                constant.parts.first().and_then(|(_, unit)| unit.clone()).filter(|unit| unit.offset == 0.0 || constant.parts.len() == 1)
            }
            // What a kind takes for granted says nothing of how the author measures.
            TreeForm::Entry(id) | TreeForm::Item(id, _) if self.model.entry(*id).role == (Role::Field { given: false }) => None,
            TreeForm::Entry(id) | TreeForm::Item(id, _) => self.model.entry(*id).shown_in.clone(),
            TreeForm::Negative(of) => self.taken_over(of),
            TreeForm::List(items) => items.first().and_then(|item| self.taken_over(item)),
            TreeForm::Call(Function::Abs | Function::Min | Function::Max | Function::Sum, items) => {
                items.first().and_then(|item| self.taken_over(item))
            }
            TreeForm::Binary(Operator::Add | Operator::Subtract, left, right) => self.taken_over(left).or_else(|| self.taken_over(right)),
            TreeForm::Binary(Operator::Multiply, left, right) if left.quantity == Quantity::RATIO && !right.quantity.is_number() => {
                self.taken_over(right)
            }
            TreeForm::Binary(Operator::Multiply | Operator::Divide, left, right)
                if right.quantity == Quantity::RATIO && !left.quantity.is_number() =>
            {
                self.taken_over(left)
            }
            TreeForm::Over { body, .. } if !value.quantity.is_number() => self.taken_over(body),
            _ => None,
        }
        .filter(|unit| unit.dimension == value.quantity.dimension)
    }
}

/// Evidence as the model keeps it.
pub(super) fn kept(evidence: &[Evidence]) -> Vec<(crate::syntax::ast::EvidenceWord, String)> {
    evidence.iter().map(|evidence| (evidence.word, evidence.text.text.clone())).collect()
}

fn defines(statement: &Statement) -> Option<&Name> {
    match statement {
        Statement::Take(input) | Statement::Assume(input) => Some(&input.name),
        Statement::Gear(gear) => Some(&gear.name),
        Statement::Instrument(instrument) => Some(&instrument.name),
        Statement::Definition(definition) => Some(&definition.name),
        Statement::Machine(machine) => Some(&machine.name),
        Statement::Train(train) => Some(&train.name),
        Statement::Readings(readings) => Some(&readings.name),
        Statement::Law(law) => Some(&law.name),
        Statement::Broken(broken) => broken.name.as_ref(),
        Statement::Sheet(_)
        | Statement::Correlation(_)
        | Statement::Check(_)
        | Statement::Agreement(_)
        | Statement::Exercise(_)
        | Statement::Vary(_)
        | Statement::Size(_)
        | Statement::Propagate(_)
        | Statement::Kind(_)
        | Statement::Use(_) => None,
    }
}

fn statement_at(statement: &Statement) -> Extent {
    match statement {
        Statement::Sheet(head) => head.at,
        Statement::Take(input) | Statement::Assume(input) => input.at,
        Statement::Gear(gear) => gear.settings.last().map_or(gear.at, |last| gear.at.to(last.at)),
        Statement::Instrument(instrument) => instrument.settings.last().map_or(instrument.at, |last| instrument.at.to(last.at)),
        Statement::Correlation(correlation) => correlation.at,
        Statement::Definition(definition) => definition.at,
        Statement::Machine(machine) => machine.settings.last().map_or(machine.at, |last| machine.at.to(last.at)),
        Statement::Train(train) => train.settings.last().map_or(train.at, |last| train.at.to(last.at)),
        Statement::Check(check) => check.at,
        Statement::Law(law) => law.settings.last().map_or(law.at, |last| law.at.to(last.at)),
        Statement::Agreement(agreement) => agreement.at,
        Statement::Exercise(exercise) => exercise.settings.last().map_or(exercise.at, |last| exercise.at.to(last.at)),
        Statement::Vary(vary) => vary.at,
        Statement::Size(size) => size.at,
        Statement::Propagate(propagate) => propagate.settings.last().map_or(propagate.at, |last| propagate.at.to(last.at)),
        Statement::Kind(kind) => kind.at,
        Statement::Use(used) => used.at,
        Statement::Readings(readings) => readings.table.rows.last().map_or(readings.at, |last| readings.at.to(last.at)),
        Statement::Broken(broken) => broken.at,
    }
}
