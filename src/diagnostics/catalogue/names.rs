//! Findings about names, functions, lists and indices.

use crate::diagnostics::{Finding, findings};

/// What has a name already.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Taken {
    /// A line above.
    Above,
    /// A name above, while the whole of a used file was asked for; its path.
    Brought(String),
    /// A kind that comes with the program.
    BuiltIn,
}

findings! {
    /// A name stands for nothing that has been defined above it.
    ///
    /// A sheet is read from top to bottom: every name is defined once, before it is used. Most often this is a slip of
    /// the pen; the nearest known names are offered.
    "unknown-name" => UnknownName { name: String, of: String, near: Vec<String> }

    /// A name is used above the line that defines it.
    ///
    /// Reading order is working order: a checker with a pencil must never have to look ahead. Move the definition up,
    /// or the use down.
    "used-before-defined" => UsedBeforeDefined { name: String }

    /// A name is used in the line that defines it.
    ///
    /// A sheet is worked from top to bottom, once: a line cannot wait for its own result. What was meant is most often a value of
    /// another name, or the load or effort of a machine, as in `falls.load`.
    "used-in-itself" => UsedInItself { name: String }

    /// A name is defined twice.
    ///
    /// Nothing is reassigned in a sheet: a name stands for one value from its definition to the end, so that every
    /// line that mentions it means the same thing. Give the second one a name of its own. The same holds for kinds: a
    /// kind of one's own cannot be called what a kind that comes with the program is called.
    "name-taken" => NameTaken { name: String, by: Taken }

    /// A name stands for something that is not a value: a machine, a train, a piece of gear, a used file.
    ///
    /// Ask for one of its values, as in `falls.effort` or `rope.rated`.
    "not-a-value" => NotAValue { name: String, what: String, members: Vec<String> }

    /// A name is known but has no value here.
    ///
    /// A machine that carries no load has no effort; an efficiency says nothing while the load is only held; a rating
    /// that no source states cannot be worked with. The message says which.
    "no-value-here" => NoValueHere { name: String, reason: String }

    /// A word followed by brackets is not one of the functions.
    "function-unknown" => FunctionUnknown { name: String, near: Vec<String>, is_name: bool }

    /// A function is given the wrong number of values, or a list where it takes single values.
    "arguments-wrong" => ArgumentsWrong { function: String, takes: String, found: String }

    /// An index asks for an item that the list does not have. Items are counted from 1.
    "index-outside" => IndexOutside { list: String, index: String, first: i64, last: i64 }

    /// What is looked up in a table does not stand in it, or the rows of the table do not ascend.
    ///
    /// Nothing is reckoned beyond the ends of a table: nobody measured there. `interpolated` needs a value between the first
    /// and the last row, `stepped` one at or above the first, `tabled` the very value of a row.
    "table-missed" => TableMissed { ascends: bool, looked_up: String, rows: Vec<String> }

    /// A single value is indexed as if it were a list.
    "not-a-list" => NotAList { name: String }

    /// A list stands where a single value is needed.
    ///
    /// Pick one item (`part[1]`), or make one value of it with `sum`, `product`, `min` or `max`.
    "list-for-value" => ListForValue { name: String }

    /// The items of a list are not all the same sort of quantity.
    "list-mixed" => ListMixed { first: String, other: String }
}

fn near_help(near: &[String]) -> Option<String> {
    match near {
        [] => None,
        [one] => Some(format!("did you mean `{one}`?")),
        several => {
            let quoted: Vec<String> = several.iter().map(|name| format!("`{name}`")).collect();
            Some(format!("did you mean one of {}?", quoted.join(", ")))
        }
    }
}

const NUMBERS: [&str; 12] = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

impl Finding for UnknownName {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        if self.of.is_empty() { format!("nothing is named `{}`", self.name) } else { format!("{} has no `{}`", self.of, self.name) }
    }
    fn label(&self) -> String {
        "not known here".into()
    }
    fn help(&self) -> Option<String> {
        if let Some(place) = NUMBERS.iter().position(|word| *word == self.name) {
            return Some(format!("write numbers in figures: `{}`", place + 1));
        }
        if self.of.is_empty() && ["g", "g_n", "g0"].contains(&self.name.as_str()) {
            return Some("the weight of a mass is `weight(m)`, under the gravity that the head of the sheet declares".into());
        }
        near_help(&self.near)
            .or_else(|| self.of.is_empty().then(|| "define it above this line, with `take`, `assume` or a working line".into()))
    }
    fn replacement(&self) -> Option<String> {
        match self.near.as_slice() {
            [only] => Some(only.clone()),
            _ => None,
        }
    }
}

