//! What a launch asks for, where its decision goes, and what that is held to.

use serde_json::Value as Json;

use super::launch::{decided, launch, reasons, uncommitted};
use super::repo::{NORTH, Repo, TEAM};
use super::water::{go, launching, with};

const MISSION: &str = "north-bay-lines";

/// A decision that is recorded stays as it is; the next one about the same launch has a number.
#[test]
#[ignore = "slow"]
fn a_second_decision_goes_into_a_file_of_its_own() {
    let repo = Repo::new();
    let no = with(&[("--by", "operator")]);
    let (_, first) = decided(&repo, MISSION, &no);
    let path = first["record"].as_str().unwrap();
    let text = repo.read(path);
    let (status, second) = decided(&repo, MISSION, &go());
    assert_eq!((status, reasons(&second)), (0, vec![]), "{second}");
    let other = second["record"].as_str().unwrap();
    assert_eq!(other, "launches/north-bay-lines-20270615T114000Z-2.yaml");
    assert!(
        repo.read(other)
            .contains("id: \"north-bay-lines-20270615T114000Z-2\"")
    );
    assert_eq!(repo.read(path), text);
    let (_, third) = decided(&repo, MISSION, &go());
    assert_eq!(reasons(&third), ["launched-before"]);
    let third = third["record"].as_str().unwrap();
    assert!(third.ends_with("T114000Z-3.yaml"), "{third}");
    // One that is named is never written over, and what to do is said.
    let named = with(&[("--output", path)]);
    let (status, told, said) = launch(&repo, MISSION, &named);
    assert_eq!((status, told.as_str()), (64, ""));
    assert!(said.contains("name another file with `--output`"), "{said}");
    assert_eq!(repo.read(path), text);
    let (_, report) = repo.json(&["check", "."]);
    assert!(
        !report["findings"].to_string().contains("launches/"),
        "{report}"
    );
}

#[test]
fn what_cannot_be_written_is_told_with_its_path() {
    let repo = Repo::new();
    repo.write("launches", "a file where a folder is due");
    let (status, told, said) = launch(&repo, MISSION, &go());
    assert_eq!((status, told.as_str()), (74, ""), "{said}");
    assert!(said.contains("/launches: "), "{said}");
    for arguments in [
        &["brief", MISSION, "--output", "launches/page.html"][..],
        &[
            "export",
            MISSION,
            "--to",
            "gpx",
            "--output",
            "launches/r.gpx",
        ],
        &[
            "limits",
            MISSION,
            "--step",
            "30°",
            "--figure",
            "launches/f.svg",
        ],
        &["check", NORTH, "--figures", "launches/figures"],
        &["check", NORTH, "--format", "json=launches/r.json"],
        &[
            "baseline",
            "--review-by",
            "2027-12-31",
            "--by",
            "survey lead",
            "--reason",
            "Begun.",
            "--output",
            "launches/b.yaml",
        ],
    ] {
        let output = repo.offing(arguments);
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(74), "{arguments:?}: {said}");
        assert!(said.contains("launches/"), "{arguments:?}: {said}");
        // A file that lasts for a moment helps nobody.
        assert!(!said.contains(".tmp"), "{arguments:?}: {said}");
    }
}

