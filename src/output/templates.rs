//! The page's parts: the files of `templates/`, read when the program is built and compiled once when first used.

use crate::output::given::{Names, Shape, join};
use crate::sheet::parts::Part;
use crate::words::{Language, template_in, voice};
use serde::Serialize;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock, OnceLock};
use tera::{Context, Tera};

/// Every part, by the name other parts include it under. A file in `templates/` has its line here.
pub(super) const PARTS: &[(&str, &str)] = &[
    ("page.html", include_str!("../../templates/page.html")),
    ("pieces.html", include_str!("../../templates/pieces.html")),
    ("title.html", include_str!("../../templates/title.html")),
    ("answer.html", include_str!("../../templates/answer.html")),
    ("notices.html", include_str!("../../templates/notices.html")),
    ("finding.html", include_str!("../../templates/finding.html")),
    ("banner.html", include_str!("../../templates/banner.html")),
    ("kind.html", include_str!("../../templates/kind.html")),
    ("study.html", include_str!("../../templates/study.html")),
    ("readings.html", include_str!("../../templates/readings.html")),
    ("results.html", include_str!("../../templates/results.html")),
    ("law.html", include_str!("../../templates/law.html")),
    ("agreement.html", include_str!("../../templates/agreement.html")),
    ("exercise.html", include_str!("../../templates/exercise.html")),
    ("learners.html", include_str!("../../templates/learners.html")),
    ("signatures.html", include_str!("../../templates/signatures.html")),
    ("draws.html", include_str!("../../templates/draws.html")),
    ("colophon.html", include_str!("../../templates/colophon.html")),
    ("blind.html", include_str!("../../templates/blind.html")),
    ("comparison.html", include_str!("../../templates/comparison.html")),
    ("index.html", include_str!("../../templates/index.html")),
    ("kinds.html", include_str!("../../templates/kinds.html")),
];

/// The style sheets in the order in which they apply.
pub(super) const STYLES: &[(&str, &str)] = &[
    ("sheet.css", include_str!("../../templates/sheet.css")),
    ("working.css", include_str!("../../templates/working.css")),
    ("tables.css", include_str!("../../templates/tables.css")),
    ("kind.css", include_str!("../../templates/kind.css")),
    ("study.css", include_str!("../../templates/study.css")),
    ("exercise.css", include_str!("../../templates/exercise.css")),
    ("readings.css", include_str!("../../templates/readings.css")),
    ("drawing.css", include_str!("../../templates/drawing.css")),
    ("trace.css", include_str!("../../templates/trace.css")),
    ("register.css", include_str!("../../templates/register.css")),
    ("narrow.css", include_str!("../../templates/narrow.css")),
    ("print.css", include_str!("../../templates/print.css")),
];

/// The parts that every page is made of. They are compiled by themselves, since most pages need no others.
const FRAME: [&str; 8] =
    ["page.html", "pieces.html", "title.html", "answer.html", "notices.html", "finding.html", "signatures.html", "colophon.html"];

/// All parts in one language, with those of a house in the place of ours, each made ready when it is first wanted.
#[derive(Debug)]
struct Dress {
    language: Language,
    own: Arc<[Part]>,
    frame: OnceLock<Result<Tera, String>>,
    whole: OnceLock<Result<Tera, String>>,
    // Packed, each in the place of its name in `STYLES`.
    styles: [OnceLock<String>; STYLES.len()],
}

impl Dress {
    fn new(language: Language, own: &Arc<[Part]>) -> Dress {
        Dress {
            language,
            own: Arc::clone(own),
            frame: OnceLock::new(),
            whole: OnceLock::new(),
            styles: [const { OnceLock::new() }; STYLES.len()],
        }
    }

    fn text(&self, (name, built_in): &(&'static str, &'static str)) -> String {
        template_in(self.language, self.own.iter().find(|part| part.name == *name).map_or(*built_in, |part| part.text.as_str()))
    }

