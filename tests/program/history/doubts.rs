//! What is said of a run and cannot have been, or is hardly so.

use super::repo::{NORTH, Repo};
use super::season::{Run, Season, TRACK, record, told};
use super::water::{launching, track, with};

const DAY: &str = "2027-06-15";

/// A day on which the launch was decided on, and nothing recorded yet.
fn decided() -> Season {
    let season = Season::begun(Repo::new());
    season.next_day(DAY);
    season.decide(DAY);
    season
}

#[test]
#[ignore = "slow"]
fn what_cannot_have_been_is_refused_with_its_option_and_the_line_it_is_held_to() {
    let season = decided();
    let repo = &season.repo;
    for (path, text) in [
        ("tracks/empty.gpx", String::new()),
        ("tracks/no.gpx", "<kml/>".to_owned()),
        (
            "tracks/route.gpx",
            "<gpx version=\"1.1\"><rte/></gpx>".to_owned(),
        ),
        ("tracks/words.csv", "words\n".to_owned()),
        (
            "tracks/columns.yaml",
            "kind: track-columns\nformat: 1\n".to_owned(),
        ),
    ] {
        repo.write(path, &text);
    }
    let run = Run::on(DAY, 40, "completed");
    for (changes, status, says) in [
        // Four cells of 9.3 Ah and 3.7 V hold some 138 Wh.
        (
            &[("--energy", "5 kWh")][..],
            64,
            "--energy: 5000 Wh is more than the pack holds when it is full",
        ),
        (
            &[("--energy", "5 kWh")],
            64,
            "by plans/vessels/goosander.yaml:",
        ),
        (
            &[("--ended", "2027-06-15T09:39")],
            64,
            "--ended: the boat was back at 2027-06-15 09:39 (UTC−02:00), before it was launched",
        ),
        (
            &[("--ended", "2027-06-15T09:39")],
            64,
            "by launches/north-bay-lines-20270615T114000Z.yaml:",
        ),
        (
            &[("--ended", "2027-06-15T17:00Z")],
            64,
            "after this is recorded, at 2027-06-15 14:00 (UTC−02:00) by `--at`",
        ),
        (
            &[
                ("--ended", "2027-06-18T12:00Z"),
                ("--at", "2027-06-19T12:00Z"),
            ],
            64,
            ", by plans/missions/north-bay-lines.yaml:",
        ),
        (
            &[
                ("--ended", "2027-06-15T23:00Z"),
                ("--at", "2027-06-19T12:00Z"),
            ],
            64,
            "--ended: that is 11.3 h after the launch",
        ),
        (
            &[("--ended", "noon")],
            64,
            "--ended: `noon` is not a point in time",
        ),
        (
            &[("--by", "survey leader")],
            64,
            "--by: neither mission `north-bay-lines` nor policy `team` names `survey leader`; did you mean `survey lead`?",
        ),
        (&[("--by", "zzz")], 64, "they name survey lead, "),
        // A word of a role is none.
        (&[("--by", "lead")], 64, "names `lead`"),
        (&[("--by", "with")], 64, "names `with`"),
        (
            &[("--at", "2099-06-15T16:00Z")],
            64,
            "--at: 2099-06-15 14:00 (UTC−02:00) is ahead of this computer's clock",
        ),
        // What would be read as no record by every command after it is not written.
        (
            &[("--near-miss", "")],
            64,
            "cannot be recorded, so nothing was written: `near_misses",
        ),
        (
            &[("--conditions", "")],
            64,
            "cannot be recorded, so nothing was written: `conditions`",
        ),
        (&[("--track", "tracks/empty.gpx")], 2, "tracks/empty.gpx"),
        (&[("--track", "tracks/no.gpx")], 2, "tracks/no.gpx"),
        (&[("--track", "tracks/route.gpx")], 2, "no point of a track"),
        (&[("--track", NORTH)], 2, "say with `--columns FILE`"),
        (
            &[
                ("--track", "tracks/words.csv"),
                ("--columns", "tracks/columns.yaml"),
            ],
            2,
            "tracks/columns.yaml",
        ),
    ] {
        let output = record(repo, &run, changes);
        let (code, _, said) = told(&output);
        assert_eq!(code, status, "{changes:?}: {said}");
        assert!(said.contains(says), "{changes:?}: {said}");
    }
    assert!(!repo.path().join("runs").exists(), "nothing was written");
}

#[test]
#[ignore = "slow"]
fn times_may_be_the_sites_or_with_their_offset() {
    for ended in [
        "2027-06-15T10:20",
        "2027-06-15T12:20Z",
        "2027-06-15T14:20+02:00",
    ] {
        let season = decided();
        let output = record(
            &season.repo,
            &Run::on(DAY, 40, "completed"),
            &[("--ended", ended), ("--launched", "2027-06-15T09:41")],
        );
        let (code, text, said) = told(&output);
        assert_eq!(code, 0, "{said}");
        assert!(!text.contains("notes:"), "{text}");
        let run = season
            .repo
            .read("runs/north-bay-lines-20270615T114100Z.yaml");
        assert!(run.contains("ended: \"2027-06-15T12:20:00Z\""), "{run}");
        assert!(run.contains("launched: \"2027-06-15T11:41:00Z\""), "{run}");
    }
}