/// A launch of what is not committed could never be held against the history.
#[test]
#[ignore = "slow"]
fn what_is_not_committed_is_not_launched() {
    let repo = Repo::new();
    let not_committed = |repo: &Repo| {
        let all = [&go()[..], &[("--format", "json")]].concat();
        let (status, text, said) = uncommitted(repo, MISSION, &all);
        let decision: Json = serde_json::from_str(&text).unwrap_or_else(|_| panic!("{said}{text}"));
        assert_eq!(
            (status, &decision["commit"]),
            (1, &Json::Null),
            "{decision}"
        );
        let record = repo.read(decision["record"].as_str().unwrap());
        assert!(!record.contains("commit:"), "{record}");
        std::fs::remove_dir_all(repo.path().join("launches")).unwrap();
        let all = decision["reasons"].as_array().unwrap().iter();
        let all = all.filter(|one| one["rule"] == "not-committed");
        all.map(|one| one["says"].as_str().unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    let says = not_committed(&repo);
    assert!(
        says.len() == 1 && says[0].starts_with("no commit is checked out here"),
        "{says:?}"
    );
    // One file that was changed, one that was never put in, one that was taken away.
    repo.commit();
    repo.append(NORTH, "# a remark");
    let says = not_committed(&repo);
    assert_eq!(says.len(), 1, "{says:?}");
    assert!(
        says[0].starts_with(NORTH) && says[0].contains("is not as committed"),
        "{says:?}"
    );
    assert!(says[0].contains("commit it"), "{says:?}");
    repo.git(&["checkout", "--quiet", "--", NORTH]);
    repo.git(&["rm", "--quiet", "--cached", TEAM]);
    repo.git(&["commit", "--quiet", "--message", "two"]);
    let says = not_committed(&repo);
    assert!(says.len() == 1 && says[0].starts_with(TEAM), "{says:?}");
    assert!(says[0].contains("is not committed"), "{says:?}");
    repo.commit();
    let rule = "plans/rules/more.yaml";
    let text = "kind: rule\nformat: 1\nid: more\ntitle: Wind\nmeasure: mission.wind_blows\nequals: true\n\
                severity: error\nwhy: A test.\nremedy: None.\nsources: [common practice, no source]\n";
    repo.write(rule, text);
    repo.commit();
    std::fs::remove_file(repo.path().join(rule)).unwrap();
    let says = not_committed(&repo);
    assert!(
        says.len() == 1 && says[0].contains("a policy or a rule that is not here"),
        "{says:?}"
    );
    // As it is committed, it names the commit, and the run can be recorded and verified.
    repo.git(&["checkout", "--quiet", "--", rule]);
    let commit = repo.commit();
    let (status, decision) = decided(&repo, MISSION, &go());
    assert_eq!((status, reasons(&decision)), (0, vec![]), "{decision}");
    let named = decision["commit"].as_str().unwrap();
    assert_eq!(
        repo.git(&["rev-parse", &format!("{named}^{{tree}}")]),
        repo.git(&["rev-parse", &format!("{commit}^{{tree}}")])
    );
    let record = repo.read(decision["record"].as_str().unwrap());
    assert!(record.contains(&format!("commit: \"{named}\"")), "{record}");
    let (_, report) = repo.json(&["check", "."]);
    assert!(
        !report["findings"].to_string().contains("launches/"),
        "{report}"
    );
    // Outside git there is nothing to be held to, which is said.
    std::fs::remove_dir_all(repo.path().join(".git")).unwrap();
    std::fs::remove_dir_all(repo.path().join("launches")).unwrap();
    let mut arguments = launching(MISSION, &go());
    let output = repo.offing(&arguments);
    let text = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(1), "{text}");
    assert!(text.starts_with("NO GO"), "{text}");
    assert!(
        text.contains("not-committed: the plan is in no git repository"),
        "{text}"
    );
    assert!(!text.contains("git add"), "{text}");
    arguments.push("--without-git".to_owned());
    let output = repo.offing(&arguments);
    let text = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(0), "{text}");
    // The one before was a no-go, which is reported.
    assert!(text.contains("decided before:"), "{text}");
    assert!(text.contains("is in no git repository"), "{text}");
}

