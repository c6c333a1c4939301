//! Wind limits as a user meets them: what is said against a check of the plan for that wind, a
//! mirrored plan, the forms of the report, and what is requested wrongly.

use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;
use std::time::Duration;

use offing::door::check::{Verdict, check, on_large_stacks};
use offing::door::envelope::{Change, Given, Limits, Sought, limits};
use offing::door::source::MemoryTree;
use offing::door::units::{Angle, FromDirection, Length, Speed};
use serde_json::Value as Json;

const MISSION: &str = "first-lines";
const WIND: &str = "{ from: 270°, spread: 20°, mean: 3 m/s, gust: 5 m/s, height: 10 m }";

/// A boat and a craft that go out in more wind than the least repository's, so that what bars is what
/// the wind does.
const STRONG: [(&str, &str); 2] = [
    (
        "limits: { wind: 7 m/s, gust: 10 m/s, ",
        "limits: { wind: 20 m/s, gust: 30 m/s, ",
    ),
    ("wind_limit: 8 m/s", "wind_limit: 15 m/s"),
];

/// The least repository, with texts put in place of others.
fn pond(edits: &[(&str, &str)]) -> MemoryTree {
    let mut tree = MemoryTree::default();
    let mut done = vec![false; edits.len()];
    for name in [
        "boat.yaml",
        "first-lines.yaml",
        "pond.yaml",
        "pond-shoreline.geojson",
    ] {
        let path = format!("{}/docs/start/{name}", env!("CARGO_MANIFEST_DIR"));
        let mut text = std::fs::read_to_string(path).unwrap();
        for (index, (from, to)) in edits.iter().enumerate() {
            done[index] |= text.contains(from);
            text = text.replace(from, to);
        }
        tree.put(name, text);
    }
    assert!(done.iter().all(|done| *done), "{edits:?}: {done:?}");
    tree
}

/// The same seen in a mirror that stands along a meridian.
fn mirrored(tree: &MemoryTree) -> MemoryTree {
    let mut mirrored = MemoryTree::default();
    for (path, text) in &tree.files {
        let mut out = String::new();
        let mut rest = text.as_str();
        while let Some(at) = rest.find("-24.") {
            out += &rest[..at];
            let end = rest[at + 1..]
                .find(|c: char| !(c.is_ascii_digit() || c == '.'))
                .map_or(rest.len(), |end| at + 1 + end);
            let longitude: f64 = rest[at..end].parse().unwrap();
            out += &format!("{:.6}", -48.8 - longitude);
            rest = &rest[end..];
        }
        out += rest;
        mirrored.put(path.as_str(), out.replace("from: 270°", "from: 090°"));
    }
    mirrored
}

fn solved(tree: &MemoryTree, step: f64, wind: Option<Given>) -> Limits {
    let sought = Sought {
        step: Angle::degrees(step),
        wind,
        height: None,
        sensitivity: true,
    };
    on_large_stacks(|| limits(tree, MISSION, None, &sought, &|_| {})).unwrap()
}

/// The rules of severity error that a check of the plan for a wind finds broken.
fn checked(from: &str, spread: Angle, mean: Speed, gust: Speed) -> Vec<String> {
    let wind = format!(
        "{{ from: {from}, spread: {}°, mean: {} m/s, gust: {} m/s, height: 10 m }}",
        spread.to_degrees(),
        mean.get(),
        gust.get()
    );
    let outcome =
        on_large_stacks(|| check(&pond(&[STRONG[0], STRONG[1], (WIND, &wind)]), None)).unwrap();
    assert_eq!(outcome.not_checked, [], "{:?}", outcome.findings);
    let error = |rule: &str| {
        let in_force = outcome
            .in_force
            .iter()
            .find(|one| one.rule == rule)
            .unwrap();
        in_force.severity == offing::door::finding::Severity::Error
    };
    let judged = outcome.checked[0].judged.iter();
    judged
        .filter(|one| matches!(one.verdict, Verdict::Fails | Verdict::Unknown))
        .map(|one| one.rule.to_string())
        .filter(|rule| error(rule))
        .collect()
}

