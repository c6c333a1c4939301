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
