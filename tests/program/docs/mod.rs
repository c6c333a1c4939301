//! What the documentation says, held against the program: every command block is run and its
//! output compared, every file block is read, and every name, link and figure is looked up.

mod blocks;
mod figures;
mod generated;
mod links;
mod markdown;
mod names;
mod session;

use std::path::{Path, PathBuf};

/// The root of the repository.
fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// A file of the repository.
fn text_of(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap_or_else(|e| panic!("{path}: {e}"))
}

/// Every document that a reader meets, by its path from the root.
fn documents() -> Vec<String> {
    let mut all: Vec<String> = [
        "README.md",
        "DEVELOPERS.md",
        "CHANGELOG.md",
        "plans/README.md",
    ]
    .map(str::to_owned)
    .into();
    let mut chapters: Vec<PathBuf> = std::fs::read_dir(root().join("docs"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "md"))
        .collect();
    chapters.sort();
    assert!(chapters.len() >= 9, "{chapters:?}");
    for chapter in chapters {
        let relative = chapter.strip_prefix(root()).unwrap();
        all.push(relative.to_str().unwrap().to_owned());
    }
    all
}

/// The documents that people write; the others are made by `offing docs`.
fn written_by_hand() -> Vec<String> {
    let mut all = documents();
    all.retain(|path| !generated::CHAPTERS.iter().any(|(_, made)| path == made));
    all
}
