//! The history of plans that were run: recorded, listed, and held to what it says.

mod again;
mod approved_once;
mod boats;
mod doubts;
mod hidden;
use crate::shared::key;
mod killed;
mod last_season;
mod put_in;
use crate::shared::repo;
mod said;
mod sealed;
mod season;
mod signed;
mod tampered;
mod turned;
mod unused;
use crate::shared::water;

use season::{Season, TRACK, record};

#[test]
fn a_season_is_recorded_listed_and_verified() {
    let season = Season::new();
    let repo = &season.repo;
    let (status, text) = repo.run(&["history", "verify"]);
    assert_eq!(status, 0, "{text}");
    assert!(
        text.contains("4 records: the chain is whole, and as git has it"),
        "{text}"
    );
    for (option, id, hint) in [
        (
            "--mission",
            "north-bay-line",
            "did you mean `north-bay-lines`?",
        ),
        ("--mission", "zzz", "there are runs of north-bay-lines"),
        ("--vessel", "gosander", "did you mean `goosander`?"),
    ] {
        let output = repo.offing(&["history", option, id]);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(0), "{said}");
        assert!(said.contains(hint), "{option} {id}: {said}");
    }
    let (status, text) = repo.run(&["history"]);
    assert_eq!(status, 0);
    for holds in [
        "4 runs",
        "1 broken off",
        "1 fetched",
        "1 near miss",
        "near miss: A swimmer",
    ] {
        assert!(text.contains(holds), "{holds}: {text}");
    }
    // Each track goes 0.0002° north and 0.0004° east at 52.4°: 22.25 m and 27.24 m on the ellipsoid.
    let (_, listed) = repo.json(&["history"]);
    for run in listed["runs"].as_array().unwrap() {
        assert_eq!(run["sailed"], "35.2 m", "{run}");
    }
    assert_eq!(listed["totals"]["sailed"], "141 m");
    assert_eq!(listed["totals"]["tracked"], 4);
    let (_, listed) = repo.json(&["history", "--outcome", "aborted"]);
    assert_eq!(listed["totals"]["runs"], 1);
    assert_eq!(listed["runs"][0]["outcome"], "aborted");
    let (_, listed) = repo.json(&["history", "--since", "2027-06-17", "--until", "2027-06-17"]);
    assert_eq!(listed["totals"]["runs"], 1);
    let turned = ["history", "--since", "2027-06-18", "--until", "2027-06-17"];
    assert_eq!(repo.run(&turned).0, 64);
    let (_, listed) = repo.json(&["history", "--near-misses", "--vessel", "goosander"]);
    assert_eq!(listed["totals"]["near_misses"], 1);
    let (_, listed) = repo.json(&["history", "--mission", "nothing"]);
    assert_eq!(listed["totals"]["runs"], 0);
    // What the totals say, added up by hand: 40, 25, 38 and 20 minutes are 2.05 h, 14.5 + 9 + 13 Wh.
    let (_, listed) = repo.json(&["history"]);
    assert_eq!(listed["totals"]["energy"], "36.5 Wh");
    assert_eq!(listed["totals"]["time"], "2.05 h");
    // Records are files of the repository that a check takes no offence at.
    let (_, report) = repo.json(&["check", "."]);
    assert!(
        !report["findings"].to_string().contains("runs/"),
        "{report}"
    );
}

#[test]
fn each_record_names_the_bytes_of_the_one_before_it() {
    let season = Season::new();
    let (_, listed) = season.repo.json(&["history"]);
    let runs = listed["runs"].as_array().unwrap();
    assert_eq!(runs[0]["previous"].as_array().unwrap().len(), 0);
    for pair in runs.windows(2) {
        let path = season.repo.path().join(pair[0]["path"].as_str().unwrap());
        let out = std::process::Command::new("sha256sum")
            .arg(path)
            .output()
            .unwrap();
        let digest = String::from_utf8(out.stdout).unwrap()[..64].to_owned();
        assert_eq!(pair[1]["previous"], serde_json::json!([digest]));
    }
}

