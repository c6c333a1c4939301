//! Seals on the end of a chain, made with keys of OpenSSH.

use super::key::Key;
use super::repo::{Repo, TEAM, standing};
use super::season::{Season, told};
use super::water::{launching, with};

const LAST: &str = "runs/north-bay-lines-20270618T114000Z.yaml";
const TAG: &str = "seal-north-bay-lines-20270618T114000Z";
const NO_GO: &str = "launches/north-bay-lines-20270619T114000Z.yaml";

/// A season, some of whose keys may sign.
fn season(signers: &str) -> Season {
    let season = Season::new();
    if !signers.is_empty() {
        // Said from the last run on: it is the policy of that commit that counts.
        season.repo.write("plans/policy/signers", signers);
        season
            .repo
            .append(TEAM, "approvals: { signers: signers }\n");
        season.run_on("2027-06-20", 30, "completed");
        season.repo.commit();
    }
    season
}

fn seal(repo: &Repo, key: &Key, by: &str) -> (i32, String, String) {
    let key = key.path();
    told(&repo.offing(&[
        "history",
        "seal",
        "--key",
        key.to_str().unwrap(),
        "--by",
        by,
    ]))
}

fn verified(repo: &Repo) -> (Vec<String>, String) {
    let (_, report) = repo.json(&["history", "verify"]);
    let verified = &report["verified"];
    let mut rules = standing(verified);
    rules.sort();
    rules.dedup();
    (rules, verified.to_string())
}

#[test]
#[ignore = "slow"]
fn the_last_record_is_held_to_a_seal() {
    let key = Key::new();
    let season = season("");
    let repo = &season.repo;
    // A no-go that no run rests on is sealed as well.
    season.next_day("2027-06-19");
    let gale = [
        ("--at", "2027-06-19T09:40"),
        ("--wind", "240° 14 m/s gust 20 m/s at 2 m"),
    ];
    repo.offing(&launching("north-bay-lines", &with(&gale)));
    let (status, _, said) = seal(repo, &key, "survey lead");
    assert_eq!(status, 64, "{said}");
    assert!(said.contains("1 decision is not committed yet"), "{said}");
    repo.commit();
    let (status, text, said) = seal(repo, &key, "survey lead");
    assert_eq!(status, 0, "{said}");
    assert!(
        text.contains(&format!("sealed 4 records in tag {TAG}")),
        "{text}"
    );
    assert!(
        text.contains(&format!("git push origin refs/tags/{TAG}")),
        "{text}"
    );
    // git itself takes the signature for one.
    let signers = repo.path().join(".git/signers");
    std::fs::write(&signers, format!("survey-lead {}", key.public)).unwrap();
    let setting = format!("gpg.ssh.allowedSignersFile={}", signers.display());
    repo.git(&["-c", "gpg.format=ssh", "-c", &setting, "verify-tag", TAG]);
    let (rules, text) = verified(repo);
    assert_eq!(rules, Vec::<String>::new());
    assert!(
        text.contains("no policy says whose signature counts"),
        "{text}"
    );
    // Sealed once under one name.
    let (status, _, said) = seal(repo, &key, "survey lead");
    assert_eq!(status, 74, "{said}");
    assert!(said.contains("already exists"), "{said}");
    // The last record made anew, in a history that is made anew with it.
    let sealed = repo.git(&["rev-parse", "HEAD"]);
    let anew = |change: &dyn Fn()| {
        repo.git(&["reset", "--quiet", "--hard", &sealed]);
        change();
        repo.git(&["checkout", "--quiet", "--orphan", "anew"]);
        repo.commit();
        repo.git(&["branch", "--quiet", "--force", "main"]);
        let (rules, text) = verified(repo);
        repo.git(&["checkout", "--quiet", "-B", "main", &sealed]);
        repo.git(&["branch", "--quiet", "-D", "anew"]);
        assert!(rules.contains(&"seal-broken".to_owned()), "{rules:?}");
        text
    };
    let text = anew(&|| repo.edit(LAST, "outcome: recovered by boat", "outcome: completed"));
    assert!(
        text.contains("is missing or differs from the seal"),
        "{text}"
    );
    anew(&|| std::fs::remove_file(repo.path().join(LAST)).unwrap());
    let text = anew(&|| std::fs::remove_file(repo.path().join(NO_GO)).unwrap());
    assert!(
        text.contains("decision `north-bay-lines-20270619T114000Z`"),
        "{text}"
    );
    // What comes after a seal leaves it whole.
    repo.git(&["reset", "--quiet", "--hard", &sealed]);
    season.run_on("2027-06-20", 30, "completed");
    repo.commit();
    assert_eq!(verified(repo).0, Vec::<String>::new());
}

#[test]
#[ignore = "slow"]
fn a_seal_is_of_somebody_whom_the_signers_name() {
    let (key, other) = (Key::new(), Key::new());
    let season = season(&format!("survey-lead {}", key.public));
    let repo = &season.repo;
    let tag = "seal-north-bay-lines-20270620T114000Z";
    assert_eq!(seal(repo, &other, "survey lead").0, 0);
    assert_eq!(verified(repo).0, ["seal-unsigned"]);
    repo.git(&["tag", "-d", tag]);
    // One that nobody signed, and one whose words were changed after it was.
    assert_eq!(seal(repo, &key, "survey lead").0, 0);
    let (rules, text) = verified(repo);
    assert_eq!(rules, Vec::<String>::new());
    assert!(text.contains("of survey-lead holds"), "{text}");
    let raw = repo.git(&["cat-file", "tag", tag]);
    let hash = |text: &str| {
        std::fs::write(repo.path().join(".git/raw"), text).unwrap();
        repo.git(&["hash-object", "-t", "tag", "-w", ".git/raw"])
    };
    let unsigned = raw.split("-----BEGIN").next().unwrap().to_owned();
    repo.git(&["update-ref", "refs/tags/other", &hash(&unsigned)]);
    assert_eq!(verified(repo).0, ["seal-unsigned"]);
    let fewer = raw.replace("records: 5", "records: 4");
    assert_ne!(fewer, raw);
    repo.git(&["update-ref", "refs/tags/other", &hash(&(fewer + "\n"))]);
    assert_eq!(verified(repo).0, ["seal-broken", "seal-unsigned"]);
    repo.git(&["tag", "-d", "other"]);
    // Any other tag is none.
    repo.git(&["tag", "-a", "-m", "a version", "v1"]);
    assert_eq!(verified(repo).0, Vec::<String>::new());
}

#[test]
fn what_is_broken_or_empty_is_not_sealed() {
    let key = Key::new();
    let repo = Repo::new();
    repo.commit();
    let (status, _, said) = seal(&repo, &key, "survey lead");
    assert_eq!(status, 64, "{said}");
    assert!(said.contains("nothing to seal"), "{said}");
    let season = Season::new();
    let repo = &season.repo;
    let (status, _, said) = seal(repo, &key, "§");
    assert_eq!(status, 64, "{said}");
    repo.edit(LAST, "outcome: recovered by boat", "outcome: completed");
    let (status, _, said) = seal(repo, &key, "survey lead");
    assert_eq!(status, 64, "{said}");
    assert!(
        said.contains("the chain is broken, so it was not sealed"),
        "{said}"
    );
    repo.git(&["checkout", "--quiet", "--", LAST]);
    let output = repo.offing(&["history", "seal", "--key", "nowhere", "--by", "survey lead"]);
    assert_eq!(output.status.code(), Some(2));
}
