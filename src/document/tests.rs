//! Values, spans and access.

use crate::source::{SourceFile, SourceId};

use super::*;

const ID: SourceId = SourceId(7);

fn root(text: &str) -> Node {
    match parse(ID, text, &ParseLimits::YAML) {
        Ok(document) => document.root,
        Err(errors) => panic!("{text:?}: {errors:?}"),
    }
}

fn slice<'text>(text: &'text str, node: &Node) -> &'text str {
    assert_eq!(node.span.source, ID);
    &text[node.span.range()]
}

fn at<'tree>(node: &'tree Node, pointer: &str) -> &'tree Node {
    node.at_pointer(pointer).expect(pointer)
}

const SAMPLE: &str = "\
# a plan
kind: mission
speed: 1.2 m/s   # over ground
'quoted key': \"a \\\"b\\\"\"
route:
  - id: north
    at: [47.25, 8.75]

  - id: south
    at: {lat: 47, lon: 8}
    note: |
      first
      second

# a comment after the list
flags:
- true
-
- ~
empty:
last: two
  lines
";

#[test]
fn spans_cover_what_was_written() {
    let root = root(SAMPLE);
    let expect = [
        ("/kind", "mission"),
        ("/speed", "1.2 m/s"),
        ("/quoted key", "\"a \\\"b\\\"\""),
        ("/route/0", "id: north\n    at: [47.25, 8.75]"),
        ("/route/0/at", "[47.25, 8.75]"),
        ("/route/0/at/1", "8.75"),
        ("/route/1/at", "{lat: 47, lon: 8}"),
        ("/route/1/note", "first\n      second"),
        ("/flags", "- true\n-\n- ~"),
        ("/flags/1", "-"),
        ("/flags/2", "~"),
        ("/empty", ":"),
        ("/last", "two\n  lines"),
    ];
    for (pointer, text) in expect {
        assert_eq!(slice(SAMPLE, at(&root, pointer)), text, "{pointer}");
    }
    let route = slice(SAMPLE, at(&root, "/route"));
    assert!(route.starts_with("- id: north"), "{route}");
    assert!(route.ends_with("      second"), "{route}");
    assert_eq!(
        slice(SAMPLE, &root),
        SAMPLE["# a plan\n".len()..].trim_end()
    );
}

#[test]
fn spans_of_keys() {
    let root = root(SAMPLE);
    for (pointer, text) in [
        ("/kind", "kind"),
        ("/quoted key", "'quoted key'"),
        ("/route/1/at/lon", "lon"),
        ("/empty", "empty"),
    ] {
        let entry = root.entry_at_pointer(pointer).unwrap();
        assert_eq!(&SAMPLE[entry.key_span.range()], text);
    }
    assert_eq!(root.entry_at_pointer("/route/0"), None);
    assert_eq!(root.entry_at_pointer(""), None);
}

#[test]
fn values_of_the_sample() {
    let root = root(SAMPLE);
    assert_eq!(
        root.to_json(),
        serde_json::json!({
            "kind": "mission",
            "speed": "1.2 m/s",
            "quoted key": "a \"b\"",
            "route": [
                {"id": "north", "at": [47.25, 8.75]},
                {"id": "south", "at": {"lat": 47, "lon": 8}, "note": "first\nsecond\n"}
            ],
            "flags": [true, null, null],
            "empty": null,
            "last": "two lines"
        })
    );
    assert!(at(&root, "/kind").plain);
    assert!(!at(&root, "/quoted key").plain);
    assert!(!at(&root, "/route").plain);
    assert!(!at(&root, "/route/1/note").plain);
}

#[test]
fn lists_start_at_their_first_dash() {
    for (list, before) in [
        ("- 1\n- 2", "a:\n"),
        ("-\n  b: 1\n- 2", "a:\n"),
        ("-\n  - 1\n- 2", "a: # - no\n"),
        ("- - 1\n  - 2\n- 3", "'a' : &x-y # - no\n# - no\n\n"),
        ("- 1\n  - 2", "a:\n  "),
        ("- - 1\n  - 2", "a:\n  "),
        ("- 1\n  - 2", "? a\n: "),
    ] {
        let text = format!("{before}{list}\nz: 1\n");
        assert_eq!(slice(&text, at(&root(&text), "/a")), list, "{text}");
    }
}

#[test]
fn flow_values_that_are_left_out() {
    let text = "{a: , b, c: [x: 1, y]}";
    let root = root(text);
    assert_eq!(slice(text, &root), text);
    assert_eq!(slice(text, at(&root, "/a")), ":");
    assert_eq!(slice(text, at(&root, "/b")), "b");
    assert!(at(&root, "/b").is_null());
    assert_eq!(slice(text, at(&root, "/c/0")), "x: 1");
    assert_eq!(slice(text, at(&root, "/c/1")), "y");
}

