//! Time through the whole pipeline: the sun of a published day, areas that are closed for a season,
//! and the launch window, which must say of each launch what a check of it says.

use std::process::{Command, Output};

use offing::door::check::{Outcome, Verdict, check, on_large_stacks};
use offing::door::envelope::window;
use offing::door::source::MemoryTree;
use offing::door::units::Time;

const MISSION: &str = "first-lines";

/// The least repository, every position moved by so many degrees, and texts put in place of others.
fn moved(north: f64, east: f64, edits: &[(&str, &str)]) -> MemoryTree {
    let mut tree = MemoryTree::default();
    for name in [
        "boat.yaml",
        "first-lines.yaml",
        "pond.yaml",
        "pond-shoreline.geojson",
    ] {
        let path = format!("{}/docs/start/{name}", env!("CARGO_MANIFEST_DIR"));
        let mut text = String::new();
        let original = std::fs::read_to_string(path).unwrap();
        // Of all numbers only positions have these whole degrees.
        let mut rest = original.as_str();
        while let Some(at) = rest.find(|c: char| c.is_ascii_digit() || c == '-') {
            text += &rest[..at];
            let end = rest[at + 1..]
                .find(|c: char| !(c.is_ascii_digit() || c == '.'))
                .map_or(rest.len(), |end| at + 1 + end);
            let number = &rest[at..end];
            let by = match number {
                _ if number.starts_with("52.") => Some(north),
                _ if number.starts_with("-24.") => Some(east),
                _ => None,
            };
            match by {
                Some(by) => text += &format!("{:.6}", number.parse::<f64>().unwrap() + by),
                None => text += number,
            }
            rest = &rest[end..];
        }
        text += rest;
        for (from, to) in edits {
            text = text.replace(from, to);
        }
        tree.put(name, text);
    }
    tree
}

fn checked(tree: &MemoryTree) -> Outcome {
    let outcome = on_large_stacks(|| check(tree, None)).unwrap();
    assert_eq!(outcome.not_checked, [], "{:?}", outcome.findings);
    outcome
}

/// What a rule measured, in the stored unit.
fn measured(outcome: &Outcome, rule: &str) -> f64 {
    let judged = &outcome.checked[0].judged;
    let one = judged.iter().find(|one| &*one.rule == rule).unwrap();
    one.measured.unwrap().value
}

fn verdict(outcome: &Outcome, rule: &str) -> Verdict {
    let judged = &outcome.checked[0].judged;
    judged
        .iter()
        .find(|one| &*one.rule == rule)
        .unwrap()
        .verdict
}

/// London, 51.5085 N 0.1257 W, on 2015-12-01, whose published times are sunrise 07:43 and sunset
/// 15:55 UTC, to the minute.
fn london(launch: &str, back: &str) -> MemoryTree {
    moved(
        51.5085 - 52.299950,
        -0.1257 + 24.402850,
        &[
            ("2027-05-04T10:00Z", &format!("2015-12-01T{launch}Z")),
            ("2027-05-04T11:00Z", &format!("2015-12-01T{back}Z")),
            ("2027-05-03", "2015-11-30"),
            ("2027-03-28", "2015-03-28"),
            ("2027-03-27", "2015-03-27"),
            ("2027-01-01", "2015-01-01"),
            ("2027-12-31", "2015-12-31"),
        ],
    )
}

#[test]
fn the_sun_of_a_published_day() {
    let minutes = |outcome: &Outcome, rule: &str| measured(outcome, rule) / 60.0;
    let day = checked(&london("07:50", "15:20"));
    let at_launch = minutes(&day, "daylight-at-launch");
    assert!((at_launch - 7.0).abs() <= 1.0, "{at_launch}");
    let left = minutes(&day, "daylight-left");
    assert!((left - 35.0).abs() <= 1.0, "{left}");
    assert_eq!(verdict(&day, "daylight-at-launch"), Verdict::Holds);
    assert_eq!(verdict(&day, "daylight-left"), Verdict::Holds);
    let early = checked(&london("07:38", "15:20"));
    let at_launch = minutes(&early, "daylight-at-launch");
    assert!((at_launch + 5.0).abs() <= 1.0, "{at_launch}");
    assert_eq!(verdict(&early, "daylight-at-launch"), Verdict::Fails);
    // The evening is calculated from the sunrise on.
    let left = minutes(&early, "daylight-left");
    assert!((left - 35.0).abs() <= 1.0, "{left}");
    let late = checked(&london("15:00", "16:30"));
    let left = minutes(&late, "daylight-left");
    assert!((left + 35.0).abs() <= 1.0, "{left}");
    assert_eq!(verdict(&late, "daylight-left"), Verdict::Fails);
}