    // What fills in `part`, or the reason why it cannot be.
    fn tera(&self, part: &str) -> Result<&Tera, String> {
        // A part of a house may call for any other.
        let framed = part == FRAME[0] && !self.own.iter().any(|own| FRAME.contains(&own.name.as_str()));
        let kept = if framed { &self.frame } else { &self.whole };
        let made = kept.get_or_init(|| {
            let wanted = PARTS.iter().filter(|(name, _)| !framed || FRAME.contains(name));
            let parts: Vec<(&str, String)> = wanted.map(|part| (part.0, self.text(part))).collect();
            compiled(&parts).map_err(|error| error.to_string())
        });
        made.as_ref().map_err(Clone::clone)
    }

    // The style sheets of a page that has `matters`, one after the other.
    fn style(&self, matters: &[Matter]) -> String {
        let sheets =
            STYLES.iter().zip(&self.styles).filter(|((name, _), _)| matter_of(name).is_none_or(|matter| matters.contains(&matter)));
        sheets.map(|(sheet, kept)| kept.get_or_init(|| packed(&self.text(sheet))).as_str()).collect()
    }
}

fn compiled(parts: &[(&str, String)]) -> Result<Tera, tera::Error> {
    let mut tera = Tera::new();
    tera.autoescape_on(vec![".html"]);
    let pieces = parts.iter().flat_map(|(name, part)| part.split(CUT).enumerate().map(|(place, piece)| (piece_name(name, place), piece)));
    tera.add_raw_templates(pieces)?;
    Ok(tera)
}

static BUILT_IN: [LazyLock<Arc<Dress>>; 2] = [LazyLock::new(|| bare(Language::English)), LazyLock::new(|| bare(Language::German))];

fn bare(language: Language) -> Arc<Dress> {
    Arc::new(Dress::new(language, &Arc::default()))
}

/// The parts of a house with what was made of them.
type Worn = (Arc<[Part]>, Language, Arc<Dress>);

thread_local! {
    // What pages are dressed in at this moment; none where the built-in parts serve.
    static WORN: RefCell<Option<Worn>> = const { RefCell::new(None) };
    // What was made last, since as a rule every page of a run is dressed alike.
    static LAST: RefCell<Option<Worn>> = const { RefCell::new(None) };
}

/// Why the parts cannot be put together with those of a house in the place of ours.
pub(super) fn refused(own: &[Part]) -> Option<String> {
    Dress::new(voice().language, &Arc::from(own)).tera("").err()
}

/// What `print` comes to with the parts of a house in the place of ours.
pub(super) fn wearing<T>(own: &Arc<[Part]>, print: impl FnOnce() -> T) -> T {
    struct Before(Option<Worn>);
    impl Drop for Before {
        fn drop(&mut self) {
            WORN.replace(self.0.take());
        }
    }
    let language = voice().language;
    let worn = (!own.is_empty()).then(|| {
        let kept = LAST.with_borrow(|last| last.clone().filter(|(parts, spoken, _)| *spoken == language && parts == own));
        kept.unwrap_or_else(|| {
            let made = (Arc::clone(own), language, Arc::new(Dress::new(language, own)));
            LAST.replace(Some(made.clone()));
            made
        })
    });
    let _before = Before(WORN.replace(worn));
    print()
}

fn dress() -> Arc<Dress> {
    let built_in = || match voice().language {
        Language::English => Arc::clone(&BUILT_IN[0]),
        Language::German => Arc::clone(&BUILT_IN[1]),
    };
    WORN.with_borrow(|worn| worn.as_ref().map(|(_, _, dress)| Arc::clone(dress))).unwrap_or_else(built_in)
}

/// Where a template is cut, so that the program writes what stands there.
pub(super) const CUT: &str = "{# cut #}\n";

// The first piece has the name of the whole, so that a template without a cut is one piece.
fn piece_name(part: &str, place: usize) -> String {
    if place == 0 { part.to_owned() } else { format!("{place} {part}") }
}

