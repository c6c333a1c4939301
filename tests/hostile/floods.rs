//! More of everything than a team has.

use std::fmt::Write as _;

use crate::world::{MISSION, World};

fn route(world: &World, points: u32) {
    let mut more = "route:\n".to_owned();
    for number in 0..points {
        let (a, b) = (number % 10, number % 7);
        let speed = "speed: { over_ground: 1.1 m/s }";
        let _ = writeln!(
            more,
            "  - {{ id: w{number}, to: [52.398{a}33, -24.308{b}35], {speed} }}"
        );
    }
    world.edit(MISSION, "route:\n", &more);
}

#[test]
#[ignore = "slow"]
fn waypoints() {
    let world = World::new();
    route(&world, 400);
    assert_ne!(world.check().status, 0);
    let world = World::new();
    route(&world, 9_000);
    for ran in world.everywhere() {
        ran.refuses("input-");
    }
}

/// A block of as many lines as there may be is worked out; of more, it is not.
#[test]
#[ignore = "slow"]
fn survey_lines() {
    let world = World::new();
    world.edit(MISSION, "spread: 20°", "spread: 180°");
    world.edit(MISSION, "spacing: 30 m", "spacing: 0.2 m");
    let ran = world.check();
    assert_eq!(ran.status, 1, "{}", ran.everything());
    world.edit(MISSION, "spacing: 0.2 m", "spacing: 0.01 m");
    world.check().refuses("input-");
    world.edit(MISSION, "spacing: 0.01 m", "spacing: 1e-300 m");
    world.check().refuses("input-");
}

/// Files that are small enough one by one are bounded together, before they are parsed, and before they are read.
#[test]
#[ignore = "slow"]
fn files_that_are_too_much_together() {
    let world = World::new();
    let many = format!("extra: [{}0]\n", "0,".repeat(240_000));
    // Just below the bound: read, and refused one by one.
    for number in 0..130 {
        let text = world
            .read(MISSION)
            .replace("id: north-bay-lines", &format!("id: m{number}"));
        world.write(&format!("many/{number}.yaml"), &(text + &many));
    }
    let ran = world.check();
    ran.refuses("130 files not checked");
    // Without a heading none can be left for later.
    for number in 0..150 {
        world.write(&format!("many/{number}.yaml"), &many);
    }
    let ran = world.check();
    ran.refuses("the YAML files hold more than 64 MiB together");
    assert!(ran.peak < 300 << 10, "{}", ran.peak);
    world
        .review()
        .refuses("the YAML files hold more than 64 MiB together");
    for number in 150..600 {
        world.write(&format!("many/{number}.yaml"), &many);
    }
    let ran = world.check();
    ran.refuses("the YAML files hold more than 256 MiB together");
    assert!(ran.peak < 100 << 10, "{}", ran.peak);
}

/// Errors of all files together are reported up to a number, and files are read up to one.
#[test]
#[ignore = "slow"]
fn broken_files_without_number() {
    let world = World::new();
    for number in 0..2_000 {
        world.write(&format!("many/{number}.yaml"), "kind: mission\nformat: 1\n");
    }
    let ran = world.check();
    ran.refuses("more errors, not shown here");
    assert!(ran.everything().len() < 100 << 20);
    for number in 2_000..25_001 {
        world.write(&format!("many/{number}.yaml"), "kind: mission\nformat: 1\n");
    }
    let words = "more than 25000 YAML files";
    world.check().refuses(words);
    world.review().refuses(words);
}

/// Names without number: the work tree and a revision have one bound.
#[test]
#[ignore = "slow"]
fn files_and_folders() {
    let world = World::new();
    let many = world.repository().join("many");
    for folder in 0..100 {
        let folder = many.join(folder.to_string());
        std::fs::create_dir_all(&folder).unwrap();
        for file in 0..2_010 {
            std::fs::File::create(folder.join(file.to_string())).unwrap();
        }
    }
    let words = "more than 200000 files and folders";
    world.check().refuses(words);
    // Folders inside one another, past any length of a path.
    let world = World::new();
    let deep = "d/".repeat(400);
    world.write(&format!("{deep}m.yaml"), "kind: mission\n");
    for ran in world.everywhere() {
        ran.refuses("folders deep");
    }
}

/// A tree of git's in which each folder holds ten times the same one: a few hundred bytes, and ten
/// thousand million files.
#[test]
#[ignore = "slow"]
fn a_tree_that_multiplies() {
    let world = World::new();
    let plans = world.git(&["rev-parse", "HEAD^{tree}"]);
    let blob = world.git(&["hash-object", "-w", MISSION]);
    let make = |entries: &str| {
        let file = world.aside("tree");
        std::fs::write(&file, entries).unwrap();
        let command = format!("git mktree < {}", file.display());
        let output = std::process::Command::new("sh")
            .args(["-c", &command])
            .current_dir(world.repository())
            .output()
            .unwrap();
        assert!(output.status.success());
        String::from_utf8(output.stdout).unwrap().trim().to_owned()
    };
    let ten = |kind: &str, object: &str| {
        let lines: Vec<String> = (0..10).map(|n| format!("{kind} {object}\td{n}")).collect();
        make(&format!("{}\n", lines.join("\n")))
    };
    let mut tree = ten("100644 blob", &blob);
    for _ in 0..9 {
        tree = ten("040000 tree", &tree);
    }
    let both = make(&format!(
        "040000 tree {plans}\tplans\n040000 tree {tree}\tbomb\n"
    ));
    let head = world.git(&["commit-tree", &both, "-p", "HEAD", "-m", "small"]);
    let ran = world.run(&["review", "HEAD", &head], crate::run::Limits::REVIEW);
    ran.refuses("larger than the reading limit");
}
