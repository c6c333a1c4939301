//! Any text is read or refused, and every span lies in it on whole characters.
#![no_main]

use libfuzzer_sys::fuzz_target;
use offing::document::{Node, ParseLimits, Value, parse};
use offing::source::Sources;

fn walk(node: &Node, text: &str) {
    assert!(text.get(node.span.range()).is_some(), "{:?}", node.span);
    match &node.value {
        Value::List(items) => items.iter().for_each(|item| walk(item, text)),
        Value::Map(entries) => entries.iter().for_each(|entry| {
            assert!(text.get(entry.key_span.range()).is_some());
            walk(&entry.value, text);
        }),
        _ => {}
    }
}

fuzz_target!(|text: &str| {
    let mut sources = Sources::new();
    let source = sources.add("fuzzed.yaml", text);
    match parse(source, text, &ParseLimits::YAML) {
        Ok(document) => walk(&document.root, text),
        Err(errors) => {
            assert!(!errors.is_empty());
            for error in errors {
                assert!(text.get(error.span.range()).is_some(), "{error:?}");
            }
        }
    }
});