/// `part` filled in from `view`; the reason when that is not possible.
pub(super) fn render<T: Serialize>(part: &str, view: &T) -> Result<String, String> {
    let filled = || {
        let dress = dress();
        let tera = dress.tera(part)?;
        let context = Context::from_serialize(view).map_err(|error| error.to_string())?;
        tera.render(part, &context).map_err(|error| error.to_string())
    };
    noted(part, view, filled())
}

/// The `N` pieces of `part` between its cuts, each filled in from `view`.
pub(super) fn render_pieces<const N: usize, T: Serialize>(part: &str, view: &T) -> Result<[String; N], String> {
    render_some(part, std::array::from_fn(|place| place), view)
}

/// The pieces of `part` at `places` among its cuts, each filled in from `view`.
pub(super) fn render_some<const N: usize, T: Serialize>(part: &str, places: [usize; N], view: &T) -> Result<[String; N], String> {
    let filled = || {
        let dress = dress();
        let tera = dress.tera(part)?;
        let context = Context::from_serialize(view).map_err(|error| error.to_string())?;
        let mut pieces = [const { String::new() }; N];
        for (piece, place) in pieces.iter_mut().zip(places) {
            *piece = tera.render(&piece_name(part, place), &context).map_err(|error| error.to_string())?;
        }
        Ok(pieces)
    };
    noted(part, view, filled())
}

/// What was printed from templates for a trial.
#[derive(Debug, Default)]
pub(super) struct Noted {
    /// What each part was given that was printed by itself.
    pub(super) given: BTreeMap<String, Names>,
    /// What the first part said that failed.
    pub(super) fault: Option<String>,
}

thread_local! {
    // None but in a trial.
    static NOTED: RefCell<Option<Noted>> = const { RefCell::new(None) };
}

/// What is noted of all that `print` prints from templates. A printer that falls back on something else when a part fails is found out
/// all the same.
pub(super) fn noting(print: impl FnOnce()) -> Noted {
    NOTED.replace(Some(Noted::default()));
    print();
    NOTED.take().unwrap_or_default()
}

fn noted<R, T: Serialize>(part: &str, view: &T, filled: Result<R, String>) -> Result<R, String> {
    NOTED.with_borrow_mut(|noted| {
        let Some(noted) = noted else { return };
        if let Ok(Shape::Fields(names)) = serde_json::to_value(view).map(|view| Shape::of(&view)) {
            join(noted.given.entry(part.to_owned()).or_default(), names);
        }
        if let (None, Err(reason)) = (&noted.fault, &filled) {
            noted.fault = Some(reason.clone());
        }
    });
    filled
}

/// `template` itself filled in from `view`, with the pieces at hand.
#[cfg(test)]
pub(super) fn render_text<T: Serialize>(template: &str, view: &T) -> Result<String, String> {
    let mut tera = dress().tera("of a test.html")?.clone();
    tera.add_raw_template("of a test.html", template).map_err(|error| error.to_string())?;
    let context = Context::from_serialize(view).map_err(|error| error.to_string())?;
    tera.render("of a test.html", &context).map_err(|error| error.to_string())
}

/// The style sheets of a page that has `matters`, as one, without their comments and what else says nothing.
pub(super) fn style(matters: &[Matter]) -> String {
    dress().style(matters)
}

/// Matters of a page that have a style sheet to themselves; all other style sheets are on every page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Matter {
    /// Kinds set out in full.
    Kinds,
    /// Studies, readings, laws and draws.
    Studies,
    /// Exercises as learners are given them.
    Exercises,
    /// The register of a folder.
    Register,
}

// What the style sheet `name` is for, where that is not every page.
fn matter_of(name: &str) -> Option<Matter> {
    match name {
        "kind.css" => Some(Matter::Kinds),
        "study.css" | "readings.css" => Some(Matter::Studies),
        "exercise.css" => Some(Matter::Exercises),
        "register.css" => Some(Matter::Register),
        _ => None,
    }
}

