//! Making text safe to print: what a terminal, log or page would act on, or would not show,
//! becomes a visible escape such as `\u{202e}`. What a CI service would take for a command in a job's
//! log is broken up by the same.

use std::borrow::Cow;
use std::path::Path;

/// Text safe to print, with line feeds and tabs kept.
#[must_use]
pub fn printable(text: &str) -> Cow<'_, str> {
    escaped(text, |character| matches!(character, '\n' | '\t'))
}

/// Text safe to print on one line: line feeds and tabs are escaped too.
#[must_use]
pub fn printable_line(text: &str) -> Cow<'_, str> {
    escaped(text, |_| false)
}

/// Text safe to print as several lines: line feeds stay, `\r\n` becomes a line feed, and a tab
/// becomes four spaces.
#[must_use]
pub(crate) fn printable_block(text: &str) -> Cow<'_, str> {
    if text.contains(['\t', '\r']) {
        let plain = text.replace("\r\n", "\n").replace('\t', "    ");
        Cow::Owned(escaped(&plain, |character| character == '\n').into_owned())
    } else {
        escaped(text, |character| character == '\n')
    }
}

/// Bytes that need not be UTF-8, such as a file's name, safe to print on one line: a byte that
/// belongs to no character becomes `\xE9`.
#[must_use]
pub(crate) fn printable_bytes(bytes: &[u8]) -> String {
    let mut out = String::with_capacity(bytes.len());
    for chunk in bytes.utf8_chunks() {
        out.push_str(&printable_line(chunk.valid()));
        for byte in chunk.invalid() {
            out.push_str(&format!("\\x{byte:02X}"));
        }
    }
    out
}

/// A path safe to print on one line, as [`printable_bytes`] has it.
#[must_use]
pub(crate) fn printable_path(path: &Path) -> String {
    printable_bytes(path.as_os_str().as_encoded_bytes())
}

fn escaped(text: &str, keep: impl Fn(char) -> bool) -> Cow<'_, str> {
    let acts = |at: usize, character: char| {
        !keep(character) && acts(text.get(..at).unwrap_or_default(), character)
    };
    let first = text.char_indices().find(|(at, one)| acts(*at, *one));
    let Some((first, _)) = first else {
        return Cow::Borrowed(text);
    };
    let (clean, rest) = text.split_at(first);
    let mut out = String::with_capacity(text.len() + 16);
    out.push_str(clean);
    for (at, character) in rest.char_indices() {
        if acts(first + at, character) {
            out.extend(character.escape_unicode());
        } else {
            out.push(character);
        }
    }
    Cow::Owned(out)
}

/// Whether a character of a text acts on a terminal or a log, or shows as nothing, given what
/// stands before it in the text.
#[must_use]
pub(crate) fn acts(before: &str, character: char) -> bool {
    acts_or_hides(character) || begins_command(before, character)
}

/// Whether a character completes what a CI service takes in a job's log for a command to itself:
/// two colons, which it looks for where a line begins, and `##`, letters and a bracket, which it
/// looks for anywhere. A line may be broken anywhere, so that both count anywhere.
fn begins_command(before: &str, character: char) -> bool {
    match character {
        ':' => before.ends_with(':'),
        '[' => before
            .trim_end_matches(|c: char| c.is_ascii_alphabetic())
            .ends_with("##"),
        _ => false,
    }
}

/// Whether a character controls the display, changes the direction of text, breaks a line, or
/// shows as nothing (general categories Cc, Zl, Zp, the Cf that are not visible signs, and the
/// default-ignorable and non-characters).
fn acts_or_hides(character: char) -> bool {
    if character.is_ascii() {
        return character.is_ascii_control();
    }
    matches!(character,
        '\u{80}'..='\u{9f}'
        | '\u{ad}'
        | '\u{34f}'
        | '\u{61c}'
        | '\u{115f}'..='\u{1160}'
        | '\u{17b4}'..='\u{17b5}'
        | '\u{180b}'..='\u{180f}'
        | '\u{200b}'..='\u{200f}'
        | '\u{2028}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}'
        | '\u{3164}'
        | '\u{fdd0}'..='\u{fdef}'
        | '\u{fe00}'..='\u{fe0f}'
        | '\u{feff}'
        | '\u{ffa0}'
        | '\u{fff0}'..='\u{fffb}'
        | '\u{fffe}'..='\u{ffff}'
        | '\u{1bca0}'..='\u{1bca3}'
        | '\u{1d173}'..='\u{1d17a}'
        | '\u{e0000}'..='\u{e0fff}')
}
