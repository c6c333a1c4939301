//! What is written, read by the program's own parser.

use proptest::prelude::*;

use super::{Block, LONGEST, Yaml};
use crate::document::{Node, ParseLimits, Value, parse};
use crate::source::{Sources, printable};

/// What a text is read as.
fn read(text: &str) -> Node {
    let mut sources = Sources::new();
    let source = sources.add("a.yaml", text);
    let read = parse(source, text, &ParseLimits::YAML);
    read.unwrap_or_else(|errors| panic!("{errors:?}\n{text}"))
        .root
}

/// Whether a node is what was to be written.
fn same(node: &Node, written: &Yaml) -> bool {
    let fields = |fields: &[(&str, &Yaml)]| {
        node.as_map().is_some_and(|entries| {
            let same = |(entry, (key, value)): (&crate::document::Entry, &(&str, &Yaml))| {
                entry.key == *key && same(&entry.value, value)
            };
            entries.len() == fields.len() && entries.iter().zip(fields).all(same)
        })
    };
    match written {
        Yaml::Text(text) | Yaml::Word(text) => node.as_text() == Some(text),
        Yaml::Truth(truth) => node.value == Value::Bool(*truth),
        Yaml::Whole(number) => node.as_int() == i64::try_from(*number).ok(),
        Yaml::Inline(all) => fields(
            &all.iter()
                .map(|(key, value)| (*key, value))
                .collect::<Vec<_>>(),
        ),
        Yaml::Block(block) => fields(&block.fields().collect::<Vec<_>>()),
        Yaml::List(items) => node.as_list().is_some_and(|all| {
            all.len() == items.len() && all.iter().zip(items).all(|(one, item)| same(one, item))
        }),
    }
}

fn whole(value: Yaml) -> Block {
    let mut block = Block::new();
    block.field("value", value);
    block
}

/// Texts that some YAML takes for something else, and any others.
fn texts() -> impl Strategy<Value = String> {
    let known = [
        "",
        " ",
        "~",
        "null",
        "Null",
        "true",
        "False",
        "yes",
        "No",
        "on",
        "OFF",
        "y",
        "n",
        "0",
        "007",
        "0x1f",
        "0o17",
        "1_000",
        "-1",
        "+2",
        "1e3",
        ".5",
        ".inf",
        "-.INF",
        ".nan",
        "12:30",
        "2027-06-15",
        "1.2 m/s",
        "- a",
        "a: b",
        "a #b",
        "# a",
        "&a",
        "*a",
        "!a",
        "|",
        ">",
        "%a",
        "@a",
        "`a`",
        "{a}",
        "[a]",
        "'a'",
        "\"a\"",
        "---",
        "...",
        "? a",
        "<<",
        "=",
        " a",
        "a ",
        "\ta",
        "a\n",
        "\na",
        "a\r\nb",
        "\u{85}",
        "\u{2028}",
        "\u{feff}a",
        "a\u{feff}",
        "\u{0}",
        "\u{7f}",
        "\u{9b}",
        "\u{202e}a",
        "\u{e0041}",
        "\\",
        "\\n",
        "\u{fffd}",
        "\u{ffff}",
        "\u{1f6a4}",
        "e\u{301}",
        "\u{301}",
        "a\u{200d}b",
    ];
    prop_oneof![
        3 => proptest::sample::select(known.to_vec()).prop_map(str::to_owned),
        3 => any::<String>(),
        1 => proptest::collection::vec(any::<char>(), 0..40).prop_map(|all| all.into_iter().collect()),
        1 => "[a-zA-Z0-9._ -]{0,12}",
        1 => "[a-z \u{e9}\u{4e16}]{900,1500}",
    ]
}

fn values() -> impl Strategy<Value = Yaml> {
    const KEYS: [&str; 4] = ["id", "path", "says", "value"];
    let scalar = prop_oneof![
        4 => texts().prop_map(Yaml::Text),
        2 => texts().prop_map(Yaml::Word),
        1 => any::<bool>().prop_map(Yaml::Truth),
        1 => (0..=u64::from(u32::MAX)).prop_map(Yaml::Whole),
    ];
    scalar.prop_recursive(4, 40, 5, |inner| {
        let fields = proptest::collection::vec(inner.clone(), 0..KEYS.len());
        let fields = fields.prop_map(|all| KEYS.into_iter().zip(all).collect::<Vec<_>>());
        prop_oneof![
            fields.clone().prop_map(Yaml::Inline),
            fields.prop_map(|all| {
                let mut block = Block::new();
                for (key, value) in all {
                    block.comment("What comes next: \"it\".").field(key, value);
                }
                Yaml::Block(block)
            }),
            proptest::collection::vec(inner, 0..4).prop_map(Yaml::List),
        ]
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_written_is_read_back(value in values()) {
        let block = whole(value);
        let text = block.to_text();
        prop_assert!(same(&read(&text), &Yaml::Block(block)), "{text}");
    }

    /// A file of the program's own acts on no terminal and no log.
    #[test]
    fn what_is_written_acts_on_nothing(text in texts()) {
        let text = whole(Yaml::List(vec![Yaml::Text(text.clone()), Yaml::Word(text)])).to_text();
        prop_assert_eq!(printable(&text), text.as_str());
    }
}

#[test]
fn a_sentence_that_is_too_long_says_so() {
    let long = "é".repeat(LONGEST);
    assert_eq!(Yaml::sentence(&long), Yaml::text(&long));
    let Yaml::Text(cut) = Yaml::sentence(&format!("{long}é")) else {
        panic!("it is a text");
    };
    assert_eq!(cut.chars().count(), LONGEST);
    assert!(cut.ends_with("é…"), "{cut}");
}

#[test]
fn a_file_is_laid_out_as_a_person_would() {
    let mut block = Block::new();
    let mut person = Block::new();
    person.word("role", "survey lead").text("says", "a \"b\"");
    block
        .comment("What this is.\nAnd more.")
        .word("kind", "run")
        .field("format", Yaml::Whole(1))
        .field("empty", Yaml::List(Vec::new()))
        .field(
            "files",
            Yaml::List(vec![Yaml::Inline(vec![("go", Yaml::Truth(true))])]),
        )
        .field(
            "people",
            Yaml::List(vec![Yaml::Block(person.clone()), Yaml::text("x")]),
        )
        .field("one", Yaml::Block(person))
        .word("answer", "no");
    let due = "# What this is.
# And more.
kind: run
format: 1
empty: []
files:
  - { go: true }
people:
  - role: survey lead
    says: \"a \\\"b\\\"\"
  - \"x\"
one:
  role: survey lead
  says: \"a \\\"b\\\"\"
answer: \"no\"
";
    assert_eq!(block.to_text(), due);
}