/// Style sheets of some pages alone.
pub(super) const ASIDE: &[(&str, &str)] = &[("checking.css", include_str!("../../templates/checking.css"))];

/// The style of a copy for checking, besides that of every page.
pub(super) fn checking_style() -> String {
    ASIDE.iter().map(|(_, css)| packed(&template_in(voice().language, css))).collect()
}

/// `css` without comments, and without blanks where the marks beside them divide already. What stands in quotation marks is
/// kept as it is.
fn packed(css: &str) -> String {
    let mut out = String::new();
    let (mut rest, mut quoted) = (css, false);
    // What is pushed as it is, whatever stands beside it.
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.' | b'#' | b'(' | b')' | b':' | b'%');
    while let Some(letter) = rest.chars().next() {
        let run = rest.bytes().take_while(|byte| if quoted { *byte != b'"' } else { plain(*byte) }).count();
        if run > 0 {
            out.push_str(rest.get(..run).unwrap_or(""));
            rest = rest.get(run..).unwrap_or("");
            continue;
        }
        let after = rest.get(letter.len_utf8()..).unwrap_or("");
        if let (false, Some(comment)) = (quoted, rest.strip_prefix("/*")) {
            rest = comment.split_once("*/").map_or("", |(_, after)| after);
            continue;
        }
        rest = after;
        quoted ^= letter == '"';
        if quoted || !letter.is_whitespace() {
            // A mark needs no blank before it, nor the last declaration an end.
            if !quoted && matches!(letter, '{' | '}' | ';' | ',' | '>') {
                out.truncate(out.trim_end().len());
            }
            if letter == '}' && !quoted && out.ends_with(';') {
                out.pop();
            }
            out.push(letter);
        } else if !out.ends_with(['{', '}', ';', ',', ':', '>', ' ', '\n']) && !out.is_empty() {
            out.push(' ');
        }
    }
    out.truncate(out.trim_end().len());
    out.push('\n');
    out
}

#[cfg(test)]
mod tests {
    use super::{ASIDE, PARTS, STYLES};
    use crate::output::scripts::SCRIPTS;
    use std::collections::BTreeSet;

    #[test]
    fn the_folder_and_the_list_agree() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/templates");
        let there: BTreeSet<String> = std::fs::read_dir(folder)
            .expect("the folder of templates")
            .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
            .collect();
        let listed: BTreeSet<String> = PARTS.iter().chain(STYLES).chain(ASIDE).chain(SCRIPTS).map(|(name, _)| (*name).to_owned()).collect();
        assert_eq!(there, listed);
    }

    #[test]
    fn a_packed_style_sheet_says_the_same() {
        let css = "/* a */ .b > .c ,\n.d { e : f(1px + 2px) ; g: \"x ; y: /* z */ \" }\n@media print { .h :not(.i) { j: k } }\n";
        let packed = ".b>.c,.d{e :f(1px + 2px);g:\"x ; y: /* z */ \"}@media print{.h :not(.i){j:k}}\n";
        assert_eq!(super::packed(css), packed);
    }

    #[test]
    fn only_markup_made_by_this_room_goes_in_unescaped() {
        for (name, part) in PARTS {
            for (place, _) in part.match_indices("| safe") {
                let before = part.get(..place).unwrap_or("").trim_end();
                assert!(before.ends_with("_html"), "{name}: {}", before.get(before.len().saturating_sub(40)..).unwrap_or(""));
            }
            // And nothing made by this room is escaped a second time.
            let printed = part.split("{{").skip(1).filter_map(|piece| piece.split("}}").next());
            let bare = printed.map(str::trim_end).find(|expression| expression.ends_with("_html"));
            assert_eq!(bare, None, "{name}: printed without `| safe`");
        }
    }
}
