//! Any bytes as a file: they are read or refused, and every place named lies within them.

#![no_main]

use libfuzzer_sys::fuzz_target;
use offing::door::document::{Node, ParseLimits, Value, parse};
use offing::door::source::{Sources, Span, checked_text};

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = checked_text("fuzzed.yaml", bytes) else {
        return;
    };
    let mut sources = Sources::new();
    let source = sources.add("fuzzed.yaml", text);
    let within = |span: Span| {
        assert!(span.source == source && span.start <= span.end, "{span:?}");
        // Slicing ends the process where a span cuts a character in two or ends past the text.
        let _ = &text[span.start as usize..span.end as usize];
        let _ = sources.position(span);
    };
    match parse(source, &text, &ParseLimits::YAML) {
        Ok(document) => {
            walk(&document.root, &within);
            let _ = document.root.to_json();
        }
        Err(errors) => {
            assert!(!errors.is_empty(), "refused without a reason");
            for error in errors {
                within(error.span);
            }
        }
    }
});

fn walk(node: &Node, within: &impl Fn(Span)) {
    within(node.span);
    match &node.value {
        Value::List(items) => items.iter().for_each(|item| walk(item, within)),
        Value::Map(entries) => {
            for entry in entries {
                within(entry.key_span);
                walk(&entry.value, within);
            }
        }
        Value::Float(number) => assert!(number.is_finite(), "{number}"),
        _ => {}
    }
}
