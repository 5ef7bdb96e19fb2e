//! Every finding the compiler can put down, by family. The doc comment of a finding is the page `explain` prints.
//!
//! *Takes and gives*: facts as plain values in; wording out.
//! *Never*: looks anything up, or formats a number itself.
//! *To add*: one entry in the family it belongs to; a new family is a file here and a line in [`pages`].

pub mod checks;
pub mod comparing;
pub mod document;
pub mod draws;
pub mod files;
pub mod gear;
pub mod house;
pub mod machines;
pub mod measuring;
pub mod names;
pub mod readings;
pub mod signing;
pub mod slips;
pub mod studies;
pub mod syntax;
pub mod units;

use crate::diagnostics::Page;

/// The pages of all families, in order.
pub fn pages() -> impl Iterator<Item = &'static Page> {
    [
        document::PAGES,
        syntax::PAGES,
        slips::PAGES,
        names::PAGES,
        units::PAGES,
        machines::PAGES,
        measuring::PAGES,
        checks::PAGES,
        comparing::PAGES,
        studies::PAGES,
        readings::PAGES,
        draws::PAGES,
        files::PAGES,
        signing::PAGES,
        gear::PAGES,
        house::PAGES,
    ]
    .into_iter()
    .flatten()
}
