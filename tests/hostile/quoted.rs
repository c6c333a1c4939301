//! A text that the program puts into a file of YAML reads back as it was given.

use offing::door::document::{ParseLimits, parse};
use offing::door::source::{Sources, printable};
use offing::door::yaml::Yaml;
use proptest::prelude::*;

fn quoted(text: &str) -> String {
    Yaml::text(text).on_one_line()
}

fn read_back(text: &str) -> String {
    let file = format!("key: {}\n", quoted(text));
    let source = Sources::new().add("a.yaml", file.clone());
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