// YAML 1.2.2, section 10.3.2 and its example of tag resolution (from memory), without the octal,
// hexadecimal and non-finite numbers that are refused here.
#[test]
fn core_schema() {
    let text = "\
nulls: [null, Null, NULL, ~]
truths: [true, True, TRUE, false, False, FALSE]
wholes: [0, -19, +12, -0, 9223372036854775807, -9223372036854775808]
numbers: [0., -0.0, .5, +12e03, -2E+05, 1e-3, 6.02e23]
";
    let root = root(text);
    let values = |pointer| {
        let items = at(&root, pointer).as_list().unwrap().iter();
        items.map(|node| node.value.clone()).collect::<Vec<_>>()
    };
    assert_eq!(values("/nulls"), vec![Value::Null; 4]);
    let truths = [true, true, true, false, false, false].map(Value::Bool);
    assert_eq!(values("/truths"), truths);
    let wholes = [0, -19, 12, 0, i64::MAX, i64::MIN].map(Value::Int);
    assert_eq!(values("/wholes"), wholes);
    let numbers = [0.0, -0.0, 0.5, 12e3, -2e5, 1e-3, 6.02e23].map(Value::Float);
    assert_eq!(values("/numbers"), numbers);
}

#[test]
fn what_older_yaml_would_change_stays_a_text() {
    for word in [
        "no",
        "yes",
        "on",
        "off",
        "y",
        "n",
        "No",
        "ON",
        "nUll",
        "tRUE",
        "12:30",
        "1_000",
        "2026-05-01",
        "2026-05-01T12:00:00Z",
        "0b101",
        "0x",
        "0o8",
        "0o",
        "1e",
        "-",
        "+",
        ".",
        "-.",
        "1.2.3",
        "0xG",
        "-0x1F",
        "12 %",
        "-3 dB",
        "1,5",
        "e5",
        "nan",
        "inf",
        "240°",
        "+.nan",
    ] {
        let text = format!("value: {word}\n");
        let root = root(&text.replace("value: -\n", "value: \"-\"\n"));
        assert_eq!(at(&root, "/value").as_text(), Some(word));
    }
}

#[test]
fn json_with_tabs_escapes_and_compact() {
    let tabs = "{\n\t\"type\": \"Point\",\n\t\"coordinates\": [\n\t\t8.5,\n\t\t47.5\n\t]\n}\n";
    let root_of_tabs = root(tabs);
    assert_eq!(
        slice(tabs, at(&root_of_tabs, "/coordinates")),
        "[\n\t\t8.5,\n\t\t47.5\n\t]"
    );
    let compact = r#"{"a":{"b":[1,-2.5e-3,true,null,"x\/\u0041\n\ud83d\ude00"]},"1":{},"c":[]}"#;
    let root = root(compact);
    assert_eq!(
        root.to_json(),
        serde_json::from_str::<serde_json::Value>(compact).unwrap()
    );
    assert_eq!(at(&root, "/a/b/4").as_text(), Some("x/A\n😀"));
    assert_eq!(
        slice(compact, at(&root, "/a/b/4")),
        r#""x\/\u0041\n\ud83d\ude00""#
    );
    assert_eq!(slice(compact, at(&root, "/1")), "{}");
}

#[test]
fn carriage_returns() {
    let text = "a: 1\r\nb:\r\n  - x\r\n  - 'y\r\n    z'\r\nc: |\r\n  one\r\n  two\r\n";
    let root = root(text);
    assert_eq!(
        root.to_json(),
        serde_json::json!({"a": 1, "b": ["x", "y z"], "c": "one\ntwo\n"})
    );
    assert_eq!(slice(text, at(&root, "/b")), "- x\r\n  - 'y\r\n    z'");
    assert_eq!(slice(text, at(&root, "/c")), "one\r\n  two");
    let file = SourceFile::new("a.yaml".to_owned(), text.into());
    let place = file.position(at(&root, "/b/1").span.start);
    assert_eq!((place.line, place.column), (4, 5));
}

#[test]
fn a_byte_order_mark_at_the_start() {
    let text = "\u{feff}a: é\n";
    let root = root(text);
    assert_eq!(slice(text, at(&root, "/a")), "é");
    let file = SourceFile::new("a.yaml".to_owned(), text.into());
    let place = file.position(root.entry("a").unwrap().key_span.start);
    assert_eq!((place.line, place.column), (1, 1));
}

#[test]
fn one_document_may_be_marked() {
    assert_eq!(
        root("---\na: 1\n...\n").to_json(),
        serde_json::json!({"a": 1})
    );
}

