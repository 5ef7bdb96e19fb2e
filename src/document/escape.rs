//! Characters that mean something in HTML, made to mean themselves.

/// Appends `text` to `out` so that it reads as text, and may also stand between double quotes in a tag.
pub(super) fn push(out: &mut String, text: &str) {
    // Most text means nothing but itself.
    if !text.bytes().any(|byte| matches!(byte, b'&' | b'<' | b'>' | b'"')) {
        out.push_str(text);
        return;
    }
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
}

/// `text` in the same way.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    push(&mut out, text);
    out
}

/// `text` as it can be quoted in a finding: on one line, and not too long for it.
pub(super) fn quoted(text: &str) -> String {
    const LONGEST: usize = 60;
    let line: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    match line.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", line.get(..end).unwrap_or("")),
        None => line,
    }
}
