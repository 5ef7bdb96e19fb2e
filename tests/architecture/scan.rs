//! Rust source as text: comments and strings blanked, test modules left out, paths picked up. A scan and no parser;
//! it knows as much of the language as the doors test needs.

use crate::support::folders;

/// One file of `src`.
pub struct SourceText {
    /// Path from the project's folder.
    pub name: String,
    /// The room it stands in; none for `lib.rs` and `main.rs`.
    pub room: Option<String>,
    /// As written.
    pub text: String,
    // Without comments and test modules, strings blanked; as many lines as `text`.
    code: String,
    // The same with strings.
    spoken: String,
    strings: Vec<(usize, String)>,
}

/// Every Rust file under `src` that is not a file of tests alone.
pub fn sources() -> Vec<SourceText> {
    // A file that is a test module of its own is a test, not a part of its room.
    let is_test = |name: &str| ["/tests.rs", "/sketch_tests.rs", "fixture.rs"].iter().any(|end| name.ends_with(end));
    let mut paths = folders::files_under(&folders::project().join("src"), "rs");
    paths.retain(|path| !is_test(&folders::relative(path)));
    paths.iter().map(|path| SourceText::new(&folders::relative(path), &folders::text_of(path))).collect()
}

impl SourceText {
    pub fn new(name: &str, text: &str) -> Self {
        let (code, spoken, strings) = strip(text);
        let tests = test_modules(&code);
        let line_of = |at: usize| code[..at].matches('\n').count() + 1;
        let strings = strings
            .into_iter()
            .filter(|(at, _)| !tests.iter().any(|range| range.contains(at)))
            .map(|(at, string)| (line_of(at), string))
            .collect();
        let parts: Vec<&str> = name.trim_start_matches("src/").split('/').collect();
        let room = (parts.len() > 1).then(|| parts[0].to_string());
        let code_without = without(&code, &tests);
        let spoken_without = without(&spoken, &tests);
        SourceText { name: name.to_string(), room, text: text.to_string(), code: code_without, spoken: spoken_without, strings }
    }

    /// Lines of code, numbered from 1, without comments, strings and test modules.
    pub fn lines(&self) -> impl Iterator<Item = (usize, &str)> {
        self.code.split('\n').enumerate().map(|(at, line)| (at + 1, line))
    }

    /// The same with what stands in strings.
    pub fn lines_with_strings(&self) -> impl Iterator<Item = (usize, &str)> {
        self.spoken.split('\n').enumerate().map(|(at, line)| (at + 1, line))
    }

    /// The strings outside test modules, with their lines.
    pub fn strings(&self) -> Vec<(usize, String)> {
        self.strings.clone()
    }

    /// The rooms that are named by `crate::` or by enough `super::`, with the line.
    pub fn doors(&self) -> Vec<(usize, String)> {
        let parts = self.name.trim_start_matches("src/").trim_end_matches(".rs").split('/');
        let depth = parts.filter(|part| *part != "mod").count();
        let climb = "super::".repeat(depth.max(1));
        let mut found = Vec::new();
        for (number, line) in self.lines() {
            found.extend(identifiers_after(line, "crate::").into_iter().map(|name| (number, name)));
            found.extend(identifiers_after(line, &climb).into_iter().map(|name| (number, name)));
        }
        // A macro of the library's root is no room.
        found.retain(|(_, name)| !name.ends_with('!'));
        found
    }
}

/// What follows each `mark` in `line`: an identifier (with its `!` when it is a macro), or the sign that stands there.
pub fn identifiers_after(line: &str, mark: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (at, _) in line.match_indices(mark) {
        if line[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == '$') {
            continue;
        }
        let rest = &line[at + mark.len()..];
        let name: String = rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
        let sign = rest.chars().nth(name.chars().count());
        found.push(match (name.is_empty(), sign) {
            (true, Some(sign)) => sign.to_string(),
            (false, Some('!')) => format!("{name}!"),
            _ => name,
        });
    }
    found
}

/// The words of `line` with their places.
pub fn words(line: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut rest = 0;
    std::iter::from_fn(move || {
        let part = |c: char| c.is_alphanumeric() || c == '_';
        let start = rest + line[rest..].find(part)?;
        let length = line[start..].find(|c| !part(c)).unwrap_or(line.len() - start);
        rest = start + length;
        Some((start, &line[start..rest]))
    })
}

