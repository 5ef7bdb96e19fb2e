//! What the tests share: the reader of case documents, the compiling of a case, the comparison, and the rewriting.
//!
//! *Takes and gives*: a Markdown file of cases in; differences in words, or the file with its marks renewed, out.
//! *Never*: decides what is right: that stands in the case files, with its source.
//! *To add*: a new form of expectation is one variant and one line of syntax in `expect.rs`, one arm in `compare.rs`.

#[cfg(feature = "commands")]
pub mod browser;
pub mod case;
#[cfg(feature = "commands")]
pub mod checkers;
pub mod compare;
pub mod compile;
pub mod expect;
pub mod factors;
pub mod fences;
pub mod folders;
pub mod markup;
#[cfg(feature = "commands")]
pub mod program;
pub mod renew;
#[cfg(all(feature = "watch", unix))]
pub mod watching;
