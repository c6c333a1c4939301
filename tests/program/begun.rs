//! Files that the program begins: what a check makes of them, before and after their gaps are filled.

use std::collections::BTreeSet;

use crate::shared::repo::{NORTH, Repo};

#[test]
fn a_repository_is_laid_out_and_nothing_is_written_over() {
    let repo = Repo::empty();
    let (status, said) = repo.run(&["init", "--ci", "github", "--vessel", "heron"]);
    assert_eq!(status, 0, "{said}");
    for path in [
        "site/water.yaml",
        "vessels/heron.yaml",
        "orders/standing.yaml",
        "policy/team.yaml",
        ".gitattributes",
        ".github/workflows/plans.yaml",
        "runs/README.md",
    ] {
        assert!(!repo.read(path).is_empty(), "{path}");
    }
    assert!(repo.path().join("missions").is_dir());
    assert!(
        said.contains("vessels/heron.yaml: ") && said.contains(" fields to be filled in"),
        "{said}"
    );
    let (status, said) = repo.run(&["fmt", "--check", "."]);
    assert_eq!(status, 0, "{said}");
    // Each gap is named on its line, and nothing passes.
    let (status, report) = repo.json(&["check", "."]);
    assert_eq!(status, 2);
    let gaps = |path: &str| -> BTreeSet<u64> {
        let text = repo.read(path);
        let lines = (1..).zip(text.lines());
        let gaps = lines.filter(|(_, line)| line.contains(": # to be filled: "));
        gaps.map(|(number, _)| number).collect()
    };
    let named = |path: &str| -> BTreeSet<u64> {
        let findings = report["findings"].as_array().unwrap().iter();
        let here = findings.map(|one| &one["primary"]["location"]);
        let here = here.filter(|location| location["path"] == path);
        here.map(|location| location["start"]["line"].as_u64().unwrap())
            .collect()
    };
    for path in [
        "site/water.yaml",
        "vessels/heron.yaml",
        "orders/standing.yaml",
    ] {
        assert!(!gaps(path).is_empty());
        assert_eq!(named(path), gaps(path), "{path}: {report:#}");
    }
    let before = repo.read("site/water.yaml");
    let output = repo.offing(&["init"]);
    assert_eq!(output.status.code(), Some(64));
    assert!(String::from_utf8_lossy(&output.stderr).contains("exists already"));
    assert_eq!(repo.read("site/water.yaml"), before);
}

#[test]
fn a_mission_is_copied_to_another_day_and_passes_once_its_gaps_are_filled() {
    let repo = Repo::new();
    repo.commit();
    let new = |time: &str, file: &str| {
        let from = [
            "new",
            "mission",
            "north-bay-again",
            "--from",
            "north-bay-lines",
        ];
        let to = ["--time", time, "-o", file];
        repo.offing(&[&from[..], &to[..]].concat())
    };
    let path = "plans/missions/north-bay-again.yaml";
    let output = new("2027-06-17T09:30", path);
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    assert_eq!(said, format!("{path}: 2 fields to be filled in\n"));
    let copy = repo.read(path);
    assert!(copy.contains("  time: 2027-06-17T09:30\n"), "{copy}");
    assert!(
        copy.contains("  latest_return: 2027-06-17T11:30\n"),
        "{copy}"
    );
    let (status, report) = repo.json(&["check", path]);
    assert_eq!(status, 2, "{report:#}");
    // The same as the other one, but for the day.
    let filled = copy
        .lines()
        .map(|line| match line.split_once(": # to be filled") {
            Some(("charged", _)) => "charged: 2027-06-16\n".to_owned(),
            Some(("conditions", _)) => {
                let north = repo.read(NORTH);
                let begin = north.find("conditions:\n").unwrap();
                let end = begin + north[begin..].find("\n\n").unwrap();
                format!("{}\n", &north[begin..end])
            }
            _ => format!("{line}\n"),
        })
        .collect::<String>();
    repo.write(path, &filled);
    let (status, text) = repo.run(&["check", path]);
    assert_eq!(status, 0, "{text}");
    // It is written over by nobody, and a time that is none is told.
    assert_eq!(new("2027-06-18T09:30", path).status.code(), Some(64));
    let wrong = new("someday", "plans/missions/other.yaml");
    assert_eq!(wrong.status.code(), Some(64));
    assert!(String::from_utf8_lossy(&wrong.stderr).contains("`someday` is no time"));
    assert!(!repo.path().join("plans/missions/other.yaml").exists());
}

#[test]
fn what_there_is_one_of_is_named_in_a_new_mission() {
    let repo = Repo::new();
    let (status, text) = repo.run(&["new", "mission", "second"]);
    assert_eq!(status, 0, "{text}");
    for line in [
        "id: second\n",
        "vessel: goosander\n",
        "site: quenderby\n",
        "orders: from-the-slip\n",
        "policy: team\n",
    ] {
        assert!(text.contains(&format!("\n{line}")), "{line}: {text}");
    }
    let output = repo.offing(&["new", "vessel", "no id"]);
    assert_eq!(output.status.code(), Some(64));
    let output = repo.offing(&[
        "new",
        "vessel",
        "heron",
        "--from",
        "goosander",
        "--time",
        "2027-06-18T09:30",
    ]);
    assert_eq!(output.status.code(), Some(64));
}

