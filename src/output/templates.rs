//! The page's parts: the files of `templates/`, read when the program is built and compiled once when first used.

use crate::sheet::parts::{Part, Sheet};
use crate::words::{Language, template_in, voice};
use serde::Serialize;
use std::cell::RefCell;
use std::ops::Range;
use std::sync::{Arc, LazyLock};
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

/// All parts in one language, with those of a house in the place of ours.
#[derive(Debug)]
struct Dress {
    tera: Result<Tera, String>,
    // Packed, each with what it is for.
    styles: Vec<(Option<Matter>, String)>,
}

impl Dress {
    fn new(language: Language, own: &[Part]) -> Dress {
        let part = |(name, built_in): &(&'static str, &'static str)| {
            let text = own.iter().find(|part| part.name == *name).map_or(*built_in, |part| part.text.as_str());
            (*name, template_in(language, text))
        };
        let parts: Vec<(&str, String)> = PARTS.iter().map(part).collect();
        let styles = STYLES.iter().map(part).map(|(name, css)| (matter_of(name), packed(&css))).collect();
        Dress { tera: compiled(&parts).map_err(|error| error.to_string()), styles }
    }
}

fn compiled(parts: &[(&str, String)]) -> Result<Tera, tera::Error> {
    let mut tera = Tera::new();
    tera.autoescape_on(vec![".html"]);
    let pieces = parts.iter().flat_map(|(name, part)| part.split(CUT).enumerate().map(|(place, piece)| (piece_name(name, place), piece)));
    tera.add_raw_templates(pieces)?;
    Ok(tera)
}

static BUILT_IN: [LazyLock<Arc<Dress>>; 2] =
    [LazyLock::new(|| Arc::new(Dress::new(Language::English, &[]))), LazyLock::new(|| Arc::new(Dress::new(Language::German, &[])))];

/// The parts of a house with what was made of them.
type Worn = (Arc<[Part]>, Language, Arc<Dress>);