#[test]
fn a_limit_is_what_a_check_of_the_plan_for_that_wind_says() {
    let found = solved(&pond(&STRONG), 30.0, None);
    assert_eq!(found.regardless, []);
    let planned = found.planned.as_ref().unwrap();
    assert!(planned.planned && planned.broken.is_empty());
    assert_eq!(
        checked("270°", planned.spread, planned.mean, planned.gust),
        [""; 0]
    );
    for sector in &found.sectors {
        let from = sector.from.to_string();
        let at = sector.strongest.unwrap();
        assert_eq!(
            checked(&from, found.spread, at.mean, at.gust),
            [""; 0],
            "{from}"
        );
        let limited_by = sector.limited_by.as_ref().unwrap();
        let (mean, gust) = (limited_by.wind.mean, limited_by.wind.gust);
        let alone = checked(
            &limited_by.from.to_string(),
            Angle::degrees(0.0),
            mean,
            gust,
        );
        // What bars may do so in the worst direction by itself, or over the whole band alone.
        let whole = checked(&from, found.spread, mean, gust);
        let named: Vec<&str> = limited_by
            .rules
            .iter()
            .map(|one| one.rule.as_str())
            .collect();
        for rule in named {
            assert!(
                alone.iter().chain(&whole).any(|other| other == rule),
                "{from}: {rule}, {alone:?} or {whole:?}"
            );
        }
    }
}

#[test]
fn a_mirrored_plan_has_mirrored_limits() {
    let (one, other) = (pond(&STRONG), mirrored(&pond(&STRONG)));
    let (one, other) = (solved(&one, 30.0, None), solved(&other, 30.0, None));
    let count = one.sectors.len();
    let mut differing = 0;
    for index in 0..count {
        let (here, there) = (&one.sectors[index], &other.sectors[(count - index) % count]);
        let mean = |sector: &offing::door::envelope::Sector| {
            sector.strongest.map_or(-1.0, |s| s.mean.get())
        };
        // The mirror moves positions by rounding, which may turn a tenth.
        assert!(
            (mean(here) - mean(there)).abs() < 0.15,
            "{index}: {} {}",
            mean(here),
            mean(there)
        );
        differing += usize::from((mean(here) - mean(&one.sectors[0])).abs() > 0.05);
    }
    // Where every direction had the same limit this would show nothing.
    assert!(differing > 0);
}

/// What a plan for nearly no wind states of its gusts is no ratio to go by; the usual one is taken, and
/// what to do is said. 1.66 is the factor of the model
/// (docs/reference/models).
#[test]
#[ignore = "slow"]
fn a_plan_for_nearly_no_wind_has_the_usual_gusts() {
    let of = |wind: &str| {
        let found = solved(&pond(&[STRONG[0], STRONG[1], (WIND, wind)]), 30.0, None);
        (found.gust_factor.get(), found.gust_factor_words)
    };
    let (factor, words) =
        of("{ from: 270°, spread: 20°, mean: 0.4 m/s, gust: 0.5 m/s, height: 10 m }");
    assert!((factor - 1.66).abs() < 1e-9, "{factor}");
    assert!(
        words.contains("nearly no wind (0.4 m/s with gusts of 0.5 m/s)"),
        "{words}"
    );
    assert!(words.contains("state the strongest wind"), "{words}");
    let (factor, words) =
        of("{ from: 270°, spread: 20°, mean: 0.4 m/s, gust: 2 m/s, height: 10 m }");
    assert!((factor - 2.0).abs() < 1e-9, "{factor}");
    assert!(
        words.contains("2 m/s over 1 m/s, with its mean of 0.4 m/s counted as that"),
        "{words}"
    );
    let (factor, words) = of(WIND);
    assert!((factor - 5.0 / 3.0).abs() < 1e-9, "{factor}");
    assert_eq!(words, "the plan's own, 5 m/s over 3 m/s");
}