#[test]
#[ignore = "slow"]
fn a_run_is_recorded_once_and_only_as_it_was() {
    let season = Season::new();
    let repo = &season.repo;
    let last = season.runs.last().unwrap();
    let again = |changes: &[(&str, &str)]| {
        let output = record(repo, last, changes);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        (output.status.code().unwrap(), said)
    };
    let before = std::fs::read_dir(repo.path().join("runs")).unwrap().count();
    for (changes, status, says) in [
        (&[][..], 64, "already recorded"),
        (
            &[
                ("--launched", "2027-06-18T11:41:00Z"),
                ("--ended", "2027-06-18T11:00:00Z"),
            ],
            64,
            "before it was launched",
        ),
        (
            &[
                ("--launched", "2027-06-18T11:41:00Z"),
                ("--at", "2027-06-18T11:50:00Z"),
            ],
            64,
            "after this is recorded",
        ),
        (&[("--ended", "yesterday")], 64, "is not a point in time"),
        (&[("--energy", "31")], 64, "--energy"),
        (&[("--energy", "-3 Wh")], 64, "less than nothing"),
        (&[("--by", " ")], 64, "names nobody"),
        (&[("--commit", "nowhere")], 2, "no revision"),
        (&[("--decision", "nothing")], 64, "no decision `nothing`"),
        (&[("--track", "nothing.gpx")], 2, "nothing.gpx"),
        (&[("--track", ".")], 2, "a track is a file"),
    ] {
        let (code, said) = again(changes);
        assert_eq!(code, status, "{changes:?}: {said}");
        assert!(said.contains(says), "{changes:?}: {said}");
    }
    let after = std::fs::read_dir(repo.path().join("runs")).unwrap().count();
    assert_eq!(before, after, "nothing was written");
}

/// The commit has to hold the plan that was decided on.
#[test]
#[ignore = "slow"]
fn a_decision_about_another_plan_is_not_recorded() {
    let season = Season::new();
    let repo = &season.repo;
    let mission = season.next_day("2027-06-19");
    season.decide("2027-06-19");
    // Changed and committed after the decision.
    let text = repo
        .read(&mission)
        .replace("charge_at_launch: 95 %", "charge_at_launch: 94 %");
    repo.write(&mission, &text);
    repo.commit();
    let run = season::Run::on("2027-06-19", 30, "completed");
    let output = record(repo, &run, &[]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(64), "{said}");
    assert!(
        said.contains("another plan than the commit holds"),
        "{said}"
    );
    // The commit before it does.
    let output = record(repo, &run, &[("--commit", "HEAD~1")]);
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    repo.commit();
    assert_eq!(repo.run(&["history", "verify"]).0, 0);
}

#[test]
#[ignore = "slow"]
fn branches_that_both_append_are_joined_by_the_next_record() {
    let season = Season::new();
    let repo = &season.repo;
    repo.git(&["branch", "other"]);
    season.run_on("2027-06-21", 30, "completed");
    repo.commit();
    repo.git(&["checkout", "--quiet", "other"]);
    season.run_on("2027-06-22", 30, "completed");
    repo.commit();
    // Each branch has moved the one mission on to its own day.
    repo.git(&[
        "merge",
        "--quiet",
        "--strategy-option=ours",
        "-m",
        "both",
        "main",
    ]);
    let (status, text) = repo.run(&["history", "verify"]);
    assert_eq!(status, 0, "{text}");
    assert!(text.contains("6 records"), "{text}");
    season.run_on("2027-06-23", 30, "completed");
    repo.commit();
    let (_, listed) = repo.json(&["history"]);
    let last = listed["runs"].as_array().unwrap().last().unwrap().clone();
    assert_eq!(last["previous"].as_array().unwrap().len(), 2);
    let (status, text) = repo.run(&["history", "verify"]);
    assert_eq!(status, 0, "{text}");
}

#[test]
fn where_there_is_no_git_or_no_record_it_says_so() {
    let repo = repo::Repo::new();
    repo.commit();
    let (status, text) = repo.run(&["history"]);
    assert_eq!(status, 0);
    assert!(text.starts_with("0 runs"), "{text}");
    let output = repo.offing(&["history", "--mission", "north-bay-lines"]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(said.contains("no runs recorded yet"), "{said}");
    let (status, text) = repo.run(&["history", "verify"]);
    assert_eq!(
        (status, text.as_str()),
        (0, "0 records: the chain is whole, and as git has it\n")
    );
    std::fs::remove_dir_all(repo.path().join(".git")).unwrap();
    let output = repo.offing(&["history", "verify"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("no git repository"));
    repo.write(TRACK, &water::track("2027-06-15"));
}
