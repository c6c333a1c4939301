//! What a file is to a review is recognised by what it holds, whatever path it lies at.

use serde_json::Value as Json;

use super::repo::{NORTH, Repo, TEAM, standing};

const RULE: &str = "plans/rules/second-try.yaml";

/// A mission of another id that breaks a rule of severity error.
fn bad(repo: &Repo) -> String {
    let text = repo.read(NORTH);
    let bad = text
        .replace("\nid: north-bay-lines\n", "\nid: other-lines\n")
        .replace("charge_at_launch: 95 %", "charge_at_launch: 60 %");
    assert!(bad.contains("other-lines") && bad.contains("60 %"));
    bad
}

fn found(report: &Json) -> Vec<(String, String)> {
    let all = report["check"]["findings"].as_array().unwrap();
    let text = |one: &Json, field: &str| one[field].as_str().unwrap_or("").to_owned();
    all.iter()
        .map(|one| (text(one, "mission"), text(one, "rule")))
        .collect()
}

fn judged(report: &Json) -> bool {
    let reserve = ("other-lines".to_owned(), "reserve-at-turnaround".to_owned());
    found(report).contains(&reserve)
}

#[test]
#[ignore = "slow"]
fn a_mission_in_the_old_place_of_a_rule_a_policy_or_a_baseline_is_judged() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let baseline = "kind: baseline\nformat: 1\nid: known\nreview_by: 2027-12-31\nby: survey lead\n\
                    reason: Begun.\nfindings: []\n";
    for (path, moved) in [
        (RULE, "plans/rules/moved.yaml"),
        (TEAM, "plans/moved.yaml"),
        ("plans/baseline.yaml", "moved.yaml"),
    ] {
        let repo = Repo::new();
        repo.write(RULE, &std::fs::read_to_string(root.join(RULE)).unwrap());
        repo.write("plans/baseline.yaml", baseline);
        let base = repo.commit();
        repo.git(&["mv", path, moved]);
        repo.write(path, &bad(&repo));
        let (status, report) = repo.json(&["review", &base]);
        assert!(judged(&report), "{path}: {report:#}");
        assert_eq!(status, 1, "{path}");
        // In a commit as in the work tree.
        let head = repo.commit();
        let (status, report) = repo.json(&["review", &base, &head]);
        assert!(judged(&report) && status == 1, "{path}");
    }
}

/// A boat in the old place of a rule is a boat: the missions that name it are judged.
#[test]
fn a_vessel_in_the_old_place_of_a_policy_is_a_vessel() {
    let repo = Repo::new();
    let base = repo.commit();
    repo.git(&["mv", TEAM, "plans/team.yaml"]);
    repo.git(&["mv", "plans/vessels/goosander.yaml", TEAM]);
    let (status, report) = repo.json(&["review", &base]);
    assert_eq!(
        (status, standing(&report["check"])),
        (0, vec![]),
        "{report:#}"
    );
}

/// The file of signers may be called as a mission is; the mission is judged all the same.
#[test]
fn a_mission_that_a_policy_names_as_its_signers_is_judged() {
    let repo = Repo::new();
    let base = repo.commit();
    repo.write("plans/missions/other.yaml", &bad(&repo));
    repo.append(TEAM, "approvals: { signers: ../missions/other.yaml }\n");
    let (status, report) = repo.json(&["review", &base]);
    assert!(judged(&report), "{report:#}");
    assert_eq!(status, 1);
}

/// A path may begin as the earlier revision is called in the report: it is another file still.
#[test]
fn a_mission_that_is_called_as_a_policy_of_the_base_is_judged() {
    let repo = Repo::new();
    let base = repo.commit();
    let path = format!("{}:{TEAM}", &base[..10]);
    repo.write(&path, &bad(&repo));
    // What judges differs, so that the base's policies are laid over.
    repo.append(TEAM, "# another word\n");
    let (status, report) = repo.json(&["review", &base]);
    assert!(judged(&report), "{report:#}");
    assert_eq!(status, 1);
}

#[test]
fn a_mission_whose_place_another_file_takes_is_gone_and_not_unchecked() {
    let repo = Repo::new();
    let base = repo.commit();
    let text = repo.read("plans/missions/headwind-return.yaml");
    repo.git(&["rm", "--quiet", "plans/missions/headwind-return.yaml"]);
    let (from, to) = ("\nid: headwind-return\n", "\nid: tail-wind\n");
    repo.write(
        "plans/missions/headwind-return.yaml",
        &text.replace(from, to),
    );
    let (_, report) = repo.json(&["review", &base]);
    let found = found(&report);
    assert!(
        found.iter().all(|(_, rule)| rule != "no-longer-checked"),
        "{found:?}"
    );
    // Under its new id all that is found of it is new.
    assert!(
        found.contains(&("tail-wind".to_owned(), "upwind-run-length".to_owned())),
        "{found:?}"
    );
    let missions = report["missions"].as_array().unwrap();
    let change = |id: &str| {
        let of = missions.iter().find(|one| one["mission"] == id).unwrap();
        of["change"].as_str().unwrap().to_owned()
    };
    assert_eq!(
        (change("headwind-return"), change("tail-wind")),
        ("removed".into(), "new".into())
    );
}
