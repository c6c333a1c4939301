//! The shape of the program, read off its source: which part may use which, how long a file may
//! get, what is kept out of the code that runs at a team's.

mod constants;
mod table;
mod uses;
mod words;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use table::Table;
use uses::{Code, Module};

/// Longest file, in lines, and the files that are longer with the reason.
const LONGEST: usize = 500;
const LONGER: &[(&str, &str)] = &[];

/// What prints, and the parts that may.
const PRINTS: &[&str] = &["print!", "println!", "eprint!", "eprintln!", "dbg!"];
const MAY_PRINT: &[&str] = &["cli", "report"];

/// What speaks to one kind of system, and the module that may: everywhere else the same lines serve all.
const SYSTEMS: &[&[&str]] = &[
    &["std", "os"],
    &["cap_std", "os"],
    &["rustix"],
    &["libc"],
    &["windows_sys"],
    &["winx"],
];
const MAY_NAME_SYSTEMS: [&str; 2] = ["source", "system"];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// What is read off the code, which takes a second to read.
#[test]
#[ignore = "slow"]
fn the_code_keeps_its_shape() {
    let code = Code::read(root(), "src/lib.rs");
    every_part_uses_only_what_it_may(&code);
    the_table_has_every_part(&code);
    no_circle_goes_through_the_rooms_of_a_part(&code);
    every_file_is_a_module(&code);
    nothing_unwraps_or_prints_where_it_runs_for_a_team(&code);
    one_module_alone_names_systems(&code);
}

/// `.ci/run` leaves out no test, since it runs the slow ones too; there is no other reason to leave one out.
#[test]
fn a_test_that_is_left_out_is_slow() {
    let mut files = Vec::new();
    for folder in [
        "src",
        "tests/browser",
        "tests/hostile",
        "tests/program",
        "tests/reference",
        "tests/shared",
    ] {
        rust_files(&root().join(folder), &mut files);
    }
    let mut slow = 0;
    for path in &files {
        let text = std::fs::read_to_string(path).unwrap();
        for line in text
            .lines()
            .map(str::trim)
            .filter(|line| line.starts_with("#[ignore"))
        {
            assert_eq!(line, "#[ignore = \"slow\"]", "{}", path.display());
            slow += 1;
        }
    }
    assert!(slow > 100, "{slow}");
}

/// What a skeleton, an import and a copy leave to be filled in, a check and a terminal find by one mark.
#[test]
fn the_marks_of_gaps_and_proposals_are_spelled_in_one_place() {
    let mut files = Vec::new();
    rust_files(&root().join("src"), &mut files);
    let mut spelled = Vec::new();
    for path in &files {
        let tests = path.file_name().is_some_and(|name| name == "tests.rs");
        let text = std::fs::read_to_string(path).unwrap();
        let code = text.split("#[cfg(test)]").next().unwrap();
        let marks = ["# to be filled", "# proposed"];
        if !tests && marks.iter().any(|mark| code.contains(mark)) {
            spelled.push(path.strip_prefix(root()).unwrap().display().to_string());
        }
    }
    assert_eq!(spelled, ["src/schema/marks.rs"]);
}

fn developers() -> Table {
    Table::read(&std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap())
}

/// Uses of other parts that the table does not allow, as `file:line: what it comes to`.
fn forbidden(code: &Code, module: &Module, table: &Table) -> Vec<String> {
    let part = module.part();
    let Some(allowed) = table.allows(part) else {
        return vec![format!(
            "{}: the part `{part}` is not in the table",
            module.file
        )];
    };
    let mut wrong = BTreeSet::new();
    for used in code.uses(module) {
        // A name for the crate's root is no use of anything; what is named through it is followed.
        for step in used.steps.iter().filter(|step| !step.is_empty()) {
            let to = step.first().map_or("*", String::as_str);
            if to == part || allowed.all.contains(to) {
                continue;
            }
            let types = allowed.types.contains(to);
            let is_type = |name: &String| name.starts_with(|c: char| c.is_uppercase());
            // Tests of a part may hold it against what the other one computes.
            if types && (used.test || step.iter().any(is_type)) {
                continue;
            }
            if types || table.allows(to).is_some() || to == "*" {
                wrong.insert((used.line, step.join("::")));
            }
        }
    }
    wrong
        .into_iter()
        .map(|(line, what)| format!("{}:{line}: {what}", module.file))
        .collect()
}

