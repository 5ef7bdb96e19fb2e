//! The index of the reference pages: one row a kind, with what it is and how its worked cases come out.

use crate::output::html::bare;
use crate::output::index::{Count, Tally, counts};
use crate::output::templates::{Matter, render, style};
use crate::output::view::margins;
use crate::sheet::parts::Sheet;
use crate::words::{Voice, say, speaking};
use serde::{Deserialize, Serialize};

/// One kind in the index.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct KindEntry {
    /// Where its page is, relative to the index.
    pub href: String,
    /// Its word.
    pub word: String,
    /// The title of its document.
    pub title: String,
    /// Whether it is a load, which is moved, and not a machine, which moves.
    pub is_load: bool,
    /// What a machine of this kind must state, as it is written: "parts", "effort arm".
    pub needs: Vec<String>,
    /// The verdicts of its worked cases.
    pub tally: Tally,
    /// The voice of its page.
    #[serde(with = "crate::output::voice_kept")]
    pub voice: Voice,
}

impl KindEntry {
    /// The row of the kind `word`, whose reference page is made from `sheet` and is found at `href`.
    pub fn new(word: &str, sheet: &Sheet, href: &str) -> Self {
        let sheet = sheet.as_set.as_deref().unwrap_or(sheet);
        let report = sheet.kinds.iter().find(|kind| kind.name == word);
        let fields = report.into_iter().flat_map(|kind| &kind.fields).filter(|field| field.required).map(|field| &field.name);
        let options =
            report.into_iter().flat_map(|kind| &kind.options).filter(|option| option.default.is_empty()).map(|option| &option.name);
        KindEntry {
            href: href.to_owned(),
            word: word.to_owned(),
            title: sheet.title_block.title.clone(),
            is_load: report.is_some_and(|kind| kind.is_load),
            needs: options.chain(fields).cloned().collect(),
            tally: Tally::of(sheet),
            voice: sheet.house.voice,
        }
    }

    /// Whether its page is as one in `voice` would be: it holds no date, and no author but us.
    pub fn is_in(&self, voice: Voice) -> bool {
        (self.voice.language, self.voice.decimal_sign) == (voice.language, voice.decimal_sign)
    }
}

#[derive(Serialize)]
struct Register<'a> {
    style_html: String,
    kinds: Vec<Row<'a>>,
    back: &'a str,
}

#[derive(Serialize)]
struct Row<'a> {
    #[serde(flatten)]
    entry: &'a KindEntry,
    verdicts: Vec<Count>,
}

/// The index as one HTML page that stands by itself, in the order of `entries`. `back` leads to the register of sheets;
/// empty where there is none.
pub fn kinds_index(entries: &[KindEntry], back: &str) -> String {
    speaking(entries.first().map(|entry| entry.voice).unwrap_or_default(), || whole(entries, back))
}

fn whole(entries: &[KindEntry], back: &str) -> String {
    let rows = entries.iter().map(|entry| Row { entry, verdicts: counts(&entry.tally) });
    let style_html = style(&[Matter::Register, Matter::Kinds]) + &margins(say!("Kinds of machine"), say!("Reference"), "");
    let register = Register { style_html, kinds: rows.collect(), back };
    render("kinds.html", &register).unwrap_or_else(|reason| {
        let lines: Vec<String> = entries.iter().map(|entry| format!("{} {} ({})", entry.word, entry.title, entry.href)).collect();
        bare("Kinds of machine", &lines.join("\n"), &reason)
    })
}

#[cfg(test)]
mod tests {
    use super::{KindEntry, kinds_index};
    use crate::output::fixture::{fullest, hostile};
    use crate::output::reader::well_formed_page;

    #[test]
    fn the_index_lists_every_kind_with_what_it_needs() {
        let full = fullest();
        let entry = KindEntry::new("whip_on_jib", &full, "whip_on_jib.html");
        assert_eq!(entry.needs, ["parts"]);
        let page = kinds_index(&[entry, KindEntry::new("none", &hostile(), "a\"b.html")], "../index.html");
        well_formed_page(&page);
        assert!(page.contains("href=\"whip_on_jib.html\"") && page.contains("href=\"../index.html\"") && !page.contains("<script"));
        well_formed_page(&kinds_index(&[], ""));
    }
}