/// A rule that asks a plan to plan for more wind is judged on the plan, once; an expression that
/// bounds the wind from above is judged in every wind, and bars.
#[test]
fn a_rule_on_the_planned_wind_is_judged_by_what_it_asks() {
    let rule = |body: &str| {
        let mut tree = pond(&STRONG);
        tree.put(
            "own.yaml",
            format!(
                "kind: rule\nformat: 1\nid: own\ntitle: Own\n{body}\nseverity: error\nwhy: A test.\nremedy: \
                 None.\nsources: [common practice, no source]\n"
            ),
        );
        let found = solved(&tree, 30.0, None);
        let strongest = found.sectors[0].strongest.map(|steady| steady.mean.get());
        (found.as_stated.contains(&"own".to_owned()), strongest)
    };
    let (stated, strongest) = rule("measure: mission.wind_mean\nat_least: 1 m/s");
    assert!(stated && strongest > Some(4.0), "{stated} {strongest:?}");
    let (stated, strongest) = rule("measure: mission.wind_mean <= q(\"2 m/s\")\nequals: true");
    assert!(!stated, "{strongest:?}");
    assert!((strongest.unwrap() - 2.0).abs() < 1e-9, "{strongest:?}");
    let (stated, strongest) = rule("measure: mission.wind_mean\nat_most: 2 m/s");
    assert!(!stated && strongest.is_some_and(|mean| (mean - 2.0).abs() < 1e-9));
}

/// Without a limit of its own the boat's wind cannot be judged, in whatever wind.
#[test]
#[ignore = "slow"]
fn what_fails_in_every_wind_is_told_once_and_apart() {
    let with = solved(&pond(&[]), 30.0, None);
    let limits = "limits: { wind: 7 m/s, gust: 10 m/s, wave_height: 0.1 m } # at 10 m; what it was tried in\n";
    let without = solved(
        &pond(&[(limits, ""), ("at_water: 2", "at_water: 1")]),
        30.0,
        None,
    );
    let rules: Vec<&str> = without
        .regardless
        .iter()
        .map(|one| one.rule.as_str())
        .collect();
    assert_eq!(
        rules,
        ["minimum-crew", "gust-limit", "wave-height", "wind-limit"]
    );
    assert!(!without.any_wind_passes() && with.any_wind_passes());
    // The limits of the other rules are reported all the same.
    for (one, other) in without.sectors.iter().zip(&with.sectors) {
        let mean = |s: &offing::door::envelope::Sector| s.strongest.map_or(0.0, |s| s.mean.get());
        assert!(mean(one) >= mean(other));
        let limited_by = one.limited_by.as_ref().unwrap();
        assert!(
            limited_by
                .rules
                .iter()
                .all(|one| !rules.contains(&one.rule.as_str()))
        );
    }
    let text = offing::door::report::limits_text(&without, &settings());
    assert!(text.contains("No wind passes."), "{text}");
    let figure = offing::door::report::limits_polar(&without).file("mission");
    assert!(figure.contains("No wind passes"), "{figure}");
}

/// A plan whose run against the wind is too long in any wind at all, a calm too, from one side.
#[test]
#[ignore = "slow"]
fn a_direction_from_which_not_even_a_calm_passes_has_no_limit() {
    let output = offing(&[
        "limits",
        "headwind-return",
        "--plans",
        "plans",
        "--step",
        "30°",
        "--format",
        "json",
    ]);
    assert_eq!(output.status.code(), Some(1));
    let json: Json = serde_json::from_slice(&output.stdout).unwrap();
    let sectors = json["sectors"].as_array().unwrap();
    let none: Vec<&Json> = sectors
        .iter()
        .filter(|one| one["strongest"].is_null())
        .collect();
    assert!(!none.is_empty() && none.len() < sectors.len());
    for sector in none {
        assert_eq!(
            sector["limited_by"]["rules"][0]["rule"],
            "upwind-run-length"
        );
        assert_eq!(sector["limited_by"]["wind"]["mean"]["value"], 0.0);
    }
}

