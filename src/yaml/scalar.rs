//! Texts of YAML: in quotes, or without where that changes nothing.

use std::fmt::Write as _;

use crate::source::acts;

/// A text between double quotes, on one line, which YAML reads back as it was given. What a terminal or a
/// job's log would act on stands there as an escape of YAML's, so that the file itself acts on nothing either.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for (at, character) in text.char_indices() {
        // Writing to a String cannot fail.
        let _ = match character {
            '"' => write!(out, "\\\""),
            '\\' => write!(out, "\\\\"),
            _ if !acts(text.get(..at).unwrap_or_default(), character) => write!(out, "{character}"),
            '\n' => write!(out, "\\n"),
            '\t' => write!(out, "\\t"),
            _ => match u32::from(character) {
                code @ ..=0xffff => write!(out, "\\u{code:04x}"),
                code => write!(out, "\\U{code:08x}"),
            },
        };
    }
    out.push('"');
    out
}

/// A text that can stand without quotes: a day, or words of letters and digits with points, dashes and
/// underscores, a letter first and a blank between two of them, that no YAML takes for something else.
pub(super) fn bare(text: &str) -> Option<&str> {
    const OTHERS: [&str; 9] = ["true", "false", "null", "yes", "no", "on", "off", "y", "n"];
    let inside = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_');
    let mut words = text.split(' ');
    let plain = text.starts_with(|c: char| c.is_ascii_alphabetic())
        && words.all(|word| !word.is_empty() && word.chars().all(inside));
    let other = OTHERS.contains(&text.to_ascii_lowercase().as_str());
    (is_day(text) || plain && !other).then_some(text)
}

/// Whether a text has the form of a day, `2027-06-15`, which the program's own files have without quotes.
fn is_day(text: &str) -> bool {
    text.len() == 10
        && text.bytes().enumerate().all(|(at, byte)| match at {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        })
}
