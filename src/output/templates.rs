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
    ("blocks.html", include_str!("../../templates/blocks.html")),
    ("machine.html", include_str!("../../templates/machine.html")),
    ("kind.html", include_str!("../../templates/kind.html")),
    ("study.html", include_str!("../../templates/study.html")),
    ("readings.html", include_str!("../../templates/readings.html")),
    ("results.html", include_str!("../../templates/results.html")),
    ("law.html", include_str!("../../templates/law.html")),
    ("agreement.html", include_str!("../../templates/agreement.html")),
    ("train.html", include_str!("../../templates/train.html")),
    ("checks.html", include_str!("../../templates/checks.html")),
    ("budgets.html", include_str!("../../templates/budgets.html")),
    ("registers.html", include_str!("../../templates/registers.html")),
    ("colophon.html", include_str!("../../templates/colophon.html")),
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
    ("narrow.css", include_str!("../../templates/narrow.css")),
    ("print.css", include_str!("../../templates/print.css")),
];

static COMPILED: LazyLock<Result<Tera, String>> = LazyLock::new(|| {
    let mut tera = Tera::new();
    tera.autoescape_on(vec![".html"]);
    tera.add_raw_templates(PARTS.iter().copied()).map_err(|error| error.to_string())?;
    Ok(tera)
});

/// `part` filled in from `view`; the reason when that is not possible, which is always a fault of this program.
pub(super) fn render<T: Serialize>(part: &str, view: &T) -> Result<String, String> {
    let tera = COMPILED.as_ref().map_err(Clone::clone)?;
    let context = Context::from_serialize(view).map_err(|error| error.to_string())?;
    tera.render(part, &context).map_err(|error| error.to_string())
}

/// All style sheets as one, without their comments.
pub(super) fn style() -> String {
    STYLE.clone()
}

static STYLE: LazyLock<String> = LazyLock::new(|| {
    let mut out = String::new();
    for (_, css) in STYLES {
        let mut rest = *css;
        while let Some((before, comment)) = rest.split_once("/*") {
            out.push_str(before);
            rest = comment.split_once("*/").map_or("", |(_, after)| after);
        }
        out.push_str(rest);
    }
    out.lines().map(str::trim_end).filter(|line| !line.is_empty()).collect::<Vec<_>>().join("\n")
});

#[cfg(test)]
mod tests {
    use super::{PARTS, STYLES};
    use std::collections::BTreeSet;

    #[test]
    fn the_folder_and_the_list_agree() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/templates");
        let there: BTreeSet<String> = std::fs::read_dir(folder)
            .expect("the folder of templates")
            .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
            .collect();
        let listed: BTreeSet<String> = PARTS.iter().chain(STYLES).map(|(name, _)| (*name).to_owned()).collect();
        assert_eq!(there, listed);
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
