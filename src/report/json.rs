//! The report for other programs.

use std::borrow::Cow;

use super::records::Report;
use crate::check::Outcome;
use crate::source::{acts, printable};

/// What the JSON output calls itself.
pub const FORMAT: &str = "offing-check";
/// Version of the JSON output; it rises when a reader of the last version would be misled.
pub const VERSION: u32 = 1;
/// The JSON Schema of the JSON output.
pub const SCHEMA: &str = include_str!("../../schemas/check-output.schema.json");

/// The report of a check as JSON text, as its schema ([`SCHEMA`]) describes it. Characters that a
/// terminal or log would act on are written as JSON escapes, so that a reader gets them unchanged
/// and a terminal does not.
///
/// # Errors
/// Those of the serializer; no outcome is known to cause one.
pub fn json(outcome: &Outcome) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(&Report::of(outcome))?;
    text.push('\n');
    Ok(without_controls(text))
}

/// JSON text in which what a terminal or log would act on is written as JSON escapes.
#[must_use]
pub fn without_controls(text: String) -> String {
    match printable(&text) {
        Cow::Owned(_) => escaped(&text),
        Cow::Borrowed(_) => text,
    }
}

/// Escapes what acts on a terminal or log. Such characters stand only inside strings: the serializer
/// itself writes none but line feeds.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 64);
    for (at, character) in text.char_indices() {
        let before = text.get(..at).unwrap_or_default();
        if character != '\n' && acts(before, character) {
            for unit in character.encode_utf16(&mut [0; 2]) {
                out.push_str(&format!("\\u{unit:04x}"));
            }
        } else {
            out.push(character);
        }
    }
    out
}
