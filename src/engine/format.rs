//! A document with its fences laid out the one way, and its prose untouched.

use crate::diagnostics::Sink;
use crate::document::{self, Piece};
use crate::source::FileId;
use crate::syntax;

/// `text` with the lines of its `rig` fences laid out: see [`syntax::laid_out`]. Every byte outside them stays, line ends
/// and the marks of a list or a quotation included; a fence that cannot be followed line by line is left as it is.
pub fn formatted(text: &str) -> String {
    let document = document::read(text, FileId(0), &mut Sink::new());
    let mut out = String::with_capacity(text.len());
    let mut copied = 0;
    for piece in &document.pieces {
        let Piece::Rig { fragment, .. } = piece else { continue };
        let Some(fragment) = document.fragments.get(*fragment as usize) else { continue };
        let mut at = 0;
        let places: Option<Vec<(usize, usize)>> = fragment
            .text()
            .split_inclusive('\n')
            .map(|line| {
                let said = line.strip_suffix('\n').unwrap_or(line);
                let from = fragment.to_file(at) as usize;
                at += line.len() as u32;
                (text.get(from..from + said.len()) == Some(said)).then_some((from, from + said.len()))
            })
            .collect();
        let Some(places) = places else { continue };
        let lines = syntax::laid_out(fragment.text());
        for ((from, to), line) in places.iter().zip(lines) {
            let before = text.get(copied..*from).unwrap_or("");
            match line {
                Some(line) => {
                    out.push_str(before);
                    out.push_str(&line);
                    copied = *to;
                }
                // Where a container puts its mark before the line, the line stays. The `\r` of a blank line stands before it.
                None if before.is_empty() || before.trim_end_matches('\r').ends_with('\n') => {
                    out.push_str(before.trim_end_matches('\r'));
                    copied = text.get(*to..).and_then(|rest| rest.find('\n')).map_or(*to, |end| to + end + 1);
                }
                None => {
                    out.push_str(before);
                    copied = *to;
                }
            }
        }
    }
    out.push_str(text.get(copied..).unwrap_or(""));
    out
}

#[cfg(test)]
mod tests {
    use super::formatted;

    #[test]
    fn containers_and_line_ends_stay() {
        let ragged = "# A\r\n\r\n```rig\r\ntake   x=3 N   from \"tape\"\r\n\r\n\r\ny = 2 *  x\r\n```\r\n\r\nProse,  as it was.\r\n";
        let tidy = "# A\r\n\r\n```rig\r\ntake x = 3 N  from \"tape\"\r\n\r\ny = 2 * x\r\n```\r\n\r\nProse,  as it was.\r\n";
        assert_eq!(formatted(ragged), tidy);
        assert_eq!(formatted(tidy), tidy);
        let quoted = "> ```rig\n> x  =  1 N\n> ```\n";
        assert_eq!(formatted(quoted), "> ```rig\n> x = 1 N\n> ```\n");
    }
}
