//! A finished sheet on paper, on a terminal, or as data for another program.
//!
//! *Takes and gives*: a [`Sheet`](crate::sheet::parts::Sheet) or its notices in; text in HTML, JSON, CSV, SARIF, XML or plain out.
//! *Never*: works anything out, rounds a number, or reads the world; what is printed already stands in the sheet as text.
//! *To add*: a writer is a file here and its line below; a part of the page is a file in `templates/` and its line in
//! `templates.rs`.

mod beside;
mod blind;
mod breaking;
mod checking;
mod comparing_text;
mod comparison;
mod departure;
mod draws_text;
mod excerpt;
mod exercise_text;
mod fitting;
mod given;
mod html;
mod impact_text;
mod independent_text;
mod index;
mod json;
mod json_schema;
mod junit;
mod kind_text;
mod kinds_index;
mod linear;
mod markup;
mod mathml;
mod plain;
mod prose;
mod reading_text;
mod sarif;
mod scripts;
mod sign_text;
mod svg;
mod table;
mod tags;
mod templates;
mod terminal;
mod view;
mod voice_kept;

#[cfg(test)]
mod draws_fixture;
#[cfg(test)]
mod exercise_fixture;
#[cfg(test)]
mod fixture;
#[cfg(test)]
mod formula_fixture;
#[cfg(test)]
mod reader;
#[cfg(test)]
mod reading_fixture;
#[cfg(test)]
mod report_fixture;
#[cfg(test)]
mod sign_fixture;

pub use beside::{Beside, address};
pub use blind::{blind_form, blind_html};
pub use checking::checking_html;
pub use comparison::{Compared, comparison_html, comparison_json, comparison_text};
pub use departure::departure_text;
pub use fitting::{PartFault, Trial, part_is_fit, part_names};
pub use html::{banner, html, html_beside, html_on_paper, learners, on_paper};
pub use impact_text::{impact_json, impact_text};
pub use independent_text::{independent_json, independent_text};
pub use index::{IndexEntry, Tally, index, index_into};
pub use json::{Findings, json, notices_json};
pub use json_schema::json_schema;
pub use junit::junit;
pub use kind_text::reference;
pub use kinds_index::{KindEntry, kinds_index};
pub use linear::linear;
pub use mathml::mathml;
pub use plain::{budgets_text, text};
pub use sarif::sarif;
pub use scripts::{data_address, script_sources};
pub use svg::svg;
pub use table::{Table, table};
pub use terminal::{Style, fault_words, notice};
