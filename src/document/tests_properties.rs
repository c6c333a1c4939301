//! Properties that hold for any text.

use proptest::prelude::*;

use crate::source::{SourceId, Span};

use super::*;

fn check_span(text: &str, span: Span) {
    assert_eq!(span.source, SourceId(0));
    assert!(text.get(span.range()).is_some(), "{span:?} in {text:?}");
}

fn check_node(text: &str, node: &Node) {
    check_span(text, node.span);
    let within = |inner: Span| {
        // What an alias stands for lies where it was written first.
        let covered = node.span.start <= inner.start && inner.end <= node.span.end;
        assert!(
            covered || text.contains('*'),
            "{inner:?} in {node:?} of {text:?}"
        );
    };
    match &node.value {
        Value::List(items) => {
            for item in items {
                within(item.span);
                check_node(text, item);
            }
        }
        Value::Map(entries) => {
            for (at, entry) in entries.iter().enumerate() {
                check_span(text, entry.key_span);
                within(entry.key_span);
                within(entry.value.span);
                check_node(text, &entry.value);
                assert!(entries[..at].iter().all(|other| other.key != entry.key));
            }
        }
        Value::Float(number) => assert!(number.is_finite()),
        _ => {}
    }
}

fn check_any(text: &str) {
    match parse(SourceId(0), text, &ParseLimits::YAML) {
        Ok(document) => check_node(text, &document.root),
        Err(errors) => {
            assert!(!errors.is_empty());
            for error in errors {
                check_span(text, error.span);
                assert_eq!(
                    error.span.is_empty(),
                    text.is_empty(),
                    "{text:?}: {error:?}"
                );
                assert!(!error.message.is_empty());
                if let Some((related, _)) = error.related {
                    check_span(text, related);
                }
            }
        }
    }
}

fn json() -> impl Strategy<Value = serde_json::Value> {
    let leaf = prop_oneof![
        Just(serde_json::Value::Null),
        any::<bool>().prop_map(Into::into),
        any::<i64>().prop_map(Into::into),
        (-1e12f64..1e12).prop_map(Into::into),
        "[ -~éß水\t\n]{0,12}".prop_map(Into::into),
    ];
    leaf.prop_recursive(5, 60, 6, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..6).prop_map(Into::into),
            prop::collection::btree_map("[ -~é]{0,8}", inner, 0..6)
                .prop_map(|map| serde_json::Value::Object(map.into_iter().collect())),
        ]
    })
}

/// Pieces of YAML, so that short texts of them are often valid.
fn yaml_part() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![
        "a", "b", "é", "水", "\u{feff}", "1", "0", ".", "-", "- ", "? ", ": ", ":", " ", "  ",
        "\n", "\r\n", "\r", "\n  ", "\n- ", "\t", "[", "]", "{", "}", ",", ", ", "&a ", "*a",
        "*a ", "!t ", "!", "\"", "'", "\\", "\\u", "|\n", ">-\n", "#", " # ", "---\n", "...\n",
        "%", "<<", "~", "null", "@", "`", "\u{2028}", "\u{0}", "=======", "x: y\n",
    ])
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_or_refused(
        parts in prop_oneof![
            prop::collection::vec(yaml_part(), 0..12),
            prop::collection::vec(yaml_part(), 0..100),
        ]
    ) {
        check_any(&parts.concat());
    }

    #[test]
    fn any_characters_are_read_or_refused(text in "\\PC{0,200}") {
        check_any(&text);
    }

    // The JSON that serde_json writes (RFC 8259) is read as serde_json would read it.
    #[test]
    fn json_is_read_as_json(value in json()) {
        for text in [value.to_string(), serde_json::to_string_pretty(&value).unwrap()] {
            let document = parse(SourceId(0), &text, &ParseLimits::YAML);
            let read: serde_json::Value = serde_json::from_str(&text).unwrap();
            prop_assert_eq!(document.map(|document| document.root.to_json()), Ok(read), "{}", text);
        }
    }
}
