//! Any text as a mission on the demo's water with the demo's boat, checked to the end. Whatever it
//! says, it is judged or told why it is not, and every report can be drawn.

#![no_main]

use libfuzzer_sys::fuzz_target;
use offing::door::check::{check, on_large_stacks};
use offing::door::report::json;

mod demo;

fuzz_target!(|text: &str| {
    let mut tree = demo::tree();
    tree.put("mission.yaml", text);
    on_large_stacks(|| {
        // Named, so that a text which is no mission has to be spoken of as well.
        let outcome = check(&tree, Some("mission.yaml")).expect("it can be listed and read");
        assert!(
            !outcome.checked.is_empty()
                || !outcome.findings.is_empty()
                || !outcome.not_checked.is_empty(),
            "passed over without a word"
        );
        json(&outcome).expect("every outcome can be written");
    });
});
