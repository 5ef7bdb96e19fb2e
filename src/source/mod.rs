//! Where every piece of text comes from: files, lines, spans, and fence text that remembers its place.
//!
//! *Takes and gives*: text in; [`Sources`], [`Span`], [`LineIndex`] and [`Fragment`] out.
//! *Never*: reads the world, knows Markdown, or words a message.
//! *To add*: a new way of counting columns goes into `lines.rs`, nowhere else.

mod fragment;
mod lines;
mod numbered;
mod span;
mod tag;
mod text;

pub use fragment::Fragment;
pub use lines::{LineIndex, Position};
pub use numbered::Numbered;
pub use span::{Extent, FileId, Home, Span};
pub use tag::Tag;
pub use text::{SheetPath, SourceFile, Sources, Text};
