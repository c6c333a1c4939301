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

/// Whether no pair of bytes is there that a control character or a marker could begin with. Nearly all
/// files are so; this looks at eight bytes at once, and at each of them only where one is no plain letter,
/// figure or sign.
fn nothing_to_see(bytes: &[u8]) -> bool {
    let begins = |byte: u8| matches!(byte, b'<' | b'=' | b'>' | b'|');
    let suspect = |at: usize| {
        let byte = bytes[at];
        is_control(byte)
            || bytes.get(at + 1).is_some_and(|&next| {
                leads_to_forbidden(byte, next) || matches!(byte, b'\n' | b'\r') && begins(next)
            })
    };
    let (eights, rest) = bytes.as_chunks::<8>();
    let looked_at = bytes.len() - rest.len();
    let mut of_eights = eights
        .iter()
        .enumerate()
        .filter(|(_, eight)| !is_plain(eight));
    !bytes.first().is_some_and(|&first| begins(first))
        && !of_eights.any(|(index, _)| (index * 8..index * 8 + 8).any(suspect))
        && !(looked_at..bytes.len()).any(suspect)
}

/// Whether each of eight bytes is from 0x20 to 0x7e. (A byte below a bound borrows from its top bit: arithmetic.)
fn is_plain(eight: &[u8; 8]) -> bool {
    let all = |byte: u8| u64::from_ne_bytes([byte; 8]);
    let word = u64::from_ne_bytes(*eight);
    let delete = word ^ all(0x7f);
    let below = word.wrapping_sub(all(0x20)) & !word;
    let deletes = delete.wrapping_sub(all(1)) & !delete;
    (word | below | deletes) & all(0x80) == 0
}

/// Whether a byte is by itself a control character that may not be there.
fn is_control(byte: u8) -> bool {
    byte < 0x20 && !matches!(byte, b'\t' | b'\n' | b'\r') || byte == 0x7f
}

/// Whether two bytes are, or begin, a longer one: U+0080 to U+009F, or one among U+FFC0 to U+FFFF.
fn leads_to_forbidden(byte: u8, next: u8) -> bool {
    byte == 0xc2 && next < 0xa0 || byte == 0xef && next == 0xbf
}

fn is_suspect(byte: u8) -> bool {
    is_control(byte) || matches!(byte, 0xc2 | 0xef)
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

#[cfg(test)]
mod tests {
    use super::*;

    /// At the ends of the text, and at each place among eight bytes.
    const PLACES: [usize; 11] = [0, 1, 253, 254, 255, 256, 257, 258, 259, 260, 600];

    fn with(what: &str, at: usize) -> String {
        let rest = "a".repeat(600 - at);
        format!("{}{what}{rest}", "b".repeat(at))
    }

    #[test]
    fn nothing_forbidden_is_passed_over() {
        for at in PLACES {
            for what in [
                "\0", "\u{1f}", "\u{7f}", "\u{80}", "\u{9f}", "\u{fffe}", "\u{ffff}",
            ] {
                assert_eq!(
                    check(SourceId(0), &with(what, at)).len(),
                    1,
                    "{what:?} {at}"
                );
            }
            for what in [
                "°", "\t", "\r\n", "\u{a0}", "\u{ffbf}", "\u{ffc0}", "\u{feff}", "<<<<<<",
            ] {
                assert!(
                    check(SourceId(0), &with(what, at)).is_empty(),
                    "{what:?} {at}"
                );
            }
        }
    }

    #[test]
    fn a_marker_begins_a_line_wherever_it_stands() {
        for at in PLACES {
            for (end, ends) in [("\n", 1), ("\r", 1), (" ", 0)] {
                let text = with(&format!("{end}=======\n"), at);
                assert_eq!(check(SourceId(0), &text).len(), ends, "{end:?} {at}");
            }
        }
        assert_eq!(check(SourceId(0), "=======").len(), 1);
        assert!(check(SourceId(0), "").is_empty());
    }
}
