//! Names by number: found in one step by their letters, of which many have the same in front.

use indexmap::IndexSet;
use rustc_hash::FxBuildHasher;

/// Texts, each with a number from nought on in the order in which they came.
#[derive(Debug, Default)]
pub struct Numbered<'a> {
    // With a digest of letters that is the same in every run.
    known: IndexSet<&'a str, FxBuildHasher>,
}

impl<'a> Numbered<'a> {
    /// The number of `text`, where it has one.
    pub fn find(&self, text: &str) -> Option<usize> {
        self.known.get_index_of(text)
    }

    /// The number of `text`, perhaps a new one.
    pub fn number(&mut self, text: &'a str) -> usize {
        self.known.insert_full(text).0
    }

    /// The text of that number.
    pub fn text(&self, number: usize) -> &'a str {
        self.known.get_index(number).copied().unwrap_or("")
    }
}

#[cfg(test)]
mod tests {
    use super::Numbered;
    use std::collections::BTreeMap;

    #[test]
    fn every_text_keeps_its_number_however_many_there_are() {
        let texts: Vec<String> = (0..3000).map(|at| format!("v-machine-{}-effort{}", at % 70, "x".repeat(at % 9))).collect();
        let (mut numbered, mut by_order) = (Numbered::default(), BTreeMap::new());
        assert_eq!(numbered.find("v-machine-0-effort"), None);
        for text in &texts {
            let next = by_order.len();
            let number = *by_order.entry(text.as_str()).or_insert(next);
            assert_eq!(numbered.number(text), number, "{text}");
        }
        assert_eq!(by_order.len(), 630);
        for (text, number) in by_order {
            assert_eq!((numbered.find(text), numbered.text(number)), (Some(number), text));
        }
        assert_eq!((numbered.find(""), numbered.find("v-machine-70-effort")), (None, None));
    }
}