// Code without comments and strings, code without comments, and the strings with the byte they begin at.
fn strip(text: &str) -> (String, String, Vec<(usize, String)>) {
    let chars: Vec<(usize, char)> = text.char_indices().collect();
    let (mut code, mut spoken, mut strings) = (String::new(), String::new(), Vec::new());
    let blank = |out: &mut String, c: char| {
        if c == '\n' { out.push('\n') } else { (0..c.len_utf8()).for_each(|_| out.push(' ')) }
    };
    let at = |i: usize| chars.get(i).map(|(_, c)| *c);
    let mut i = 0;
    while let Some(c) = at(i) {
        let next = at(i + 1);
        let raw = raw_string(&chars, i);
        if c == '/' && next == Some('/') {
            while at(i).is_some_and(|c| c != '\n') {
                blank(&mut code, chars[i].1);
                blank(&mut spoken, chars[i].1);
                i += 1;
            }
        } else if c == '/' && next == Some('*') {
            let mut depth = 0;
            while at(i).is_some() {
                let pair = (at(i), at(i + 1));
                let step = if pair == (Some('/'), Some('*')) {
                    depth += 1;
                    2
                } else if pair == (Some('*'), Some('/')) {
                    depth -= 1;
                    2
                } else {
                    1
                };
                for _ in 0..step {
                    if let Some(c) = at(i) {
                        blank(&mut code, c);
                        blank(&mut spoken, c);
                    }
                    i += 1;
                }
                if depth == 0 {
                    break;
                }
            }
        } else if c == '"' || raw.is_some() {
            let (open, hashes) = raw.unwrap_or((1, 0));
            let begin = chars[i].0;
            let mut string = String::new();
            for _ in 0..open {
                blank(&mut code, chars[i].1);
                spoken.push(chars[i].1);
                i += 1;
            }
            while let Some(c) = at(i) {
                let closes = c == '"' && (1..=hashes).all(|n| at(i + n) == Some('#'));
                let length = if closes {
                    1 + hashes
                } else if c == '\\' && raw.is_none() {
                    2
                } else {
                    1
                };
                for _ in 0..length {
                    if let Some(c) = at(i) {
                        blank(&mut code, c);
                        spoken.push(c);
                        if !closes {
                            string.push(c);
                        }
                    }
                    i += 1;
                }
                if closes {
                    break;
                }
            }
            strings.push((begin, string));
        } else if c == '\'' && (next == Some('\\') || at(i + 2) == Some('\'')) {
            // A character, not a lifetime.
            let mut length = 3;
            if next == Some('\\') {
                while at(i + length - 1).is_some_and(|c| c != '\'') || length == 3 && at(i + 3) == Some('\'') {
                    length += 1;
                }
            }
            for _ in 0..length {
                if let Some(c) = at(i) {
                    blank(&mut code, c);
                    blank(&mut spoken, c);
                }
                i += 1;
            }
        } else {
            code.push(c);
            spoken.push(c);
            i += 1;
        }
    }
    (code, spoken, strings)
}

// `r"`, `r#"`, `br"` at place `i`: how many characters open it, and how many hashes close it.
fn raw_string(chars: &[(usize, char)], i: usize) -> Option<(usize, usize)> {
    let at = |i: usize| chars.get(i).map(|(_, c)| *c);
    if i > 0 && at(i - 1).is_some_and(|c| c.is_alphanumeric() || c == '_') {
        return None;
    }
    let start = if at(i) == Some('b') { i + 1 } else { i };
    if at(start) != Some('r') {
        return None;
    }
    let hashes = (start + 1..).take_while(|n| at(*n) == Some('#')).count();
    (at(start + 1 + hashes) == Some('"')).then_some((start + 2 + hashes - i, hashes))
}

// The bytes of the modules under `#[cfg(test)]`.
fn test_modules(code: &str) -> Vec<std::ops::Range<usize>> {
    let mut found = Vec::new();
    for (start, mark) in code.match_indices("#[cfg(test)]") {
        let Some(open) = code[start..].find('{').map(|at| start + at) else { continue };
        // `#[cfg(test)] mod tests;` or a `use` has its semicolon before any brace.
        if let Some(end) = code[start + mark.len()..open].find(';') {
            found.push(start..start + mark.len() + end + 1);
            continue;
        }
        let mut depth = 0;
        let end = code[open..].char_indices().find_map(|(at, c)| {
            depth += match c {
                '{' => 1,
                '}' => -1,
                _ => 0,
            };
            (depth == 0).then_some(open + at + 1)
        });
        found.push(start..end.unwrap_or(code.len()));
    }
    found
}

fn without(text: &str, ranges: &[std::ops::Range<usize>]) -> String {
    text.char_indices().map(|(at, c)| if c != '\n' && ranges.iter().any(|range| range.contains(&at)) { ' ' } else { c }).collect()
}
