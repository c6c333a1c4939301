//! Any text as a mission beside the demo's vessel and site is checked or refused; whatever is
//! found can be reported.
#![no_main]

use std::cell::RefCell;

use libfuzzer_sys::fuzz_target;
use offing::check::{check, on_large_stacks};
use offing::report::{Settings, json, terminal};
use offing::source::MemoryTree;

const FILES: [(&str, &str); 3] = [
    (
        "site/quenderby.yaml",
        include_str!("../../../plans/site/quenderby.yaml"),
    ),
    (
        "site/quenderby-shoreline.geojson",
        include_str!("../../../plans/site/quenderby-shoreline.geojson"),
    ),
    (
        "vessels/goosander.yaml",
        include_str!("../../../plans/vessels/goosander.yaml"),
    ),
];

thread_local! {
    static TREE: RefCell<MemoryTree> = RefCell::new({
        let mut tree = MemoryTree::default();
        for (path, text) in FILES {
            tree.put(path, text);
        }
        tree
    });
}

fuzz_target!(|text: &str| {
    TREE.with_borrow_mut(|tree| {
        tree.put("missions/fuzzed.yaml", text);
        let outcome = on_large_stacks(|| check(&*tree, None)).expect("a tree in memory is listed");
        for finding in &outcome.findings {
            let span = finding.primary.span;
            let file = outcome
                .sources
                .get(span.source)
                .expect("a finding points into a file");
            assert!(file.text().get(span.range()).is_some(), "{finding:?}");
        }
        let shown = terminal(
            &outcome,
            &Settings {
                colour: false,
                unicode: true,
                width: 80,
            },
        );
        assert!(
            !shown.chars().any(|c| c.is_control() && c != '\n'),
            "{shown:?}"
        );
        json(&outcome).expect("every outcome has a JSON report");
    });
});
