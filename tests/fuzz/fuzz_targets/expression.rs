//! Any text as the measure of a team's rule is loaded or refused; a rule that loads can be judged.
#![no_main]

use libfuzzer_sys::fuzz_target;
use offing::check::{load, on_large_stacks};
use offing::source::MemoryTree;

fuzz_target!(|text: &str| {
    // A literal block holds any text whose lines are indented.
    let indented = text.replace(['\n', '\r'], "\n  ");
    let rule = format!(
        "kind: rule\nformat: 1\nid: fuzzed\ntitle: t\nat_least: 1 m\nseverity: error\nwhy: w\n\
         remedy: r\nmeasure: |-\n  {indented}\n"
    );
    let mut tree = MemoryTree::default();
    tree.put("rule.yaml", rule);
    let loaded = on_large_stacks(|| load(&tree, None)).expect("a tree in memory is listed");
    let read = loaded.rules.get("fuzzed").is_some();
    assert!(
        read || !loaded.problems.is_empty(),
        "neither read nor refused: {text:?}"
    );
});
