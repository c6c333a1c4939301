//! Values as JSON text.

use std::borrow::Cow;

use serde::Serialize;

use crate::source::{acts, printable};

/// A value as the JSON text of a report. Characters that a terminal or log would act on are written as
/// JSON escapes, so that a reader gets them unchanged and a terminal does not.
///
/// # Errors
/// Those of the serializer.
pub(crate) fn text<T: Serialize + ?Sized>(of: &T) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(of)?;
    text.push('\n');
    Ok(without_controls(text))
}

/// JSON text in which what a terminal or log would act on is written as JSON escapes.
fn without_controls(text: String) -> String {
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
