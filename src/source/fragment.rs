//! A piece of text cut out of a file that remembers where each part of it came from.

/// Text lifted out of a file in one or more pieces (a fence in a quotation loses its `>` marks, a fence with
/// CRLF endings its `\r`), with the way back from every byte of it to the file.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Fragment {
    text: String,
    // (offset in `text`, offset in the file), in order; between two entries both run on together.
    pieces: Vec<(u32, u32)>,
}

impl Fragment {
    /// An empty fragment.
    pub fn new() -> Self {
        Fragment::default()
    }

    /// A fragment that is one exact slice of the file, starting at byte `file_offset`.
    pub fn slice(text: &str, file_offset: usize) -> Self {
        let mut fragment = Fragment::new();
        fragment.push(text, file_offset);
        fragment
    }

    /// Appends `text`, which stands in the file at byte `file_offset`.
    pub fn push(&mut self, text: &str, file_offset: usize) {
        if !text.is_empty() {
            self.pieces.push((self.text.len() as u32, file_offset as u32));
            self.text.push_str(text);
        }
    }

    /// The text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The byte of the file that byte `offset` of this text came from. The end of the text maps to the byte
    /// after its last one.
    pub fn to_file(&self, offset: u32) -> u32 {
        let after = self.pieces.partition_point(|(start, _)| *start <= offset);
        match after.checked_sub(1).and_then(|at| self.pieces.get(at)) {
            Some((start, file)) => file + (offset - start),
            None => 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_byte_finds_its_way_home() {
        let file = "> take a = 1\n> take b = 2\n";
        let mut fragment = Fragment::new();
        fragment.push("take a = 1\n", 2);
        fragment.push("take b = 2\n", 15);
        for (at, _) in fragment.text().char_indices() {
            let home = fragment.to_file(at as u32) as usize;
            assert_eq!(fragment.text().as_bytes()[at], file.as_bytes()[home]);
        }
    }
}
