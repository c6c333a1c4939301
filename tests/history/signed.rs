//! Records and commits signed with keys of OpenSSH, where the policy asks for it.

use super::key::Key;
use super::repo::{NORTH, Repo, TEAM, standing};
use super::season::{Run, Season, record};

const DAY: &str = "2027-06-15";
const FLIGHT: &str = "flights/north-bay-lines-20270615T114000Z.yaml";
const SIGNATURE: &str = "flights/north-bay-lines-20270615T114000Z.survey-lead.signature";

/// A season whose policy names signers and asks for something.
fn asking(key: &Key, asks: &str) -> Season {
    let repo = Repo::new();
    repo.write(
        "plans/policy/signers",
        &format!("survey-lead {}", key.public),
    );
    repo.append(
        TEAM,
        &format!("approvals: {{ signers: signers, {asks} }}\n"),
    );
    Season::begun(repo)
}

/// One run, decided on and recorded; what recording it says.
fn run(season: &Season) -> String {
    season.next_day(DAY);
    season.decide(DAY);
    let output = record(&season.repo, &Run::on(DAY, 40, "completed"), &[]);
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{said}");
    text
}

/// Exit status and findings, each with its sentence.
fn verified(season: &Season) -> (i32, Vec<String>, String) {
    let (status, report) = season.repo.json(&["history", "verify"]);
    let verified = &report["verified"];
    let texts: Vec<&str> = verified["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["message"].as_str().unwrap())
        .collect();
    (status, standing(verified), texts.join("\n"))
}

#[test]
fn a_record_that_has_to_be_signed_is_told_until_its_role_has_signed_it() {
    let key = Key::new();
    let season = asking(&key, "signed_records: true");
    let said = run(&season);
    assert!(
        said.contains(&format!("mv {FLIGHT}.sig {SIGNATURE}")),
        "{said}"
    );
    season.repo.commit();
    let (status, rules, text) = verified(&season);
    assert_eq!((status, rules), (1, vec!["record-unsigned".to_owned()]));
    assert!(text.contains(SIGNATURE), "{text}");
    let recorded = season.repo.read(FLIGHT);
    for (signature, why) in [
        (
            Key::new().sign("offing-record", &recorded),
            "may not sign for that role",
        ),
        (key.sign("offing-plan", &recorded), "another purpose"),
        (
            key.sign("offing-record", &format!("{recorded} ")),
            "something else",
        ),
        ("none".to_owned(), "no signature"),
    ] {
        season.repo.write(SIGNATURE, &signature);
        let (status, rules, text) = verified(&season);
        assert_eq!((status, rules), (1, vec!["record-unsigned".to_owned()]));
        assert!(text.contains(why), "{why}: {text}");
    }
    season
        .repo
        .write(SIGNATURE, &key.sign("offing-record", &recorded));
    season.repo.commit();
    assert_eq!(verified(&season), (0, vec![], String::new()));
    // Turned in any place it signs nothing any more: of every line one byte.
    let good = season.repo.read(SIGNATURE);
    let mut at = 0;
    for line in good.lines().filter(|line| !line.starts_with('-')) {
        at = good[at..].find(line).unwrap() + at;
        let mut turned = good.clone().into_bytes();
        turned[at + 3] = if turned[at + 3] == b'A' { b'B' } else { b'A' };
        season
            .repo
            .write(SIGNATURE, &String::from_utf8(turned).unwrap());
        assert_eq!(verified(&season).0, 1, "{line}");
    }
}

/// Who changes a record and makes the chain anew cannot sign for it.
#[test]
fn a_record_made_anew_by_somebody_else_is_found_though_the_chain_is_whole() {
    let key = Key::new();
    let season = asking(&key, "signed_records: true");
    run(&season);
    let recorded = season.repo.read(FLIGHT);
    season
        .repo
        .write(SIGNATURE, &key.sign("offing-record", &recorded));
    season
        .repo
        .edit(FLIGHT, "outcome: completed", "outcome: aborted");
    season.repo.commit();
    let (status, rules, text) = verified(&season);
    assert_eq!((status, rules), (1, vec!["record-unsigned".to_owned()]));
    assert!(text.contains("something else"), "{text}");
}

#[test]
fn commits_that_have_to_be_signed_are_by_somebody_whom_the_signers_name() {
    let (key, stranger) = (Key::new(), Key::new());
    for (signer, whys) in [
        (None, &["carries none"][..]),
        (Some(&stranger), &["no signer has the key"][..]),
        (Some(&key), &[][..]),
    ] {
        let season = asking(&key, "signed_commits: true");
        let repo = &season.repo;
        let signing = |message: &str| {
            repo.git(&["add", "--all"]);
            let Some(key) = signer else {
                repo.commit();
                return;
            };
            let signer = format!("user.signingkey={}", key.path().display());
            repo.git(&[
                "-c",
                "gpg.format=ssh",
                "-c",
                &signer,
                "commit",
                "--quiet",
                "--allow-empty",
                "-S",
                "-m",
                message,
            ]);
        };
        season.next_day(DAY);
        season.decide(DAY);
        signing("The plan as it is run.\n\ngpgsig is a word in this text too.");
        let output = record(repo, &Run::on(DAY, 40, "completed"), &[]);
        assert!(output.status.success());
        signing("Its record.");
        // Whether git itself can tell who signed it is not asked: the repository says nothing of that.
        let (status, rules, text) = verified(&season);
        match whys {
            [] => assert_eq!((status, rules), (0, vec![]), "{text}"),
            [why] => {
                assert_eq!((status, rules), (1, vec!["commit-unsigned".to_owned(); 2]));
                assert_eq!(text.matches(why).count(), 2, "{text}");
            }
            _ => unreachable!(),
        }
    }
}

/// Where nothing asks for it, nothing is asked; and to ask no longer is told in a review.
#[test]
fn to_ask_for_signatures_no_longer_is_a_weaker_policy() {
    let season = asking(&Key::new(), "signed_records: true, signed_commits: true");
    let repo = &season.repo;
    let before = repo.commit();
    repo.edit(
        TEAM,
        "signed_records: true, signed_commits: true",
        "signed_records: false",
    );
    repo.commit();
    let (status, report) = repo.json(&["review", &before, "HEAD"]);
    let told = report.to_string();
    assert_eq!(status, 1, "{told}");
    for what in ["records need no signature", "commits of records need no"] {
        assert!(told.contains(what), "{what}: {told}");
    }
    assert!(repo.read(NORTH).contains("north-bay-lines"));
}

/// A policy below another cannot take back what that one asks for.
#[test]
fn what_a_policy_above_asks_for_stays_asked_for() {
    let key = Key::new();
    let season = asking(&key, "signed_records: true");
    season.repo.write(
        "plans/policy/boat.yaml",
        "kind: policy\nformat: 1\nid: boat\nextends: team\nrules: {}\napprovals: { signed_records: false }\n",
    );
    season.repo.edit(NORTH, "policy: team", "policy: boat");
    run(&season);
    season.repo.commit();
    assert_eq!(verified(&season).1, ["record-unsigned"]);
}