/// What another file settles is proposed, or left to it; the program's own choices are marked as such.
#[test]
fn what_other_files_settle_is_no_gap() {
    let repo = Repo::empty();
    let (status, said) = repo.run(&["init"]);
    assert_eq!(status, 0, "{said}");
    let orders = repo.read("orders/standing.yaml");
    for line in [
        "launch: # ",
        "  place: jetty # proposed: ",
        "  - station: shore # proposed: ",
        "  - users: others # proposed: ",
        "  after: 10 s # proposed: ",
        "  action: drift # proposed: ",
    ] {
        assert!(orders.contains(&format!("\n{line}")), "{line}: {orders}");
    }
    let site = repo.read("site/water.yaml");
    for line in [
        "    place: jetty # proposed: ",
        "        as: boat # proposed: ",
        "  - id: others # proposed: ",
    ] {
        assert!(site.contains(&format!("\n{line}")), "{line}: {site}");
    }
    assert!(!site.contains("\n        frequency:"), "{site}");
    let (status, text) = repo.run(&["new", "site", "other"]);
    assert_eq!(status, 0, "{text}");
    assert!(text.contains("\n        as: boat # proposed: "), "{text}");
    let mission = |policy: &str| {
        let (status, text) = repo.run(&["new", "mission", policy]);
        assert_eq!(status, 0, "{text}");
        text
    };
    // What the orders state, a mission does not state again; its places are those of the orders.
    let text = mission("first");
    for absent in [
        "\nlinks:",
        "\n  place:",
        "\n  delay:",
        "\nrecovery:",
        "\nat_end:",
    ] {
        assert!(!text.contains(absent), "{absent}: {text}");
    }
    // Without orders, the only launch site is the one that is meant.
    std::fs::remove_file(repo.path().join("orders/standing.yaml")).expect("removed");
    let text = mission("second");
    assert_eq!(text.matches("\n  place: jetty\n").count(), 2, "{text}");
    assert!(text.contains("\nlinks:"), "{text}");
}

/// A file begun has dozens of gaps: one line each, under the name of the file.
#[test]
fn gaps_of_a_file_are_told_together() {
    let repo = Repo::empty();
    assert_eq!(repo.run(&["init"]).0, 0);
    let (status, text) = repo.run(&["check", "."]);
    assert_eq!(status, 2, "{text}");
    assert_eq!(text.matches("error[input-gap] ").count(), 3, "{text}");
    let gaps = repo
        .read("vessels/boat.yaml")
        .matches(": # to be filled: ")
        .count();
    assert!(
        text.contains(&format!(
            "error[input-gap] vessels/boat.yaml: {gaps} values to be filled in\n"
        )),
        "{text}"
    );
    assert_eq!(
        text.matches("\n  vessels/boat.yaml:").count(),
        gaps,
        "{text}"
    );
    assert!(text.lines().count() < 250, "{} lines", text.lines().count());
}

#[test]
fn at_a_terminal_it_asks_for_what_a_file_lacks() {
    let repo = Repo::new();
    let path = "plans/vessels/heron.yaml";
    let new = format!("new vessel heron --plans plans -o {path}");
    let (status, text) = repo.at_terminal(&new, "1.2\n1.2 m\n\n0.4 m\n");
    assert_eq!(status, Some(0), "{text}");
    for says in [
        "hull.length_overall",
        "the bare number 1.2",
        "An empty answer leaves a field open",
    ] {
        assert!(text.contains(says), "{says}: {text}");
    }
    let written = repo.read(path);
    assert!(written.contains("\n  length_overall: 1.2 m\n"), "{written}");
    assert!(written.contains("\n  beam: 0.4 m\n"), "{written}");
    let open = written.matches(": # to be filled: ").count();
    assert!(
        text.contains(&format!("{open} fields to be filled in")),
        "{text}"
    );
    // With the option it does not ask; nor where the file is there.
    let (status, text) = repo.at_terminal(&format!("{new} --gaps"), "");
    assert_eq!(status, Some(64), "{text}");
    let other = "new vessel grebe --gaps -o plans/vessels/grebe.yaml";
    let (status, text) = repo.at_terminal(other, "");
    assert_eq!(status, Some(0), "{text}");
    assert!(!text.contains("An empty answer"), "{text}");
}

#[test]
#[ignore = "slow"]
fn at_a_terminal_a_repository_is_laid_out_under_the_ids_that_are_given() {
    let repo = Repo::empty();
    let (status, text) = repo.at_terminal("init mere", "ostrell\n\nall days\n");
    assert_eq!(status, Some(64), "{text}");
    assert!(text.contains("Id of the vessel [boat]: "), "{text}");
    let (status, text) = repo.at_terminal("init mere", "ostrell\n\n\n\nslip\n");
    assert_eq!(status, Some(0), "{text}");
    assert!(text.contains("Id of the launch site [jetty]: "), "{text}");
    let orders = repo.read("mere/orders/standing.yaml");
    assert_eq!(orders.matches("\n  place: slip #").count(), 4, "{orders}");
    assert!(
        repo.read("mere/site/ostrell.yaml")
            .contains("\nid: ostrell\n")
    );
    assert!(repo.read("mere/vessels/boat.yaml").contains("\nid: boat\n"));
}
