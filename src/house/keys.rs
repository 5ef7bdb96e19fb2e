//! What each key of the project file may say, and what the house makes of it.

use crate::diagnostics::catalogue::house::{ProjectFileKey, ProjectFileValue};
use crate::diagnostics::{Sink, nearest};
use crate::house::{House, Paper, SignOff, StatusWord};
use crate::source::{Extent, Home, SheetPath, Span, Tag};
use crate::units::{Nature, Unit};
use crate::words::{DateForm, DecimalSign, Language};
use std::ops::Range;
use toml::de::{DeTable, DeValue};

const TOP: &[&str] = &[
    "owner",
    "logo",
    "paper",
    "units",
    "prefer",
    "decimal_sign",
    "language",
    "author_language",
    "date_form",
    "status_legend",
    "templates",
    "demands",
    "results",
];

/// The tables, with their keys.
const TABLES: &[(&str, &[&str])] = &[
    ("status_legend", &["draft", "for_review", "checked", "approved", "superseded", "void"]),
    ("templates", &["folder"]),
    ("demands", &["not_evaluated", "open_assumptions", "sign_off"]),
    ("results", &["tolerance"]),
];

/// A string is printed on one line of a page; what is longer than this is no name and no legend.
const LONGEST: usize = 200;

pub(super) struct Keys<'k> {
    pub(super) house: House,
    pub(super) path: &'k SheetPath,
    pub(super) home: Home,
    pub(super) sink: &'k mut Sink,
}

// One key with its value and their places.
struct Stated<'s> {
    key: String,
    value: &'s DeValue<'s>,
    at: Span,
}