fn every_part_uses_only_what_it_may(code: &Code) {
    let table = developers();
    let inside = || code.modules().filter(|module| !module.part().is_empty());
    let seen: usize = inside().map(|module| code.uses(module).len()).sum();
    assert!(seen > 5_000, "only {seen} uses were found");
    let wrong: Vec<String> = inside()
        .flat_map(|module| forbidden(code, module, &table))
        .collect();
    assert!(wrong.is_empty(), "not allowed:\n{}", wrong.join("\n"));
}

/// With a circle the order of the parts would mean nothing.
#[test]
fn the_table_allows_no_circle() {
    let table = developers();
    let uses: BTreeMap<String, BTreeSet<String>> = table
        .parts()
        .map(|part| {
            let allowed = table.allows(part).unwrap();
            (part.to_owned(), &allowed.all | &allowed.types)
        })
        .collect();
    assert_eq!(circle(&uses), None);
}

/// The parts that exist and the parts of the table are the same.
fn the_table_has_every_part(code: &Code) {
    let there: BTreeSet<&str> = code
        .modules()
        .map(Module::part)
        .filter(|part| !part.is_empty())
        .collect();
    let table = developers();
    assert_eq!(there, table.parts().collect());
}

/// JSON that the program itself writes is never read again inside it, and no output is put together by
/// hand: its types are the one definition of it. What is read as JSON comes from a file.
#[test]
fn outputs_are_types_and_are_not_read_back() {
    let reads = [
        "src/cli/merge.rs",
        "src/cli/reference.rs",
        "src/schema/validate.rs",
    ];
    // Formats that others define.
    let by_hand = [
        "src/exchange/geojson.rs",
        "src/report/annotations.rs",
        "src/report/merge/sarif.rs",
        "src/report/sarif.rs",
    ];
    let mut files = Vec::new();
    rust_files(&root().join("src"), &mut files);
    let holding = |words: &[&str]| -> Vec<String> {
        let mut all = Vec::new();
        for path in &files {
            let text = std::fs::read_to_string(path).unwrap();
            let shown = path.strip_prefix(root()).unwrap().to_string_lossy();
            let name = path.file_name().unwrap().to_string_lossy();
            if !name.starts_with("tests") && words.iter().any(|word| text.contains(word)) {
                all.push(shown.replace('\\', "/"));
            }
        }
        all.sort();
        all
    };
    let of_json = ["serde_json::from_", "serde_json::to_value"];
    assert_eq!(holding(&of_json), reads);
    assert_eq!(holding(&["json!(", "json as "]), by_hand);
}

/// The rooms of a part use each other one way, so that it can be read from one end to the other. What they
/// share stands in the part's own `mod.rs`.
fn no_circle_goes_through_the_rooms_of_a_part(code: &Code) {
    let mut graphs: BTreeMap<String, BTreeMap<String, BTreeSet<String>>> = BTreeMap::new();
    for module in code.modules().filter(|module| module.path.len() > 1) {
        let (part, room) = (&module.path[0], &module.path[1]);
        let graph = graphs.entry(part.clone()).or_default();
        for used in code.uses(module).iter().filter(|used| !used.test) {
            let to = &used.steps[used.steps.len() - 1];
            let inside = to.len() > 2 && to[0] == *part && to[1] != *room;
            if inside && code.modules().any(|one| one.path == to[..2]) {
                graph.entry(room.clone()).or_default().insert(to[1].clone());
            }
        }
    }
    let circles: BTreeMap<&str, Vec<String>> = graphs
        .iter()
        .filter_map(|(part, graph)| Some((part.as_str(), circle(graph)?)))
        .collect();
    assert!(graphs.len() > 15, "only {} parts have rooms", graphs.len());
    assert!(circles.is_empty(), "{circles:#?}");
}

