//! The parts of a page of which there are many, written straight into its one text: rows, lines, machines and checks.
//!
//! *Takes and gives*: parts of a sheet in; markup at the end of the page so far out.
//! *Never*: goes through the template engine, which keeps the frame of a page and what stands on it a few times; puts text
//! of a document on the page without `escape_into`.
//! *To add*: a part that stands on a page in hundreds is a function here; any other is a template (see `view`).

mod budget;
mod check;
mod document;
mod inputs;
mod line;
mod machine;
mod moves;
mod registers;
mod shared;
mod train;

pub(super) use document::{document, shared};
#[cfg(test)]
pub(super) use line::quantity;
pub(super) use line::{amount, lines, named, references};
pub(super) use registers::{registers, standing};
pub(super) use shared::Shared;

use crate::output::mathml::escape_into;

/// Markup as it stands.
fn put(out: &mut String, parts: &[&str]) {
    for part in parts {
        out.push_str(part);
    }
}

/// `text` of a document between two pieces of markup.
fn between(out: &mut String, before: &str, text: &str, after: &str) {
    out.push_str(before);
    escape_into(text, out);
    out.push_str(after);
}

/// A heading tag, opening or closing.
fn heading(out: &mut String, before: &str, level: usize, after: &str) {
    put(out, &[before, ["1", "2", "3", "4", "5", "6"].get(level.saturating_sub(1)).unwrap_or(&"6"), after]);
}

/// The same where there is such a text, and nothing where there is none.
fn perhaps(out: &mut String, before: &str, text: &str, after: &str) {
    if !text.is_empty() {
        between(out, before, text, after);
    }
}

/// An attribute, in quotation marks where its value needs them.
fn attribute(open: &str, value: &str, out: &mut String) {
    let bare = value.bytes().all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.'));
    if bare && !value.is_empty() {
        out.push_str(open);
        out.push_str(value);
    } else {
        let (name, start) = open.split_once('=').unwrap_or((open, ""));
        between(out, name, "", "=\"");
        between(out, start, value, "\"");
    }
}

/// The end of an opening tag, with an id where the place has one.
fn identified(out: &mut String, id: &str) {
    if !id.is_empty() {
        attribute(" id=", id, out);
    }
    out.push('>');
}
