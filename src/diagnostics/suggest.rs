//! Near misses: which known name a misspelt one was probably meant to be.

/// The names nearest to `word`, best first, at most three; none when nothing is close.
pub fn nearest<'n>(word: &str, names: impl IntoIterator<Item = &'n str>) -> Vec<&'n str> {
    let reach = 1 + word.chars().count() / 4;
    let mut found: Vec<(usize, &str)> = names
        .into_iter()
        .filter(|name| *name != word)
        .map(|name| (distance(word, name), name))
        .filter(|(distance, _)| *distance <= reach)
        .collect();
    found.sort();
    found.dedup();
    found.into_iter().take(3).map(|(_, name)| name).collect()
}

// Edits between two words, a swap of neighbours counting once; a change of case alone counts as none.
fn distance(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.to_lowercase().chars().collect();
    let b: Vec<char> = b.to_lowercase().chars().collect();
    let mut rows = vec![vec![0; b.len() + 1]; a.len() + 1];
    for i in 0..=a.len() {
        for j in 0..=b.len() {
            rows[i][j] = if i == 0 || j == 0 {
                i + j
            } else {
                let change = usize::from(a[i - 1] != b[j - 1]);
                let mut best = (rows[i - 1][j] + 1).min(rows[i][j - 1] + 1).min(rows[i - 1][j - 1] + change);
                if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                    best = best.min(rows[i - 2][j - 2] + 1);
                }
                best
            };
        }
    }
    rows[a.len()][b.len()]
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn a_slip_of_the_finger_is_recognised() {
        let names = ["effort", "load", "velocity_ratio", "parts"];
        assert_eq!(nearest("efort", names), ["effort"]);
        assert_eq!(nearest("laod", names), ["load"]);
        assert!(nearest("weight", names).is_empty());
    }
}