/// A way from one back to itself.
fn circle(uses: &BTreeMap<String, BTreeSet<String>>) -> Option<Vec<String>> {
    uses.keys().find_map(|start| {
        let mut ways = vec![vec![start.clone()]];
        let mut seen = BTreeSet::new();
        while let Some(way) = ways.pop() {
            for next in uses.get(&way[way.len() - 1]).into_iter().flatten() {
                let mut longer = way.clone();
                longer.push(next.clone());
                if next == start {
                    return Some(longer);
                }
                if seen.insert(next.clone()) {
                    ways.push(longer);
                }
            }
        }
        None
    })
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

/// A file that no module declares is looked at by nothing.
fn every_file_is_a_module(code: &Code) {
    let mut declared: BTreeSet<&str> = code.modules().map(|module| module.file.as_str()).collect();
    declared.insert("src/main.rs");
    let mut paths = Vec::new();
    rust_files(&root().join("src"), &mut paths);
    let there: BTreeSet<&str> = paths
        .iter()
        .map(|path| path.strip_prefix(root()).unwrap().to_str().unwrap())
        .collect();
    assert_eq!(declared, there);
}

#[test]
fn files_are_short() {
    let mut paths = Vec::new();
    rust_files(&root().join("src"), &mut paths);
    let lines = |path: &Path| std::fs::read_to_string(path).unwrap().lines().count();
    for path in &paths {
        let name = path.strip_prefix(root()).unwrap().to_str().unwrap();
        let excused = LONGER.iter().any(|(path, _)| *path == name);
        let lines = lines(path);
        assert!(lines <= LONGEST || excused, "{name} has {lines} lines");
    }
    for (path, reason) in LONGER {
        assert!(
            lines(&root().join(path)) > LONGEST,
            "{path} needs no excuse any more"
        );
        assert!(reason.len() > 20, "{path} has no reason");
    }
}

fn nothing_unwraps_or_prints_where_it_runs_for_a_team(code: &Code) {
    let mut wrong = Vec::new();
    for module in code.modules().filter(|module| !module.test) {
        let mut calls = module.calls(&[".unwrap()"]);
        if !MAY_PRINT.contains(&module.part()) {
            calls.extend(module.calls(PRINTS));
        }
        let calls = calls.iter();
        wrong.extend(calls.map(|(line, what)| format!("{}:{line}: {what}", module.file)));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Uses of what only one kind of system has, outside the module for them.
fn of_one_system(code: &Code) -> Vec<String> {
    let others = code.modules().filter(|module| {
        !module.test
            && !module
                .path
                .starts_with(&MAY_NAME_SYSTEMS.map(str::to_owned))
    });
    others
        .flat_map(|module| {
            let named = module.named(SYSTEMS).into_iter();
            named.map(|(line, what)| format!("{}:{line}: {what}", module.file))
        })
        .collect()
}

fn one_module_alone_names_systems(code: &Code) {
    let there = code.modules().filter(|module| {
        module
            .path
            .starts_with(&MAY_NAME_SYSTEMS.map(str::to_owned))
            && !module.named(SYSTEMS).is_empty()
    });
    assert!(there.count() >= 2, "one for each kind of system");
    let wrong = of_one_system(code);
    assert!(wrong.is_empty(), "not allowed:\n{}", wrong.join("\n"));
}

#[test]
fn a_system_that_is_named_elsewhere_is_found() {
    let code = Code::of(
        r#"
        pub mod source {
            pub mod system { use std::os::unix::ffi::OsStrExt; use rustix::fs::open; }
            pub mod write { use std::{io, os::unix::fs::PermissionsExt as _}; use std::fs; }
        }
        pub mod cli {
            fn one() { rustix::io::fcntl_getfd(x); std::ffi::OsStr::new(""); }
            fn two() { format!("{:?}", std::os::fd::AsFd::as_fd(&x)); }
            #[cfg(all(test, unix))] mod tests { use std::os::unix::fs::symlink; }
            #[cfg(all(windows, unix))] mod shown { use cap_std::os::unix::net::UnixStream; }
        }
        "#,
    );
    let mut wrong = of_one_system(&code);
    wrong.sort();
    assert_eq!(
        wrong,
        [
            "src/x.rs:10: cap_std::os::unix::net::UnixStream",
            "src/x.rs:4: std::os::unix::fs::PermissionsExt",
            "src/x.rs:7: rustix::io::fcntl_getfd",
            "src/x.rs:8: std::os::fd::AsFd::as_fd",
        ]
    );
}

/// The reader finds what is planted, and nothing else.
#[test]
fn planted_violations_are_found() {
    let table = Table::read(
        "| module | may import |\n|---|---|\n| `units`, `source` | nothing of ours |\n\
         | `models` | `units` |\n| `plan` | all above |\n\
         | `measures` | `models` |\n| `rules` | `measures` (types only), `source` |\n\n",
    );
    let code = Code::of(
        r##"
        extern crate self as house;
        pub mod units { pub struct Speed; }
        pub mod source { pub use crate::units::Speed; pub use crate::rules::*; }
        pub mod plan { pub struct Plan; pub mod vessel { pub struct Link; } }
        pub mod measures { pub struct Measure; pub fn judge() {} }
        pub mod rules {
            use crate::{measures::{Measure, judge}, source as ground};
            pub struct Rule;
            //! Not a use: crate::plan::Plan.
            fn one(_: ground::Speed) { "crate::plan"; r"crate::plan"; 'a'; }
            mod inner { fn up(_: super::ground::Rule, _: super::super::plan::Plan) {} }
            #[cfg(test)] mod tests { use crate::measures::judge; use crate as all; fn t(_: all::plan::Plan) {} }
        }
        pub mod models {
            use crate as all;
            use crate::{units::Speed, plan::{vessel::{self, Link as Other}, Plan}};
            /* nor this: crate::rules /* nested */ crate::plan */
            pub(in crate::models) fn one<'a>(x: &'a str) -> house::plan::Plan {
                println!("{}", all::rules::Rule::of(x).unwrap());
                vec![vessel::Link, crate::source::Rule]
            }
            #[test] fn quiet() { Some(1).unwrap(); dbg!(1); }
            fn loud() { eprintln!("x") }
        }
        "##
        .replace("//! Not", "// Not")
        .as_str(),
    );
    let of = |name: &str| {
        let all = code.modules().filter(|module| module.part() == name);
        let wrong = all.flat_map(|module| forbidden(&code, module, &table));
        wrong
            .map(|one| one.replace("src/x.rs:", ""))
            .collect::<Vec<_>>()
    };
    assert_eq!(of("units"), [""; 0]);
    assert_eq!(of("source"), ["4: rules::*", "4: units::Speed"]);
    assert_eq!(
        of("rules"),
        [
            "8: measures::judge",
            // By the re-export of `source`.
            "11: units::Speed",
            "12: plan::Plan",
            "13: plan::Plan",
        ]
    );
    assert_eq!(
        of("models"),
        [
            "17: plan::Plan",
            "17: plan::vessel",
            "17: plan::vessel::Link",
            "19: plan::Plan",
            "20: rules::Rule::of",
            "21: plan::vessel::Link",
            "21: rules::Rule",
            "21: source::Rule",
        ]
    );
    let models = code
        .modules()
        .find(|module| module.part() == "models")
        .unwrap();
    let calls = models.calls(&[".unwrap()", "println!", "eprintln!", "dbg!"]);
    let calls: Vec<String> = calls.iter().map(|(l, w)| format!("{l} {w}")).collect();
    assert_eq!(calls, ["20 println!", "20 .unwrap()", "24 eprintln!"]);
    let around = BTreeMap::from([
        ("a".to_owned(), BTreeSet::from(["b".to_owned()])),
        ("b".to_owned(), BTreeSet::from(["c".to_owned()])),
        ("c".to_owned(), BTreeSet::from(["b".to_owned()])),
    ]);
    assert_eq!(
        circle(&around),
        Some(["b", "c", "b"].map(str::to_owned).to_vec())
    );
}
