//! A clause as the beginning of a sentence.

/// A clause with a capital letter, where it begins with a plain word. What may be a name of the plan's own, a
/// path or a field is left as it stands in the files.
#[must_use]
pub(crate) fn capitalised(clause: &str) -> String {
    let word = clause.split([' ', ',']).next().unwrap_or_default();
    let letters = word.strip_suffix("'s").unwrap_or(word);
    let plain = !letters.is_empty()
        && letters
            .bytes()
            .all(|byte| byte.is_ascii_lowercase() || byte == b'-');
    let mut characters = clause.chars();
    match characters.next() {
        Some(first) if plain => first.to_uppercase().chain(characters).collect(),
        _ => clause.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::capitalised;

    #[test]
    fn a_plain_word_is_capitalised_and_a_name_is_not() {
        for (clause, begun) in [
            ("the boat drifts", "The boat drifts"),
            ("short-range links, two", "Short-range links, two"),
            ("depth, at least", "Depth, at least"),
            ("offing's rules", "Offing's rules"),
            ("`maen` is no field", "`maen` is no field"),
            (
                "missions/lines.yaml cannot be read",
                "missions/lines.yaml cannot be read",
            ),
            ("at_water is a text", "at_water is a text"),
            ("12 people", "12 people"),
            ("über", "über"),
            ("", ""),
        ] {
            assert_eq!(capitalised(clause), begun);
        }
    }
}
