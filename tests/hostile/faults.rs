//! A baseline written while files cannot be read, while others write, and with what could not be read again.

use std::collections::BTreeSet;
use std::process::{Child, Command, Output, Stdio};

use offing::door::check::baseline_reads_back;

use crate::world::{MISSION, POLICY, SHORELINE, SITE, VESSEL, World};

const CARELESS: &str = "missions/careless-end.yaml";
const HEAD: [&str; 6] = [
    "--review-by",
    "2027-12-31",
    "--by",
    "survey lead",
    "--reason",
    "begun",
];
/// By what a file is found, opened, read and looked at.
const CALLS: &str = "openat,openat2,read,pread64,fstat,newfstatat,statx,getdents64";

/// Two missions, one of which has findings, and their baseline.
fn world() -> World {
    let world = World::new();
    let demo = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
    for path in [CARELESS, "orders/from-the-slip.yaml"] {
        world.write(path, &std::fs::read_to_string(demo.join(path)).unwrap());
    }
    let output = baseline(&world, &HEAD);
    assert!(output.status.success(), "{output:?}");
    assert!(entries(&world.read("baseline.yaml")).len() > 1);
    world
}

fn baseline(world: &World, arguments: &[&str]) -> Output {
    start(world, arguments).wait_with_output().unwrap()
}

