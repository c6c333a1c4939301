//! What is looked for before parsing, since the parser's own message would mislead.

use crate::source::{SourceId, Span};

use super::error::{DocumentError, DocumentErrorKind};

/// Control characters that are reported one by one; a binary file has thousands.
const CONTROL_ERRORS: usize = 10;

/// Finds unsettled merges and control characters in one pass.
pub(super) fn check(source: SourceId, text: &str) -> Vec<DocumentError> {
    let mut errors = Vec::new();
    let mut markers = Vec::new();
    let bytes = text.as_bytes();
    if nothing_to_see(bytes) {
        return errors;
    }
    let mut line = 1;
    let mut at_line_start = true;
    let mut at = if text.starts_with('\u{feff}') { 3 } else { 0 };
    while let Some(&byte) = bytes.get(at) {
        if at_line_start && let Some(end) = marker_end(&bytes[at..]) {
            markers.push((span(source, at, at + end), line));
        }
        at_line_start = byte == b'\n' || (byte == b'\r' && bytes.get(at + 1) != Some(&b'\n'));
        if at_line_start {
            line += 1;
        }
        if is_suspect(byte)
            && errors.len() < CONTROL_ERRORS
            && let Some(character) = text[at..].chars().next()
            && is_forbidden(character)
        {
            errors.push(control_error(
                span(source, at, at + character.len_utf8()),
                character,
            ));
        }
        at += 1;
    }
    if let Some(error) = conflict_error(&markers) {
        errors.insert(0, error);
    }
    errors
}

/// Whether no byte is there that a control character or a marker could begin with. Most files,
/// and all large ones, are so; this looks at many bytes at once.
fn nothing_to_see(bytes: &[u8]) -> bool {
    let begins = |byte: u8| matches!(byte, b'<' | b'=' | b'>' | b'|');
    let ends_line = |byte: u8| (byte == b'\n') | (byte == b'\r');
    let rest = bytes.get(1..).unwrap_or_default();
    let first = bytes.first().copied().unwrap_or_default();
    // Each chunk with the bytes that follow on its own.
    let mut chunks = bytes.chunks(256).zip(rest.chunks(256).chain([&rest[..0]]));
    !begins(first)
        && chunks.all(|(chunk, next)| {
            let suspect = chunk
                .iter()
                .fold(false, |seen, &byte| seen | is_suspect(byte));
            let marker = chunk.iter().zip(next).fold(false, |seen, (&byte, &next)| {
                seen | (ends_line(byte) & begins(next))
            });
            !(suspect | marker)
        })
}

fn is_suspect(byte: u8) -> bool {
    (byte < 0x20) & (byte != b'\t') & (byte != b'\n') & (byte != b'\r')
        | (byte == 0x7f)
        | (byte == 0xc2)
        | (byte == 0xef)
}

fn is_forbidden(character: char) -> bool {
    character.is_control() || matches!(character, '\u{fffe}' | '\u{ffff}')
}

fn control_error(span: Span, character: char) -> DocumentError {
    let name = match character {
        '\0' => " (NUL)",
        '\u{1b}' => " (escape)",
        '\u{7f}' => " (delete)",
        _ => "",
    };
    let message = format!(
        "the character U+{:04X}{name} is not allowed in a file",
        u32::from(character)
    );
    DocumentError::new(DocumentErrorKind::ControlCharacter, span, message).help(
        "delete it; if the whole file is not text, it was saved in another format or encoding",
    )
}

/// The length of a line that git writes where a merge was not settled.
fn marker_end(line: &[u8]) -> Option<usize> {
    let first = *line.first()?;
    if !matches!(first, b'<' | b'=' | b'>' | b'|') || line.len() < 7 {
        return None;
    }
    if !line[..7].iter().all(|&byte| byte == first) {
        return None;
    }
    match line.get(7) {
        None | Some(b'\n' | b'\r') => Some(7),
        Some(b' ') if first != b'=' => line
            .iter()
            .position(|byte| matches!(byte, b'\n' | b'\r'))
            .or(Some(line.len())),
        Some(_) => None,
    }
}

fn conflict_error(markers: &[(Span, u32)]) -> Option<DocumentError> {
    let &(first, line) = markers.first()?;
    let message = format!(
        "line {line} is a merge-conflict marker: two versions of this file were joined and the \
         difference was not settled"
    );
    let error = DocumentError::new(DocumentErrorKind::ConflictMarker, first, message)
        .help("choose the lines that hold, and delete the marker lines");
    Some(match markers.last() {
        Some(&(last, line)) if last != first => {
            error.related(last, format!("the last marker is line {line}"))
        }
        _ => error,
    })
}

fn span(source: SourceId, start: usize, end: usize) -> Span {
    let offset = |at| u32::try_from(at).unwrap_or(u32::MAX);
    Span::new(source, offset(start), offset(end))
}
