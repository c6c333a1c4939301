//! Names of other programs made into ids.

use std::collections::BTreeSet;

use unicode_normalization::UnicodeNormalization as _;
use unicode_normalization::char::is_combining_mark;

/// Longest id.
const LONGEST: usize = 64;

/// A name as an id: letters and digits of ASCII, points, dashes and underscores, a letter or a digit
/// first. Marks are taken off letters; whatever else there is becomes a dash. Empty where nothing is
/// left.
pub(super) fn fitted(name: &str) -> String {
    let mut id = String::new();
    for character in name.nfd() {
        let kept = matches!(character, '.' | '_') && !id.is_empty();
        if character.is_ascii_alphanumeric() || kept {
            id.push(character);
        } else if !(is_combining_mark(character) || id.is_empty() || id.ends_with('-')) {
            id.push('-');
        }
    }
    id.truncate(LONGEST);
    id.truncate(id.trim_end_matches('-').len());
    id
}

/// Ids that were given, so that none is given twice.
#[derive(Default)]
pub(super) struct Ids(BTreeSet<String>);

impl Ids {
    /// An id of its own for a name, or for the number of what has none.
    pub(super) fn assign(&mut self, name: Option<&str>, number: usize) -> String {
        let base = name.map(fitted).filter(|id| !id.is_empty());
        let base = base.unwrap_or_else(|| format!("W{number}"));
        let mut id = base.clone();
        let mut next = 2;
        while !self.0.insert(id.clone()) {
            let ending = format!("-{next}");
            let kept = base.len().min(LONGEST - ending.len());
            // All of it is ASCII.
            id = format!("{}{ending}", base.get(..kept).unwrap_or(&base));
            next += 1;
        }
        id
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_become_ids() {
        for (name, due) in [
            ("W3", "W3"),
            ("off the bay", "off-the-bay"),
            ("Mühle, süd", "Muhle-sud"),
            (" --x-- ", "x"),
            ("a__b.c", "a__b.c"),
            ("水", ""),
            ("../../etc", "etc"),
            ("a\u{202e}b", "a-b"),
        ] {
            assert_eq!(fitted(name), due, "{name}");
        }
        assert_eq!(fitted(&"x".repeat(100)).len(), 64);
    }

    #[test]
    fn no_id_is_given_twice() {
        let mut ids = Ids::default();
        let all: Vec<String> = [Some("a b"), Some("a-b"), None, Some("W3"), Some("a-b-2")]
            .into_iter()
            .enumerate()
            .map(|(index, name)| ids.assign(name, index + 1))
            .collect();
        assert_eq!(all, ["a-b", "a-b-2", "W3", "W3-2", "a-b-2-2"]);
        let long = "x".repeat(64);
        let mut ids = Ids::default();
        assert_eq!(ids.assign(Some(&long), 1), long);
        let second = ids.assign(Some(&long), 2);
        assert!(second.len() == 64 && second.ends_with("x-2"), "{second}");
    }
}
