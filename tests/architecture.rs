//! The shape of the program, read off its source: which part may use which, how long a file may
//! get, what is kept out of the code that runs at a team's.

#![allow(clippy::unwrap_used)] // Helpers outside the test functions, too, stop the test.

#[path = "architecture/scan.rs"]
mod scan;
#[path = "architecture/words.rs"]
mod words;

use std::path::{Path, PathBuf};

use scan::{Blank, Found};

/// Which part may use which others.
const MAY_USE: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("source", &[]),
    ("document", &["source"]),
    ("models", &["units"]),
    ("finding", &["source", "units"]),
    ("signature", &["source"]),
    ("schema", &["document", "finding", "source", "units"]),
    (
        "plan",
        &["document", "finding", "models", "schema", "source", "units"],
    ),
    ("passage", &["models", "plan", "units"]),
    (
        "measures",
        &[
            "finding", "models", "passage", "plan", "schema", "source", "units",
        ],
    ),
    (
        "rules",
        &[
            "document", "finding", "measures", "schema", "source", "units",
        ],
    ),
    (
        "check",
        &[
            "document",
            "finding",
            "measures",
            "models",
            "passage",
            "plan",
            "rules",
            "schema",
            "signature",
            "source",
            "units",
        ],
    ),
    ("report", &["check", "finding", "source", "units"]),
    ("review", &["check", "finding", "report", "source", "units"]),
    (
        "track",
        &["document", "models", "plan", "schema", "source", "units"],
    ),
    (
        "calibrate",
        &[
            "document", "models", "plan", "report", "schema", "source", "track", "units",
        ],
    ),
    (
        "debrief",
        &[
            "check", "finding", "models", "passage", "plan", "report", "rules", "source", "track",
            "units",
        ],
    ),
    (
        "exchange",
        &[
            "check", "document", "finding", "models", "plan", "report", "schema", "source",
        ],
    ),
    (
        "history",
        &[
            "check",
            "document",
            "finding",
            "models",
            "plan",
            "report",
            "review",
            "rules",
            "schema",
            "signature",
            "source",
            "track",
            "units",
        ],
    ),
    (
        "cli",
        &[
            "calibrate",
            "check",
            "debrief",
            "document",
            "exchange",
            "finding",
            "history",
            "measures",
            "models",
            "passage",
            "plan",
            "report",
            "review",
            "rules",
            "schema",
            "signature",
            "source",
            "track",
            "units",
        ],
    ),
];

/// All that rules know of measures: the types of the catalogue, and nothing that computes.
const RULES_MAY_NAME: &[&str] = &[
    "Known", "Lever", "Measure", "Reading", "Scope", "Type", "Unknown", "Value",
];

/// Longest file, in lines, and the files that are longer with the reason.
const LONGEST: usize = 500;
const LONGER: &[(&str, &str)] = &[];

/// What prints, and the parts that may.
const PRINTS: &[&str] = &["print!", "println!", "eprint!", "eprintln!", "dbg!"];
const MAY_PRINT: &[&str] = &["cli", "report"];

struct File {
    /// From the root of the repository.
    path: String,
    text: Blank,
    /// Whether the whole file is compiled for tests only.
    test: bool,
    lines: usize,
}

impl File {
    /// The top-level part that it belongs to; empty for the roots of the crate.
    fn part(&self) -> &str {
        let inside = self.path.strip_prefix("src/").unwrap_or(&self.path);
        let first = inside.split('/').next().unwrap_or("");
        match first.strip_suffix(".rs") {
            Some("lib" | "main") => "",
            Some(name) => name,
            None => first,
        }
    }

    /// How many modules down from the crate's root it is.
    fn depth(&self) -> usize {
        let inside = self.path.strip_prefix("src/").unwrap_or(&self.path);
        let names = inside.split('/').count();
        names - usize::from(inside.ends_with("/mod.rs"))
    }
}

fn rust_files(folder: &Path, into: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rust_files(&path, into);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            into.push(path);
        }
    }
}

/// Every file of the program, and which of them are for tests only.
fn program() -> Vec<File> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths = Vec::new();
    rust_files(&root.join("src"), &mut paths);
    paths.sort();
    let mut files: Vec<File> = paths
        .iter()
        .map(|path| {
            let text = std::fs::read_to_string(path).unwrap();
            let path = path.strip_prefix(root).unwrap().to_str().unwrap();
            File {
                path: path.to_owned(),
                lines: text.lines().count(),
                text: Blank::of(&text),
                test: false,
            }
        })
        .collect();
    let mut test_files: Vec<String> = Vec::new();
    for file in &files {
        let folder = match file.path.rsplit_once('/') {
            Some((folder, "mod.rs" | "lib.rs" | "main.rs")) => folder.to_owned(),
            _ => file.path.trim_end_matches(".rs").to_owned(),
        };
        for name in file.text.test_modules() {
            test_files.push(format!("{folder}/{name}.rs"));
            test_files.push(format!("{folder}/{name}/"));
        }
    }
    for file in &mut files {
        file.test = test_files
            .iter()
            .any(|test| file.path == *test || (test.ends_with('/') && file.path.starts_with(test)));
    }
    files
}

