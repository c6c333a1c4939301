//! Where something stands: a file and a range of bytes in it.

/// Which file, as [`Sources`](super::Sources) numbers them, in the order in which they were added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(pub u32);

/// A range of bytes in one file: `start` included, `end` excluded. It sorts by file, then place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The file.
    pub source: SourceId,
    /// Offset of the first byte.
    pub start: u32,
    /// Offset just past the last byte.
    pub end: u32,
}

impl Span {
    /// A span from `start` to `end`; one that would end before it starts is empty at `start`.
    #[must_use]
    pub fn new(source: SourceId, start: u32, end: u32) -> Self {
        Self {
            source,
            start,
            end: end.max(start),
        }
    }

    /// The smallest span that covers both. Spans of two files cannot be joined: the first is kept.
    #[must_use]
    pub fn join(self, other: Self) -> Self {
        if self.source != other.source {
            return self;
        }
        Self {
            source: self.source,
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }

    /// Length in bytes.
    #[must_use]
    pub fn len(self) -> u32 {
        self.end.saturating_sub(self.start)
    }

    /// Whether the span covers nothing and only marks a place.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.len() == 0
    }

    /// The span as a range of byte offsets.
    #[must_use]
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end.max(self.start) as usize
    }
}
