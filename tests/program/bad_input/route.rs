//! What a mission's route can have wrong, and figures of it that do not go together.

use super::cases::{case, run, run_files};
use super::tree::{Files, VESSEL, mission};

const ID: &str = "north-bay-lines";

#[test]
fn legs_and_surveys() {
    let file = &mission(ID);
    let base = Files::demo(&[ID]);
    let area = "area: [[52.399192, -24.309213], [52.399960, -24.305761], [52.401987, -24.306968], [52.401218, -24.310419]]";
    let mouth = "- { id: bay-mouth, to: [52.398033, -24.308835], speed: { over_ground: 1.1 m/s } }";
    let default_speed = "speed: { over_ground: 0.6 m/s }\n";
    let told = run(
        &base,
        &[
            case("an id used twice", file, "id: slow-down", "id: §bay-mouth"),
            case("no speed", file, default_speed, "")
                .and(file, "id: line-up", "id: §line-up")
                .and(
                    file,
                    "at: [52.396063, -24.310462]",
                    "at: §[52.396063, -24.310462]",
                ),
            case(
                "two speeds",
                file,
                default_speed,
                "§speed: { over_ground: 0.6 m/s, through_water: 0.6 m/s }\n",
            ),
            case(
                "a speed that says nothing",
                file,
                default_speed,
                "§speed: {}\n",
            ),
            case(
                "a speed of nothing",
                file,
                default_speed,
                "speed: { over_ground: §0 m/s }\n",
            ),
            case(
                "a speed past any boat's",
                file,
                default_speed,
                "speed: { over_ground: §400 kn }\n",
            ),
            case("an empty route", file, "route:\n", "route: §[]\nx-route:\n").and(
                file,
                "x-route",
                "§x-route",
            ),
            case(
                "neither a waypoint nor a survey",
                file,
                mouth,
                "- { §id: bay-mouth }",
            ),
            case(
                "a waypoint and a survey",
                file,
                "  - id: bay-lines\n",
                "  - §id: bay-lines\n    to: [52.398033, -24.308835]\n",
            ),
            case(
                "a waypoint without a name",
                file,
                mouth,
                "- { §to: [52.398033, -24.308835] }",
            ),
            case(
                "an area that crosses itself",
                file,
                area,
                "area: [§[52.399192, -24.309213], [52.401987, -24.306968], [52.399960, -24.305761], [52.401218, -24.310419]]",
            ),
            case(
                "an area of two corners",
                file,
                area,
                "area: §[[52.399192, -24.309213], [52.401987, -24.306968]]",
            ),
            case(
                "an area without extent",
                file,
                area,
                "area: [§[52.399192, -24.309213], [52.399192, -24.309213], [52.401987, -24.306968]]",
            ),
            case(
                "an area with a corner off the site",
                file,
                area,
                "area: [[52.399192, -24.309213], §[-24.305761, 52.399960], [52.401987, -24.306968], [52.401218, -24.310419]]",
            ),
            case(
                "an area too small for a line",
                file,
                area,
                "§area: [[52.399192, -24.309213], [52.399193, -24.309213], [52.399193, -24.309212]]",
            ),
            case(
                "no line fits",
                file,
                "clear_of_land: 25 m",
                "clear_of_land: 400 m",
            )
            .and(file, area, &format!("§{area}")),
            case(
                "far too many lines",
                file,
                "spacing: 30 m",
                "spacing: §1 mm",
            ),
            case("far too many legs", file, "spacing: 30 m", "spacing: 4 cm").and(
                file,
                area,
                &format!("§{area}"),
            ),
            case(
                "a pause for a survey",
                file,
                "  - id: bay-lines\n",
                "  - id: bay-lines\n    pause: §5 min\n",
            ),
        ],
    );
    insta::assert_snapshot!(told);
}

/// A launch point by another launch site, soundings that are recorded nowhere, a route of no
/// length.
#[test]
fn figures_that_do_not_go_together() {
    let file = &mission(ID);
    let base = Files::demo(&[ID]);
    let mut told = run(
        &base,
        &[
            case(
                "a launch point outside its launch site",
                file,
                "at: [52.395812, -24.310484]",
                "at: §[52.399000, -24.305000]",
            ),
            case(
                "a recovery point by another launch site",
                file,
                "place: west-slip\n  at: [52.396063, -24.310462]",
                "place: dam-quay\n  at: §[52.396063, -24.310462]",
            ),
            case(
                "soundings logged aboard that are recorded ashore",
                file,
                "sonar-data: logged aboard",
                "sonar-data: §logged aboard",
            )
            .and(VESSEL, "records: aboard", "records: ashore"),
            case(
                "lines where the order requires full coverage",
                file,
                "survey_order: no order",
                "survey_order: order 1a\n  coverage: §lines",
            ),
            case(
                "expected depths the wrong way round",
                file,
                "greatest: 9 m",
                "greatest: §1 m",
            ),
        ],
    );
    let mut files = base;
    let text = files.text(file);
    let (before, rest) = text.split_once("route:\n").expect("a route");
    let (_, after) = rest.split_once("return_leg:").expect("a return leg");
    let before = before.replace("at: [52.396063, -24.310462]", "at: [52.395812, -24.310484]");
    let still = "§route:\n  - { id: still, to: [52.395812, -24.310484] }\nreturn_leg:";
    let text = format!("{before}{still}{after}");
    files.write(file, text);
    told += &run_files([("a route that goes nowhere", files)]);
    insta::assert_snapshot!(told);
}
