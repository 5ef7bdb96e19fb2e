//! Fences of a Markdown file, found line by line: just enough for case files, whose fences stand at the margin or
//! at most three spaces in.

/// A fenced stretch; line numbers count from 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fence {
    /// The line that opens it.
    pub open: usize,
    /// The line that closes it; none when it runs to the end.
    pub close: Option<usize>,
    /// What stands after the opening marks.
    pub info: String,
}

impl Fence {
    /// Whether `line` is between the opening and the closing line.
    pub fn holds(&self, line: usize) -> bool {
        line > self.open && self.close.is_none_or(|close| line < close)
    }

    /// Whether `line` is inside or one of the two lines around it.
    pub fn covers(&self, line: usize) -> bool {
        line == self.open || self.close == Some(line) || self.holds(line)
    }

    /// The first word of the info string.
    pub fn word(&self) -> &str {
        self.info.split_whitespace().next().unwrap_or("")
    }
}

/// The outermost fences among `lines`, of which the first has number `first`.
pub fn fences(lines: &[String], first: usize) -> Vec<Fence> {
    let mut found: Vec<Fence> = Vec::new();
    let mut open: Option<(char, usize)> = None;
    for (at, line) in lines.iter().enumerate() {
        let number = first + at;
        let Some((mark, length, rest)) = fence_line(line) else { continue };
        match open {
            None => {
                if mark == '`' && rest.contains('`') {
                    continue;
                }
                open = Some((mark, length));
                found.push(Fence { open: number, close: None, info: rest.trim().to_string() });
            }
            Some((opened, least)) if mark == opened && length >= least && rest.trim().is_empty() => {
                open = None;
                if let Some(fence) = found.last_mut() {
                    fence.close = Some(number);
                }
            }
            Some(_) => {}
        }
    }
    found
}

fn fence_line(line: &str) -> Option<(char, usize, &str)> {
    let body = line.trim_start_matches(' ');
    if line.len() - body.len() > 3 {
        return None;
    }
    let mark = body.chars().next().filter(|c| *c == '`' || *c == '~')?;
    let rest = body.trim_start_matches(mark);
    let length = body.len() - rest.len();
    (length >= 3).then_some((mark, length, rest))
}