#[test]
#[ignore = "slow"]
fn what_is_hardly_so_is_recorded_and_told() {
    for (outcome, changes, says) in [
        ("completed", &[][..], &[][..]),
        (
            "completed",
            &[("--energy", "125 Wh")],
            &["energy-beyond-usable: ", "by plans/vessels/goosander.yaml:"],
        ),
        (
            "completed",
            &[("--energy", "0.5 Wh")],
            &["energy-little: the run took 0.5 Wh; planned up to"],
        ),
        (
            "completed",
            &[("--ended", "2027-06-15T12:00Z")],
            &["back-early: the boat was back 20 min after"],
        ),
        (
            "completed",
            &[("--ended", "2027-06-15T14:40Z")],
            &["back-late: the boat was back 3 h after"],
        ),
        (
            "recovered",
            &[
                ("--ended", "2027-06-17T14:40Z"),
                ("--at", "2027-06-18T00:00Z"),
            ],
            &["back-late: "],
        ),
        (
            "lost",
            &[("--track", "tracks/empty.gpx")],
            &["track-unreadable: the track holds nothing of the run"],
        ),
        (
            "completed",
            &[("--track", "tracks/other-day.gpx")],
            &["track-apart: no fix of the track, from 2027-06-14 09:41"],
        ),
        (
            "completed",
            &[
                ("--launched", "2027-06-15T13:30Z"),
                ("--ended", "2027-06-15T14:10Z"),
            ],
            &[
                "decision-differs: the boat was launched at",
                "launched-outside: the boat was launched at",
                "by plans/missions/north-bay-lines.yaml:",
                "track-apart",
            ],
        ),
    ] {
        let season = decided();
        season.repo.write("tracks/empty.gpx", "");
        season
            .repo
            .write("tracks/other-day.gpx", &track("2027-06-14"));
        let output = record(&season.repo, &Run::on(DAY, 40, outcome), changes);
        let (code, text, said) = told(&output);
        assert_eq!(code, 0, "{changes:?}: {said}");
        assert_eq!(says.is_empty(), !text.contains("notes:"), "{text}");
        for one in says {
            assert!(text.contains(one), "{one}: {text}");
        }
        // How it gets on record is always told.
        assert!(text.contains("git add -- runs/north-bay-lines-"), "{text}");
    }
}

#[test]
fn a_run_that_nobody_let_go_is_told_at_once() {
    let season = Season::begun(Repo::new());
    season.next_day(DAY);
    let (code, text, said) = told(&record(
        &season.repo,
        &Run::on(DAY, 40, "completed"),
        &[("--launched", "2027-06-15T11:40Z")],
    ));
    assert_eq!(code, 0, "{said}");
    assert!(text.contains("run-undecided: there was no decision on this launch; `offing history verify` names that"), "{text}");
    let season = Season::begun(Repo::new());
    season.next_day(DAY);
    let no = launching("north-bay-lines", &with(&[("--by", "operator")]));
    assert_eq!(season.repo.offing(&no).status.code(), Some(1));
    season.repo.commit();
    let (code, text, said) = told(&record(&season.repo, &Run::on(DAY, 40, "completed"), &[]));
    assert_eq!(code, 0, "{said}");
    assert!(
        text.contains(
            "run-against-decision: the decision on the launch was a no-go, by \
                           launches/north-bay-lines-20270615T114000Z.yaml: \
                           not-in-charge"
        ),
        "{text}"
    );
    season.repo.commit();
    let (_, report) = season.repo.json(&["history", "verify"]);
    assert!(
        report["verified"]["findings"]
            .to_string()
            .contains("run-against-decision"),
        "{report}"
    );
    assert!(season.repo.read(TRACK).contains("trkpt"));
}

/// The command that is reported commits the file, from wherever it was called and wherever it was put.
#[test]
fn the_command_that_commits_names_the_file_from_any_folder() {
    let season = Season::begun(Repo::new());
    season.next_day(DAY);
    let repo = &season.repo;
    for (number, (folder, output)) in [("plans", "here.yaml"), ("plans/missions", "../there.yaml")]
        .into_iter()
        .enumerate()
    {
        let at = format!("2027-06-15T09:4{number}");
        let options = with(&[("--at", &at), ("--output", output)]);
        let ran = std::process::Command::new(env!("CARGO_BIN_EXE_offing"))
            .args(launching("north-bay-lines", &options))
            .current_dir(repo.path().join(folder))
            .output()
            .unwrap();
        let text = String::from_utf8(ran.stdout).unwrap();
        let mut command = text.lines().map(str::trim);
        let command = command.find(|line| line.starts_with("git "));
        let command = command.unwrap_or_else(|| panic!("{text}"));
        let done = std::process::Command::new("sh")
            .args(["-c", command])
            .current_dir(repo.path().join(folder))
            .env("GIT_AUTHOR_NAME", "t")
            .env("GIT_AUTHOR_EMAIL", "t@example.com")
            .env("GIT_COMMITTER_NAME", "t")
            .env("GIT_COMMITTER_EMAIL", "t@example.com")
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert!(done.status.success(), "{command}: {said}");
    }
    assert_eq!(repo.git(&["status", "--porcelain"]), "");
}
