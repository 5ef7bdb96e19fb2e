//! What each part of the page is given, and where a part of a house asks for anything else. What is given is noted while a full
//! sheet is printed by our own parts; the names in a part are then looked up there, tag by tag, so that no branch goes unseen.

use crate::output::tags::{Piece, Tag, pieces, tags};
use serde_json::Value;
use std::collections::BTreeMap;
use std::ops::Range;

/// What stands under a name.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) enum Shape {
    /// Not seen: it was absent, or an item of a list that was empty.
    #[default]
    Unknown,
    /// A text, a number or a truth.
    Plain,
    List(Box<Shape>),
    Fields(Names),
}

/// Names with what stands under each.
pub(super) type Names = BTreeMap<String, Shape>;

impl Shape {
    pub(super) fn of(value: &Value) -> Shape {
        match value {
            Value::Null => Shape::Unknown,
            Value::Bool(_) | Value::Number(_) | Value::String(_) => Shape::Plain,
            Value::Array(items) => Shape::List(Box::new(items.iter().map(Shape::of).fold(Shape::Unknown, Shape::and))),
            Value::Object(fields) => Shape::Fields(fields.iter().map(|(name, value)| (name.clone(), Shape::of(value))).collect()),
        }
    }

    /// What is known of a thing that was seen as both.
    pub(super) fn and(self, other: Shape) -> Shape {
        match (self, other) {
            (Shape::Fields(mut one), Shape::Fields(two)) => {
                join(&mut one, two);
                Shape::Fields(one)
            }
            (Shape::List(one), Shape::List(two)) => Shape::List(Box::new(one.and(*two))),
            (Shape::Unknown | Shape::Plain, other @ (Shape::Fields(_) | Shape::List(_))) | (Shape::Unknown, other) => other,
            (one, _) => one,
        }
    }

    fn item(&self) -> Shape {
        if let Shape::List(item) = self { (**item).clone() } else { Shape::Unknown }
    }
}

/// Adds `two` to what is known of the names in `one`.
pub(super) fn join(one: &mut Names, two: Names) {
    for (name, shape) in two {
        let known = one.remove(&name).unwrap_or_default();
        one.insert(name, known.and(shape));
    }
}

/// What every part and every piece of ours is given.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Given {
    pub(super) parts: BTreeMap<String, Names>,
    pieces: BTreeMap<String, Names>,
}

/// The part that holds the pieces of the others.
const PIECES: &str = "pieces.html";

/// A name that a part is not given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Stranger {
    pub at: Range<usize>,
    pub name: String,
    /// What it was sought in, as written; empty where it stands by itself.
    pub of: String,
    /// What is given there.
    pub known: Vec<String>,
}

impl Given {
    /// What all parts are given, where those in `printed` were printed by themselves and the others are taken into those.
    pub(super) fn of(printed: BTreeMap<String, Names>, parts: &[(&str, &str)]) -> Given {
        let mut given = Given { parts: printed, pieces: BTreeMap::new() };
        loop {
            let before = given.clone();
            for (name, text) in parts {
                let Some(names) = before.parts.get(*name).cloned().or_else(|| (*name == PIECES).then(Names::new)) else { continue };
                let mut reading = Reading::new(&before, names);
                reading.part(text);
                for (part, names) in reading.included {
                    join(given.parts.entry(part).or_default(), names);
                }
                for (piece, names) in reading.called {
                    join(given.pieces.entry(piece).or_default(), names);
                }
            }
            if given == before {
                return given;
            }
        }
    }

    /// Whether it is known what the part `name` is given.
    pub(super) fn is_given(&self, name: &str) -> bool {
        name == PIECES || self.parts.contains_key(name)
    }

    /// What was never seen: where it is given, and under which name.
    pub(super) fn unseen(&self) -> Vec<String> {
        fn within(shape: &Shape, path: &str, found: &mut Vec<String>) {
            match shape {
                Shape::Unknown => found.push(path.to_string()),
                Shape::Plain => {}
                Shape::List(item) => within(item, &format!("{path}[]"), found),
                Shape::Fields(names) => names.iter().for_each(|(name, shape)| within(shape, &format!("{path}.{name}"), found)),
            }
        }
        let mut found = Vec::new();
        for (part, names) in self.parts.iter().chain(&self.pieces) {
            names.iter().for_each(|(name, shape)| within(shape, &format!("{part}: {name}"), &mut found));
        }
        found
    }