/// Uses of other parts that the table does not allow, as `path:line: what`.
fn forbidden_uses(path: &str, part: &str, depth: usize, test: bool, text: &Blank) -> Vec<String> {
    let Some((_, allowed)) = MAY_USE.iter().find(|(name, _)| *name == part) else {
        return vec![format!("{path}: the part `{part}` is not in the table")];
    };
    let at = |found: &Found| format!("{path}:{}: {}", found.line, found.names.join("::"));
    text.paths_from_root(depth)
        .iter()
        .filter(|found| {
            let to = found.names.first().map_or("*", String::as_str);
            if to == part {
                return false;
            }
            if !allowed.contains(&to) {
                // An allowed part that is named through a name of the crate's root is not there.
                return MAY_USE.iter().any(|(name, _)| *name == to) || to == "*" || to == "self";
            }
            let named = found.names.get(1).map_or("self", String::as_str);
            let computes = part == "rules" && to == "measures" && !RULES_MAY_NAME.contains(&named);
            // Tests of the rules may hold them against the real catalogue.
            computes && !test && !text.in_tests(found.offset)
        })
        .map(at)
        .collect()
}

#[test]
fn every_part_uses_only_what_it_may() {
    let files = program();
    assert!(files.len() > 100, "only {} files were found", files.len());
    let mut seen = 0;
    let mut wrong = Vec::new();
    for file in files.iter().filter(|file| !file.part().is_empty()) {
        seen += file.text.paths_from_root(file.depth()).len();
        wrong.extend(forbidden_uses(
            &file.path,
            file.part(),
            file.depth(),
            file.test,
            &file.text,
        ));
    }
    assert!(seen > 200, "only {seen} uses were found");
    assert!(wrong.is_empty(), "not allowed:\n{}", wrong.join("\n"));
}

/// With a circle the order of the parts would mean nothing.
#[test]
fn the_table_allows_no_circle() {
    let uses = |part: &str| {
        let row = MAY_USE.iter().find(|(name, _)| *name == part);
        row.map_or(&[][..], |(_, uses)| *uses)
    };
    for (part, _) in MAY_USE {
        let mut reached: Vec<&str> = Vec::new();
        let mut next: Vec<&str> = uses(part).to_vec();
        while let Some(one) = next.pop() {
            if !reached.contains(&one) {
                reached.push(one);
                next.extend(uses(one));
            }
        }
        assert!(!reached.contains(part), "{part} comes to use itself");
    }
}

#[test]
fn files_are_short() {
    let files = program();
    for file in &files {
        let excused = LONGER.iter().any(|(path, _)| *path == file.path);
        assert!(
            file.lines <= LONGEST || excused,
            "{} has {} lines",
            file.path,
            file.lines
        );
    }
    for (path, reason) in LONGER {
        let file = files.iter().find(|file| file.path == *path);
        let long = file.is_some_and(|file| file.lines > LONGEST);
        assert!(long, "{path} needs no excuse any more");
        assert!(reason.len() > 20, "{path} has no reason");
    }
}

#[test]
fn nothing_unwraps_or_prints_where_it_runs_for_a_team() {
    let mut wrong = Vec::new();
    for file in program().iter().filter(|file| !file.test) {
        let mut calls = file.text.calls(&[".unwrap()"]);
        if !MAY_PRINT.contains(&file.part()) {
            calls.extend(file.text.calls(PRINTS));
        }
        wrong.extend(
            calls
                .iter()
                .map(|(line, what)| format!("{}:{line}: {what}", file.path)),
        );
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The scan finds what is planted, and nothing else.
#[test]
fn the_scan_finds_a_planted_violation() {
    let text = r#"
        //! Not a use: crate::plan::Plan.
        use crate::{units::Speed, plan::{vessel::{Link, Radio}, Plan as Other}};
        /* nor this: crate::rules /* nested */ crate::check */
        use super::super::report::json;
        pub(in crate::models) fn one() { "crate::cli"; r"crate::cli"; 'a'; }
        fn two<'a>(x: &'a str) -> crate::passage::Run { println!("{}", x.parse().unwrap()) }
        use crate::*;
        // .unwrap() println!
        #[cfg(test)]
        mod tests { use crate::check::check; fn three() { Some(1).unwrap(); dbg!(1); } }
        fn four() { eprintln!("x") }
    "#;
    let text = Blank::of(text);
    let found = forbidden_uses("x.rs", "models", 2, false, &text);
    assert_eq!(
        found,
        [
            "x.rs:3: plan::vessel::Link",
            "x.rs:3: plan::vessel::Radio",
            "x.rs:3: plan::Plan",
            "x.rs:5: report::json",
            "x.rs:7: passage::Run",
            "x.rs:8: *",
            "x.rs:11: check::check",
        ]
    );
    let calls = text.calls(&[".unwrap()", "println!", "eprintln!", "dbg!"]);
    let calls: Vec<String> = calls.iter().map(|(l, w)| format!("{l} {w}")).collect();
    assert_eq!(calls, ["7 .unwrap()", "7 println!", "12 eprintln!"]);
    let rules = Blank::of("use crate::measures::{Measure, read};\nuse crate::measures;\n");
    let found = forbidden_uses("x.rs", "rules", 2, false, &rules);
    assert_eq!(found, ["x.rs:1: measures::read", "x.rs:2: measures"]);
    assert!(forbidden_uses("x.rs", "rules", 2, true, &rules).is_empty());
    assert_eq!(forbidden_uses("x.rs", "lake", 2, false, &rules).len(), 1);
}
