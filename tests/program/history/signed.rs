//! Records and commits signed with keys of OpenSSH, where the policy asks for it.

use super::key::Key;
use super::repo::{NORTH, Repo, TEAM, standing};
use super::season::{Run, Season, record};

const DAY: &str = "2027-06-15";
const RUN: &str = "runs/north-bay-lines-20270615T114000Z.yaml";
const SIGNATURE: &str = "runs/north-bay-lines-20270615T114000Z.survey-lead.signature";

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
#[ignore = "slow"]
fn a_record_that_has_to_be_signed_is_told_until_its_role_has_signed_it() {
    let key = Key::new();
    let season = asking(&key, "signed_records: true");
    let said = run(&season);
    assert!(
        said.contains(&format!("mv {RUN}.sig {SIGNATURE}")),
        "{said}"
    );
    season.repo.commit();
    let (status, rules, text) = verified(&season);
    assert_eq!((status, rules), (1, vec!["record-unsigned".to_owned()]));
    assert!(text.contains(SIGNATURE), "{text}");
    let recorded = season.repo.read(RUN);
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
    let recorded = season.repo.read(RUN);
    season
        .repo
        .write(SIGNATURE, &key.sign("offing-record", &recorded));
    season
        .repo
        .edit(RUN, "outcome: completed", "outcome: aborted");
    season.repo.commit();
    let (status, rules, text) = verified(&season);
    assert_eq!((status, rules), (1, vec!["record-unsigned".to_owned()]));
    assert!(text.contains("something else"), "{text}");
}

