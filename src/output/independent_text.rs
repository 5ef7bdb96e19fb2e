//! How a calculation by somebody else stands to a sheet, as text and as data.

use crate::output::json::pretty;
use crate::sheet::{Independent, Judged};
use serde::Serialize;

/// One line an answer, the words first, each standing alone; `path` is the sheet's.
pub fn independent_text(path: &str, found: &Independent) -> String {
    let mut text = String::new();
    if found.same_calculation == Some(false) {
        text += &format!("{path}  the form was made from another state of this calculation\n");
    }
    for one in &found.judged {
        text += &line(path, one);
    }
    text
}

fn line(path: &str, one: &Judged) -> String {
    let asked =
        if one.question.ask == "value" { one.question.name.clone() } else { format!("{} of {}", one.question.ask, one.question.name) };
    let mut line = format!("{path}  {:<12}  {asked}", one.standing);
    if one.standing == "no answer" {
        return line + &format!(" ({})\n", one.question.what);
    }
    line += &format!(": {}, the sheet has {}", one.theirs, if one.ours.is_empty() { "none" } else { &one.ours });
    if let Some(share) = one.share {
        line += &format!(" ({:+.2} %)", share * 100.0);
    }
    if !one.remark.is_empty() {
        line += &format!("; {}", one.remark);
    }
    line + "\n"
}

#[derive(Serialize)]
struct Data<'d> {
    schema: u32,
    path: &'d str,
    #[serde(flatten)]
    found: &'d Independent,
}

/// The same as JSON, ending with a line feed.
pub fn independent_json(path: &str, found: &Independent) -> String {
    pretty(&Data { schema: 1, path, found })
}
