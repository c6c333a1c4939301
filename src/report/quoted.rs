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
    use proptest::prelude::*;

    use super::*;
    use crate::document::{ParseLimits, parse};
    use crate::source::{Sources, printable};

    fn read_back(text: &str) -> String {
        let mut sources = Sources::new();
        let file = format!("key: {}\n", quoted(text));
        let source = sources.add("a.yaml", file.clone());
        let document = parse(source, &file, &ParseLimits::YAML).expect("it is read");
        let value = document.root.get("key").and_then(|node| node.as_text());
        value.expect("a text").to_owned()
    }

    #[test]
    fn texts_read_back_as_they_were_given() {
        for text in [
            "::error::x",
            "##[error]x",
            "a\u{2028}b\u{2029}c\u{85}d",
            "  outer blanks \t",
            "\u{1b}[2J\u{7}",
            "\u{202e}dlrow\u{feff}",
            "\u{e0041}\u{1d173}🚤",
            "\\u003a \\ \" ' # - ? | > % @ ` &a *b !c",
            "line\nline\r\nline",
            "no",
            "",
        ] {
            assert_eq!(read_back(text), text);
            let file = quoted(text);
            assert_eq!(printable(&file), file, "the file acts on nothing");
            assert!(!file.contains('\n'), "{file}");
        }
    }

    #[test]
    fn a_sentence_that_is_too_long_says_so() {
        let long = "é".repeat(LONGEST);
        assert_eq!(quoted_sentence(&long), quoted(&long));
        let cut = quoted_sentence(&format!("{long}é"));
        assert_eq!(cut.chars().count(), LONGEST + 2);
        assert!(cut.ends_with("é…\""), "{cut}");
    }

    proptest! {
        #[test]
        fn any_text_reads_back(text in any::<String>()) {
            prop_assert_eq!(read_back(&text), text);
        }

        #[test]
        fn marks_of_all_sorts_read_back(text in "[a:#\\[\\]\"\\\\ \\p{C}\\p{Z}]{0,40}") {
            prop_assert_eq!(read_back(&text), text);
        }
    }
}
