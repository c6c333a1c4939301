//! Running a table of cases against the demo.

use std::fmt::Write as _;

use offing::door::finding::Severity;
use offing::door::report::exit_status;

use super::tree::{Files, places, told};

/// One change to the demo.
pub struct Case {
    /// What is wrong, in words.
    pub name: &'static str,
    /// File, text that stands there once, and what is put in its place, with marks.
    pub edits: Vec<(String, String, String)>,
}

/// A case of one change.
pub fn case(name: &'static str, path: &str, from: &str, to: &str) -> Case {
    Case {
        name,
        edits: vec![(path.to_owned(), from.to_owned(), to.to_owned())],
    }
}

impl Case {
    /// One change more.
    pub fn and(mut self, path: &str, from: &str, to: &str) -> Self {
        let edit = (path.to_owned(), from.to_owned(), to.to_owned());
        self.edits.push(edit);
        self
    }
}

/// Runs every case: each finding stands on a mark and each mark has its finding. Returns what is
/// told, for a snapshot.
pub fn run(base: &Files, cases: &[Case]) -> String {
    let files = cases.iter().map(|case| {
        let mut files = base.clone();
        for (path, from, to) in &case.edits {
            files.edit(path, from, to);
        }
        (case.name, files)
    });
    run_files(files)
}

/// As [`run`], for files that are changed already.
pub fn run_files<'a>(cases: impl IntoIterator<Item = (&'a str, Files)>) -> String {
    let mut text = String::new();
    let mut wrong = String::new();
    for (name, files) in cases {
        let outcome = files.check();
        let told = told(&outcome);
        let (found, marks) = (places(&outcome), files.marks());
        let status = exit_status(&outcome, Severity::Error);
        // An input error is never a pass.
        if found != marks || marks.is_empty() || status != 2 {
            let _ = writeln!(
                wrong,
                "## {name}\n{told}found:  {found:?}\nmarked: {marks:?}\nexit status: {status}\n"
            );
        }
        let _ = writeln!(text, "## {name}\n{told}");
    }
    assert!(wrong.is_empty(), "{wrong}");
    text
}
