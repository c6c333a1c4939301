//! One file's text and the one index that turns byte offsets into lines and columns.

use std::sync::{Arc, OnceLock};

use memchr::memchr2_iter;

use super::span::Span;

/// A place as a person counts it: both from 1, the column in characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Position {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters (Unicode scalar values), from 1.
    pub column: u32,
}

/// A place as an editor counts it: both from 0, the column in UTF-16 code units (the Language
/// Server Protocol's own counting).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Utf16Position {
    /// Line, from 0.
    pub line: u32,
    /// Column in UTF-16 code units, from 0.
    pub column: u32,
}

/// A file that was read: its path, its text and the starts of its lines.
///
/// A line ends at `\n`, `\r\n` or a lone `\r`, as in YAML. A byte-order mark at the start belongs
/// to no line and counts as no column.
#[derive(Debug, Clone)]
pub struct SourceFile {
    path: String,
    text: Arc<str>,
    /// Whether it is part of the program, and no file.
    embedded: bool,
    /// Made when a place is first asked for: of many files nobody does.
    line_starts: OnceLock<Vec<u32>>,
}

impl SourceFile {
    /// A text whose lines can be counted. The path is relative to the root with `/` between folders, or
    /// `builtin:...` for a text that is [embedded](Self::embedded) in the program.
    ///
    /// # Panics
    /// For a text of 4 GiB or more. The limits on reading keep every text far below that.
    #[must_use]
    pub fn new(path: String, text: Arc<str>) -> Self {
        assert!(
            u32::try_from(text.len()).is_ok(),
            "a source text must be shorter than 4 GiB"
        );
        Self {
            path,
            text,
            embedded: false,
            line_starts: OnceLock::new(),
        }
    }

    /// The same text as part of the program.
    #[must_use]
    pub fn embedded(self) -> Self {
        Self {
            embedded: true,
            ..self
        }
    }

    /// Whether it is part of the program, and no file.
    #[must_use]
    pub fn is_embedded(&self) -> bool {
        self.embedded
    }

    fn line_starts(&self) -> &[u32] {
        self.line_starts.get_or_init(|| line_starts(&self.text))
    }

    /// The path as it was given.
    #[must_use]
    pub fn path(&self) -> &str {
        &self.path
    }

    /// The whole text.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The whole text, shared.
    #[must_use]
    pub fn shared_text(&self) -> Arc<str> {
        Arc::clone(&self.text)
    }

    /// How many lines there are; an empty text has one, and so has what follows a last line break.
    #[must_use]
    pub fn line_count(&self) -> u32 {
        u32::try_from(self.line_starts().len()).unwrap_or(u32::MAX)
    }

    /// The text of a line (from 1) without its line break; `None` past the last.
    #[must_use]
    pub fn line_text(&self, line: u32) -> Option<&str> {
        let index = (line as usize).checked_sub(1)?;
        let start = *self.line_starts().get(index)? as usize;
        let end = self
            .line_starts()
            .get(index + 1)
            .map_or(self.text.len(), |&next| next as usize);
        let line = self.text.get(start..end)?;
        Some(line.trim_end_matches(['\n', '\r']))
    }

    /// The line and column of a byte offset. An offset past the end counts as the end, one inside
    /// a character as that character's start.
    #[must_use]
    pub fn position(&self, offset: u32) -> Position {
        let (line, before) = self.locate(offset);
        Position {
            line: line + 1,
            column: count(before.chars().count()) + 1,
        }
    }

    /// As [`position`](Self::position), in the counting of editors.
    #[must_use]
    pub fn utf16_position(&self, offset: u32) -> Utf16Position {
        let (line, before) = self.locate(offset);
        Utf16Position {
            line,
            column: count(before.chars().map(char::len_utf16).sum()),
        }
    }

    /// The byte offset of an editor's place: a column past the line's end counts as its end, a line
    /// past the last as the end of the text.
    #[must_use]
    pub fn offset_of_utf16(&self, position: Utf16Position) -> u32 {
        let Some(&start) = self.line_starts().get(position.line as usize) else {
            return count(self.text.len());
        };
        let line = self.line_text(position.line + 1).unwrap_or_default();
        let mut units = 0;
        for (at, character) in line.char_indices() {
            units += count(character.len_utf16());
            if units > position.column {
                return start + count(at);
            }
        }
        start + count(line.len())
    }

    /// The text of a span; empty where the span does not lie in this text on whole characters.
    #[must_use]
    pub fn slice(&self, span: Span) -> &str {
        self.text.get(span.range()).unwrap_or_default()
    }

    /// The line's number from 0, and the part of it that lies before the offset.
    fn locate(&self, offset: u32) -> (u32, &str) {
        let offset = self.text.floor_char_boundary(offset as usize);
        let line = self
            .line_starts()
            .partition_point(|&start| start as usize <= offset)
            .saturating_sub(1);
        let start = self
            .line_starts()
            .get(line)
            .map_or(0, |&start| start as usize);
        (
            count(line),
            self.text.get(start..offset).unwrap_or_default(),
        )
    }
}

fn line_starts(text: &str) -> Vec<u32> {
    let bytes = text.as_bytes();
    let first = if text.starts_with('\u{feff}') { 3 } else { 0 };
    let mut starts = vec![first];
    // The two of a Windows line break end one line.
    let ends = memchr2_iter(b'\n', b'\r', bytes)
        .map(|at| at + 1)
        .filter(|end| bytes.get(end - 1..=*end) != Some(b"\r\n"));
    starts.extend(ends.map(count));
    starts
}

/// Every text is shorter than 4 GiB, so that no count in it is ever cut off here.
fn count(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}
