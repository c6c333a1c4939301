//! Texts in the YAML files that the program writes.

use crate::source::printable_line;

/// Characters of a text that are kept: as many as the schemas of these files allow.
const LONGEST: usize = 2000;

/// A text quoted as JSON quotes it, which YAML reads alike, on one line and with nothing in it that a
/// terminal acts on.
#[must_use]
pub fn quoted(text: &str) -> String {
    let text: String = printable_line(text).chars().take(LONGEST).collect();
    serde_json::to_string(&text).unwrap_or_else(|_| "\"\"".to_owned())
}