/// What is read an hour ahead tells nothing of the launch, nor does a decision made after it.
#[test]
#[ignore = "slow"]
fn a_launch_is_decided_when_it_is_at_hand() {
    let repo = Repo::new();
    let at = |changes: &[(&str, &str)]| {
        let (status, decision) = decided(&repo, MISSION, &with(changes));
        assert_eq!(status == 0, reasons(&decision).is_empty(), "{decision}");
        std::fs::remove_dir_all(repo.path().join("launches")).unwrap();
        repo.git(&["commit", "--quiet", "--allow-empty", "--message", "none"]);
        let reasons = reasons(&decision).into_iter();
        let clocks = ["launch-ahead", "launch-past", "readings-old"];
        let found: Vec<String> = reasons
            .filter(|one| clocks.contains(&one.as_str()))
            .collect();
        found.join(" ")
    };
    // The launch is at 09:40; an hour and no more on either side.
    for (now, read, reason) in [
        ("2027-06-15T08:39", "", "launch-ahead"),
        ("2027-06-15T08:41", "", ""),
        ("2027-06-15T10:39", "", ""),
        ("2027-06-15T10:41", "", "launch-past"),
        ("2026-06-15T09:40", "", "launch-ahead"),
        ("2028-06-15T09:40", "", "launch-past"),
        ("2027-06-15T09:30", "2027-06-15T08:39", "readings-old"),
        ("2027-06-15T09:30", "2027-06-15T08:41", ""),
        ("2027-06-15T09:30", "2027-06-14T09:30", "readings-old"),
        ("2027-06-15T08:30", "2027-06-15T08:00", "launch-ahead"),
    ] {
        let found = at(&[("--now", now), ("--read", read)]);
        assert_eq!(found, reason, "now {now}, read {read}");
    }
    // Nothing was read that is still to come.
    let (status, _, said) = launch(
        &repo,
        MISSION,
        &with(&[
            ("--now", "2027-06-15T09:30"),
            ("--read", "2027-06-15T09:35"),
        ]),
    );
    assert_eq!(status, 64, "{said}");
    assert!(
        said.contains("--read: the instruments were read at"),
        "{said}"
    );
}

/// A time that was said is reported beside the computer's own, and recorded with it.
#[test]
fn a_time_that_is_said_is_recorded_beside_the_computers() {
    let repo = Repo::new();
    let (_, decision) = decided(&repo, MISSION, &go());
    let taken = decision["taken"].to_string();
    assert!(
        taken.contains("the stated time is 2027-06-15 09:40")
            && taken.contains("this computer's clock shows"),
        "{taken}"
    );
    let record = repo.read(decision["record"].as_str().unwrap());
    assert!(
        record.contains("decided: \"2027-06-15T11:40:00Z\""),
        "{record}"
    );
    let today = jiff::Timestamp::now().to_string();
    let clock = format!("clock: \"{}", &today[..10]);
    assert!(record.contains(&clock), "{record}");
    // By the computer's clock alone nothing is said of it.
    let mut arguments = launching(MISSION, &with(&[("--at", &today)]));
    arguments.truncate(arguments.len() - 2);
    repo.commit();
    let output = repo.offing(&arguments);
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(
        text.contains("launch-time") && !text.contains("the stated time is"),
        "{text}"
    );
    // Without it a launch of another year is none.
    let mut arguments = launching(MISSION, &go());
    arguments.truncate(arguments.len() - 2);
    let output = repo.offing(&arguments);
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(
        text.contains("launch-ahead") || text.contains("launch-past"),
        "{text}"
    );
}

/// A sign in front is a number's, not an option's, and is refused in the words of the reading.
#[test]
fn a_reading_with_a_sign_is_refused_as_a_reading() {
    let repo = Repo::new();
    for (option, value, says) in [
        ("--wind", "-20° 3 m/s", "a direction is from 0° to 360°"),
        ("--battery", "-15 V", "far below empty"),
        ("--charge", "-5 %", "not from 0 % to 100 %"),
    ] {
        let (status, _, said) = launch(&repo, MISSION, &with(&[(option, value)]));
        assert_eq!(status, 64, "{said}");
        assert!(
            said.contains(option) && said.contains(says),
            "{option}: {said}"
        );
    }
    let output = repo.offing(&["limits", MISSION, "--wind", "-20° 3 m/s"]);
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(
        said.contains("--wind: a direction is from 0° to 360°"),
        "{said}"
    );
}

