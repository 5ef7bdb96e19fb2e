//! The machine kinds: for each a document in our own language, and a sketch.
//!
//! *Takes and gives*: the word of a kind in; its document (text), and its drawing from numbers, out.
//! *Never*: works a machine; the relations stand in the documents and nowhere else.
//! *To add*: a folder `<word>/` with `kind.md` and `sketch.rs`, and the word in the list below.


pub mod sketching;



/// The kinds, with their documents. `every` and `train` hold what all machines and all trains have in common.
const KINDS: &[(&str, &str)] = &[
    ("lever", include_str!("lever/kind.md")),
    ("tackle", include_str!("tackle/kind.md")),
    ("ramp", include_str!("ramp/kind.md")),
    ("every", include_str!("every/kind.md")),
    ("train", include_str!("train/kind.md")),
];

/// The document of a kind; none when no kind goes by that word.
pub fn document(word: &str) -> Option<&'static str> {
    KINDS.iter().find(|(name, _)| *name == word).map(|(_, document)| *document)
}

/// The words of the kinds a machine may be of, in order.
pub fn words() -> impl Iterator<Item = &'static str> {
    KINDS.iter().map(|(name, _)| *name).filter(|name| !matches!(*name, "every" | "train"))
}
mod any; pub use any::sketch;