    /// The names in `text`, which stands in the place of the part `name`, that it is not given.
    pub(super) fn strangers(&self, name: &str, text: &str) -> Vec<Stranger> {
        let names = self.parts.get(name).cloned();
        // Pieces are given what they are called with, and nothing else.
        let Some(names) = names.or_else(|| (name == PIECES).then(Names::new)) else { return Vec::new() };
        let mut reading = Reading::new(self, names);
        reading.part(text);
        reading.strangers
    }
}

// Names that are in force from some tag on.
#[derive(Debug, Default)]
struct Scope {
    names: Names,
    /// Whether nothing outside is seen, as in a piece.
    alone: bool,
}

struct Reading<'g> {
    given: &'g Given,
    scopes: Vec<Scope>,
    strangers: Vec<Stranger>,
    included: Vec<(String, Names)>,
    called: Vec<(String, Names)>,
}

impl<'g> Reading<'g> {
    fn new(given: &'g Given, names: Names) -> Self {
        let scopes = vec![Scope { names, alone: false }];
        Reading { given, scopes, strangers: Vec::new(), included: Vec::new(), called: Vec::new() }
    }

    fn part(&mut self, text: &str) {
        for (tag, within) in tags(text) {
            let pieces = pieces(text, within);
            match tag {
                Tag::Print => self.expression(&pieces),
                Tag::Statement => self.statement(&pieces),
            }
        }
    }