#[test]
#[ignore = "slow"]
fn commits_that_have_to_be_signed_are_by_somebody_whom_the_signers_name() {
    let (key, stranger) = (Key::new(), Key::new());
    for (signer, whys) in [
        (None, &["carries none"][..]),
        (Some(&stranger), &["no signer has the key"][..]),
        (Some(&key), &[][..]),
    ] {
        let season = asking(&key, "signed_commits: true");
        let repo = &season.repo;
        let signing = |message: &str| match signer {
            Some(key) => commit_signed(repo, key, message),
            None => drop(repo.commit()),
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
    for what in [
        "records no longer need a signature",
        "commits of records no longer need a signature",
    ] {
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

/// Commits what there is, signed.
fn commit_signed(repo: &Repo, key: &Key, message: &str) {
    let signer = format!("user.signingkey={}", key.path().display());
    repo.git(&["add", "--all"]);
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
}

/// Records a day that was decided on, and gives the paths of the record and of its signature.
fn day(season: &Season, day: &'static str) -> (String, String) {
    season.next_day(day);
    season.decide(day);
    let output = record(&season.repo, &Run::on(day, 40, "completed"), &[]);
    assert!(output.status.success());
    let name = format!("runs/north-bay-lines-{}T114000Z", day.replace('-', ""));
    (
        format!("{name}.yaml"),
        format!("{name}.survey-lead.signature"),
    )
}

/// Each record is held to the signers of its own commit, before and after they change.
#[test]
#[ignore = "slow"]
fn signers_that_change_hold_for_what_comes_after() {
    let (first, second) = (Key::new(), Key::new());
    let season = asking(&first, "signed_records: true");
    let repo = &season.repo;
    let (one, of_one) = day(&season, "2027-06-15");
    repo.write(&of_one, &first.sign("offing-record", &repo.read(&one)));
    repo.commit();
    repo.write(
        "plans/policy/signers",
        &format!("survey-lead {}", second.public),
    );
    let (two, of_two) = day(&season, "2027-06-16");
    repo.write(&of_two, &second.sign("offing-record", &repo.read(&two)));
    repo.commit();
    assert_eq!(verified(&season), (0, vec![], String::new()));
    // The key of before signs for nothing any more.
    repo.write(&of_two, &first.sign("offing-record", &repo.read(&two)));
    assert_eq!(verified(&season).1, ["record-unsigned"]);
    repo.write(&of_two, &second.sign("offing-record", &repo.read(&two)));
    repo.write(&of_one, &second.sign("offing-record", &repo.read(&one)));
    assert_eq!(verified(&season).1, ["record-unsigned"]);
}

/// What a policy asks is not left to the record to name.
#[test]
fn a_record_that_does_not_name_its_policy_is_held_to_it() {
    let key = Key::new();
    for (from, to) in [
        ("policy: \"team\"", "policy: \"team\""),
        ("policy: \"team\"", "policy: \"built-in\""),
    ] {
        let season = asking(&key, "signed_records: true, signed_commits: true");
        run(&season);
        let repo = &season.repo;
        let kept: Vec<String> = repo
            .read(RUN)
            .lines()
            .filter(|line| !line.contains("role: policy"))
            .map(|line| line.replace(from, to))
            .collect();
        repo.write(RUN, &(kept.join("\n") + "\n"));
        repo.commit();
        let (status, rules, text) = verified(&season);
        assert_eq!(status, 1);
        for rule in ["record-unsigned", "commit-unsigned", "input-differs"] {
            assert!(rules.contains(&rule.to_owned()), "{rule}: {text}");
        }
    }
}

/// A merge that puts a record in, and a file that becomes one, are looked at as any other commit.
#[test]
fn whatever_brought_a_record_has_to_be_signed() {
    let key = Key::new();
    let season = asking(&key, "signed_commits: true");
    let repo = &season.repo;
    season.next_day(DAY);
    season.decide(DAY);
    commit_signed(repo, &key, "one");
    repo.git(&["checkout", "--quiet", "-b", "aside"]);
    repo.write("notes.txt", "aside");
    commit_signed(repo, &key, "one");
    repo.git(&["checkout", "--quiet", "main"]);
    let output = record(repo, &Run::on(DAY, 40, "completed"), &[]);
    assert!(output.status.success());
    let text = repo.read(RUN);
    std::fs::remove_file(repo.path().join(RUN)).unwrap();
    repo.write("other.txt", "here");
    commit_signed(repo, &key, "one");
    let before = repo.git(&["rev-parse", "HEAD"]);
    repo.git(&["merge", "--quiet", "--no-commit", "--no-ff", "aside"]);
    repo.write(RUN, &text);
    repo.commit();
    assert_eq!(verified(&season).1, ["commit-unsigned"]);
    // First something else of that name, signed; then the record, unsigned.
    repo.git(&["reset", "--quiet", "--hard", &before]);
    repo.write(RUN, "note: to be filled in\n");
    commit_signed(repo, &key, "one");
    repo.write(RUN, &text);
    repo.commit();
    assert_eq!(verified(&season).1, ["commit-unsigned"]);
    // And as it ought to be.
    repo.git(&["reset", "--quiet", "--hard", &before]);
    repo.write(RUN, &text);
    commit_signed(repo, &key, "one");
    assert_eq!(verified(&season).1, Vec::<String>::new());
}

/// A program of that name in the folder that is worked in is none.
#[test]
fn a_signature_is_not_checked_by_what_lies_in_the_repository() {
    use std::os::unix::fs::PermissionsExt as _;
    let season = asking(&Key::new(), "signed_records: true");
    run(&season);
    let repo = &season.repo;
    let recorded = repo.read(RUN);
    repo.write(SIGNATURE, &Key::new().sign("offing-record", &recorded));
    repo.commit();
    let fake = repo.path().join("ssh-keygen");
    std::fs::write(&fake, "#!/bin/sh\nexit 0\n").unwrap();
    std::fs::set_permissions(&fake, std::fs::Permissions::from_mode(0o755)).unwrap();
    let path = format!(".:{}", std::env::var("PATH").unwrap());
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(["history", "verify"])
        .env("PATH", path)
        .current_dir(repo.path())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1));
}
