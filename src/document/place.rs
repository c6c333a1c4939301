//! Places: spans that show something, whatever the parser gave.

use crate::source::{SourceId, Span};

use super::frame::Frame;
use super::offset::offset;

/// A span of at least one character: the one at `start`, or the last of the text that shows where
/// `start` lies at or past the end. Empty only for an empty text.
pub(super) fn visible(source: SourceId, text: &str, start: u32, end: u32) -> Span {
    let first = text.floor_char_boundary(start as usize);
    let last = text.ceil_char_boundary(end as usize).max(first);
    if last > first {
        return Span::new(source, offset(first), offset(last));
    }
    if let Some(character) = text[first..].chars().next() {
        return Span::new(source, offset(first), offset(first + character.len_utf8()));
    }
    let shown = text.trim_end();
    let shown = if shown.is_empty() { text } else { shown };
    let width = shown.chars().next_back().map_or(0, char::len_utf8);
    Span::new(source, offset(shown.len() - width), offset(shown.len()))
}

/// A block of text without the blank lines after it.
pub(super) fn trimmed(text: &str, span: Span) -> Span {
    let block = text.get(span.range()).unwrap_or_default();
    let length = block.trim_end_matches([' ', '\t', '\r', '\n']).len();
    Span::new(span.source, span.start, span.start + offset(length))
}

/// A list of lines that start with `-`, from its first dash. The parser gives the first item where
/// the dashes stand right under their key, so the dash is looked for from the key on.
pub(super) fn of_dashes(text: &str, frame: Option<&Frame>, span: Span) -> Span {
    let Some(key) = frame.and_then(Frame::key_span) else {
        return span;
    };
    let mut rest = text
        .get(key.end as usize..span.start as usize)
        .unwrap_or_default();
    loop {
        rest = rest.trim_start_matches([' ', '\t', '\r', '\n', ':']);
        rest = match rest.as_bytes().first() {
            Some(b'-') => {
                let start = span.start - offset(rest.len());
                return Span::new(span.source, start, span.end);
            }
            Some(b'#') => rest.trim_start_matches(|c| !matches!(c, '\n' | '\r')),
            // An anchor or a tag.
            Some(b'&' | b'!') => rest.trim_start_matches(|c: char| !c.is_ascii_whitespace()),
            _ => return span,
        };
    }
}

/// A value that is left out stands where its `:` or `-` does. Without one (`{here}`), it has the
/// place of its key.
pub(super) fn of_nothing(text: &str, frame: Option<&Frame>, span: Span) -> Span {
    let byte = |at: u32| text.as_bytes().get(at as usize);
    let Some(frame) = frame else {
        return span;
    };
    if frame.is_list() {
        return match span.start.checked_sub(1) {
            Some(before) if byte(before) == Some(&b'-') => {
                Span::new(span.source, before, span.start)
            }
            _ => span,
        };
    }
    if byte(span.start) == Some(&b':') {
        return Span::new(span.source, span.start, span.start + 1);
    }
    frame.key_span().unwrap_or(span)
}