/// After the published sunset a boat is asked for its lights, and for nothing else of daylight.
#[test]
fn a_boat_with_lights_may_be_out_after_sunset() {
    let with = |back: &str, lights: &str| {
        let mut tree = london("15:00", back);
        let boat = tree.files["boat.yaml"].clone();
        tree.put("boat.yaml", format!("{boat}lights: {lights}\n"));
        let outcome = checked(&tree);
        ["lights", "daylight-left"].map(|rule| verdict(&outcome, rule))
    };
    let (short, long) = (
        "[{ kind: all-round white, arc: 360°, range: 1 nmi }]",
        "[{ kind: all-round white, arc: 360°, range: 2 nmi }]",
    );
    let off = Verdict::NotApplicable;
    assert_eq!(with("16:30", short), [Verdict::Fails, off]);
    assert_eq!(with("16:30", long), [Verdict::Holds, off]);
    assert_eq!(with("15:50", short), [off, off]);
    assert_eq!(with("16:30", "[]"), [off, Verdict::Fails]);
}

/// Greenwich, 51.4769 N 0 E, on 2026-06-21: sunset 20:20:31 to 20:20:50 UTC by the open Python
/// packages ephem and astral.
#[test]
fn the_longest_day_at_greenwich() {
    let tree = moved(
        51.4769 - 52.299950,
        24.402850,
        &[
            ("2027-05-04T10:00Z", "2026-06-21T18:30Z"),
            ("2027-05-04T11:00Z", "2026-06-21T20:00Z"),
            ("2027-05-03", "2026-06-21"),
            ("2027-03-28", "2026-03-28"),
            ("2027-03-27", "2026-03-27"),
            ("2027-01-01", "2026-01-01"),
            ("2027-12-31", "2026-12-31"),
        ],
    );
    let left = measured(&checked(&tree), "daylight-left") / 60.0;
    assert!((left - 20.67).abs() <= 1.0, "{left}");
}

#[test]
fn the_window_opens_at_the_published_sunrise() {
    let tree = london("10:00", "15:20");
    let found = on_large_stacks(|| window(&tree, MISSION, None, Time::seconds(300.0))).unwrap();
    assert!(found.planned_passed);
    let passed: Vec<_> = found.stretches.iter().filter(|one| one.passed).collect();
    assert_eq!(passed.len(), 1, "{:?}", found.stretches);
    // Sunrise is at 07:43, and every fifth minute was tried.
    assert_eq!(passed[0].from.text, "2015-12-01 07:45 (UTC)");
    let before = &found.stretches[0];
    assert_eq!(before.to.text, "2015-12-01 07:40 (UTC)");
    assert_eq!(before.binding[0].rule, "daylight-at-launch");
    let mut after = found.stretches.last().unwrap().binding.iter();
    assert!(after.any(|one| one.rule == "return-on-time"));
}

/// Each launch that is tried is checked by itself, the plan's file changed to it.
#[test]
#[ignore = "slow"]
fn the_window_says_what_a_check_of_each_launch_says() {
    let tree = MemoryTree {
        files: walk("plans"),
    };
    let path = "missions/dam-to-bay-transects.yaml";
    let found =
        on_large_stacks(|| window(&tree, "dam-to-bay-transects", None, Time::seconds(1800.0)))
            .unwrap();
    assert!(found.forecast && found.tried == 6, "{found:?}");
    let mut tried = 0;
    for time in ["08:00", "08:30", "09:00", "09:30", "10:00"] {
        let mut tree = tree.clone();
        let text = &tree.files[path];
        assert_eq!(text.matches("  time: 2027-06-22T08:40").count(), 1);
        let text = text.replace(
            "  time: 2027-06-22T08:40",
            &format!("  time: 2027-06-22T{time}"),
        );
        tree.put(path, text);
        let outcome = on_large_stacks(|| check(&tree, Some(path))).unwrap();
        let mut rules: Vec<&str> = outcome
            .findings
            .iter()
            .filter(|finding| finding.severity == offing::door::finding::Severity::Error)
            .map(|finding| finding.rule.as_str())
            .collect();
        rules.dedup();
        let at = format!("2027-06-22 {time} (UTC\u{2212}02:00)");
        let stretch = found
            .stretches
            .iter()
            .find(|one| (&one.from.text..=&one.to.text).contains(&&at))
            .unwrap();
        let said: Vec<&str> = stretch
            .binding
            .iter()
            .map(|one| one.rule.as_str())
            .collect();
        assert_eq!(said, rules, "{time}");
        tried += usize::from(!rules.is_empty());
    }
    assert!(tried > 0, "some launch must fail, lest nothing be compared");
}

fn walk(folder: &str) -> std::collections::BTreeMap<String, String> {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    walkdir::WalkDir::new(&root)
        .into_iter()
        .map(Result::unwrap)
        .filter(|entry| entry.file_type().is_file())
        .map(|entry| {
            let path = entry.path().strip_prefix(&root).unwrap();
            let text = std::fs::read_to_string(entry.path()).unwrap();
            (path.to_str().unwrap().to_owned(), text)
        })
        .collect()
}