#[test]
fn alternatives_are_judged_as_a_check_would() {
    let wind = Given {
        from: FromDirection::new(Angle::degrees(90.0)),
        mean: Speed::metres_per_second(4.0),
        gust: Some(Speed::metres_per_second(6.5)),
        height: Some(Length::metres(10.0)),
    };
    let found = solved(&pond(&STRONG), 30.0, Some(wind));
    let today = found.today.as_ref().unwrap();
    assert!(!today.planned);
    let by_check = checked("090°", today.spread, today.mean, today.gust);
    let broken: Vec<&str> = today.broken.iter().map(|one| one.rule.as_str()).collect();
    assert_eq!(broken, by_check);
    assert_eq!(found.alternatives[0].change, Change::None);
    assert_eq!(found.alternatives[0].broken, today.broken);
    let changes: Vec<Change> = found.alternatives.iter().map(|one| one.change).collect();
    assert!(matches!(
        changes[..],
        [
            Change::None,
            Change::Reversed,
            Change::Speed(_),
            Change::Speed(_),
            Change::Nearer(_)
        ]
    ));
    // Going the other way round by hand, on paper: the corners in the other order, the approach kept.
    let turned = pond(&[
        STRONG[0],
        STRONG[1],
        (
            WIND,
            "{ from: 090°, spread: 20°, mean: 4 m/s, gust: 6.5 m/s, height: 10 m }",
        ),
        (
            "{ id: out, to: [52.300300, -24.401500] }",
            "{ id: south, to: [52.299800, -24.398000] }",
        ),
        (
            "  - { id: south, to: [52.299800, -24.398000] }\n  - { id: line-up",
            "  - { id: out, to: [52.300300, -24.401500] }\n  - { id: line-up",
        ),
    ]);
    let outcome = on_large_stacks(|| check(&turned, None)).unwrap();
    for rule in [
        "reserve-at-turnaround",
        "upwind-run-length",
        "headway-in-gusts",
        "link-margin",
    ] {
        let judged = outcome.checked[0]
            .judged
            .iter()
            .find(|one| &*one.rule == rule);
        let by_check = judged.unwrap().measured.unwrap().value;
        let room = found.alternatives[1]
            .room
            .iter()
            .find(|one| one.rule == rule);
        let ours = room.unwrap().measured.value;
        assert!(
            (by_check - ours).abs() < 1e-9 * by_check.abs().max(1.0),
            "{rule}: {ours} {by_check}"
        );
    }
    let best = &found.alternatives[found.best.unwrap()];
    assert!(best.passed());
    for one in found.alternatives.iter().filter(|one| one.passed()) {
        assert!(best.least.unwrap().get() >= one.least.unwrap().get() - 1e-9);
    }
}

fn settings() -> offing::door::report::Settings {
    offing::door::report::Settings {
        colour: false,
        unicode: true,
        width: 80,
        short: false,
    }
}

fn offing(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_offing"))
        .args(arguments)
        .current_dir(crate::shared::copied::unchanged())
        .output()
        .unwrap()
}

/// The least repository, by itself: where it lies, the demo's policy would judge it too.
fn alone() -> &'static str {
    static FOLDER: OnceLock<tempfile::TempDir> = OnceLock::new();
    let folder = FOLDER.get_or_init(|| {
        let folder = crate::shared::scratch::folder().unwrap();
        let start = format!("{}/docs/start", env!("CARGO_MANIFEST_DIR"));
        for entry in std::fs::read_dir(start).unwrap() {
            let entry = entry.unwrap();
            std::fs::copy(entry.path(), folder.path().join(entry.file_name())).unwrap();
        }
        folder
    });
    folder.path().to_str().unwrap()
}

fn start(arguments: &[&str]) -> Output {
    let mut all = vec!["limits", MISSION, "--plans", alone(), "--step", "30°"];
    all.extend_from_slice(arguments);
    offing(&all)
}

#[test]
#[ignore = "slow"]
fn nothing_of_progress_goes_into_a_log() {
    for mission in ["adrift-above-the-weir", "antenna-off-bearing"] {
        let output = offing(&[
            "limits", mission, "--plans", "plans", "--step", "30°", "--format", "json",
        ]);
        let json: Json = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(json["mission"], mission);
        assert_eq!(String::from_utf8(output.stderr).unwrap(), "");
    }
}

