//! The parser made from the files under `grammar/`, and the places of what it read.

use crate::source::Extent;
use pest::iterators::Pair;
use pest_derive::Parser;

/// The one parser type; its rules come from the grammar files, read in this order.
#[derive(Parser)]
#[grammar = "../grammar/words.pest"]
#[grammar = "../grammar/values.pest"]
#[grammar = "../grammar/blocks.pest"]
pub(crate) struct Grammar;

/// A piece that was read, with its kind.
pub(crate) type Piece<'t> = Pair<'t, Rule>;

/// Where `piece` stands, `base` bytes on. Room that was passed over in search of something optional is not counted.
pub(crate) fn extent(piece: &Piece<'_>, base: u32) -> Extent {
    let span = piece.as_span();
    let text = span.as_str();
    // Room that was passed over ends in a blank or is a comment: most pieces have neither at their end.
    if !text.ends_with(char::is_whitespace) && !text.contains('#') {
        return Extent::new(span.start(), span.end()).shifted(base);
    }
    let mut last = piece.clone();
    while let Some(inner) = last.clone().into_inner().rev().find(|inner| inner.as_rule() != Rule::EOI) {
        last = inner;
    }
    Extent::new(span.start(), last.as_span().end()).shifted(base)
}
