//! Any text as the measure of a rule: it is refused with a reason, or evaluated to the end.

#![no_main]

use libfuzzer_sys::fuzz_target;

use offing::door::check::{Loaded, load};
use offing::door::finding::Label;
use offing::door::measures::{self, Measured, Measurement, Type, Value};
use offing::door::rules::judge;
use offing::door::source::{MemoryTree, SourceId, Span};
use offing::door::units::Quantity;

fuzz_target!(|text: &str| {
    // As a quoted text, so that every character comes to the expression.
    let mut quoted = String::from("\"");
    for character in text.chars() {
        match character {
            '"' | '\\' => quoted.extend(['\\', character]),
            '\n' => quoted.push_str("\\n"),
            ' '..='~' => quoted.push(character),
            other if u32::from(other) <= 0xffff => {
                quoted.push_str(&format!("\\u{:04x}", u32::from(other)));
            }
            other => quoted.push(other),
        }
    }
    quoted.push('"');
    let mut tree = MemoryTree::default();
    tree.put(
        "rule.yaml",
        format!(
            "kind: rule\nformat: 1\nid: fuzzed\ntitle: Fuzzed\nmeasure: {quoted}\nat_least: 1 %\n\
             severity: error\nwhy: To see what comes of it.\nremedy: None.\nsources: [none]\n"
        ),
    );
    let loaded = load(&tree, None).expect("a tree in memory can be listed");
    let known = loaded.rules.get("fuzzed").is_some();
    assert!(
        known || !loaded.problems.is_empty(),
        "dropped without a word"
    );
    evaluate(&loaded);
    for problem in loaded.problems {
        let finding = problem.finding(&loaded.sources);
        assert!(!finding.message.is_empty());
    }
});

/// Judges the rule on measures that are all 0, 1 or true.
fn evaluate(loaded: &Loaded) {
    let rules = &loaded.policies.builtin().rules;
    for rule in rules.iter().filter(|rule| &*rule.rule.id.value == "fuzzed") {
        let place = loaded.gathered.files.first().map(|file| file.source);
        for number in [0.0, 1.0] {
            let _ = judge(rule, &|name| vec![reading(name, number, place)]);
        }
    }
}

fn reading(name: &str, number: f64, source: Option<SourceId>) -> Measurement {
    let entry = measures::find(name).expect("only measures that there are come this far");
    let source = source.expect("the rule's own file");
    Measurement {
        subject: String::new(),
        outcome: Ok(Measured {
            value: match entry.measure.of {
                Type::Quantity(dimension) => Value::Quantity(Quantity::new(number, dimension)),
                Type::Truth => Value::Truth(true),
            },
            sentence: name.to_owned(),
            primary: Label {
                span: Span::new(source, 0, 4),
                text: String::new(),
            },
            because: Vec::new(),
            place: None,
            scenario: None,
            steps: Vec::new(),
            assumptions: Vec::new(),
        }),
    }
}