#[test]
fn aliases_are_copies_at_their_own_place() {
    let text =
        "base: &b {x: [1, 2], y: &t hi}\nthere: *b\nlist:\n  - *t\n  - *b\nagain: &b 5\nn: *b\n";
    let root = root(text);
    assert_eq!(
        root.to_json(),
        serde_json::json!({
            "base": {"x": [1, 2], "y": "hi"},
            "there": {"x": [1, 2], "y": "hi"},
            "list": ["hi", {"x": [1, 2], "y": "hi"}],
            "again": 5,
            "n": 5
        })
    );
    assert_eq!(slice(text, at(&root, "/there")), "*b");
    assert_eq!(slice(text, at(&root, "/there/x")), "[1, 2]");
    assert_eq!(slice(text, at(&root, "/list")), "- *t\n  - *b");
    assert_eq!(slice(text, at(&root, "/base")), "{x: [1, 2], y: &t hi}");
}

#[test]
fn many_keys_are_found_and_kept_in_order() {
    let text: String = (0..200).map(|n| format!("key {n}: {n}\n")).collect();
    let root = root(&text);
    let keys = root.as_map().unwrap();
    assert_eq!(keys.len(), 200);
    for (number, entry) in (0i64..).zip(keys) {
        assert_eq!(entry.key, format!("key {number}"));
        assert_eq!(entry.value.as_int(), Some(number));
    }
}

// RFC 6901 (Bryan et al., 2013), section 5: the pointers and values of its example.
#[test]
fn pointers_of_rfc_6901() {
    let text = r#"{"foo": ["bar", "baz"], "": 0, "a/b": 1, "c%d": 2, "e^f": 3, "g|h": 4,
        "i\\j": 5, "k\"l": 6, " ": 7, "m~n": 8}"#;
    let root = root(text);
    assert_eq!(root.at_pointer(""), Some(&root));
    assert_eq!(at(&root, "/foo").as_list().map(<[Node]>::len), Some(2));
    assert_eq!(at(&root, "/foo/0").as_text(), Some("bar"));
    for (pointer, value) in [
        ("/", 0),
        ("/a~1b", 1),
        ("/c%d", 2),
        ("/e^f", 3),
        ("/g|h", 4),
        ("/i\\j", 5),
        ("/k\"l", 6),
        ("/ ", 7),
        ("/m~0n", 8),
    ] {
        assert_eq!(at(&root, pointer).as_int(), Some(value), "{pointer}");
        let entry = root.entry_at_pointer(pointer).unwrap();
        assert_eq!(entry.value.as_int(), Some(value));
    }
    for wrong in [
        "foo", "/foo/2", "/foo/00", "/foo/-", "/foo/01", "/foo/+0", "/x", "/foo/0/y",
    ] {
        assert_eq!(root.at_pointer(wrong), None, "{wrong}");
    }
}

#[test]
fn access_by_sort() {
    let root = root("n: ~\nb: true\ni: 3\nf: 2.5\nt: x\nl: [1]\nm: {a: 1}\n");
    let names = [
        ("n", "an empty value"),
        ("b", "a true-or-false value"),
        ("i", "a whole number"),
        ("f", "a number"),
        ("t", "a text"),
        ("l", "a list"),
        ("m", "a mapping"),
    ];
    for (key, name) in names {
        let node = root.get(key).unwrap();
        assert_eq!(node.kind_name(), name);
        assert_eq!(node.is_null(), key == "n");
        assert_eq!(node.as_bool().is_some(), key == "b");
        assert_eq!(node.as_int().is_some(), key == "i");
        assert_eq!(node.as_number().is_some(), matches!(key, "i" | "f"));
        assert_eq!(node.as_text().is_some(), key == "t");
        assert_eq!(node.as_list().is_some(), key == "l");
        assert_eq!(node.as_map().is_some(), key == "m");
    }
    assert_eq!(root.get("i").unwrap().as_number(), Some(3.0));
    assert_eq!(root.get("none"), None);
    assert_eq!(root.get("l").unwrap().get("a"), None);
}

#[test]
fn the_deepest_document_fits_a_small_stack() {
    let lists = "[".repeat(32) + &"]".repeat(32);
    let maps: String = (0..31)
        .map(|depth| format!("{}a:\n", " ".repeat(depth)))
        .collect();
    let maps = format!("{maps}{}a: 1\n", " ".repeat(31));
    let small = std::thread::Builder::new().stack_size(256 << 10);
    let work = move || {
        for text in [lists, maps] {
            let node = root(&text);
            assert!(node.to_json().to_string().len() > 60);
            drop(node.clone());
        }
    };
    small.spawn(work).unwrap().join().unwrap();
}