#[test]
fn an_area_counts_while_it_is_closed_and_where_nobody_can_tell() {
    // An area across the whole pond's middle.
    let with = |closed: &str, edits: &[(&str, &str)]| {
        let mut tree = moved(0.0, 0.0, edits);
        let area = format!(
            "keep_out:\n  - id: race\n    area: [[52.2990, -24.4000], [52.3010, -24.4000], [52.3010, -24.3990], \
             [52.2990, -24.3990]]\n{closed}launch_sites:"
        );
        let none = "keep_out: [] # nowhere that is closed\n";
        assert!(tree.files["pond.yaml"].contains(none));
        let site = tree.files["pond.yaml"].replace(none, "");
        let site = site.replacen("launch_sites:", &area, 1);
        tree.put("pond.yaml", site);
        verdict(&checked(&tree), "keep-out")
    };
    let hours = |from: &str, to: &str| {
        format!(
            "    closed: [{{ from: 05-01, to: 05-31, hours: {{ from: '{from}', to: '{to}' }} }}]\n"
        )
    };
    assert_eq!(with("", &[]), Verdict::Fails);
    assert_eq!(
        with("    closed: [{ from: 06-01, to: 04-30 }]\n", &[]),
        Verdict::NotApplicable
    );
    assert_eq!(
        with("    closed: [{ from: 05-04, to: 05-04 }]\n", &[]),
        Verdict::Fails
    );
    // Out from 10:00 to 11:00 at the latest, both included.
    assert_eq!(with(&hours("08:00", "10:00"), &[]), Verdict::NotApplicable);
    assert_eq!(with(&hours("08:00", "10:01"), &[]), Verdict::Fails);
    assert_eq!(with(&hours("11:00", "12:00"), &[]), Verdict::Fails);
    assert_eq!(with(&hours("11:01", "12:00"), &[]), Verdict::NotApplicable);
    // Without a wind nobody can tell how long the boat is out.
    let no_wind = [(
        "  wind: { from: 270°, spread: 20°, mean: 3 m/s, gust: 5 m/s, height: 10 m }\n",
        "  wind: { from: 270°, spread: 20°, mean: 30 m/s, gust: 50 m/s }\n",
    )];
    assert_eq!(with(&hours("11:01", "12:00"), &no_wind), Verdict::Fails);
}

fn offing(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap()
}

#[test]
#[ignore = "slow"]
fn the_exit_status_tells_of_the_planned_launch() {
    let status = |arguments: &[&str]| offing(arguments).status.code();
    assert_eq!(
        status(&["window", "north-bay-lines", "--plans", "plans"]),
        Some(0)
    );
    assert_eq!(
        status(&["window", "evening-lines", "--plans", "plans"]),
        Some(1)
    );
    let path = "plans/missions/evening-lines.yaml";
    assert_eq!(status(&["window", path, "--plans", "plans"]), Some(1));
    let nobody = offing(&["window", "north-bay-line", "--plans", "plans"]);
    assert_eq!(nobody.status.code(), Some(64));
    let said = String::from_utf8(nobody.stderr).unwrap();
    assert!(said.contains("did you mean `north-bay-lines`?"), "{said}");
    for step in ["1 min", "1 s", "0 s", "-5 min", "5 m"] {
        let arguments = ["window", "north-bay-lines", "--plans", "plans"];
        let step = format!("--step={step}");
        assert_eq!(
            status(&[&arguments[..], &[&step]].concat()),
            Some(64),
            "{step}"
        );
    }
    let text = offing(&["window", "dam-to-bay-transects", "--plans", "plans"]).stdout;
    let text = String::from_utf8(text).unwrap().replace('\n', " ");
    assert!(
        text.contains("The latest return stays as stated, 2027-06-22 "),
        "{text}"
    );
    let other = ["window", "north-bay-lines", "--plans", "plans", "--policy"];
    assert_eq!(status(&[&other[..], &["builtin"]].concat()), Some(0));
    assert_eq!(status(&[&other[..], &["nobody"]].concat()), Some(64));
}

/// A mission with an error is not judged by halves.
#[test]
fn a_broken_mission_has_no_window() {
    let tree = moved(0.0, 0.0, &[("mean: 3 m/s", "maen: 3 m/s")]);
    let found = on_large_stacks(|| window(&tree, MISSION, None, Time::seconds(900.0)));
    let error = found.unwrap_err().to_string();
    assert!(
        error.contains("first-lines.yaml:") && error.contains("`mean` is missing"),
        "{error}"
    );
    let tree = moved(0.0, 0.0, &[("beam: 0.35 m", "beam: 0.35")]);
    let found = on_large_stacks(|| window(&tree, MISSION, None, Time::seconds(900.0)));
    assert!(found.is_err());
    // Nor beside a policy or a rule that cannot be read, so that what it asks is not known.
    for text in [
        "kind: policy\nformat: 1\nid: own\nrules: { gust-factor: { at_least: 3 } }\n",
        "kind: rule\nformat: 1\nid: own\n",
        "kind: policy\nx: [\n",
    ] {
        let mut tree = moved(0.0, 0.0, &[]);
        tree.put("beside.yaml", text);
        let found = on_large_stacks(|| window(&tree, MISSION, None, Time::seconds(900.0)));
        assert!(
            matches!(found, Err(offing::door::check::NoAnswer::Unreadable(_))),
            "{text}: {found:?}"
        );
    }
}
