//! The page's parts: the files of `templates/`, read when the program is built and compiled once when first used.

use serde::Serialize;
use std::sync::LazyLock;
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
    ("readings.css", include_str!("../../templates/readings.css")),
    ("drawing.css", include_str!("../../templates/drawing.css")),
    ("trace.css", include_str!("../../templates/trace.css")),
    ("register.css", include_str!("../../templates/register.css")),
    ("narrow.css", include_str!("../../templates/narrow.css")),
    ("print.css", include_str!("../../templates/print.css")),
];

static COMPILED: LazyLock<Result<Tera, String>> = LazyLock::new(|| {
    let mut tera = Tera::new();
    tera.autoescape_on(vec![".html"]);
    let pieces = PARTS.iter().flat_map(|(name, part)| part.split(CUT).enumerate().map(|(place, piece)| (piece_name(name, place), piece)));
    tera.add_raw_templates(pieces).map_err(|error| error.to_string())?;
    Ok(tera)
});

/// Where a template is cut, so that the program writes what stands there.
const CUT: &str = "{# cut #}\n";

// The first piece has the name of the whole, so that a template without a cut is one piece.
fn piece_name(part: &str, place: usize) -> String {
    if place == 0 { part.to_owned() } else { format!("{place} {part}") }
}

/// `part` filled in from `view`; the reason when that is not possible, which is always a fault of this program.
pub(super) fn render<T: Serialize>(part: &str, view: &T) -> Result<String, String> {
    let tera = COMPILED.as_ref().map_err(Clone::clone)?;
    let context = Context::from_serialize(view).map_err(|error| error.to_string())?;
    tera.render(part, &context).map_err(|error| error.to_string())
}

/// The `N` pieces of `part` between its cuts, each filled in from `view`.
pub(super) fn render_pieces<const N: usize, T: Serialize>(part: &str, view: &T) -> Result<[String; N], String> {
    let tera = COMPILED.as_ref().map_err(Clone::clone)?;
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
    let mut tera = COMPILED.as_ref().map_err(Clone::clone)?.clone();
    tera.add_raw_template("of a test.html", template).map_err(|error| error.to_string())?;
    let context = Context::from_serialize(view).map_err(|error| error.to_string())?;
    tera.render("of a test.html", &context).map_err(|error| error.to_string())
}

/// The style sheets of a page that has `parts`, as one, without their comments and what else says nothing.
pub(super) fn style(parts: &[Part]) -> String {
    let wanted = |part: &Option<Part>| part.is_none_or(|part| parts.contains(&part));
    PACKED.iter().filter(|(part, _)| wanted(part)).map(|(_, style)| style.as_str()).collect()
}

/// Parts of a page that have a style sheet to themselves; all other style sheets are on every page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// Kinds set out in full.
    Kinds,
    /// Studies, readings, laws and draws.
    Studies,
    /// The register of a folder.
    Register,
}

static PACKED: LazyLock<Vec<(Option<Part>, String)>> = LazyLock::new(|| {
    let part = |name: &str| match name {
        "kind.css" => Some(Part::Kinds),
        "study.css" | "readings.css" => Some(Part::Studies),
        "register.css" => Some(Part::Register),
        _ => None,
    };
    STYLES.iter().map(|(name, css)| (part(name), packed(css))).collect()
});

/// Style sheets of some pages alone.
pub(super) const ASIDE: &[(&str, &str)] = &[("checking.css", include_str!("../../templates/checking.css"))];

/// The style of a copy for checking, besides that of every page.
pub(super) fn checking_style() -> String {
    ASIDE.iter().map(|(_, css)| packed(css)).collect()
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
