//! What the documentation says, held against the program: every command block is run and its
//! output compared, every file block is read, and every name, link and figure is looked up.

mod blocks;
mod figures;
mod generated;
mod glossary;
mod links;
mod markdown;
mod measuring;
mod names;
mod picture;
mod session;
mod troubleshooting;
mod tutorial;

use std::path::Path;

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
    let chapters = walkdir::WalkDir::new(root().join("docs")).sort_by_file_name();
    let chapters: Vec<String> = chapters
        .into_iter()
        .map(|entry| entry.unwrap().into_path())
        .filter(|path| path.extension().is_some_and(|e| e == "md"))
        .map(|path| {
            path.strip_prefix(root())
                .unwrap()
                .to_str()
                .unwrap()
                .to_owned()
        })
        .collect();
    assert!(chapters.len() >= 9, "{chapters:?}");
    all.extend(chapters);
    all
}

/// Whether a document goes on where the one before it ended: a later part of the tutorial.
fn goes_on(path: &str) -> bool {
    let part = path.strip_prefix("docs/tutorial/");
    part.is_some_and(|part| part != "README.md" && !part.starts_with("1-"))
}

/// The documents that people write; the others are made by `offing docs`.
fn written_by_hand() -> Vec<String> {
    let mut all = documents();
    all.retain(|path| !generated::CHAPTERS.iter().any(|(_, made)| path == made));
    all
}
