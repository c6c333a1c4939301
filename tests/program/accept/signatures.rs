//! Signatures on plans, made by OpenSSH's own `ssh-keygen`.

use super::key::Key;
use super::repo::{Repo, TEAM, UPWIND, WAIVER, standing};

pub const APPROVAL: &str = "plans/missions/headwind-return.survey-lead.approval";

/// A repository whose policy asks for a signature with every waiver, and the waiver.
pub fn signed_by(key: &Key) -> Repo {
    let repo = Repo::new();
    repo.write(
        "plans/policy/signers",
        &format!("survey-lead {}", key.public),
    );
    repo.edit(TEAM, "longest: 14 d }", "longest: 14 d, signed: true }");
    repo.append(TEAM, "approvals: { signers: signers }\n");
    repo.append(UPWIND, WAIVER);
    repo
}

pub fn statement(repo: &Repo) -> String {
    let (status, text) = repo.run(&["digest", "headwind-return"]);
    assert_eq!(status, 0);
    text
}

#[test]
fn a_waiver_that_has_to_be_signed_holds_by_a_signature_on_the_plan_as_it_is() {
    let key = Key::new();
    let repo = signed_by(&key);
    let (status, report) = repo.json(&["check", "."]);
    assert_eq!(status, 1);
    let mut found = standing(&report);
    found.sort();
    assert_eq!(found, ["upwind-run-length", "waiver-not-permitted"]);
    repo.write(APPROVAL, &key.sign("offing-plan", &statement(&repo)));
    let (status, report) = repo.json(&["check", "."]);
    assert_eq!((status, standing(&report)), (0, vec![]));
    let of_mission = report["missions"].as_array().unwrap().iter();
    let mission = of_mission
        .clone()
        .find(|m| m["mission"] == "headwind-return")
        .unwrap();
    assert_eq!(mission["approvals"][0]["role"], "survey-lead");
    assert_eq!(mission["approvals"][0]["good"], true);
    // The digest of the whole is that of the statement.
    let (_, whole) = repo.run(&["digest", "headwind-return", "--whole"]);
    assert_eq!(mission["digest"], whole.trim());
    // Any file of the plan that changes takes the approval away.
    for path in [
        UPWIND,
        TEAM,
        "plans/vessels/goosander.yaml",
        "plans/site/quenderby-soundings.geojson",
    ] {
        let before = repo.read(path);
        repo.write(path, &format!("{before}\n"));
        let (status, report) = repo.json(&["check", "."]);
        assert_eq!(status, 1, "{path}");
        assert!(
            standing(&report).contains(&"approval-invalid".to_owned()),
            "{path}"
        );
        repo.write(path, &before);
    }
    assert_eq!(repo.json(&["check", "."]).0, 0);
}

#[test]
fn no_other_signature_is_an_approval() {
    let (key, stranger) = (Key::new(), Key::new());
    let repo = signed_by(&key);
    let plan = statement(&repo);
    for (signature, why) in [
        (key.sign("file", &plan), "another purpose"),
        (
            key.sign("offing-plan", "something else\n"),
            "something else",
        ),
        (
            stranger.sign("offing-plan", &plan),
            "may not sign for that role",
        ),
        ("no signature\n".to_owned(), "no signature"),
        (String::new(), "no signature"),
    ] {
        repo.write(APPROVAL, &signature);
        let (status, report) = repo.json(&["check", "."]);
        assert_eq!(status, 1, "{why}");
        let findings = report["findings"].as_array().unwrap();
        let told = findings
            .iter()
            .find(|finding| finding["rule"] == "approval-invalid");
        let message = told.expect("it is told")["message"].to_string();
        assert!(message.contains(why), "{why}: {message}");
        assert!(
            standing(&report).contains(&"upwind-run-length".to_owned()),
            "{why}"
        );
    }
    // A good signature under another role's name is that role's, who may not sign.
    std::fs::remove_file(repo.path().join(APPROVAL)).unwrap();
    repo.write(
        "plans/missions/headwind-return.operator.approval",
        &key.sign("offing-plan", &plan),
    );
    let found = standing(&repo.json(&["check", "."]).1);
    assert!(found.contains(&"approval-invalid".to_owned()), "{found:?}");
    // Signers that cannot be read are an error of the policy, on its line.
    std::fs::remove_file(repo.path().join("plans/policy/signers")).unwrap();
    let (status, report) = repo.json(&["check", "."]);
    assert_eq!(status, 2);
    assert!(standing(&report).contains(&"input-reference".to_owned()));
}

#[test]
fn a_policy_below_another_cannot_name_other_signers() {
    let repo = signed_by(&Key::new());
    repo.write("plans/policy/others", "survey-lead none\n");
    repo.write(
        "plans/policy/own.yaml",
        "kind: policy\nformat: 1\nid: own\nextends: team\nrules: {}\napprovals: { signers: others }\n",
    );
    let (status, report) = repo.json(&["check", "."]);
    assert_eq!(status, 2);
    assert!(standing(&report).contains(&"policy-loosens".to_owned()));
}

#[test]
#[ignore = "slow"]
fn what_a_launch_still_needs_signed_is_noted_and_is_no_finding() {
    let key = Key::new();
    let repo = signed_by(&key);
    let mission = ["check", "plans/missions/north-bay-lines.yaml"];
    let (before, _) = repo.json(&mission);
    repo.edit(
        TEAM,
        "approvals: { signers: signers }",
        "approvals: { signers: signers, needed: [survey lead] }",
    );
    let noted = |report: &serde_json::Value| {
        let notes = report["notes"].as_array().unwrap();
        let of_signature = notes
            .iter()
            .filter(|note| note.as_str().unwrap().contains("signature of survey lead"));
        of_signature.count()
    };
    let (status, report) = repo.json(&mission);
    assert_eq!((status, noted(&report)), (before, 1), "{report}");
    assert_eq!(standing(&report), Vec::<String>::new());
    let brief = ["brief", "north-bay-lines", "--plans", "plans"];
    assert!(repo.run(&brief).1.contains("has not signed yet"));
    let plan = repo.run(&["digest", "north-bay-lines"]).1;
    let approval = "plans/missions/north-bay-lines.survey-lead.approval";
    repo.write(approval, &key.sign("offing-plan", &plan));
    let (status, report) = repo.json(&mission);
    assert_eq!((status, noted(&report)), (before, 0), "{report}");
    let page = repo.run(&brief).1;
    assert!(page.contains("has signed") && !page.contains("has not signed yet"));
}