impl Finding for UsedBeforeDefined {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is used before it is defined", self.name)
    }
    fn label(&self) -> String {
        "used here".into()
    }
    fn why(&self) -> Option<String> {
        Some("a checker works down the sheet and must never have to look ahead".into())
    }
    fn help(&self) -> Option<String> {
        Some(format!("move the line that defines `{}` above this one", self.name))
    }
}

impl Finding for UsedInItself {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is used in its own definition", self.name)
    }
    fn label(&self) -> String {
        "has no value yet".into()
    }
    fn why(&self) -> Option<String> {
        Some("a sheet is worked from top to bottom, and a line cannot wait for its own result".into())
    }
    fn help(&self) -> Option<String> {
        Some("give one of the two values a name of its own".into())
    }
}

impl Finding for NameTaken {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        match &self.by {
            Taken::Above => format!("`{}` is defined twice", self.name),
            Taken::Brought(path) => format!("`{}` of {path} is already a name here", self.name),
            Taken::BuiltIn => format!("`{}` is already a kind that comes with the program", self.name),
        }
    }
    fn label(&self) -> String {
        match &self.by {
            Taken::Above => "defined again here".into(),
            Taken::Brought(_) => format!("brings in another `{}`", self.name),
            Taken::BuiltIn => "this name is taken".into(),
        }
    }
    fn why(&self) -> Option<String> {
        Some(match &self.by {
            Taken::Above | Taken::Brought(_) => "one name for two values is how a stale number slips past a checker".into(),
            Taken::BuiltIn => "whoever checks a sheet looks the kind up by its name, and must find the one that was used".into(),
        })
    }
    fn help(&self) -> Option<String> {
        Some(match &self.by {
            Taken::Above => format!("give this one a name of its own, such as `{}_2`", self.name),
            Taken::Brought(path) => {
                format!("keep the names of the file apart: `use \"{path}\" as other`, and then `other.{}`", self.name)
            }
            Taken::BuiltIn => format!("give the kind a name of its own, such as `own_{}`", self.name),
        })
    }
}

impl Finding for NotAValue {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is {}, not a value", self.name, self.what)
    }
    fn label(&self) -> String {
        "a value is needed here".into()
    }
    fn help(&self) -> Option<String> {
        let wanted = ["effort", "rated", "velocity_ratio", "load"];
        let member = wanted.iter().find(|wanted| self.members.iter().any(|member| member == *wanted));
        let member = member.map(|member| (*member).to_string()).or_else(|| self.members.first().cloned());
        member.map(|member| format!("ask for one of its values, for instance `{}.{member}`", self.name))
    }
}

impl Finding for NoValueHere {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` has no value here", self.name)
    }
    fn label(&self) -> String {
        self.reason.clone()
    }
}

impl Finding for FunctionUnknown {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is not a function", self.name)
    }
    fn label(&self) -> String {
        "not known here".into()
    }
    fn help(&self) -> Option<String> {
        if self.is_name { Some(format!("to multiply, write `{} * (...)`", self.name)) } else { near_help(&self.near) }
    }
}

impl Finding for ArgumentsWrong {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` takes {}", self.function, self.takes)
    }
    fn label(&self) -> String {
        format!("it is given {}", self.found)
    }
}

impl Finding for IndexOutside {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` has no item {}", self.list, self.index)
    }
    fn label(&self) -> String {
        if self.last < self.first { "the list is empty".into() } else { format!("its items are numbered {} to {}", self.first, self.last) }
    }
}

impl Finding for TableMissed {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        if self.ascends { format!("{} does not stand in the table", self.looked_up) } else { "the rows of the table do not ascend".into() }
    }
    fn label(&self) -> String {
        format!("its rows are {}", self.rows.join(", "))
    }
    fn why(&self) -> Option<String> {
        self.ascends.then(|| "nobody measured beyond the ends of a table".into())
    }
    fn help(&self) -> Option<String> {
        Some(if self.ascends {
            "add the row, with its source, or look up a value that has one".into()
        } else {
            "write the rows from least to greatest".into()
        })
    }
}

impl Finding for NotAList {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is one value, not a list", self.name)
    }
    fn label(&self) -> String {
        "a list is needed here".into()
    }
}

impl Finding for ListForValue {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("`{}` is a list where one value is needed", self.name)
    }
    fn label(&self) -> String {
        "a list".into()
    }
    fn help(&self) -> Option<String> {
        Some(format!("pick one item, `{0}[1]`, or make one value of it: `max({0})`, `sum({0})`", self.name))
    }
}

impl Finding for ListMixed {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn headline(&self) -> String {
        format!("a list of {} cannot hold {}", self.first, self.other)
    }
    fn label(&self) -> String {
        format!("{} among {}", self.other, self.first)
    }
}
