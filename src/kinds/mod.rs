//! The machine kinds: a document in our own language, its texts in German and a sketch for each.
//!
//! *Takes and gives*: a kind's word; its document as text, what a text of it is in German, and from its numbers a drawing.
//! *Never*: does a machine's arithmetic, reads a file or knows how a drawing is printed.
//! *To add*: a folder with `kind.md`, `german.md`, `german.rs` and `sketch.rs`, and its word in the `kinds!` line below.
mod drawing_board;
mod free_body;
mod generic;
mod german;
mod german_document;
mod leads;
mod lettering;
mod on_a_slope;
pub mod sketching;
mod threads;
mod turning;

use crate::kinds::sketching::{Drawing, Figures, FreeBody};

/// Lists the kinds with a document and a sketch, and the documents every machine shares.
macro_rules! kinds {
    ($($word:ident),* ; shared $($shared:ident),*) => {
        $(mod $word { pub mod german; pub mod sketch; })*
        $(mod $shared { pub mod german; })*

        /// The document of a kind, or of `every` and `train`; none for a word that comes from a user's own document.
        pub fn document(word: &str) -> Option<&'static str> {
            match word {
                $(stringify!($word) => Some(include_str!(concat!(stringify!($word), "/kind.md"))),)*
                $(stringify!($shared) => Some(include_str!(concat!(stringify!($shared), "/kind.md"))),)*
                _ => None,
            }
        }

        /// The document of a kind in German: its prose and its worked cases; what it lays down of the kind is written as in
        /// [`document`], and [`german`] has the texts of that.
        pub fn german_document(word: &str) -> Option<String> {
            let prose = match word {
                $(stringify!($word) => include_str!(concat!(stringify!($word), "/german.md")),)*
                _ => return None,
            };
            document(word).map(|document| german_document::joined(word, document, prose))
        }

        /// The words of the kinds a machine may name, in their listed order.
        pub fn words() -> impl Iterator<Item = &'static str> {
            [$(stringify!($word)),*].into_iter()
        }

        /// The German of `text` where it stands in the document of `word`: a label, a choice, a caution or a reference.
        /// None where that document does not say it.
        pub fn german(word: &str, text: &str) -> Option<&'static str> {
            let own = match word {
                $(stringify!($word) => $word::german::ROWS,)*
                $(stringify!($shared) => $shared::german::ROWS,)*
                _ => return None,
            };
            let all = own.iter().chain(every::german::ROWS).chain(german::ROWS);
            all.into_iter().find(|(english, _)| *english == text).map(|(_, german)| *german)
        }

        /// The sketch of a machine of a kind that comes with the program; none for any other word.
        pub fn sketch(word: &str, figures: &dyn Figures) -> Option<Drawing> {
            match word {
                $(stringify!($word) => Some($word::sketch::draw(figures)),)*
                _ => None,
            }
        }

        /// The body that a machine moves, or a stated part of it, cut free at a scale of `newtons` a drawing unit where that
        /// suits. None for a word of a user's own, whose document does not say which way its forces point, and none where a
        /// force is not known.
        pub fn free_body(word: &str, figures: &dyn Figures, newtons: Option<f64>) -> Option<FreeBody> {
            match word {
                $(stringify!($word) => $word::sketch::cut(figures)?.drawn(newtons),)*
                _ => None,
            }
        }
    };
}

kinds!(
    lever, tackle, ramp, wedge, screw, turnbuckle, differential_screw, press, toggle, windlass, differential_windlass, hoist,
    gears, rack, worm, belt, capstan, lead_block, pulleys, parbuckle, sling,
    lifted, dragged, resistance;
    shared every, train
);

/// The digest of what a kind reckons, as the engine works it from the document of the kind; its tests hold one to the other and
/// write the list anew. Working it costs more than reading the kind.
pub fn reckoning(word: &str) -> Option<&'static str> {
    let mut rows = include_str!("reckonings.txt").lines().filter_map(|line| line.split_once(' '));
    rows.find(|(of, _)| *of == word).map(|(_, digest)| digest)
}

/// The sketch of any machine from what every machine has: effort, body with the kind's name, load, and both travels.
pub fn sketch_of_any(word: &str, figures: &dyn Figures) -> Drawing {
    generic::draw(word, figures)
}

#[cfg(test)]
mod sketch_tests;
#[cfg(test)]
mod thread_tests;
#[cfg(test)]
mod turning_tests;
