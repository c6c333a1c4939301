//! What a line of plain YAML is, told from its bytes.

use memchr::memchr_iter;

/// Whether a byte only sets others apart.
pub(super) fn is_blank(byte: u8) -> bool {
    matches!(byte, b' ' | b'\t')
}

/// Whether a line holds a comment and nothing else.
pub(super) fn is_comment(line: &str) -> bool {
    line.bytes().find(|byte| !is_blank(*byte)) == Some(b'#')
}

/// What stands before a comment.
pub(super) fn without_comment(value: &str) -> &str {
    if value.starts_with('#') {
        return "";
    }
    let mut signs = memchr_iter(b'#', value.as_bytes());
    let begun = signs.find_map(|at| value.get(..at)?.strip_suffix(' '));
    begun.unwrap_or(value)
}

/// What begins with a bare key, and what follows the colon that stands at its end.
pub(super) fn keyed(line: &str) -> Option<(&str, &str)> {
    let bare = |b: u8| b.is_ascii_lowercase() || b == b'_';
    let end = line.bytes().position(|b| !bare(b)).filter(|end| *end > 0)?;
    let (key, rest) = line.split_at_checked(end)?;
    Some((key, rest.strip_prefix(':')?))
}
