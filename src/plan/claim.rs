//! Whether a text that is no sound mapping was meant to be a file of ours.

use crate::schema::{Kind, explain, renamed};

/// How many lines that are neither blank nor comment are looked at for a line with the kind.
const TOP: usize = 10;

/// Whether a text that cannot be parsed claims to be one of the kinds: somewhere in it stands
/// `kind:` with the name of one, or with something near it, or with nothing on its line.
pub(super) fn claims_a_kind(text: &str) -> bool {
    let old = renamed::KINDS.iter().map(|(old, _)| *old);
    let names: Vec<&str> = Kind::ALL
        .iter()
        .map(|kind| kind.name())
        .chain(old)
        .collect();
    text.match_indices("kind").any(|(at, key)| {
        let before = text[..at].chars().next_back();
        if before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == '-') {
            return false;
        }
        let rest = text[at + key.len()..].trim_start_matches(['"', '\'', ' ']);
        let Some(value) = rest.strip_prefix(':') else {
            return false;
        };
        let line = value.lines().next().unwrap_or("");
        // A tag or an anchor before the word is part of what is wrong.
        let word = line
            .split([' ', ',', '}', '#', '"', '\''])
            .find(|word| !word.is_empty() && !word.starts_with(['!', '&']));
        word.is_none_or(|word| explain::nearest(word, &names).is_some())
    })
}

/// A line near the top of a text that was meant to state its kind, and lost or changed its colon.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Slip {
    /// Which kind it names.
    pub kind: Kind,
    /// Where the line begins and ends, in bytes.
    pub from: usize,
    pub to: usize,
}

/// The line that was meant for `kind:`: it begins with that word and one of the kinds follows,
/// both in letters of any size, with anything but a colon and a blank between them.
pub(super) fn slip(text: &str) -> Option<Slip> {
    let mut at = 0;
    let mut seen = 0;
    for whole in text.split_inclusive('\n') {
        let from = at;
        at += whole.len();
        let line = whole.trim_end();
        let plain = line.trim_start_matches('\u{feff}');
        if plain.is_empty() || plain.starts_with('#') || plain == "---" {
            continue;
        }
        if let Some(kind) = of_line(plain) {
            return Some(Slip {
                kind,
                from: from + (line.len() - plain.len()),
                to: from + line.len(),
            });
        }
        seen += 1;
        if seen == TOP {
            return None;
        }
    }
    None
}

fn of_line(line: &str) -> Option<Kind> {
    let line = line.trim_start_matches(['{', '"', '\'', ' ']);
    let (key, rest) = line.split_at_checked(4)?;
    // What goes on in the word is another key, and a colon with its blank is no slip of this sort.
    let apart = |c: char| !c.is_alphanumeric() && c != '_';
    if !key.eq_ignore_ascii_case("kind") || !rest.starts_with(apart) || rest.starts_with(": ") {
        return None;
    }
    let word = rest.trim_start_matches([' ', '\t', ':', '=', ';', ',', '.', '-', '"', '\'']);
    let end = word
        .find(|c: char| !c.is_ascii_alphanumeric() && c != '-')
        .unwrap_or(word.len());
    let (word, behind) = word.split_at(end);
    let behind = behind.trim_start_matches(['"', '\'', ' ', ':', ',', '}']);
    // A sentence that begins so is a text.
    let alone = behind.is_empty() || behind.starts_with('#') || line.contains(',');
    alone.then(|| Kind::named(&word.to_ascii_lowercase()))?
}

#[cfg(test)]
mod tests {
    use super::slip;
    use crate::schema::Kind;

    #[test]
    fn a_line_that_lost_its_colon_is_known() {
        for text in [
            "kind rule\nformat: 1\n",
            "# ours\n\nkind rule",
            "Kind Rule # a remark\n",
            "kind:rule\nformat: 1\n",
            "kind=rule\n",
            "\u{feff}---\nkind; rule\r\nformat: 1\n",
            "kind rule:\n  format: 1\n",
            "{kind rule, format: 1}\n",
        ] {
            let found = slip(text).map(|slip| slip.kind);
            assert_eq!(found, Some(Kind::Rule), "{text:?}");
        }
        let found = slip("# é\nkind rule\nx: 1\n").map(|slip| (slip.from, slip.to));
        assert_eq!(found, Some((5, 14)));
    }

    #[test]
    fn what_only_looks_alike_is_not() {
        for text in [
            "",
            "kind",
            "kind: rule\n",
            "kindness rule\n",
            "kind_of: rule\n",
            "kind regards\n",
            "kind rule of thumb\n",
            "  kind\n",
            "a: |\n  b\n",
            "name: x\non: push\n",
            "é",
            "kiné rule",
        ] {
            assert_eq!(slip(text), None, "{text:?}");
        }
    }
}
