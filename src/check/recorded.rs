//! What a text is a record of, told as the parser tells it: a record that is written in another way than
//! the program writes it is one still.

use crate::document::{ParseLimits, parse};
use crate::source::Sources;

/// That a text cannot be parsed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct NoYaml;

/// The kind that a text of YAML states; `None` where it states none.
///
/// # Errors
/// [`NoYaml`] where it cannot be parsed.
pub(crate) fn kind_stated(text: &str) -> Result<Option<String>, NoYaml> {
    // As nearly all files have it: the one `kind` of the text, on a line of its own. Without escapes and
    // aliases no other key can come to be that one.
    if text.matches("kind").count() == 1 && !text.contains(['\\', '*']) {
        let line = text.lines().find_map(|line| line.strip_prefix("kind: "));
        let letters = |b: u8| b.is_ascii_lowercase() || b == b'-';
        let plain = |word: &&str| !word.is_empty() && word.bytes().all(letters);
        if let Some(word) = line.map(str::trim_end).filter(plain) {
            return Ok(Some(word.to_owned()));
        }
    }
    let mut sources = Sources::new();
    let source = sources.add("text", text);
    let document = parse(source, text, &ParseLimits::YAML).map_err(|_| NoYaml)?;
    let kind = document.root.get("kind").and_then(|kind| kind.as_text());
    Ok(kind.map(str::to_owned))
}

/// What a text is a record of, where it is one: of a run, or of a decision. One that cannot be parsed
/// is taken for what it may have been.
#[must_use]
pub(crate) fn recorded(text: &str) -> Option<&'static str> {
    // A word that is not there letter by letter is written with escapes.
    if !text.contains("run") && !text.contains("launch") && !text.contains('\\') {
        return None;
    }
    match kind_stated(text) {
        Ok(kind) => match kind.as_deref() {
            Some("run") => Some("record"),
            Some("launch") => Some("decision"),
            _ => None,
        },
        Err(NoYaml) => {
            let says = |word: &str| {
                let apart = |c: char| !c.is_ascii_alphanumeric();
                let mut lines = text.lines().filter(|line| line.contains("kind"));
                lines.any(|line| line.split(apart).any(|other| other == word))
            };
            if says("run") {
                Some("record")
            } else {
                says("launch").then_some("decision")
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::recorded;

    #[test]
    fn a_record_is_one_however_it_is_written() {
        for text in [
            "kind: run\nformat: 1\n",
            "kind: run # of June\n",
            "\"kind\": 'run'\n",
            "{ kind: run, format: 1 }\n",
            "\"k\\u0069nd\": \"r\\u0075n\"\n",
            "kind: [run\n",
        ] {
            assert_eq!(recorded(text), Some("record"), "{text}");
        }
        assert_eq!(recorded("kind: \"launch\"\n"), Some("decision"));
        for text in [
            "kind: mission\nid: run\n",
            "id: a\nlaunch: { at: [1, 2] }\nkind: mission\n",
            "text: |\n  kind: run\n",
            "",
        ] {
            assert_eq!(recorded(text), None, "{text}");
        }
    }
}
