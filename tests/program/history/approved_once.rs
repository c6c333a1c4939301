//! What was approved once is run once, whoever decides where, and however it is written down.

use std::process::Output;

use super::repo::{Repo, standing};
use super::season::{Run, Season, record};
use super::water::{launching, with};

const DAY: &str = "2027-06-15";
const WHY: &str = "The wind rose before the boat was in the water.";

fn launch(repo: &Repo, changes: &[(&str, &str)]) -> (i32, String) {
    let output = repo.offing(&launching("north-bay-lines", &with(changes)));
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    (output.status.code().unwrap(), text + &said)
}

fn recorded(repo: &Repo, changes: &[(&str, &str)]) -> String {
    let output: Output = record(repo, &Run::on(DAY, 40, "completed"), changes);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{said}");
    repo.commit();
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn verified(repo: &Repo) -> Vec<String> {
    let (_, report) = repo.json(&["history", "verify", "--judge"]);
    standing(&report["verified"])
}

#[test]
fn one_approval_that_was_run_in_two_clones_is_found() {
    let season = Season::begun(Repo::new());
    season.next_day(DAY);
    let repo = &season.repo;
    // Two clones know nothing of one another.
    let other = Repo::cloned(repo.path());
    for (repo, at) in [(repo, "09:40"), (&other, "09:50")] {
        let at = format!("{DAY}T{at}");
        let (status, text) = launch(repo, &[("--at", &at)]);
        assert_eq!(status, 0, "{text}");
        repo.commit();
        let ended = format!("{DAY}T12:35Z");
        recorded(repo, &[("--ended", &ended)]);
    }
    let other = other.path().to_str().unwrap().to_owned();
    repo.git(&[
        "pull",
        "--quiet",
        "--no-rebase",
        "--no-edit",
        &other,
        "main",
    ]);
    let mut found = verified(repo);
    found.sort();
    // Both began the chain, too, which the next record would mend.
    assert_eq!(
        found,
        ["record-unlinked", "run-twice", "runs-overlap"],
        "each launch was a go by itself"
    );
}

#[test]
fn a_second_run_is_told_as_it_is_recorded() {
    let season = Season::begun(Repo::new());
    season.next_day(DAY);
    let repo = &season.repo;
    assert_eq!(launch(repo, &[]).0, 0);
    repo.commit();
    recorded(repo, &[]);
    // Launched once more on the same approval, without asking.
    let later = [
        ("--launched", "2027-06-15T12:10Z"),
        ("--ended", "2027-06-15T13:00Z"),
        ("--at", "2027-06-15T17:00Z"),
    ];
    let text = recorded(repo, &later);
    for told in ["run-twice", "runs-overlap"] {
        assert!(text.contains(told), "{told}: {text}");
    }
    let found = verified(repo);
    for named in ["run-twice", "runs-overlap"] {
        assert!(found.iter().any(|one| one == named), "{named}: {found:?}");
    }
}

#[test]
fn a_no_go_between_two_goes_that_was_committed_late_accuses_nobody() {
    let season = Season::begun(Repo::new());
    season.next_day(DAY);
    let repo = &season.repo;
    assert_eq!(launch(repo, &[]).0, 0);
    repo.commit();
    let gale = [
        ("--wind", "240° 14 m/s gust 20 m/s at 2 m"),
        ("--again", WHY),
    ];
    let (status, text) = launch(repo, &gale);
    assert_eq!(status, 1, "{text}");
    // It is not committed yet when the next one is decided.
    let (status, text) = launch(repo, &[("--at", "2027-06-15T09:45")]);
    assert_eq!(status, 0, "{text}");
    repo.commit();
    recorded(repo, &[("--ended", "2027-06-15T12:35Z")]);
    assert_eq!(verified(repo), Vec::<String>::new());
}

#[test]
fn a_go_whose_decision_says_nothing_of_the_one_before_it_is_found() {
    let season = Season::begun(Repo::new());
    season.next_day(DAY);
    let repo = &season.repo;
    assert_eq!(launch(repo, &[]).0, 0);
    repo.commit();
    let (status, text) = launch(repo, &[("--again", WHY)]);
    assert_eq!(status, 0, "{text}");
    let second = "launches/north-bay-lines-20270615T114000Z-2.yaml";
    let text = repo.read(second);
    let from = text.find("unused:").unwrap();
    let rest = &text[from + "unused:".len()..];
    let next = rest.find("\n").unwrap() + 1;
    let next = rest[next..]
        .lines()
        .take_while(|line| line.starts_with(' '))
        .map(|line| line.len() + 1)
        .sum::<usize>()
        + next;
    repo.write(
        second,
        &format!("{}unused: []\n{}", &text[..from], &rest[next..]),
    );
    repo.commit();
    recorded(
        repo,
        &[("--decision", "north-bay-lines-20270615T114000Z-2")],
    );
    assert_eq!(verified(repo), ["go-not-borne-out"]);
}

#[test]
fn only_the_person_in_charge_says_that_a_go_was_not_used() {
    let season = Season::begun(Repo::new());
    season.next_day(DAY);
    let repo = &season.repo;
    assert_eq!(launch(repo, &[]).0, 0);
    repo.commit();
    let (status, _) = launch(repo, &[("--by", "operator"), ("--again", WHY)]);
    assert_eq!(status, 1);
    // Whoever decided adds by hand what the program left out.
    let first = "launches/north-bay-lines-20270615T114000Z.yaml";
    let digest = offing::door::check::sha256(&repo.read(first));
    let second = "launches/north-bay-lines-20270615T114000Z-2.yaml";
    let text = repo.read(second);
    let said = format!("unused:\n  - {{ path: \"{first}\", sha256: \"{digest}\" }}\n");
    let text = match text.contains("unused: []\n") {
        true => text.replace("unused: []\n", &said),
        false => text + &said,
    };
    repo.write(second, &text);
    repo.commit();
    let (status, text) = launch(repo, &[("--at", "2027-06-15T09:50")]);
    assert_eq!(status, 1, "{text}");
    assert!(text.contains("launched-before"), "{text}");
    assert!(
        verified(repo).contains(&"decision-differs".to_owned()),
        "it was not for the operator to say"
    );
}

/// What the repository knows of a launch counts, wherever it knows it from.
#[test]
#[ignore = "slow"]
fn a_go_that_git_has_and_the_tree_has_not_is_found() {
    let decision = "launches/north-bay-lines-20270615T114000Z.yaml";
    let gone = |how: &dyn Fn(&Repo)| {
        let season = Season::begun(Repo::new());
        season.next_day(DAY);
        let repo = &season.repo;
        assert_eq!(launch(repo, &[]).0, 0);
        how(repo);
        let (status, text) = launch(repo, &[("--at", "2027-06-15T09:45")]);
        assert_eq!(status, 1, "{text}");
        // Nor is it enough to say that it was not used, while nobody can look at it.
        let said = [("--at", "2027-06-15T09:46"), ("--again", WHY)];
        let (status, more) = launch(repo, &said);
        assert_eq!(status, 1, "{more}");
        text
    };
    let remove = |repo: &Repo| std::fs::remove_file(repo.path().join(decision)).unwrap();
    let elsewhere = "which git has and this tree";
    // Removed by a commit.
    let text = gone(&|repo| {
        repo.commit();
        remove(repo);
        repo.commit();
    });
    assert!(
        text.contains("launched-before") && text.contains(elsewhere),
        "{text}"
    );
    // Made something else by a commit.
    let text = gone(&|repo| {
        repo.commit();
        repo.edit(decision, "kind: launch\nformat: 1\n", "kind: diary\n");
        repo.commit();
    });
    assert!(
        text.contains("launched-before") && text.contains(elsewhere),
        "{text}"
    );
    // Turned into a no-go by a commit.
    let text = gone(&|repo| {
        repo.commit();
        repo.edit(decision, "decision: go", "decision: no-go");
        repo.commit();
    });
    assert!(
        text.contains("launched-before") && text.contains(elsewhere),
        "{text}"
    );
    // Made on another branch.
    let text = gone(&|repo| {
        repo.git(&["checkout", "--quiet", "-b", "other"]);
        repo.commit();
        repo.git(&["checkout", "--quiet", "main"]);
    });
    assert!(
        text.contains("launched-before") && text.contains(elsewhere),
        "{text}"
    );
    // On a branch of a remote, as it was fetched.
    let text = gone(&|repo| {
        repo.git(&["checkout", "--quiet", "-b", "other"]);
        repo.commit();
        repo.git(&["update-ref", "refs/remotes/origin/other", "HEAD"]);
        repo.git(&["checkout", "--quiet", "main"]);
        repo.git(&["branch", "--quiet", "-D", "other"]);
    });
    assert!(
        text.contains("launched-before") && text.contains(elsewhere),
        "{text}"
    );
    // In a commit that was thrown away.
    let text = gone(&|repo| {
        repo.commit();
        repo.git(&["reset", "--quiet", "--hard", "HEAD~1"]);
    });
    assert!(
        text.contains("launched-before") && text.contains(elsewhere),
        "{text}"
    );
    // Removed from the disk alone: the commit that is checked out has it.
    let text = gone(&|repo| {
        repo.commit();
        remove(repo);
    });
    assert!(text.contains("not-committed"), "{text}");
    // In a stash.
    let text = gone(&|repo| {
        repo.git(&["add", "--all"]);
        repo.git(&["stash", "--quiet"]);
    });
    assert!(
        text.contains("launched-before") && text.contains(elsewhere),
        "{text}"
    );
}
