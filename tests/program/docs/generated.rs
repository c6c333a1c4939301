//! Chapters that the program writes.

use std::process::Command;

use super::text_of;

/// What `offing docs` calls them, and where they are kept.
pub const CHAPTERS: [(&str, &str); 3] = [
    ("files", "docs/reference/files.md"),
    ("rules", "docs/reference/rules.md"),
    ("measures", "docs/reference/measures.md"),
];

#[test]
fn the_generated_chapters_are_those_of_this_program() {
    for (chapter, path) in CHAPTERS {
        let output = Command::new(env!("CARGO_BIN_EXE_offing"))
            .args(["docs", chapter])
            .output()
            .unwrap();
        assert!(output.status.success(), "{chapter}");
        let made = String::from_utf8(output.stdout).unwrap();
        assert!(
            made == text_of(path),
            "{path} is stale: make it again with `offing docs {chapter} > {path}`"
        );
    }
}
