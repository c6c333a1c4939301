//! Text for Markdown that is no more than text.

use crate::source::printable_line;

/// Text that no reader of Markdown or HTML takes for more than text: each character with a meaning is
/// written as a character reference, which is shown as that character and makes no list, table or heading.
///
/// A service looks for whom and what a comment names after that, in the text as it is shown, where a
/// character reference is nothing but its character: mentions, references to issues, changes and commits,
/// addresses, pictures by their names. It passes over what stands in `<code>` (from memory, of two hosted
/// services), so that a word with any of these stands there.
#[must_use]
pub(crate) fn escaped(text: &str) -> String {
    let plain = printable_line(text);
    let mut out = String::with_capacity(plain.len() + 16);
    let mut words = plain.split(' ').enumerate().peekable();
    while let Some((number, word)) = words.next() {
        if number > 0 {
            // Blanks at the beginning would set a text in or make code of it, one at the end keep it from
            // being bold.
            let outer = out.is_empty() || word.is_empty() && words.peek().is_none();
            out.push_str(if outer { "&#32;" } else { " " });
        }
        if !refers(word) {
            characters(word, number == 0, &mut out);
            continue;
        }
        let code = without_sign(word);
        out.push_str("<code>");
        characters(code, number == 0, &mut out);
        out.push_str("</code>");
        out.push_str(&word[code.len()..]);
    }
    out
}

/// A word that refers to something, without the sign of the sentence that ends it where it refers to that without it
/// too. The sign is followed by a blank or by nothing, and means nothing there.
fn without_sign(word: &str) -> &str {
    let before = word.strip_suffix([',', ';', ':']);
    before.filter(|before| refers(before)).unwrap_or(word)
}

/// A word's characters; those of the first one stand where a line may begin.
fn characters(word: &str, first: bool, out: &mut String) {
    let mut before = ' ';
    // Whether there were digits only, which a point or a bracket makes a list.
    let mut counted = first;
    let mut characters = word.chars().peekable();
    let mut begins = first;
    while let Some(character) = characters.next() {
        let after = characters.peek().copied().unwrap_or(' ');
        let means = match character {
            // A list, a line below a heading, a command of a service that takes whole lines.
            '-' | '=' | '/' => begins,
            ',' | ';' | '(' | '%' => false,
            ')' => counted && !begins,
            // `name.name` becomes a link, as `scheme:` does, and `:name:` a picture.
            '.' => counted || before.is_ascii_alphabetic() && after.is_ascii_alphabetic(),
            ':' => after != ' ' && !after.is_ascii_digit(),
            _ => character.is_ascii_punctuation(),
        };
        if means {
            out.push_str(&format!("&#{};", u32::from(character)));
        } else {
            out.push(character);
        }
        before = character;
        counted &= character.is_ascii_digit();
        begins = false;
    }
}

/// Whether a service may take a word for somebody or something that it knows.
fn refers(word: &str) -> bool {
    let mut pairs = word.chars().zip(word.chars().skip(1));
    let marked = pairs.any(|(mark, after)| {
        let named = after.is_alphanumeric() || after == '_';
        match mark {
            '%' | '~' => named || after == '"',
            '!' | '&' | '^' | '*' => named,
            '[' | '{' => named || matches!(after, '+' | '-' | '[' | '^' | '!'),
            _ => false,
        }
    });
    let lower = word.to_ascii_lowercase();
    let address = ["://", "www.", "mailto:", "xmpp:"];
    marked
        || word.contains(['@', '#', '$'])
        || address.iter().any(|one| lower.contains(one))
        || has_picture(&lower)
        || word
            .split(|c: char| !c.is_alphanumeric() && !matches!(c, '_' | '-'))
            .any(is_ticket)
        || word
            .split(|c: char| !c.is_alphanumeric() && c != '_')
            .any(is_commit)
}

/// `:name:`, as services write pictures.
fn has_picture(word: &str) -> bool {
    let parts: Vec<&str> = word.split(':').collect();
    parts.windows(3).any(|three| {
        let (before, name, after) = (three[0], three[1], three[2]);
        let of_name = |c: char| c.is_alphanumeric() || matches!(c, '_' | '+' | '-');
        let digit = |c: char| c.is_ascii_digit();
        // `18:04:00` is a time of day.
        let minutes = name.len() == 2
            && name.chars().all(digit)
            && before.ends_with(digit)
            && after.starts_with(digit);
        !name.is_empty() && name.chars().all(of_name) && !minutes
    })
}

/// `GH-12`, and names of that form which a team may have made links.
fn is_ticket(name: &str) -> bool {
    let Some((project, number)) = name.rsplit_once('-') else {
        return false;
    };
    let project = project.rsplit('-').next().unwrap_or(project);
    let letters = project.chars().filter(char::is_ascii_alphabetic).count();
    let gh = project.eq_ignore_ascii_case("gh");
    let upper = letters >= 2 && !project.contains(|c: char| c.is_ascii_lowercase());
    (gh || upper) && !number.is_empty() && number.chars().all(|c| c.is_ascii_digit())
}

/// Seven to forty digits of a hash.
fn is_commit(name: &str) -> bool {
    (7..=40).contains(&name.len()) && name.chars().all(|c| matches!(c, '0'..='9' | 'a'..='f'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sign_of_a_sentence_stands_after_code() {
        assert_eq!(escaped("from 0123abc: no"), "from <code>0123abc</code>: no");
        // Here it is part of the name.
        assert!(escaped("a :smile: b").contains("<code>&#58;smile:</code> b"));
    }

    #[test]
    fn what_a_service_would_look_up_stands_as_code() {
        for word in [
            "@everyone",
            "(@team/crew),",
            "a@example.com",
            "#1",
            "owner/repo#1",
            "owner/repo@abc",
            "GH-7",
            "gh-7",
            "CREW-12",
            "!4",
            "group/project!4",
            "&9",
            "~bug",
            "~\"a",
            "%v1",
            "$3",
            ":smile:",
            ":+1:",
            "x:100:y",
            "1:100:2",
            "x:12:y",
            ":12:",
            "https://e.example",
            "www.e.example",
            "mailto:a",
            "[issue:1]",
            "[[page]]",
            "{+a+}",
            "[-a-]",
            "0123abc",
            "deadbeef",
            "*iteration:1",
        ] {
            let shown = escaped(&format!("see {word} there"));
            assert!(shown.contains("see <code>"), "{word}: {shown}");
            let after = shown.rsplit("</code>").next();
            assert!(
                matches!(after, Some(" there" | ", there")),
                "{word}: {shown}"
            );
            assert_eq!(shown.matches('<').count(), 2, "{shown}");
        }
        let plain = "240° 8.5 m/s (limit: at least 35 %), leg north-bay-1; S-44, 2027-07-13, 18:04:00 — ok?";
        assert!(!escaped(plain).contains('<'), "{}", escaped(plain));
    }

    #[test]
    fn no_text_begins_a_list_or_a_command() {
        for (text, shown) in [
            ("- a", "&#45; a"),
            ("-- a", "&#45;- a"),
            ("1. a", "1&#46; a"),
            ("12) a", "12&#41; a"),
            ("+ a", "&#43; a"),
            ("===", "&#61;=="),
            ("/merge", "&#47;merge"),
            ("    a", "&#32;   a"),
            ("a 1. b - c", "a 1. b - c"),
            ("a ", "a&#32;"),
            ("", ""),
        ] {
            assert_eq!(escaped(text), shown);
        }
    }
}