impl Keys<'_> {
    pub(super) fn top(&mut self, table: &DeTable<'_>) {
        for stated in self.stated(table, "", TOP) {
            match TABLES.iter().find(|(name, _)| *name == stated.key) {
                Some((name, keys)) => self.table(&stated, name, keys),
                None => self.key(&stated),
            }
        }
    }

    fn table(&mut self, stated: &Stated<'_>, name: &str, keys: &[&str]) {
        let DeValue::Table(table) = stated.value else {
            let wanted = format!("a table of its own: `[{name}]`, with {}", listed(keys));
            self.refuse(stated, &wanted, "its keys say what each value is for");
            return;
        };
        for inner in self.stated(table, name, keys) {
            match name {
                "status_legend" => self.legend(&inner),
                "templates" => {
                    if let Some(folder) = self.path_of(&inner, "a folder of the project") {
                        self.house.templates = Some(folder);
                        self.house.templates_at = Extent { start: inner.at.start, end: inner.at.end };
                    }
                }
                "demands" => self.demand(&inner),
                _ => self.tolerance(&inner),
            }
        }
    }

    // The keys of `table` that are known, in the order of the file; the others are told.
    fn stated<'s>(&mut self, table: &'s DeTable<'s>, name: &str, known: &[&str]) -> Vec<Stated<'s>> {
        let mut found: Vec<(Range<usize>, Stated<'s>)> = Vec::new();
        for (key, value) in table.iter() {
            let (key_at, value_at) = (key.span(), value.span());
            let word = key.get_ref().to_string();
            if !known.contains(&word.as_str()) {
                let near = nearest(&word, known.iter().copied()).into_iter().map(str::to_string).collect();
                let known = known.iter().map(|key| (*key).to_string()).collect();
                let finding = ProjectFileKey { key: word, table: name.into(), known, near };
                self.sink.push(self.home.span(Extent::new(key_at.start, key_at.end)), &finding);
                continue;
            }
            let at = self.home.span(Extent::new(value_at.start, value_at.end));
            found.push((key_at, Stated { key: word, value: value.get_ref(), at }));
        }
        found.sort_by_key(|(at, _)| at.start);
        found.into_iter().map(|(_, stated)| stated).collect()
    }

    fn key(&mut self, stated: &Stated<'_>) {
        match stated.key.as_str() {
            "owner" => {
                let wanted = "the name of the legal owner in quotes, as in `\"Harbour Works Ltd\"`";
                if let Some(owner) = self.line(stated, wanted, "ISO 7200 asks the title block for the legal owner of a document") {
                    self.house.owner = owner;
                }
            }
            "logo" => self.logo(stated),
            "paper" => {
                let known = [("A4", Paper::A4), ("Letter", Paper::Letter)];
                let why = "a page set for other paper than is in the printer is shrunk or cut";
                self.house.paper = self.one_of(stated, &known, why);
            }
            "units" => {
                let known = [("SI", false), ("US customary", true)];
                self.house.us_customary =
                    self.one_of(stated, &known, "a sheet printed in other units than the gear is marked in invites slips");
            }
            "prefer" => self.preferred(stated),
            "decimal_sign" => {
                let known = [("point", DecimalSign::Point), ("comma", DecimalSign::Comma)];
                let why = "ISO 80000-1 knows these two signs, and a reader must be able to rely on one";
                self.house.decimal_sign = self.one_of(stated, &known, why).unwrap_or_default();
            }
            "language" => {
                let known = [("en", Language::English), ("de", Language::German)];
                let why = "labels, headings and verdicts are there in these languages; what the author writes stays as it is";
                self.house.language = self.one_of(stated, &known, why).unwrap_or_default();
            }
            "author_language" => {
                self.house.author_language = stated.value.as_str().and_then(Tag::read);
                if self.house.author_language.is_none() {
                    let wanted = "the tag of a language in quotes (BCP 47), as in `\"en\"` or `\"pt-BR\"`";
                    self.refuse(stated, wanted, "a page that is read aloud needs to know in which language its authors write");
                }
            }
            _ => {
                let known = [
                    ("YYYY-MM-DD", DateForm::Iso),
                    ("DD.MM.YYYY", DateForm::DottedFigures),
                    ("D Month YYYY", DateForm::DayFirst),
                    ("Month D, YYYY", DateForm::MonthFirst),
                ];
                let why = "a date must be read in one way; 03/04/2026 is in March to some readers and in April to others";
                self.house.date_form = self.one_of(stated, &known, why).unwrap_or_default();
            }
        }
    }

    fn logo(&mut self, stated: &Stated<'_>) {
        const WANTED: &str = "an SVG or PNG file of the project, as in `\"logo.svg\"`";
        let Some(path) = self.path_of(stated, WANTED) else { return };
        let name = path.as_str().to_ascii_lowercase();
        if name.ends_with(".svg") || name.ends_with(".png") {
            self.house.logo = Some(path);
        } else {
            self.refuse(stated, WANTED, "a page carries its pictures in itself, in a form that every browser draws and no printer smears");
        }
    }

    fn preferred(&mut self, stated: &Stated<'_>) {
        const WANTED: &str = "a list of units in quotes, as in `[\"kN\", \"mm\"]`";
        const WHY: &str = "results whose quantity has no unit here are printed in the one that suits their size";
        let DeValue::Array(items) = stated.value else { return self.refuse(stated, WANTED, WHY) };
        for item in items.iter() {
            let at = self.home.span(Extent::new(item.span().start, item.span().end));
            let stated = Stated { key: stated.key.clone(), value: item.get_ref(), at };
            let unit: Option<Unit> = stated.value.as_str().and_then(|word| crate::units::parse(word).ok());
            match unit {
                // A share printed in per cent would make one of every count and advantage as well.
                Some(unit) if !unit.dimension.is_none() || unit.nature != Nature::Plain => self.house.preferred.push(unit),
                _ => self.refuse(&stated, WANTED, WHY),
            }
        }
    }

    fn legend(&mut self, stated: &Stated<'_>) {
        let Some((_, status)) = StatusWord::KEYS.iter().find(|(key, _)| *key == stated.key) else { return };
        let why = "it is printed in the margin of every page, and tells a reader what the sheet may be relied on for";
        if let Some(legend) = self.line(stated, "one line of text in quotes, as in `\"not for use\"`", why) {
            self.house.status_legend.insert(*status, legend);
        }
    }

    fn demand(&mut self, stated: &Stated<'_>) {
        const WHY: &str = "a demand that is not understood is not made, and nobody would know";
        let known = [("allow", false), ("refuse", true)];
        let demands = self.house.demands;
        match stated.key.as_str() {
            "not_evaluated" => {
                self.house.demands.refuses_not_evaluated = self.one_of(stated, &known, WHY).unwrap_or(demands.refuses_not_evaluated);
            }
            "open_assumptions" => {
                self.house.demands.refuses_open_assumptions = self.one_of(stated, &known, WHY).unwrap_or(demands.refuses_open_assumptions);
            }
            _ => {
                let known = [("none", SignOff::None), ("checked", SignOff::Checked), ("approved", SignOff::Approved)];
                self.house.demands.sign_off = self.one_of(stated, &known, WHY).unwrap_or(demands.sign_off);
            }
        }
    }

    fn tolerance(&mut self, stated: &Stated<'_>) {
        let share = stated.value.as_str().and_then(|text| text.trim().strip_suffix('%')).and_then(|text| text.trim().parse::<f64>().ok());
        match share.filter(|share| (0.0..=100.0).contains(share)) {
            Some(share) => self.house.tolerance = Some(share / 100.0),
            None => {
                let why = "results are held against accepted ones by this share, and a bare number would not say of what";
                self.refuse(stated, "a share in per cent from 0 to 100, in quotes, as in `\"0.5 %\"`", why);
            }
        }
    }

    fn one_of<T: Copy>(&mut self, stated: &Stated<'_>, known: &[(&str, T)], why: &str) -> Option<T> {
        let found = stated.value.as_str().and_then(|text| known.iter().find(|(word, _)| *word == text));
        if found.is_none() {
            let words: Vec<String> = known.iter().map(|(word, _)| format!("`\"{word}\"`")).collect();
            let wanted = match words.split_last() {
                Some((last, others)) if !others.is_empty() => format!("{} or {last}", others.join(", ")),
                _ => words.join(""),
            };
            self.refuse(stated, &wanted, why);
        }
        found.map(|(_, value)| *value)
    }

    fn line(&mut self, stated: &Stated<'_>, wanted: &str, why: &str) -> Option<String> {
        let line = stated.value.as_str().map(str::trim);
        let line = line.filter(|line| !line.is_empty() && !line.contains(char::is_control) && line.chars().count() <= LONGEST);
        if line.is_none() {
            self.refuse(stated, wanted, why);
        }
        line.map(str::to_string)
    }

    // A path from the folder of the project file.
    fn path_of(&mut self, stated: &Stated<'_>, wanted: &str) -> Option<SheetPath> {
        let written = stated.value.as_str().map(str::trim).filter(|text| !text.is_empty() && !text.contains(char::is_control));
        let path = written.and_then(|written| self.path.beside(written)).filter(|path| !path.as_str().is_empty());
        if path.is_none() {
            let why = "a sheet must mean the same wherever its project is put, so it uses only what is filed with it";
            self.refuse(stated, wanted, why);
        }
        path
    }

    fn refuse(&mut self, stated: &Stated<'_>, wanted: &str, why: &str) {
        let found = match stated.value {
            DeValue::String(text) if text.chars().count() <= 60 => format!("\"{text}\""),
            DeValue::String(_) => "a text as long as this".into(),
            DeValue::Integer(_) | DeValue::Float(_) => "a bare number".into(),
            DeValue::Boolean(truth) => truth.to_string(),
            DeValue::Datetime(_) => "a date".into(),
            DeValue::Array(_) => "a list".into(),
            DeValue::Table(_) => "a table".into(),
        };
        let finding = ProjectFileValue { key: stated.key.clone(), found, wanted: wanted.into(), why: why.into() };
        self.sink.push(stated.at, &finding);
    }
}

fn listed(words: &[&str]) -> String {
    words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ")
}
