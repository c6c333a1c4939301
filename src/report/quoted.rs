//! Texts in the YAML files that the program writes.

use std::fmt::Write as _;

use crate::source::acts;

/// Characters of a sentence of the program's own that are kept: as many as the schemas of these files
/// allow.
const LONGEST: usize = 2000;

/// A text between double quotes, on one line, which YAML reads back as it was given. What a terminal or a
/// job's log would act on stands there as an escape of YAML's, so that the file itself acts on nothing either.
#[must_use]
pub fn quoted(text: &str) -> String {
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

/// A sentence of the program's own, quoted; cut with a mark where it is longer than a file may hold.
#[must_use]
pub fn quoted_sentence(text: &str) -> String {
    if text.chars().count() <= LONGEST {
        return quoted(text);
    }
    let cut: String = text.chars().take(LONGEST - 1).collect();
    quoted(&format!("{cut}…"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_that_is_too_long_says_so() {
        let long = "é".repeat(LONGEST);
        assert_eq!(quoted_sentence(&long), quoted(&long));
        let cut = quoted_sentence(&format!("{long}é"));
        assert_eq!(cut.chars().count(), LONGEST + 2);
        assert!(cut.ends_with("é…\""), "{cut}");
    }
}
