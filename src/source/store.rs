//! The store of every file that was read.

use std::collections::HashMap;
use std::sync::Arc;

use super::file::{Position, SourceFile};
use super::span::{SourceId, Span};

/// Every file that was read, in the order of reading. Files are only ever added.
///
/// A text that is embedded in the program is added under a path such as
/// `builtin:rules/energy/reserve-at-turnaround.yaml`; no path in a tree starts so. What a text is, its file says and
/// not its path.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    // Shared, so that a copy of the store holds no text twice.
    files: Vec<Arc<SourceFile>>,
    by_path: HashMap<String, SourceId>,
}

impl Sources {
    /// A store without files.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a file and numbers it. The same path may be added again (a file at two revisions):
    /// [`find`](Self::find) keeps to the first.
    ///
    /// # Panics
    /// For a text of 4 GiB or more, as [`SourceFile::new`].
    pub fn add(&mut self, path: impl Into<String>, text: impl Into<Arc<str>>) -> SourceId {
        self.add_file(SourceFile::new(path.into(), text.into()))
    }

    /// The same for a text that is embedded in the program.
    ///
    /// # Panics
    /// As [`add`](Self::add).
    pub fn add_embedded(&mut self, path: impl Into<String>, text: impl Into<Arc<str>>) -> SourceId {
        self.add_file(SourceFile::new(path.into(), text.into()).embedded())
    }

    fn add_file(&mut self, file: SourceFile) -> SourceId {
        let id = SourceId(u32::try_from(self.files.len()).unwrap_or(u32::MAX));
        self.by_path.entry(file.path().to_owned()).or_insert(id);
        self.files.push(Arc::new(file));
        id
    }

    /// The file with this number.
    #[must_use]
    pub fn get(&self, id: SourceId) -> Option<&SourceFile> {
        self.files.get(id.0 as usize).map(Arc::as_ref)
    }

    /// The path of the file with this number; empty for a number of another store.
    #[must_use]
    pub fn path(&self, id: SourceId) -> &str {
        self.get(id).map_or("", SourceFile::path)
    }

    /// Whether the file with this number is a text of the program; not for a number of another store.
    #[must_use]
    pub fn is_embedded(&self, id: SourceId) -> bool {
        self.get(id).is_some_and(SourceFile::is_embedded)
    }

    /// Where a span starts; line 1, column 1 for a span of another store.
    #[must_use]
    pub fn position(&self, span: Span) -> Position {
        self.place(span.source, span.start)
    }

    /// Where a span ends: the place just past its last character.
    #[must_use]
    pub fn end_position(&self, span: Span) -> Position {
        self.place(span.source, span.end)
    }

    /// The text of a span; empty for a span of another store.
    #[must_use]
    pub fn slice(&self, span: Span) -> &str {
        self.get(span.source).map_or("", |file| file.slice(span))
    }

    /// The file that was first added under a path.
    #[must_use]
    pub fn find(&self, path: &str) -> Option<SourceId> {
        self.by_path.get(path).copied()
    }

    /// How many files there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.files.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.files.is_empty()
    }

    /// All files in the order in which they were added.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = (SourceId, &SourceFile)> {
        self.files.iter().enumerate().map(|(number, file)| {
            let number = u32::try_from(number).unwrap_or(u32::MAX);
            (SourceId(number), file.as_ref())
        })
    }

    fn place(&self, source: SourceId, offset: u32) -> Position {
        self.get(source)
            .map_or(Position { line: 1, column: 1 }, |file| {
                file.position(offset)
            })
    }
}
