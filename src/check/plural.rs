//! A word for one or several.

/// A word as it stands beside a count.
pub(super) fn plural(count: usize, word: &str) -> String {
    if count == 1 {
        word.to_owned()
    } else {
        format!("{word}s")
    }
}
