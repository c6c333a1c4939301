//! What is wrong with a document, and where.

use crate::source::{SourceId, Span, printable_line};

/// The sort of fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum DocumentErrorKind {
    /// The text is not YAML.
    Syntax,
    /// The file holds nothing.
    Empty,
    /// A second document begins.
    SeveralDocuments,
    /// A directive (`%YAML`, `%TAG`) is used.
    Directive,
    /// A tag (`!name`) is used.
    Tag,
    /// A key stands twice in one mapping.
    DuplicateKey,
    /// The key `<<` is used to merge mappings.
    MergeKey,
    /// A key without quotes is not a text.
    NonTextKey,
    /// A list, a mapping or an alias is used as a key.
    ComplexKey,
    /// A number that could be read in more than one way, or cannot be held.
    Number,
    /// An alias to nothing, to what it stands in, or for too much; or an anchor on a key.
    Alias,
    /// Lists and mappings are nested too deep.
    TooDeep,
    /// The document holds too many keys and values, or is too long.
    TooLarge,
    /// A text or key is too long.
    TextTooLong,
    /// A line that marks an unsettled merge.
    ConflictMarker,
    /// A control character.
    ControlCharacter,
    /// There are more errors than are collected.
    TooManyErrors,
}

/// A fault in a document. The texts are safe to print.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct DocumentError {
    /// The sort of fault.
    pub kind: DocumentErrorKind,
    /// What is wrong, in one sentence without a full stop.
    pub message: String,
    /// Where: at least one character, unless the file is empty.
    pub span: Span,
    /// Another place that belongs to it, and what is there.
    pub related: Option<(Span, String)>,
    /// What to do.
    pub help: Option<String>,
}

impl DocumentError {
    pub(super) fn new(kind: DocumentErrorKind, span: Span, message: impl Into<String>) -> Self {
        Self {
            kind,
            message: message.into(),
            span,
            related: None,
            help: None,
        }
    }

    /// That a file is so large that it is read item by item, and is not written so that it can be.
    pub(crate) fn too_large_but_as_json(source: SourceId) -> Self {
        let message = "a file as large as this is read only as JSON that every reader takes alike: texts in \
                       quotes without escapes, no comments, no tabs";
        Self::new(
            DocumentErrorKind::TooLarge,
            Span::new(source, 0, 0),
            message,
        )
    }

    pub(super) fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    pub(super) fn related(mut self, span: Span, what: impl Into<String>) -> Self {
        self.related = Some((span, what.into()));
        self
    }
}

/// A text from a file as a message quotes it: safe to print, and at most 40 characters of it.
pub(super) fn quoted(text: &str) -> String {
    match text.char_indices().nth(40) {
        Some((end, _)) => format!("`{}...`", printable_line(&text[..end])),
        None => format!("`{}`", printable_line(text)),
    }
}
