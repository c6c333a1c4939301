//! Whether each text in quotes ends in the line in which it begins. One that goes on may do so at the margin, where
//! its lines look like keys.

use memchr::memchr2;

/// Whether that is certain of a line before which none is open. Quotes within a word are part of it (YAML 1.2.2,
/// section 7.3.3); wherever a quote may open a text and may not, it is not certain.
#[must_use]
pub(super) fn end_in(line: &str) -> bool {
    let bytes = line.as_bytes();
    let mut at = 0;
    while let Some(found) = memchr2(b'"', b'\'', bytes.get(at..).unwrap_or_default()) {
        let quote = at + found;
        at = match before(&bytes[..quote]) {
            Before::Word => quote + 1,
            Before::Sign => match end(bytes, quote) {
                Some(end) => end,
                None => return false,
            },
            Before::Unsure => return false,
        };
    }
    true
}

/// What stands before a quote.
enum Before {
    /// A word that it is part of.
    Word,
    /// What a value follows: it opens a text.
    Sign,
    /// Neither for certain.
    Unsure,
}

fn before(bytes: &[u8]) -> Before {
    let Some(last) = bytes.last() else {
        return Before::Sign;
    };
    let blank = |byte: &u8| matches!(byte, b' ' | b'\t');
    if !blank(last) && !matches!(last, b'[' | b'{' | b',') {
        let word = last.is_ascii_alphanumeric() || !last.is_ascii();
        return if word { Before::Word } else { Before::Unsure };
    }
    let kept = bytes.iter().rposition(|byte| !blank(byte));
    match kept.and_then(|at| Some((at, bytes.get(at)?))) {
        None | Some((_, b':' | b'[' | b'{' | b',')) => Before::Sign,
        // An item of a list.
        Some((at, b'-')) if bytes[..at].iter().all(blank) => Before::Sign,
        Some(_) => Before::Unsure,
    }
}

/// Where what follows a text in quotes begins; nothing where it does not end.
fn end(bytes: &[u8], from: usize) -> Option<usize> {
    let quote = *bytes.get(from)?;
    let mut at = from + 1;
    loop {
        match *bytes.get(at)? {
            b'\\' if quote == b'"' => at += 2,
            byte if byte == quote => {
                // A single quote is doubled where it is part of the text.
                let doubled = quote == b'\'' && bytes.get(at + 1) == Some(&quote);
                if !doubled {
                    return Some(at + 1);
                }
                at += 2;
            }
            _ => at += 1,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::end_in;

    #[test]
    fn a_text_that_ends_in_its_line_is_known() {
        for line in [
            "title: Sounding lines",
            "title: The team's lines, 3\" apart",
            "title: \"a: b\" # first",
            "title: \"a \\\" b\"",
            "title: 'it''s'",
            "  - \"a\"",
            "launch: { place: \"slip\", at: ['a', \"b\"] }",
            "\"key\": 1",
        ] {
            assert!(end_in(line), "{line}");
        }
    }

    #[test]
    fn one_that_may_go_on_is_not() {
        for line in [
            "title: \"a",
            "title: 'a",
            "title: 'it''s",
            "title: \"a \\\"",
            "  - \"a",
            "x: { a: b 'c, d: \"open' }",
            "x: { a: b \"c, d: \"open }",
            "x: { a: x - \"b, c: \"open }",
            "x: { a: b:\"c, d: \"open }",
            "x: !!str \"a",
            "x: &a \"a\"",
        ] {
            assert!(!end_in(line), "{line}");
        }
    }
}
