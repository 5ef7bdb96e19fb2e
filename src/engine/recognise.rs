//! Which documents are sheets: those with a fence in our own language.

/// Whether the Markdown text `text` has a fence whose first word is `rig`. One shown inside another fence, as a
/// manual does, is not counted.
pub fn is_sheet(text: &str) -> bool {
    let mut open: Option<(char, usize)> = None;
    for line in text.lines() {
        // Marks of quotations and lists may stand before a fence.
        let line = line.trim_start_matches(|c: char| c.is_whitespace() || matches!(c, '>' | '-' | '*' | '+'));
        let Some(mark) = line.chars().next().filter(|c| matches!(c, '`' | '~')) else { continue };
        let length = line.chars().take_while(|c| *c == mark).count();
        if length < 3 {
            continue;
        }
        let info = line.trim_start_matches(mark).trim();
        match open {
            None if mark == '`' && info.contains('`') => {}
            None if info.split_whitespace().next() == Some("rig") => return true,
            None => open = Some((mark, length)),
            Some((opened, at_least)) if opened == mark && length >= at_least && info.is_empty() => open = None,
            Some(_) => {}
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::is_sheet;

    #[test]
    fn a_fence_of_ours_makes_a_sheet_and_a_picture_of_one_does_not() {
        assert!(is_sheet("# Slip\n\n```rig\ntake a = 1\n```\n"));
        assert!(is_sheet("> ~~~ rig\n> take a = 1\n"));
        assert!(is_sheet("```text\nnothing\n```\n```rig\n```\n"));
        assert!(!is_sheet("````markdown\n```rig\ntake a = 1\n```\n````\n"));
        assert!(!is_sheet("```right\n```\n"));
        assert!(!is_sheet("Write ```rig``` at the start of a fence.\n"));
        assert!(!is_sheet(""));
    }
}
