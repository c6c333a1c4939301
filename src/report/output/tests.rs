//! The words of outputs, and their text.

use super::{Nature, Severity, Side, Verdict, text};
use crate::{check, finding};

fn word(of: impl serde::Serialize) -> String {
    let value = serde_json::to_value(of).expect("serializes");
    value.as_str().expect("a word").to_owned()
}

#[test]
fn words_are_those_of_every_other_report() {
    use check::Verdict::{Fails, Holds, NotApplicable, Unknown};
    use finding::Nature::{Input, NotEvaluated, Violation};
    use finding::Severity::{Advice, Error, Warning};
    for of in [Error, Warning, Advice] {
        assert_eq!(word(Severity::from(of)), of.name());
    }
    for of in [Violation, NotEvaluated, Input] {
        assert_eq!(word(Nature::from(of)), of.name());
    }
    for of in [Holds, Fails, Unknown, NotApplicable] {
        assert_eq!(word(Verdict::from(of)), of.name());
    }
    for of in [finding::Side::AtLeast, finding::Side::AtMost] {
        assert_eq!(word(Side::from(of)), of.label());
    }
}

#[test]
fn a_text_acts_on_no_terminal_and_is_read_back_unchanged() {
    let nasty = "a\u{1b}[31m \u{202e}b\u{9b} \u{e0041} c\n\td \u{7f}";
    let text = text(&[nasty]).expect("serializes");
    assert_eq!(crate::source::printable(&text), text.as_str());
    let back: Vec<String> = serde_json::from_str(&text).expect("is JSON");
    assert_eq!(back, [nasty]);
}

#[test]
fn a_long_text_is_written_in_pieces_and_each_is_as_harmless_as_the_whole() {
    struct Pieces(Vec<Vec<u8>>);
    impl std::io::Write for Pieces {
        fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
            self.0.push(bytes.to_vec());
            Ok(bytes.len())
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }
    let of = |at: usize| {
        format!(
            "{at}:: ##vso[x \u{1b}[31m \u{e9}\u{202e}\n{}",
            "~".repeat(at % 97)
        )
    };
    let all: Vec<String> = (0..9000)
        .map(of)
        .chain(["\u{9b}::".repeat(40_000)])
        .collect();
    let mut pieces = Pieces(Vec::new());
    super::write(&all, &mut pieces).expect("is written");
    assert!(pieces.0.len() > 3, "{}", pieces.0.len());
    let long = pieces.0.iter().map(Vec::len).max();
    assert!(long < Some(1_000_000), "{long:?}");
    let text = String::from_utf8(pieces.0.concat()).expect("is UTF-8");
    assert_eq!(crate::source::printable(&text), text.as_str());
    let back: Vec<String> = serde_json::from_str(&text).expect("is JSON");
    assert_eq!(back, all);
}
