//! Places in text: small, copyable, and relative to the fence they stand in.

/// A file of one compilation, by its number in [`super::Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// What a span's offsets are counted from: a whole file, or the text of its n-th `rig` fragment.
///
/// Counting from the fence keeps a syntax tree unchanged when the fence moves down the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Home {
    /// The file.
    pub file: FileId,
    /// The fragment of that file, or none when offsets are counted from the start of the file.
    pub fragment: Option<u32>,
}

impl Home {
    /// Offsets counted from the start of `file`.
    pub fn file(file: FileId) -> Self {
        Home { file, fragment: None }
    }

    /// Offsets counted from the start of the `fragment`-th fragment of `file`.
    pub fn fragment(file: FileId, fragment: u32) -> Self {
        Home { file, fragment: Some(fragment) }
    }

    /// The span of `extent` in this home.
    pub fn span(self, extent: Extent) -> Span {
        Span { home: self, start: extent.start, end: extent.end }
    }
}

/// A stretch of bytes, start to end, counted from a home that is known from elsewhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Extent {
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Extent {
    /// From `start` to `end`.
    pub fn new(start: usize, end: usize) -> Self {
        Extent { start: narrow(start), end: narrow(end) }
    }

    /// The shortest stretch that covers both.
    pub fn to(self, other: Extent) -> Extent {
        Extent { start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// The same stretch, `by` bytes later.
    pub fn shifted(self, by: u32) -> Extent {
        Extent { start: self.start + by, end: self.end + by }
    }

    /// The bytes as a range, for slicing the text it belongs to.
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// A stretch of bytes together with its home.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// What the offsets are counted from.
    pub home: Home,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

// Files are refused long before 4 GiB, so saturating here can only blunt a caret, never lose text.
fn narrow(offset: usize) -> u32 {
    u32::try_from(offset).unwrap_or(u32::MAX)
}