fn start(world: &World, arguments: &[&str]) -> Child {
    Command::new(env!("CARGO_BIN_EXE_offing"))
        .arg("baseline")
        .args(arguments)
        .current_dir(world.repository())
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

fn entries(text: &str) -> BTreeSet<String> {
    let read = baseline_reads_back(text).expect("it is read again");
    read.findings
        .iter()
        .map(|known| known.fingerprint.value.clone())
        .collect()
}

/// Runs it with one of its calls on a file failing, or of all its calls where no file is named; `None` where
/// there are not so many.
fn failing(world: &World, arguments: &[&str], path: &str, number: usize) -> Option<Output> {
    let trace = world.aside("trace");
    let calls = if path.is_empty() { "openat2" } else { CALLS };
    let mut command = Command::new("strace");
    command
        .args(["-f", "-o"])
        .arg(&trace)
        .args(["-e", &format!("trace={calls}")])
        .args(["-e", &format!("inject={calls}:error=EIO:when={number}")]);
    if !path.is_empty() {
        // As the program names it in its open folder, and as its open descriptors are reported.
        let name = path.rsplit('/').next().unwrap();
        command
            .args(["-P", path, "-P", name, "-P"])
            .arg(world.repository().join(path));
    }
    let output = command
        .arg(env!("CARGO_BIN_EXE_offing"))
        .arg("baseline")
        .args(arguments)
        .current_dir(world.repository())
        .stdin(Stdio::null())
        .output()
        .expect("strace is installed");
    let text = std::fs::read(&trace).unwrap();
    let text = String::from_utf8_lossy(&text).into_owned();
    text.contains("(INJECTED)").then_some(output)
}

/// At every call in turn, what is left is the baseline as it was, or as it must become.
fn at_every_call(world: &World, arguments: &[&str], before: &str, after: &str) {
    let mut refused = std::collections::BTreeMap::new();
    for path in [
        "",
        MISSION,
        CARELESS,
        VESSEL,
        SITE,
        SHORELINE,
        POLICY,
        "missions",
        "baseline.yaml",
    ] {
        for number in 1.. {
            world.write("baseline.yaml", before);
            let Some(output) = failing(world, arguments, path, number) else {
                break;
            };
            let now = world.read("baseline.yaml");
            let said = String::from_utf8_lossy(&output.stderr).into_owned();
            if output.status.success() {
                assert_eq!(now, after, "{path} number {number}: {output:?}");
            } else {
                assert!(
                    now == before || now == after,
                    "{path} number {number}: {said}"
                );
                *refused.entry(path).or_insert(0) += 1;
            }
        }
    }
    // Opening, looking at and reading a file each fail.
    for path in ["", MISSION, VESSEL, SITE, SHORELINE, POLICY] {
        assert!(
            refused.get(path).is_some_and(|times| *times >= 2),
            "{path}: {refused:?}"
        );
    }
}

#[test]
#[ignore = "slow"]
fn a_file_that_cannot_be_read_strikes_nothing_off() {
    let world = world();
    let before = world.read("baseline.yaml");
    at_every_call(&world, &["--prune"], &before, &before);
}

#[test]
#[ignore = "slow"]
fn what_is_mended_is_struck_off_or_all_is_left() {
    let world = world();
    let before = world.read("baseline.yaml");
    std::fs::remove_file(world.repository().join(CARELESS)).unwrap();
    let output = baseline(&world, &["--prune"]);
    assert!(output.status.success(), "{output:?}");
    let after = world.read("baseline.yaml");
    assert!(entries(&after).is_empty(), "{after}");
    at_every_call(&world, &["--prune"], &before, &after);
}

#[test]
#[ignore = "slow"]
fn a_baseline_written_anew_keeps_what_could_not_be_read() {
    let world = world();
    let before = world.read("baseline.yaml");
    let arguments = [&["--renew"][..], &HEAD].concat();
    at_every_call(&world, &arguments, &before, &before);
}

#[test]
fn nothing_is_struck_off_beside_what_is_broken_or_not_judged() {
    let world = world();
    let before = world.read("baseline.yaml");
    // Mended, so that something could be struck off.
    std::fs::remove_file(world.repository().join(CARELESS)).unwrap();
    for (path, from, to) in [
        (MISSION, "kind: mission", "kind: mision"),
        (MISSION, "charge_at_launch: 95 %", "charge_at_launch: 95"),
        (SITE, "kind: weir", "kind: wier"),
        (VESSEL, "kind: vessel", "kind vessel"),
        // A rule that can no longer be judged: no depth of water is known.
        (SITE, "read: 2027-06-14", "read: 2026-01-14"),
    ] {
        let sound = world.read(path);
        world.edit(path, from, to);
        let output = baseline(&world, &["--prune"]);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        if path == SITE && from.starts_with("read") && output.status.success() {
            // An old level is a finding, and judged.
            world.write("baseline.yaml", &before);
            world.write(path, &sound);
            continue;
        }
        assert_eq!(output.status.code(), Some(2), "{to}: {said}");
        assert!(said.contains("nothing is pruned"), "{to}: {said}");
        assert_eq!(world.read("baseline.yaml"), before, "{to}");
        world.write(path, &sound);
    }
    // A file that may not be read, a link and a folder of another repository.
    world.link("north-bay-lines.yaml", "missions/link.yaml");
    let output = baseline(&world, &["--prune"]);
    assert_eq!(output.status.code(), Some(2), "{output:?}");
    assert_eq!(world.read("baseline.yaml"), before);
    std::fs::remove_file(world.repository().join("missions/link.yaml")).unwrap();
    assert!(baseline(&world, &["--prune"]).status.success());
    assert!(entries(&world.read("baseline.yaml")).is_empty());
}

#[test]
fn nothing_is_struck_off_where_a_rule_is_not_judged() {
    let world = world();
    let before = world.read("baseline.yaml");
    std::fs::remove_file(world.repository().join(CARELESS)).unwrap();
    // Without the water's level the depth under the keel is not known.
    let site = world.read(SITE);
    let from = site.find("water_level: #").unwrap();
    let to = site.find("hazards:\n").unwrap();
    world.write(SITE, &(site[..from].to_owned() + &site[to..]));
    let output = baseline(&world, &["--prune"]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(said.contains("could not be evaluated"), "{said}");
    assert_eq!(world.read("baseline.yaml"), before);
    // Where that is accepted itself, all else of the same rule and mission stays too.
    let renewed = baseline(&world, &[&["--renew"][..], &HEAD].concat());
    assert!(renewed.status.success(), "{renewed:?}");
    let accepted = entries(&world.read("baseline.yaml"));
    assert!(!accepted.is_empty());
    assert!(baseline(&world, &["--prune"]).status.success());
    assert_eq!(entries(&world.read("baseline.yaml")), accepted);
}

#[test]
#[ignore = "slow"]
fn of_four_at_once_one_writes_the_first_baseline() {
    let world = world();
    std::fs::remove_file(world.repository().join("baseline.yaml")).unwrap();
    for _ in 0..3 {
        let all: Vec<Child> = (0..4).map(|_| start(&world, &HEAD)).collect();
        let codes: Vec<i32> = all
            .into_iter()
            .map(|child| child.wait_with_output().unwrap().status.code().unwrap())
            .collect();
        let wrote = codes.iter().filter(|code| **code == 0).count();
        assert_eq!(wrote, 1, "{codes:?}");
        assert!(codes.iter().all(|code| matches!(code, 0 | 64)), "{codes:?}");
        std::fs::remove_file(world.repository().join("baseline.yaml")).unwrap();
    }
    // Also under four names.
    let names = ["a.yaml", "b.yaml", "c.yaml", "d.yaml"];
    let all: Vec<Child> = names
        .iter()
        .map(|name| start(&world, &[&HEAD[..], &["-o", name]].concat()))
        .collect();
    let wrote = all
        .into_iter()
        .filter(|_| true)
        .map(|child| child.wait_with_output().unwrap());
    assert_eq!(wrote.filter(|output| output.status.success()).count(), 1);
    assert_eq!(
        names
            .iter()
            .filter(|name| world.repository().join(name).exists())
            .count(),
        1
    );
}

#[test]
#[ignore = "slow"]
fn writers_that_renew_and_strike_take_turns() {
    let world = world();
    let before = entries(&world.read("baseline.yaml"));
    let renew = [&["--renew"][..], &HEAD].concat();
    let all: Vec<Child> = (0..6)
        .map(|number| {
            start(
                &world,
                if number % 2 == 0 {
                    &renew
                } else {
                    &["--prune"]
                },
            )
        })
        .collect();
    for child in all {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "{output:?}");
    }
    assert_eq!(entries(&world.read("baseline.yaml")), before);
}

#[test]
#[ignore = "slow"]
fn what_could_not_be_read_again_is_not_written() {
    let world = world();
    std::fs::remove_file(world.repository().join("baseline.yaml")).unwrap();
    let long = "é".repeat(201);
    let reason = "x".repeat(2001);
    for (by, reason) in [
        (long.as_str(), "begun"),
        ("lead", reason.as_str()),
        (&"x".repeat(100_000), "begun"),
    ] {
        let output = baseline(
            &world,
            &["--review-by", "2027-12-31", "--by", by, "--reason", reason],
        );
        assert_eq!(output.status.code(), Some(64), "{output:?}");
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(said.contains("nothing was written"), "{said}");
        assert!(!world.repository().join("baseline.yaml").exists());
    }
    let output = baseline(
        &world,
        &[
            "--review-by",
            "2027-12-31",
            "--by",
            &"é".repeat(200),
            "--reason",
            &"x".repeat(2000),
        ],
    );
    assert!(output.status.success(), "{output:?}");
    // A file that is there is no baseline to be written over.
    for name in [MISSION, "notes.txt"] {
        std::fs::remove_file(world.repository().join("baseline.yaml")).ok();
        world.write("notes.txt", "kept");
        let before = world.read(name);
        let output = baseline(&world, &[&HEAD[..], &["-o", name]].concat());
        assert_eq!(output.status.code(), Some(64), "{output:?}");
        assert_eq!(world.read(name), before);
    }
}

#[test]
#[ignore = "slow"]
fn a_baseline_reads_back_what_was_given() {
    for (by, reason) in [
        ("::error::x", "##[error]x"),
        ("  outer blanks ", "\ttab\nline\r\n"),
        ("a\u{2028}b\u{2029}", "\u{202e}dlrow\u{200b}"),
        ("\u{1b}[2J", "- # \" ' \\u0041 \\ {x} | >"),
        ("no", "1e3"),
    ] {
        let world = world();
        std::fs::remove_file(world.repository().join("baseline.yaml")).unwrap();
        let (by_whom, why) = (format!("--by={by}"), format!("--reason={reason}"));
        let output = baseline(&world, &["--review-by", "2027-12-31", &by_whom, &why]);
        assert!(output.status.success(), "{output:?}");
        let text = world.read("baseline.yaml");
        let read = baseline_reads_back(&text).unwrap();
        assert_eq!(
            (read.by.value.as_str(), read.reason.value.as_str()),
            (by, reason)
        );
        crate::inert::in_a_log("the file", &text);
        // Struck and renewed it is still that.
        std::fs::remove_file(world.repository().join(CARELESS)).unwrap();
        assert!(baseline(&world, &["--prune"]).status.success());
        let read = baseline_reads_back(&world.read("baseline.yaml")).unwrap();
        assert_eq!(
            (read.by.value.as_str(), read.reason.value.as_str()),
            (by, reason)
        );
        // What is shown of it acts on nothing.
        world.check();
    }
}
