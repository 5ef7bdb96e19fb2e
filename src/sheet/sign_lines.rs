//! Lines of a record of signatures: words and texts in quotation marks, and a snapshot of a sheet as such lines.

use crate::sheet::snapshot::{Decided, Rigged, Snapshot, Stated, Worked};
use crate::source::Extent;
use std::collections::{BTreeMap, BTreeSet};

/// The words that lines of a snapshot begin with.
pub(super) const FACTS: [&str; 4] = ["check", "input", "machine", "result"];

// Stands for the number before it: most units of print are the coherent ones.
const SAME: &str = "=";

/// One word or text of a line, and where it stands in it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Field {
    pub(super) text: String,
    pub(super) at: Extent,
}

/// `texts` as one line.
pub(super) fn line(texts: &[&str]) -> String {
    texts.iter().map(|text| written(text)).collect::<Vec<_>>().join(" ")
}

fn written(text: &str) -> String {
    let bare = |c: char| !c.is_whitespace() && !c.is_control() && !matches!(c, '"' | '\\' | '#');
    if !text.is_empty() && text.chars().all(bare) {
        return text.to_string();
    }
    let mut out = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            letter if letter.is_control() => out.push_str(&format!("\\u{:04x}", u32::from(letter))),
            letter => out.push(letter),
        }
    }
    out.push('"');
    out
}

/// The words and texts of `line`; where an unclosed text begins.
pub(super) fn fields(line: &str) -> Result<Vec<Field>, usize> {
    let mut found = Vec::new();
    let mut letters = line.char_indices().peekable();
    while let Some((start, letter)) = letters.next() {
        if letter.is_whitespace() {
            continue;
        }
        let mut text = String::new();
        let mut end = start + letter.len_utf8();
        if letter == '"' {
            let mut closed = false;
            while let Some((at, letter)) = letters.next() {
                end = at + letter.len_utf8();
                match letter {
                    '"' => {
                        closed = true;
                        break;
                    }
                    '\\' => match letters.next() {
                        Some((_, 'n')) => text.push('\n'),
                        Some((_, 'u')) => {
                            let code: String = letters.by_ref().take(4).map(|(_, digit)| digit).collect();
                            text.extend(u32::from_str_radix(&code, 16).ok().and_then(char::from_u32));
                        }
                        Some((_, other)) => text.push(other),
                        None => return Err(start),
                    },
                    other => text.push(other),
                }
            }
            if !closed {
                return Err(start);
            }
        } else {
            text.push(letter);
            while let Some((at, letter)) = letters.next_if(|(_, letter)| !letter.is_whitespace()) {
                text.push(letter);
                end = at + letter.len_utf8();
            }
        }
        found.push(Field { text, at: Extent::new(start, end) });
    }
    Ok(found)
}

/// Whether `text` is a number of a form.
pub(super) fn numbered(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// A snapshot as lines, each of which says by itself what it is about.
pub(super) fn snapshot_lines(snapshot: &Snapshot) -> Vec<String> {
    let mut lines = Vec::new();
    for input in &snapshot.inputs {
        let Stated { name, label, sort, text, si, doubt, source, state } = input;
        lines.push(line(&["input", name, sort, text, &number(*si), doubt, label, source, state]));
    }
    for result in &snapshot.results {
        let mut parts = vec!["result".to_string(), result.name.clone(), result.unit.clone()];
        for (at, text) in result.texts.iter().enumerate() {
            let of = |list: &[f64]| number(list.get(at).copied().unwrap_or(0.0));
            let (value, si) = (of(&result.values), of(&result.si));
            let si = if si == value { SAME.to_string() } else { si };
            parts.extend([text.clone(), value, si, of(&result.doubts)]);
        }
        lines.push(line(&parts.iter().map(String::as_str).collect::<Vec<_>>()));
    }
    for check in &snapshot.checks {
        lines.push(line(&["check", &check.title, &check.verdict, &check.utilisation, &check.reference]));
    }
    for machine in &snapshot.machines {
        let facts = machine.facts.iter().flat_map(|(label, value)| [label.as_str(), value.as_str()]);
        lines.push(line(&["machine", machine.name.as_str()].into_iter().chain(facts).collect::<Vec<_>>()));
    }
    // A machine in two trains has its settings twice, and two checks may say the same: `input:2` is the second of such lines.
    let mut times: BTreeMap<String, usize> = BTreeMap::new();
    for said in &mut lines {
        let count = times.entry(said.clone()).or_default();
        *count += 1;
        if let (2.., Some((word, rest))) = (*count, said.split_once(' ')) {
            *said = format!("{word}:{count} {rest}");
        }
    }
    lines
}

/// The word of a line without its count.
pub(super) fn uncounted(word: &str) -> &str {
    word.split_once(':').filter(|(_, count)| numbered(count)).map_or(word, |(word, _)| word)
}

/// The snapshot that `lines` hold; none when one of them does not hold what it should.
pub(super) fn snapshot_of(lines: &BTreeSet<String>) -> Option<Snapshot> {
    let mut snapshot = Snapshot::default();
    for said in lines {
        let found: Vec<String> = fields(said).ok()?.into_iter().map(|field| field.text).collect();
        let texts: Vec<&str> = found.iter().enumerate().map(|(at, text)| if at == 0 { uncounted(text) } else { text }).collect();
        let own = |text: &str| text.to_string();
        match texts.as_slice() {
            ["input", name, sort, text, si, doubt, label, source, state] => snapshot.inputs.push(Stated {
                name: own(name),
                label: own(label),
                sort: own(sort),
                text: own(text),
                si: si.parse().ok()?,
                doubt: own(doubt),
                source: own(source),
                state: own(state),
            }),
            ["result", name, unit, items @ ..] => {
                let (texts, values, si, doubts) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
                let mut worked = Worked { name: own(name), texts, unit: own(unit), values, si, doubts };
                for item in items.chunks(4) {
                    let [text, value, si, doubt] = item else { return None };
                    worked.texts.push(own(text));
                    worked.values.push(value.parse().ok()?);
                    worked.si.push(if *si == SAME { value } else { si }.parse().ok()?);
                    worked.doubts.push(doubt.parse().ok()?);
                }
                snapshot.results.push(worked);
            }
            ["check", title, verdict, utilisation, reference] => snapshot.checks.push(Decided {
                title: own(title),
                verdict: own(verdict),
                utilisation: own(utilisation),
                reference: own(reference),
            }),
            ["machine", name, facts @ ..] => {
                let mut told = Vec::new();
                for fact in facts.chunks(2) {
                    let [label, value] = fact else { return None };
                    told.push((own(label), own(value)));
                }
                snapshot.machines.push(Rigged { name: own(name), facts: told });
            }
            _ => return None,
        }
    }
    Some(snapshot)
}

// Digits that give the same number again, by powers of ten where they would run long.
fn number(value: f64) -> String {
    let plain = format!("{value}");
    let exponent = format!("{value:e}");
    if exponent.len() + 3 < plain.len() { exponent } else { plain }
}