/// Runs a launch at a terminal, and gives the answers.
fn at_terminal(repo: &Repo, answers: &str) -> (Option<i32>, String) {
    let arguments = "launch north-bay-lines --plans plans --at 2027-06-15T09:40 --now 2027-06-15T09:35 --colour never";
    repo.at_terminal(arguments, answers)
}

#[test]
fn at_a_terminal_it_asks() {
    let repo = Repo::new();
    repo.commit();
    let answers = "240° 2 m/s gust 3 m/s at 2 m\n16.5 V\nsurvey lead\nyes\nyes\nYes\nno\n";
    let (status, text) = at_terminal(&repo, answers);
    assert!(text.contains("the plan names `survey lead`"), "{text}");
    assert!(text.contains(": item-open"), "{text}");
    assert!(
        text.contains("not ticked at the water: `logging-on`"),
        "{text}"
    );
    assert_eq!(status, Some(1));
}

#[test]
#[ignore = "slow"]
fn at_a_terminal_a_slip_is_told_and_asked_for_again() {
    let repo = Repo::new();
    repo.commit();
    let answers = "240 2 m/s\n240° 2 m/s gust 3 m/s at 2 m\n165 V\n16.5\n16.5 V\n\nsurvey lead\n\
                   \nyes\nperhaps\ny\nyes\nyes\n";
    let (status, text) = at_terminal(&repo, answers);
    assert_eq!(status, Some(0), "{text}");
    for says in [
        "`240`, the direction, has no unit; write `240°`",
        "no pack of 4 cells rests at 165 V",
        "that names nobody",
        "no answer; write",
        "`perhaps` is neither",
        "GO for mission north-bay-lines",
    ] {
        assert!(text.contains(says), "{says}: {text}");
    }
    // Not for ever, and nothing was recorded of a launch that was not decided.
    std::fs::remove_dir_all(repo.path().join("launches")).unwrap();
    let (status, text) = at_terminal(&repo, "windy\nwindy\nwindy\n");
    assert_eq!(status, Some(64), "{text}");
    assert!(text.contains("nothing was recorded"), "{text}");
    assert!(!repo.path().join("launches").exists());
}

/// What a limit at the height of the reading promises, a launch with that reading keeps; a little more
/// wind it does not.
#[test]
#[ignore = "slow"]
fn limits_at_the_height_of_a_reading_are_those_of_a_launch() {
    let repo = Repo::new();
    let limits = |height: &str| {
        let (status, text) = repo.run(&[
            "limits", MISSION, "--step", "30°", "--height", height, "--format", "json",
        ]);
        assert_eq!(status, 0, "{text}");
        let found: Json = serde_json::from_str(&text).unwrap();
        crate::shared::schema::hold(&found);
        let mut sectors = found["sectors"].as_array().unwrap().iter();
        let from = |sector: &&Json| sector["from_degrees"] == 240.0;
        sectors.find(from).unwrap().clone()
    };
    let speed = |sector: &Json, of: &str, which: &str| sector[of][which]["value"].as_f64().unwrap();
    for height in ["2 m", "5 m"] {
        let sector = limits(height);
        let (mean, gust) = (
            speed(&sector, "as_read", "mean"),
            speed(&sector, "as_read", "gust"),
        );
        let decide = |more: f64| {
            let wind = format!(
                "240° {:.1} m/s gust {:.1} m/s at {height}",
                mean + more,
                gust + more
            );
            // Full, so that the charge is taken as planned, as limits take it.
            let options = with(&[("--wind", &wind), ("--battery", "16.79 V")]);
            let (_, decision) = decided(&repo, MISSION, &options);
            std::fs::remove_dir_all(repo.path().join("launches")).unwrap();
            decision
        };
        let at_limit = decide(0.0);
        assert_eq!(
            reasons(&at_limit),
            Vec::<String>::new(),
            "{height}: {at_limit}"
        );
        let above = reasons(&decide(0.2));
        let limited_by = sector["limited_by"]["rules"].as_array().unwrap().iter();
        let mut limited_by = limited_by.map(|one| one["rule"].as_str().unwrap().to_owned());
        assert!(
            limited_by.any(|rule| above.contains(&rule)),
            "{height}: {above:?}, {sector}"
        );
    }
    // At the plan's own height it is the limit itself, and another height is refused.
    let own = limits("10 m");
    assert_eq!(own["as_read"], own["strongest"]);
    for height in ["0.5 m", "40 m", "2"] {
        let output = repo.offing(&["limits", MISSION, "--height", height]);
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(64), "{said}");
        assert!(said.contains("--height: the height"), "{said}");
    }
}

