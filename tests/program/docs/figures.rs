//! Figures that documents give, held against the code that has them.

use super::markdown::{code, parts, rows};
use super::text_of;

/// The chapter on security lists every limit with the file and the very words that set it.
#[test]
fn every_limit_is_the_one_in_the_code() {
    let (_, prose) = parts(
        "docs/explanation/security.md",
        &text_of("docs/explanation/security.md"),
    );
    let (_, table) = prose.split_once("## Limits").unwrap();
    let mut held = 0;
    for row in rows(table).into_iter().filter(|row| row.len() == 3) {
        let words = code(&row[2]);
        let [file, setting] = words.as_slice() else {
            continue;
        };
        assert!(
            text_of(file).contains(setting.as_str()),
            "{}: `{setting}` is not in {file}",
            row[0]
        );
        let digits = |text: &str| {
            text.chars()
                .filter(char::is_ascii_digit)
                .collect::<String>()
        };
        let shifted = setting.contains("<<");
        assert!(
            shifted || digits(setting).contains(&digits(&row[1])),
            "{}: {} is not what `{setting}` says",
            row[0],
            row[1]
        );
        held += 1;
    }
    assert!(held >= 15, "only {held} limits are listed");
}

/// Fields of `docs/start` with the default that the schema gives them, and what a check then says is
/// assumed.
const DEFAULTS: &[(&str, &str, &str, &str)] = &[
    (
        "first-lines.yaml",
        "  water_temperature: 12 °C\n",
        "`conditions.water_temperature` | Temperature of the water, and of the battery. Default: -2 °C",
        "water temperature −2 °C",
    ),
    (
        "first-lines.yaml",
        ", spread: 20°",
        "`conditions.wind.spread` | How far either side the direction may differ. Default: 180°, all round",
        "either side, 180°",
    ),
    (
        "first-lines.yaml",
        ", height: 10 m",
        "`conditions.wind.height` | Height at which it is stated. Default: 1 m",
        "height of the stated wind 1 m",
    ),
];

/// Fields of `docs/start` of which the schema says that they have no default, and a rule that is then
/// not evaluated.
const NO_DEFAULT: &[(&str, &str, &str, &str)] = &[
    (
        "first-lines.yaml",
        ", gust: 5 m/s",
        "`conditions.wind.gust`",
        "gust-limit",
    ),
    (
        "first-lines.yaml",
        "charge_at_launch: 95 %\n",
        "`charge_at_launch`",
        "reserve-at-turnaround",
    ),
    (
        "first-lines.yaml",
        ", reaction_time: 10 s",
        "`operator.reaction_time`",
        "overrun",
    ),
    (
        "first-lines.yaml",
        ", delay: 10 min",
        "`launch.delay`",
        "daylight-left",
    ),
    (
        "first-lines.yaml",
        "path: straight, ",
        "`return_leg.path`",
        "reserve-at-turnaround",
    ),
    (
        "first-lines.yaml",
        "path: straight, speed: 1.0 m/s",
        "`return_leg.speed`",
        "reserve-at-turnaround",
    ),
    (
        "boat.yaml",
        "  usable_fraction: 80 %\n",
        "`battery.usable_fraction`",
        "reserve-at-turnaround",
    ),
    (
        "boat.yaml",
        "  minimum_steerageway: 0.3 m/s\n",
        "`propulsion.minimum_steerageway`",
        "minimum-steerageway",
    ),
    (
        "boat.yaml",
        "  stopping_speed: 0.8 m/s\n",
        "`propulsion.stopping_speed`",
        "overrun",
    ),
    (
        "boat.yaml",
        ", wave_height: 0.1 m",
        "`limits.wave_height`",
        "wave-height",
    ),
    (
        "pond.yaml",
        "keep_out: [] # nowhere that is closed\n",
        "`keep_out`",
        "drift-into-keep-out",
    ),
];

/// What a check of `docs/start` says once a part of one of its files is struck out.
fn without(file: &str, part: &str) -> String {
    let session = super::session::Session::new();
    let path = format!("docs/start/{file}");
    let text = text_of(&path);
    let (before, after) = text
        .rsplit_once(part)
        .unwrap_or_else(|| panic!("{file}: no {part:?}"));
    session.write(&path, &format!("{before}{after}"));
    session.run("offing check docs/start --width 400")
}

#[test]
#[ignore = "slow"]
fn defaults_of_the_chapter_on_files_are_those_that_a_check_takes() {
    let chapter = text_of("docs/reference/files.md");
    for (file, part, said, taken) in DEFAULTS {
        assert!(
            chapter.contains(said),
            "docs/reference/files.md does not say: {said}"
        );
        let found = without(file, part);
        assert!(found.contains(taken), "without {part:?}: {found}");
    }
    for (file, part, field, rule) in NO_DEFAULT {
        let row = chapter
            .lines()
            .find(|line| line.starts_with(&format!("| {field}")));
        let row = row.unwrap_or_else(|| panic!("docs/reference/files.md has no {field}"));
        let says = row.contains("No default") || row.contains("then not evaluated");
        assert!(says, "{row}");
        let found = without(file, part);
        let unknown = found.contains("could not be evaluated");
        assert!(unknown && found.contains(rule), "without {part:?}: {found}");
    }
}
