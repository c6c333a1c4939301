//! What an assumption could move: the figure that is named, stated in the file, gives the value that is reported.

use serde_json::Value as Json;

use crate::shared::repo::Repo;

const BOAT: &str = "boat.yaml";
const MISSION: &str = "first-lines.yaml";

/// `docs/start` in a repository, each edit applied.
fn start(edits: &[(&str, &str, &str)]) -> Repo {
    let repo = Repo::empty();
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/start");
    for name in [BOAT, MISSION, "pond.yaml", "pond-shoreline.geojson"] {
        let text = std::fs::read_to_string(root.join(name)).unwrap();
        repo.write(name, &text);
    }
    for (path, from, to) in edits {
        repo.edit(path, from, to);
    }
    repo
}

/// The station's radio with a cable that takes nothing, so that the link has room.
const NO_CABLE: (&str, &str, &str) = (
    "pond.yaml",
    "        antenna: {",
    "        losses: 0 dB\n        antenna: {",
);

fn mission(repo: &Repo, path: &str) -> Json {
    let (_, report) = repo.json(&["check", path]);
    report["missions"][0].clone()
}

/// The value that a rule measured.
fn measured(mission: &Json, rule: &str, subject: &str) -> Json {
    let mut judged = mission["judged"].as_array().unwrap().iter();
    let one = judged.find(|one| one["rule"] == rule && one["subject"] == subject);
    one.unwrap()["measured"].clone()
}

#[test]
fn the_figure_that_is_named_gives_the_value_that_is_told() {
    let repo = start(&[NO_CABLE]);
    let before = mission(&repo, MISSION);
    let weights = before["weights"].as_array().unwrap();
    assert!(!weights.is_empty(), "{before:#}");
    let mut tried = 0;
    for weight in weights {
        let (rule, subject) = (
            weight["rule"].as_str().unwrap(),
            weight["subject"].as_str().unwrap(),
        );
        assert_eq!(measured(&before, rule, subject), weight["measured"]);
        let with = weight["with"].as_str().unwrap();
        let assumption = weight["assumption"].as_str().unwrap();
        // Where a field is stated: in front of what stands there.
        let (before, stated) = match assumption {
            text if text.contains("`drag_coefficient`") => {
                ("leeway:", format!("drag_coefficient: {with}, "))
            }
            text if text.contains("`propulsive_efficiency`") => (
                "maximum_power:",
                format!("propulsive_efficiency: {with}\n  "),
            ),
            text if text.contains("`motor_efficiency`") => {
                ("maximum_power:", format!("motor_efficiency: {with}\n  "))
            }
            _ => continue,
        };
        tried += 1;
        let edit = (BOAT, before, &*format!("{stated}{before}"));
        let after = mission(&start(&[NO_CABLE, edit]), MISSION);
        let (then, told) = (measured(&after, rule, subject), &weight["would_be"]);
        let near = |a: &Json, b: &Json| {
            let (a, b) = (a["value"].as_f64().unwrap(), b["value"].as_f64().unwrap());
            (a - b).abs() <= 1e-9 * a.abs().max(b.abs())
        };
        assert!(near(&then, told), "{assumption}: {then} and not {told}");
    }
    assert!(tried > 1, "{weights:#?}");
}

#[test]
fn the_weightiest_stand_first_and_say_what_they_move() {
    let repo = start(&[NO_CABLE]);
    let (_, text) = repo.run(&["check", MISSION]);
    let from = text.find("assumptions:").unwrap();
    let first = text[from..].lines().nth(1).unwrap();
    assert!(first.contains("not stated"), "{text}");
    assert!(text[from..].contains("in its place"), "{text}");
    let of_one = mission(&repo, MISSION);
    let weighty = of_one["weights"][0]["assumption"].as_str().unwrap();
    let told = of_one["assumptions"][0].as_str().unwrap();
    assert!(told.starts_with(weighty), "{told}");
    // Of a folder nobody is told for each mission.
    let of_all = mission(&repo, ".");
    assert_eq!(of_all["weights"].as_array().unwrap().len(), 0);
}

/// What the radios assume weighs on the margin of their link, as the figures of the boat do on theirs.
#[test]
fn a_cable_and_a_plane_of_polarisation_weigh_on_the_link() {
    const PLANE: &str = ", polarisation: vertical";
    let bare = (BOAT, PLANE, "");
    let before = mission(&start(&[bare]), MISSION);
    let link = |mission: &Json| measured(mission, "link-margin", "control link");
    let weights = before["weights"].as_array().unwrap();
    let of = |what: &str| {
        let mut found = weights.iter();
        let found = found.find(|one| one["assumption"].as_str().unwrap().contains(what));
        found.unwrap_or_else(|| panic!("{what}: {weights:#?}"))
    };
    let plane = of("control radio aboard: the antenna's polarisation");
    assert_eq!(plane["rule"], "link-margin");
    assert_eq!(plane["measured"], link(&before));
    assert_eq!(plane["with"], "vertical");
    assert_eq!(plane["would_be"], link(&mission(&start(&[]), MISSION)));
    let cable = of("control radio of `jetty-box`: cable losses");
    assert_eq!(cable["with"], "0 dB");
    assert_eq!(
        cable["would_be"],
        link(&mission(&start(&[bare, NO_CABLE]), MISSION))
    );
}

/// What a boat is taken to lack bars a launch late in the day: with lights stated the rule does not apply, and the
/// weight says so.
#[test]
fn lights_weigh_on_the_daylight_that_is_left() {
    const DAY: &str = "time: 2027-05-04T10:00Z, delay: 10 min, latest_return: 2027-05-04T11:00Z";
    const EVENING: &str =
        "time: 2027-05-04T19:32Z, delay: 10 min, latest_return: 2027-05-04T20:32Z";
    const LIGHTS: &str = "lights:\n  - { kind: all-round white, arc: 360°, range: 2 nmi }\n  - { kind: sidelights, \
                          arc: 112.5°, range: 1 nmi }\nradios:";
    let evening = (MISSION, DAY, EVENING);
    let before = mission(&start(&[NO_CABLE, evening]), MISSION);
    let weight = &before["weights"][0];
    assert_eq!(weight["rule"], "daylight-left", "{before:#}");
    let assumption = weight["assumption"].as_str().unwrap();
    assert!(assumption.contains("`lights` not stated"), "{assumption}");
    assert_eq!(weight["with"], "an all-round white light and sidelights");
    assert_eq!(weight["would_be"], Json::Null);
    assert_eq!(weight["measured"], measured(&before, "daylight-left", ""));
    let told = before["assumptions"][0].as_str().unwrap();
    let end = "with an all-round white light and sidelights stated `daylight-left` would not apply";
    assert!(told.ends_with(end), "{told}");
    // As it is then.
    let after = mission(
        &start(&[NO_CABLE, evening, (BOAT, "radios:", LIGHTS)]),
        MISSION,
    );
    let verdict = |mission: &Json, rule: &str| {
        let mut judged = mission["judged"].as_array().unwrap().iter();
        judged.find(|one| one["rule"] == rule).unwrap()["verdict"].clone()
    };
    assert_eq!(verdict(&before, "daylight-left"), "holds");
    assert_eq!(verdict(&after, "daylight-left"), "not applicable");
    // By day they weigh on nothing that is tight.
    let by_day = mission(&start(&[NO_CABLE]), MISSION);
    let weights = by_day["weights"].as_array().unwrap();
    let of_lights = |one: &&Json| one["assumption"].as_str().unwrap().contains("lights");
    assert_eq!(weights.iter().filter(of_lights).count(), 0, "{weights:#?}");
}