    fn statement(&mut self, all: &[Piece<'_>]) {
        let Some((first, rest)) = all.split_first() else { return };
        match first.word().unwrap_or_default() {
            "for" => self.each(rest),
            "endfor" | "endcomponent" if self.scopes.len() > 1 => drop(self.scopes.pop()),
            "set" | "set_global" => {
                let Some((name, value)) = rest.split_first().and_then(|(name, value)| Some((name.word()?, value))) else { return };
                // Without `=` what is set stands between this tag and its end.
                let shape = match value.split_first() {
                    Some((sign, value)) if sign.is("=") => self.shape(value),
                    _ => Shape::Plain,
                };
                self.name(name, shape);
            }
            "include" => {
                for part in rest.iter().filter_map(Piece::quoted) {
                    self.included.push((part.to_string(), self.seen()));
                }
            }
            "component" => {
                let Some(piece) = rest.first().and_then(Piece::word) else { return };
                let told = self.given.pieces.get(piece);
                let open = rest.iter().skip(1).take_while(|piece| !piece.is(")"));
                // A name behind a colon is its type, one behind `=` what it is unless stated.
                let mut before = "";
                let mut names = Names::new();
                for piece in open {
                    if let Some(name) = piece.word().filter(|_| before == "(" || before == ",") {
                        names.insert(name.to_string(), told.and_then(|told| told.get(name)).cloned().unwrap_or_default());
                    }
                    before = piece.text;
                }
                self.scopes.push(Scope { names, alone: true });
            }
            "if" | "elif" => self.expression(rest),
            "filter" => self.expression(rest.get(1..).unwrap_or_default()),
            _ if first.is("<") => self.expression(all),
            _ => {}
        }
    }

    // `for one in list` and `for key, value in map`.
    fn each(&mut self, rest: &[Piece<'_>]) {
        let split = rest.iter().position(|piece| piece.word() == Some("in")).unwrap_or(rest.len());
        let (names, of) = (rest.get(..split).unwrap_or_default(), rest.get(split + 1..).unwrap_or_default());
        let item = self.shape(of).item();
        let names: Vec<&str> = names.iter().filter_map(Piece::word).collect();
        let mut scope = Scope::default();
        for name in &names {
            scope.names.insert((*name).to_string(), if names.len() == 1 { item.clone() } else { Shape::Unknown });
        }
        let told = ["index", "index0", "first", "last", "length"].map(|name| (name.to_string(), Shape::Plain));
        scope.names.insert("loop".into(), Shape::Fields(told.into_iter().collect()));
        self.scopes.push(scope);
    }

    fn name(&mut self, name: &str, shape: Shape) {
        if let Some(scope) = self.scopes.last_mut() {
            scope.names.insert(name.to_string(), shape);
        }
    }

    // Every name that is seen here.
    fn seen(&self) -> Names {
        let from = self.scopes.iter().rposition(|scope| scope.alone).unwrap_or(0);
        let mut all = Names::new();
        for scope in self.scopes.iter().skip(from) {
            all.extend(scope.names.iter().map(|(name, shape)| (name.clone(), shape.clone())));
        }
        all
    }

    // What an expression comes to, where it is a name or a path and nothing is done with it; its names are looked up.
    fn shape(&mut self, pieces: &[Piece<'_>]) -> Shape {
        self.expression(pieces);
        let (shape, used) = self.path(pieces, 0, &mut Vec::new());
        if used == pieces.len() { shape } else { Shape::Unknown }
    }

    fn expression(&mut self, all: &[Piece<'_>]) {
        // `[one.name for one in list]` names `one` behind what uses it.
        let named = all.iter().zip(all.iter().skip(1)).filter(|(word, _)| word.is("for")).filter_map(|(_, name)| name.word());
        let named: Vec<&str> = named.collect();
        self.scopes.push(Scope { names: named.iter().map(|name| ((*name).to_string(), Shape::Unknown)).collect(), alone: false });
        let (mut at, mut strange) = (0, Vec::new());
        while let Some(piece) = all.get(at) {
            let before = at.checked_sub(1).and_then(|before| all.get(before));
            let behind = |word: &str| before.is_some_and(|piece| piece.is(word));
            let followed = |by: &str| all.get(at + 1).is_some_and(|piece| piece.is(by));
            let negated = behind("not") && at.checked_sub(2).and_then(|at| all.get(at)).is_some_and(|piece| piece.is("is"));
            let passed = piece.is_reserved() || behind("|") || behind("is") || negated || followed("(") || followed("=");
            // The name behind `</` ends what was begun.
            if at == 2 && behind("/") && all.first().is_some_and(|piece| piece.is("<")) {
                at += 1;
                continue;
            }
            if behind("<") && at == 1 {
                self.call(piece.text, all.get(at + 1..).unwrap_or_default());
            } else if piece.word().is_some() && !passed {
                let (_, end) = self.path(all, at, &mut strange);
                // What is asked for in case it is not there may well not be.
                let wary = ["is", "|"].iter().any(|sign| all.get(end).is_some_and(|piece| piece.is(sign)))
                    && all
                        .iter()
                        .skip(end + 1)
                        .find(|piece| !piece.is("not"))
                        .is_some_and(|piece| ["defined", "undefined", "default"].iter().any(|word| piece.is(word)));
                if !wary {
                    self.strangers.append(&mut strange);
                }
                strange.clear();
                at = end;
                continue;
            }
            at += 1;
        }
        self.scopes.pop();
    }

    // The arguments with which a piece is called: `name={path}`, `name="text"` or `name` alone.
    fn call(&mut self, piece: &str, arguments: &[Piece<'_>]) {
        let mut names = Names::new();
        for (at, name) in arguments.iter().enumerate().filter(|(at, _)| arguments.get(at + 1).is_some_and(|piece| piece.is("="))) {
            let value = arguments.get(at + 2..).unwrap_or_default();
            let shape = match value.split_first() {
                Some((open, value)) if open.is("{") => {
                    let (shape, used) = self.path(value, 0, &mut Vec::new());
                    if value.get(used).is_some_and(|piece| piece.is("}")) { shape } else { Shape::Unknown }
                }
                _ => Shape::Plain,
            };
            names.insert(name.text.to_string(), shape);
        }
        self.called.push((piece.to_string(), names));
    }

    // What stands under the path that begins at `at`, and where the path ends; what is not there goes to `strange`.
    fn path(&mut self, all: &[Piece<'_>], at: usize, strange: &mut Vec<Stranger>) -> (Shape, usize) {
        let Some((root, name)) = all.get(at).and_then(|piece| Some((piece, piece.word()?))) else { return (Shape::Unknown, at) };
        let mut seen = self.seen();
        let mut shape = match seen.remove(name) {
            Some(shape) => shape,
            None => {
                let known = seen.into_keys().filter(|name| name != "loop").collect();
                strange.push(Stranger { at: root.at.clone(), name: name.to_string(), of: String::new(), known });
                Shape::Unknown
            }
        };
        let (mut at, mut written) = (at + 1, name.to_string());
        while let Some(sign) = all.get(at) {
            if sign.is("[") || sign.is("?[") {
                let mut depth = 1;
                let within = all.get(at + 1..).unwrap_or_default();
                let length = within.iter().position(|piece| {
                    depth += usize::from(piece.is("[") || piece.is("?["));
                    depth -= usize::from(piece.is("]"));
                    depth == 0
                });
                let within = within.get(..length.unwrap_or(within.len())).unwrap_or_default();
                self.expression(within);
                shape = match (within, &shape) {
                    ([one], Shape::Fields(_)) if one.quoted().is_some() => self.field(&shape, one, &written, strange),
                    (_, Shape::List(_)) => shape.item(),
                    _ => Shape::Unknown,
                };
                at += within.len() + 2;
            } else if (sign.is(".") || sign.is("?.")) && all.get(at + 1).is_some_and(|piece| piece.word().is_some()) {
                let Some(field) = all.get(at + 1) else { break };
                shape = self.field(&shape, field, &written, strange);
                written.push_str(&format!(".{}", field.text));
                at += 2;
            } else {
                break;
            }
        }
        (shape, at.min(all.len()))
    }

    fn field(&self, of: &Shape, field: &Piece<'_>, written: &str, strange: &mut Vec<Stranger>) -> Shape {
        let name = field.quoted().unwrap_or(field.text);
        let known = match of {
            Shape::Unknown => return Shape::Unknown,
            Shape::Fields(fields) => match fields.get(name) {
                Some(shape) => return shape.clone(),
                None => fields.keys().cloned().collect(),
            },
            Shape::Plain | Shape::List(_) => Vec::new(),
        };
        strange.push(Stranger { at: field.at.clone(), name: name.to_string(), of: written.to_string(), known });
        Shape::Unknown
    }
}

#[cfg(test)]
mod tests {
    use super::{Given, Shape};
    use serde_json::json;
    use std::collections::BTreeMap;

    const PARTS: [(&str, &str); 3] = [
        ("page.html", "{% for row in rows %}{% include \"row.html\" %}{{<cell of={row.cell} words=\"x\" />}}{% endfor %}{{ title }}"),
        ("row.html", "{{ row.name }}"),
        ("pieces.html", "{% component cell(of, words = \"\") %}{{ of.number }}{{ words }}{% endcomponent cell %}"),
    ];

    fn given() -> Given {
        let view = json!({ "title": "a", "rows": [{ "name": "b", "cell": null }, { "name": "c", "cell": { "number": 1 } }], "empty": [] });
        let Shape::Fields(names) = Shape::of(&view) else { panic!("fields") };
        Given::of(BTreeMap::from([("page.html".to_string(), names)]), &PARTS)
    }

    fn strange(part: &str, text: &str) -> Vec<String> {
        given()
            .strangers(part, text)
            .into_iter()
            .map(|one| if one.of.is_empty() { one.name } else { format!("{}.{}", one.of, one.name) })
            .collect()
    }

    #[test]
    fn our_own_parts_ask_for_nothing_strange() {
        for (name, text) in PARTS {
            assert_eq!(given().strangers(name, text), [], "{name}");
        }
    }

    #[test]
    fn a_name_that_is_not_given_is_found_wherever_it_stands() {
        for (part, text, wanted) in [
            ("page.html", "{{ tilte }}", "tilte"),
            ("page.html", "{% for one in rows %}{{ one.nam }}{% endfor %}", "one.nam"),
            ("page.html", "{% for one in rows %}{% if one.cell.numbr > 1 %}{% endif %}{% endfor %}", "one.cell.numbr"),
            ("page.html", "{% for one in rows %}{% endfor %}{{ one.name }}", "one"),
            ("page.html", "{% if title %}{% else %}{{ titel | upper }}{% endif %}", "titel"),
            ("page.html", "{{ title.long }}", "title.long"),
            ("page.html", "{{ rows[0].nam }}", "rows.nam"),
            ("page.html", "{% set all = rows %}{% for one in all %}{{ one.nam }}{% endfor %}", "one.nam"),
            ("page.html", "{% for one in rows %}{{ loop.lst }}{% endfor %}", "loop.lst"),
            ("page.html", "{{<cell of={rwos} words=\"x\" />}}", "rwos"),
            ("row.html", "{{ row.nam }}", "row.nam"),
            ("pieces.html", "{% component cell(of, words) %}{{ of.numbr }}{% endcomponent cell %}", "of.numbr"),
            ("pieces.html", "{% component cell(of, words) %}{{ title }}{% endcomponent cell %}", "title"),
        ] {
            assert_eq!(strange(part, text), [wanted], "{text}");
        }
    }

    #[test]
    fn what_is_no_name_of_ours_is_left_alone() {
        for text in [
            "{# {{ gone }} #}{{ title | replace(from=\"gone\", to='x') }}",
            "{% if rows | length > 0 and not title is containing(\"a\") %}{% endif %}",
            "{% if gone is defined %}{% endif %}{{ gone | default(value=\"x\") }}",
            "{% raw %}{{ gone }}{% endraw %}{{ \"}} gone\" }}",
            "{% for one in empty %}{{ one.anything }}{% endfor %}{{ 1 if title else 2 }}",
            "{% set own = title %}{{ own }}{{ rows | map(attribute=\"name\") | join(sep=\", \") }}",
        ] {
            assert_eq!(strange("page.html", text), [] as [&str; 0], "{text}");
        }
        assert_eq!(given().strangers("page.html", "{% for one in rows %}{{ one.nam }}{% endfor %}")[0].at, 28..31);
        assert!(given().is_given("row.html") && !given().is_given("foot.html"));
    }
}