/// A go after a no-go says so, and how each of them gets on record.
#[test]
fn a_go_tells_of_the_no_go_before_it() {
    let repo = Repo::new();
    let (status, text, _) = launch(&repo, MISSION, &with(&[("--by", "operator")]));
    assert_eq!(status, 1);
    assert!(!text.contains("decided before:"), "{text}");
    let last = text.lines().last().unwrap();
    assert!(
        last.starts_with("NO GO for mission north-bay-lines"),
        "{text}"
    );
    assert!(
        text.contains(
            "git -C plans add -- :/launches/north-bay-lines-20270615T114000Z.yaml && git -C plans commit -m \
             'Decide on north-bay-lines: no go'\n"
        ) || text.contains(
            "git add -- launches/north-bay-lines-20270615T114000Z.yaml && git commit -m 'Decide on \
             north-bay-lines: no go'\n"
        ),
        "{text}"
    );
    let (status, text, _) = launch(&repo, MISSION, &go());
    assert_eq!(status, 0, "{text}");
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains(
            "decided before: - no go for a launch at 2027-06-15 09:40 (UTC−02:00), decided at"
        ),
        "{text}"
    );
    assert!(
        words.contains(
            "by `operator` (launches/north-bay-lines-20270615T114000Z.yaml): not-in-charge"
        ),
        "{text}"
    );
    // One of another week has nothing to do with it.
    let text = repo
        .read(NORTH)
        .replace("2027-06-15", "2027-06-25")
        .replace("2027-06-14", "2027-06-24");
    repo.write(NORTH, &text);
    let (_, decision) = decided(&repo, MISSION, &with(&[("--at", "2027-06-25T09:40")]));
    assert_eq!(decision["earlier"], serde_json::json!([]), "{decision}");
}

/// Every signature that the policy asks for is listed, there or not.
#[test]
fn the_signatures_that_are_needed_are_listed() {
    let key = super::key::Key::new();
    let repo = super::signatures::signed_by(&key);
    repo.edit(
        TEAM,
        "approvals: { signers: signers }",
        "approvals: { signers: signers, needed: [survey lead], signed_records: true, signed_commits: true }",
    );
    let listed = |decision: &Json, signed: bool| {
        assert_eq!(
            decision["signatures"],
            serde_json::json!([
                { "who": "survey lead", "on": "plan", "signed": signed },
                { "who": "whoever records the run", "on": "record", "signed": null },
                { "who": "whoever commits the plan and the record", "on": "commit", "signed": null },
            ]),
            "{decision}"
        );
    };
    listed(&decided(&repo, MISSION, &go()).1, false);
    let (_, report) = repo.json(&["check", NORTH]);
    assert_eq!(
        report["missions"][0]["signatures_needed"],
        serde_json::json!([{ "role": "survey lead", "signed": false }])
    );
    let plan = repo.run(&["digest", MISSION]).1;
    repo.write(
        &NORTH.replace(".yaml", ".survey-lead.approval"),
        &key.sign("offing-plan", &plan),
    );
    listed(&decided(&repo, MISSION, &go()).1, true);
}