#[test]
#[ignore = "slow"]
fn any_number_of_threads_says_the_same() {
    let with = |threads: &str| {
        Command::new(env!("CARGO_BIN_EXE_offing"))
            .args([
                "limits",
                MISSION,
                "--plans",
                alone(),
                "--step",
                "30°",
                "--format",
                "json",
            ])
            .current_dir(crate::shared::copied::unchanged())
            .env("RAYON_NUM_THREADS", threads)
            .output()
            .unwrap()
            .stdout
    };
    let one = with("1");
    assert!(one.len() > 1000);
    assert_eq!(one, with("3"));
}

#[test]
fn what_is_asked_for_wrongly_is_told() {
    let told = |arguments: &[&str]| {
        let output = offing(arguments);
        let error = String::from_utf8(output.stderr).unwrap();
        assert!(output.stdout.is_empty());
        (output.status.code().unwrap(), error)
    };
    let start = ["limits", MISSION, "--plans", alone()];
    let with = |more: &[&str]| told(&[&start[..], more].concat());
    let (status, error) = told(&["limits", "first-line", "--plans", alone()]);
    assert!(
        status == 64 && error.contains("did you mean `first-lines`?"),
        "{error}"
    );
    let (status, error) = with(&["--policy", "strict"]);
    assert!(
        status == 64 && error.contains("there is no policy `strict`"),
        "{error}"
    );
    for step in ["7°", "0°", "45°", "-10°"] {
        let (status, error) = with(&[&format!("--step={step}")]);
        assert!(
            status == 64 && error.contains("do not divide the circle evenly"),
            "{step}: {error}"
        );
    }
    let (status, error) = with(&["--step", "10 m"]);
    assert!(status == 64 && error.contains("--step:"), "{error}");
    for wind in ["strong", "240°", "240° 6 kg", "240° 6 m/s gust 3 m/s"] {
        let (status, error) = with(&["--wind", wind]);
        assert!(status == 64 && error.contains("--wind:"), "{wind}: {error}");
    }
    let (status, error) = with(&["--format", "yaml"]);
    assert!(status == 64 && error.contains("terminal, json"), "{error}");
}

#[test]
fn a_mission_with_errors_has_no_limits() {
    let sought = Sought {
        step: Angle::degrees(30.0),
        wind: None,
        height: None,
        sensitivity: true,
    };
    let tree = pond(&[("charge_at_launch: 95 %", "charge_at_launch: 95 kg")]);
    let found = on_large_stacks(|| limits(&tree, MISSION, None, &sought, &|_| {}));
    let error = found.unwrap_err().to_string();
    assert!(
        error.contains("first-lines.yaml:") && error.contains("charge_at_launch"),
        "{error}"
    );
}

#[test]
#[ignore = "slow"]
fn a_figure_is_drawn_whole_or_not_at_all() {
    let folder = crate::shared::scratch::folder().unwrap();
    let path = folder.path().join("limits.svg");
    let file = path.to_str().unwrap();
    assert_eq!(start(&["--figure", file]).status.code(), Some(0));
    let drawn = std::fs::read_to_string(&path).unwrap();
    for part in [
        "<title",
        "<desc",
        "role=\"img\"",
        "\nN\n</text>",
        "planned",
        "limited by:",
    ] {
        assert!(drawn.contains(part), "{part}");
    }
    for part in ["<script", "javascript", "href", "NaN"] {
        assert!(!drawn.contains(part), "{part}");
    }
    // Where the folder is not there, nothing is written and the status says so.
    let nowhere = folder.path().join("none/limits.svg");
    let output = start(&["--figure", nowhere.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(74));
    assert!(
        String::from_utf8(output.stderr)
            .unwrap()
            .contains("limits.svg")
    );
    // Ended at any time, it leaves the old figure or the new one.
    std::fs::write(&path, "old").unwrap();
    for wait in [0, 20, 60, 150, 400] {
        let mut child = Command::new(env!("CARGO_BIN_EXE_offing"))
            .args([
                "limits",
                MISSION,
                "--plans",
                alone(),
                "--step",
                "30°",
                "--figure",
                file,
            ])
            .current_dir(crate::shared::copied::unchanged())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(wait));
        let _ = child.kill();
        let _ = child.wait();
        let left = std::fs::read_to_string(&path).unwrap();
        assert!(
            left == "old" || left == drawn,
            "after {wait} ms: {} bytes",
            left.len()
        );
    }
}
