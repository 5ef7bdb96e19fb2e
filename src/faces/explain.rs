//! `explain`: what a finding, a unit or a kind of machine is; what a value of a sheet is has a file of its own.

use crate::diagnostics::nearest;
use crate::engine;
use crate::faces::arguments::{Data, Explain};
use crate::faces::impact;
use crate::faces::terminal::Terminal;
use crate::faces::{Status, Trouble};
use crate::output;

// Wide enough for a terminal of the usual eighty columns.
const WIDTH: usize = 78;

/// Prints the page of one word, or the list of all words that have one.
pub(super) fn run(asked: &Explain, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.schema {
        terminal.print(&output::json_schema())?;
        return Ok(Status::Clean);
    }
    if let Some((sheet, name)) = asked.word.as_deref().and_then(|word| word.rsplit_once("::")) {
        return impact::run(asked, sheet, name, terminal);
    }
    let only = [(asked.every, "--every"), (asked.format == Data::Json, "--format json"), (asked.root.is_some(), "--root")];
    if let Some((_, option)) = only.iter().find(|(given, _)| *given) {
        return Err(Trouble::new(format!("`{option}` is for a value of a sheet")).with_help("write it SHEET::NAME, as in slip.md::boat"));
    }
    let subjects = engine::subjects();
    let Some(word) = &asked.word else {
        let groups: Vec<String> = subjects
            .iter()
            .filter(|group| !group.words.is_empty())
            .map(|group| format!("{}\n{}", group.title, columns(&group.words)))
            .collect();
        terminal.print(&groups.join("\n"))?;
        return Ok(Status::Clean);
    };
    if let Some(page) = engine::explain(word) {
        terminal.print(&format!("{}\n", page.trim_end()))?;
        return Ok(Status::Clean);
    }
    if word.trim().is_empty() {
        return Err(Trouble::new("no word was given to explain").with_help("`parbuckle explain` lists what can be asked"));
    }
    let near = nearest(word, subjects.iter().flat_map(|group| &group.words).map(String::as_str));
    let help = match near.as_slice() {
        [] => "`parbuckle explain` lists what can be asked".to_string(),
        near => format!("did you mean {}?", near.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(" or ")),
    };
    Err(Trouble::new(format!("nothing goes by the name `{word}`")).with_help(help))
}

// Words in lines, separated by commas, indented.
fn columns(words: &[String]) -> String {
    let mut lines = String::new();
    let mut line = String::new();
    for (at, word) in words.iter().enumerate() {
        let piece = if at + 1 < words.len() { format!("{word},") } else { word.clone() };
        if !line.is_empty() && line.chars().count() + 1 + piece.chars().count() > WIDTH {
            lines += &format!("  {line}\n");
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line += &piece;
    }
    lines + &format!("  {line}\n")
}

#[cfg(test)]
mod tests {
    use super::{WIDTH, columns};

    #[test]
    fn a_long_list_is_broken_into_lines_and_loses_nothing() {
        let words: Vec<String> = (0..60).map(|n| format!("word{n}")).collect();
        let text = columns(&words);
        assert!(text.lines().count() > 1 && text.lines().all(|line| line.chars().count() <= WIDTH + 2));
        assert_eq!(text.split([',', ' ', '\n']).filter(|word| !word.is_empty()).collect::<Vec<_>>(), words);
    }
}