thread_local! {
    // What pages are dressed in at this moment; none where the built-in parts serve.
    static WORN: RefCell<Option<Worn>> = const { RefCell::new(None) };
    // What was made last, since as a rule every page of a run is dressed alike.
    static LAST: RefCell<Option<Worn>> = const { RefCell::new(None) };
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
const CUT: &str = "{# cut #}\n";

// The first piece has the name of the whole, so that a template without a cut is one piece.
fn piece_name(part: &str, place: usize) -> String {
    if place == 0 { part.to_owned() } else { format!("{place} {part}") }
}

/// `part` filled in from `view`; the reason when that is not possible.
pub(super) fn render<T: Serialize>(part: &str, view: &T) -> Result<String, String> {
    let dress = dress();
    let tera = dress.tera.as_ref().map_err(Clone::clone)?;
    let context = Context::from_serialize(view).map_err(|error| error.to_string())?;
    tera.render(part, &context).map_err(|error| error.to_string())
}

/// The `N` pieces of `part` between its cuts, each filled in from `view`.
pub(super) fn render_pieces<const N: usize, T: Serialize>(part: &str, view: &T) -> Result<[String; N], String> {
    let dress = dress();
    let tera = dress.tera.as_ref().map_err(Clone::clone)?;
    let context = Context::from_serialize(view).map_err(|error| error.to_string())?;
    let mut pieces = [const { String::new() }; N];
    for (place, piece) in pieces.iter_mut().enumerate() {
        *piece = tera.render(&piece_name(part, place), &context).map_err(|error| error.to_string())?;
    }
    Ok(pieces)
}

/// `template` itself filled in from `view`, with the pieces at hand.
#[cfg(test)]
pub(super) fn render_text<T: Serialize>(template: &str, view: &T) -> Result<String, String> {
    let mut tera = dress().tera.as_ref().map_err(Clone::clone)?.clone();
    tera.add_raw_template("of a test.html", template).map_err(|error| error.to_string())?;
    let context = Context::from_serialize(view).map_err(|error| error.to_string())?;
    tera.render("of a test.html", &context).map_err(|error| error.to_string())
}

/// The style sheets of a page that has `matters`, as one, without their comments and what else says nothing.
pub(super) fn style(matters: &[Matter]) -> String {
    let wanted = |matter: &Option<Matter>| matter.is_none_or(|matter| matters.contains(&matter));
    dress().styles.iter().filter(|(matter, _)| wanted(matter)).map(|(_, style)| style.as_str()).collect()
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
    while let Some(letter) = rest.chars().next() {
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

/// The names of the parts that a house may replace.
pub fn part_names() -> impl Iterator<Item = &'static str> {
    PARTS.iter().chain(STYLES).map(|(name, _)| *name)
}

/// Why a part of a house cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartFault {
    /// The bytes of the part that are at fault.
    pub at: Range<usize>,
    /// What is wrong there.
    pub problem: String,
    /// What to do.
    pub mend: String,
}

/// Looks whether `part` may stand in the place of ours: that it is a template, brings no script, keeps the policy of the page,
/// and prints `sample`.
///
/// # Errors
/// What is wrong with it, and where.
pub fn part_is_fit(part: &Part, sample: &Sheet) -> Result<(), PartFault> {
    let Some((_, built_in)) = PARTS.iter().chain(STYLES).find(|(name, _)| *name == part.name) else { return Ok(()) };
    let fault = |at: usize, length: usize, problem: &str, mend: &str| {
        Err(PartFault { at: at..at + length, problem: problem.into(), mend: mend.into() })
    };
    let lower = part.text.to_ascii_lowercase();
    if part.name.ends_with(".css") {
        return match lower.find('<') {
            Some(at) => fault(at, 1, "a `<` in a style sheet could end it", "write the rule without `<`"),
            None => Ok(()),
        };
    }
    // What is before the title holds the policy by which no script but ours runs and nothing is asked for.
    let opening = built_in.split_once("<title>").map_or("", |(opening, _)| opening);
    if !part.text.starts_with(opening) {
        let same = part.text.bytes().zip(opening.bytes()).take_while(|(own, ours)| own == ours).count();
        let at = (0..=same).rev().find(|at| part.text.is_char_boundary(*at)).unwrap_or(0);
        let mend = "begin the part as ours begins, up to its title, and change what follows";
        return fault(at, 1, "the opening of a page holds its policy and must stay as it is", mend);
    }
    let scripts = "<script>{{ script_html | safe }}</script>";
    let ours = built_in.matches(scripts).count();
    if lower.matches("<script").count() != ours || part.text.matches(scripts).count() != ours {
        let at = lower.find("<script").unwrap_or(0);
        return fault(at, 7, "a part brings no script of its own", "leave the script as it is in our part, and bring no other");
    }
    for (at, _) in part.text.match_indices("| safe") {
        let before = part.text.get(..at).unwrap_or("").trim_end();
        if !before.ends_with("_html") {
            return fault(at, 6, "only what ends in `_html` is markup; all else would be printed unescaped", "take `| safe` away here");
        }
    }
    if part.text.matches(CUT).count() != built_in.matches(CUT).count() {
        let mend = "keep each line `{# cut #}` of our part: the program writes the document there";
        return fault(0, 1, "the places where the program writes are not those of our part", mend);
    }
    let own: Arc<[Part]> = Arc::from([part.clone()]);
    if let Err(report) = &Dress::new(voice().language, &own).tera {
        return Err(told(report, part, "compare it with our part of that name"));
    }
    let tried = super::html::tried(sample, &own);
    tried.map_err(|report| told(&report, part, "print only what the part is given, as our part of that name does"))
}

// What the library reports of `part`, at the place that it tells: the message, `--> name:line:column` below it, and below the line
// itself as many `^` as are at fault. Where it tells no place, the place of a name that it tells.
fn told(report: &str, part: &Part, mend: &str) -> PartFault {
    let lines: Vec<&str> = report.lines().collect();
    let placed = lines.iter().enumerate().filter_map(|(at, line)| {
        let (piece, place) = line.trim_start().strip_prefix("--> ")?.split_once(':')?;
        let (row, column) = place.split_once(':')?;
        let problem = lines.get(at.checked_sub(1)?)?.strip_prefix("error: ")?;
        let width = lines.get(at + 3)?.matches('^').count();
        Some((piece, (row.parse().ok()?, column.parse().ok()?, width), small(problem)))
    });
    let placed: Vec<(&str, (usize, usize, usize), String)> = placed.collect();
    // Pieces are named by their number before the name of the part, and counted from their own first line.
    let own = placed.iter().find_map(|(piece, place, problem)| {
        let (number, name) = piece.split_once(' ').unwrap_or(("0", piece));
        (name == part.name).then_some((number.parse().unwrap_or(0), *place, problem))
    });
    if let Some((number, (row, column, width), problem)) = own {
        let before: String = part.text.split_inclusive(CUT).take(number).collect();
        let whole = line_of(&part.text, before.matches('\n').count() + row);
        // The end of the file is where it was noticed, and not where it is to be mended.
        if let Some(at) = unclosed(&part.text).filter(|_| problem.contains("end of input")) {
            return PartFault { at, problem: "what begins here is not ended".into(), mend: mend.into() };
        }
        return PartFault { at: within(&part.text, whole, column, width), problem: problem.clone(), mend: mend.into() };
    }
    if let Some((piece, _, problem)) = placed.first() {
        let mend = "keep all that our part of that name defines: the other parts call for it";
        return PartFault { at: 0..1, problem: format!("`{piece}` fails with it: {problem}"), mend: mend.into() };
    }
    let first = lines.first().copied().unwrap_or_default();
    let names = first.split(['`', '\'', '"']).skip(1).step_by(2).filter(|name| !name.is_empty() && *name != part.name);
    let at = names.filter_map(|name| part.text.find(name).map(|at| at..at + name.len())).next().unwrap_or(0..1);
    PartFault { at, problem: small(first), mend: mend.into() }
}

// The innermost tag of `text` that opens a block which nothing ends.
fn unclosed(text: &str) -> Option<Range<usize>> {
    let mut open = Vec::new();
    for (start, _) in text.match_indices("{%") {
        let Some(length) = text.get(start..).and_then(|tag| tag.find("%}")) else { return Some(start..start + 2) };
        let tag = text.get(start + 2..start + length).unwrap_or("").trim_matches(['-', ' ', '\n', '\t']);
        match tag.split_whitespace().next().unwrap_or("") {
            "if" | "for" | "block" | "filter" | "component" => open.push(start..start + length + 2),
            word if word.starts_with("end") => drop(open.pop()),
            _ => {}
        }
    }
    open.pop()
}

// A sentence of the library as the rest of one of ours; names within it stay as they are.
fn small(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

// The `width` letters from `column` of the line at `whole`, or all of it where a text of ours is put in, since it is counted with that.
fn within(text: &str, whole: Range<usize>, column: usize, width: usize) -> Range<usize> {
    let line = text.get(whole.clone()).unwrap_or("");
    if line.contains("[[") {
        return whole;
    }
    let at = |letters: usize| whole.start + line.char_indices().nth(letters).map_or(line.len(), |(at, _)| at);
    let start = column.saturating_sub(1);
    at(start)..at(start + width)
}

fn line_of(text: &str, line: usize) -> Range<usize> {
    let start: usize = text.split_inclusive('\n').take(line.saturating_sub(1)).map(str::len).sum();
    let length = text.get(start..).and_then(|rest| rest.lines().next()).map_or(0, str::len);
    start..start + length
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
