//! Markdown to prose and fences: what a reader sees, and the pieces in our own language cut out of it.
//!
//! *Takes and gives*: the text of a file in; a [`Document`] of clean HTML, [`crate::source::Fragment`]s and headings
//! out, findings into the sink.
//! *Never*: reads a statement, knows a unit or a name, or touches the world.
//! *To add*: a Markdown form is an arm in `prose.rs`; what raw HTML may do is decided in `clean.rs` alone.

mod clean;
mod escape;
mod fence;
mod inline;
mod links;
mod maths;
mod outline;
mod pieces;
mod prose;
mod read;

pub use read::read;

use crate::source::{Extent, Fragment};

/// A file taken apart.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Document {
    /// Prose and fences in reading order.
    pub pieces: Vec<Piece>,
    /// Fences and inline values, numbered together in reading order. [`Piece::Rig`], [`Run::Value`] and
    /// [`crate::source::Home::fragment`] name one by its place in this list. Code inside the description of an image
    /// is not a value.
    pub fragments: Vec<Fragment>,
    /// Headings in reading order, those of raw HTML left out.
    pub outline: Vec<Heading>,
    /// Text of the first heading of level 1.
    pub title: Option<String>,
}

/// A stretch of a document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Piece {
    /// Prose. Its runs joined, with values set in, are HTML in which every element that is opened is closed: where a
    /// fence stands inside a list or a quotation, that is closed before it and opened again after it (an item of a
    /// list then as `<li class="continued">`).
    Prose(Vec<Run>),
    /// A `rig` fence.
    Rig {
        /// Its place in [`Document::fragments`].
        fragment: u32,
        /// The bytes of the file from the opening fence line to the end of the closing one.
        span_of_fence: Extent,
    },
}

/// A part of prose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Run {
    /// HTML that may go into a page as it is.
    Html(String),
    /// A value set into the sentence: inline code that begins with `rig `.
    Value {
        /// Its place in [`Document::fragments`]: the code after that word, without the blanks around it. A line end
        /// inside it is a space.
        fragment: u32,
    },
}

/// A heading of the prose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heading {
    /// 1 to 6.
    pub level: u8,
    /// Plain text; a value stands as the code it was written in.
    pub text: String,
    /// The `id` it has on the page, unique there; always begins with `s-`.
    pub anchor: String,
}
