//! Where a mission is asked about: every command finds the repository from wherever in it.

use std::process::{Command, Stdio};

use super::repo::{NORTH, Repo};

const MISSION: &str = "north-bay-lines";

/// Exit status, standard output and what was complained of, in a folder of the repository.
fn within(repo: &Repo, folder: &str, arguments: &[&str]) -> (i32, String, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(arguments)
        .current_dir(repo.path().join(folder))
        .stdin(Stdio::null())
        .output()
        .unwrap();
    (
        output.status.code().unwrap(),
        String::from_utf8(output.stdout).unwrap(),
        String::from_utf8(output.stderr).unwrap(),
    )
}

#[test]
#[ignore = "slow"]
fn a_mission_is_found_from_every_folder_of_its_repository() {
    let repo = Repo::new();
    let from = |command: &[&str], folder: &str, mission: &str, rest: &[&str]| {
        let arguments = [&command[..1], &[mission], &command[1..], rest].concat();
        let (status, text, said) = within(&repo, folder, &arguments);
        assert_eq!(status, 0, "{command:?} in `{folder}`: {said}");
        text
    };
    for command in [
        &["digest", "--whole"][..],
        &["window", "--step", "6 h", "--format", "json"],
        &["export", "--to", "geojson"],
    ] {
        let root = from(command, "", MISSION, &[]);
        assert!(!root.is_empty());
        assert_eq!(root, from(command, "plans/missions", MISSION, &[]));
        let file = "north-bay-lines.yaml";
        assert_eq!(root, from(command, "plans/missions", file, &[]));
        assert_eq!(root, from(command, "", MISSION, &["--plans", "plans"]));
        assert_eq!(root, from(command, "plans/site", NORTH, &[]));
        let path = "missions/north-bay-lines.yaml";
        assert_eq!(root, from(command, "", path, &["--plans", "plans"]));
    }
    let check = ["check", "--format", "json"];
    let root = from(&check, "", MISSION, &[]);
    assert_eq!(root, from(&check, "", NORTH, &[]));
    assert_eq!(root, from(&check, "plans/missions", MISSION, &[]));
    let limits = ["limits", "--step", "30°", "--format", "json"];
    let told = from(&limits, "plans/missions", MISSION, &[]);
    assert!(told.contains("\"policy\": \"team\""), "{told}");
}

/// A limit is told as the team's policy has it, from whichever folder it is asked for.
#[test]
fn the_policy_that_applies_is_found_from_every_folder() {
    let repo = Repo::new();
    for command in [&["rules"][..], &["explain", "reserve-at-turnaround"]] {
        let (status, root, _) = within(&repo, "", command);
        assert!(status == 0 && root.contains("35 %"), "{root}");
        assert_eq!(within(&repo, "plans/missions", command).1, root);
        assert_eq!(within(&repo, "plans/policy", command).1, root);
    }
}

#[test]
fn a_mission_that_is_not_there_is_told_with_the_place_and_the_nearest() {
    let repo = Repo::new();
    let place = repo.path().canonicalize().unwrap().display().to_string();
    for (command, status) in [("limits", 64), ("window", 64), ("digest", 64), ("check", 2)] {
        let (code, _, said) = within(&repo, "plans", &[command, "north-bay-line"]);
        assert_eq!(code, status, "{command}: {said}");
        let says =
            format!("no mission `north-bay-line` in {place}; did you mean `north-bay-lines`?");
        assert!(said.contains(&says), "{command}: {said}");
        let (code, _, said) = within(&repo, "plans", &[command, "elsewhere"]);
        assert_eq!(code, status, "{command}: {said}");
        let says = format!("in {place}; missions here: headwind-return, north-bay-lines");
        assert!(said.contains(&says), "{command}: {said}");
    }
    let (code, _, said) = within(&repo, "", &["check", "nothing/there.yaml"]);
    assert_eq!(
        (code, said.as_str()),
        (2, "offing: nothing/there.yaml: not found\n")
    );
    // One that is there and lacks something is reported with what it lacks.
    std::fs::remove_file(repo.path().join("plans/vessels/goosander.yaml")).unwrap();
    let (code, _, said) = within(&repo, "", &["limits", "north-bay-lines"]);
    assert_eq!(code, 2, "{said}");
    assert!(
        said.contains("no vessel file has the id `goosander`"),
        "{said}"
    );
    assert!(
        said.contains(&format!("{NORTH}:")) && said.contains(&place),
        "{said}"
    );
}

#[test]
fn a_sound_file_that_is_no_mission_is_told_as_what_it_is() {
    let repo = Repo::new();
    for (path, what) in [
        ("plans/site/quenderby.yaml", "site"),
        ("plans/vessels/goosander.yaml", "vessel"),
        ("plans/policy/team.yaml", "policy"),
    ] {
        for command in [
            &["brief"][..],
            &["limits"],
            &["window"],
            &["export", "--to", "gpx"],
        ] {
            let (code, _, said) = within(&repo, "", &[command, &[path]].concat());
            let says =
                format!("`{path}` is a {what}; name a mission; missions here: headwind-return");
            assert!(code == 64 && said.contains(&says), "{command:?}: {said}");
        }
    }
    // One that has errors is reported with them.
    repo.edit(
        "plans/site/quenderby.yaml",
        "kind: site",
        "kind: site\nunheard_of: 1",
    );
    let (code, _, said) = within(&repo, "", &["limits", "plans/site/quenderby.yaml"]);
    assert!(code == 2 && said.contains("unheard_of"), "{said}");
}

#[test]
fn outside_git_it_says_that_nothing_is_looked_for_beyond_the_folder() {
    let repo = Repo::new();
    let (_, text, _) = within(&repo, "", &["check", NORTH, "--short"]);
    assert!(!text.contains("outside a git repository"), "{text}");
    std::fs::remove_dir_all(repo.path().join(".git")).unwrap();
    let (code, text, _) = within(&repo, "", &["check", NORTH, "--short", "--width", "400"]);
    assert_eq!(code, 2);
    assert!(text.contains("outside a git repository"), "{text}");
    assert!(text.contains("git init"), "{text}");
    let (code, text, _) = within(&repo, "", &["check", "plans", "--short"]);
    assert_eq!(code, 1);
    assert!(!text.contains("outside a git repository"), "{text}");
}
