//! What a site file can have wrong, its shoreline apart.

use super::cases::{Case, case, run};
use super::tree::{Files, SITE, mission};

const ID: &str = "long-run-downwind";

fn told(cases: Vec<Case>) -> String {
    let mut base = Files::demo(&[ID]);
    base.edit(&mission(ID), "site: quenderby", "site: §quenderby");
    run(&base, &cases)
}

fn one(name: &'static str, from: &str, to: &str) -> Case {
    case(name, SITE, from, to)
}

/// The current that the intake makes, as the site has it.
const DRAW_OFF: &str = "- id: draw-off # what the intake takes\n    area: [[52.400293, -24.289230], [52.401153, -24.285364], [52.404225, -24.286174], [52.403165, -24.290938]]";

#[test]
fn fields() {
    let told = told(vec![
        one("a misspelt field", "launch_sites:", "§launch_site:").and(SITE, "kind: site", "§kind: site"),
        one("a time zone that is none", "Etc/GMT+2", "§Lake/North"),
        one("other water", "water: fresh", "water: §brackish"),
        one("a depth of nothing", "mean_depth: 7 m", "mean_depth: §0 m"),
        one("a water that is deep up to its shore", "mean_depth: 7 m", "mean_depth: 7 m\nleast_depth: §1 km"),
        one("a shoreline without its error", "  error: 3 m # survey and up to 0.3 m of draw-down on the flat shores\n", "").and(SITE, "shoreline:", "§shoreline:"),
        one("a day that is none", "surveyed: 2026-09-03", "surveyed: §2026-09-31"),
        one("a hazard without a clearance", "    clearance: 60 m\n", "").and(SITE, "- id: spillway", "- §id: spillway"),
        one("a negative clearance", "clearance: 60 m", "clearance: §-60 m"),
        one("a hazard that lies nowhere", "    at: [52.402996, -24.286538]\n", "").and(SITE, "- id: intake-tower", "- §id: intake-tower"),
        one("a hazard of two forms", "    at: [52.402996, -24.286538]\n", "    at: [52.402996, -24.286538]\n    line: [[52.401519, -24.285441], [52.402017, -24.285565]]\n")
            .and(SITE, "- id: intake-tower", "- §id: intake-tower"),
        one("a hazard off the site", "at: [52.402996, -24.286538]", "at: §[-24.286538, 52.402996]"),
        one("a line with a point off the site", "line: [[52.399564, -24.311623], [52.400318, -24.311369]]", "line: [[52.399564, -24.311623], §[52.9, -24.311369]]"),
        one("a line of one point", "line: [[52.399564, -24.311623], [52.400318, -24.311369]]", "line: §[[52.399564, -24.311623]]"),
        one("a keep-out area that crosses itself", "[52.397644, -24.292970], [52.398320, -24.293372], [52.398688, -24.291715]", "[52.397644, -24.292970], [52.398688, -24.291715], [52.398320, -24.293372]")
            .and(SITE, "area: [[52.397644", "area: [§[52.397644"),
        one("two hazards of one name", "- id: intake-tower", "- id: §spillway"),
        one("a current without its set", "    set: 070°\n", "").and(SITE, "- id: brook-mouth", "- §id: brook-mouth"),
        one("current areas that coincide", DRAW_OFF, "- id: §draw-off # what the intake takes\n    area: [[52.395950, -24.314319], [52.396097, -24.312374], [52.397701, -24.313329], [52.397132, -24.315023]]"),
        one("current areas that coincide, one drawn the other way round", DRAW_OFF, "- id: §draw-off # what the intake takes\n    area: [[52.397132, -24.315023], [52.397701, -24.313329], [52.396097, -24.312374], [52.395950, -24.314319]]"),
        one("a current area within another", DRAW_OFF, "- id: §draw-off # what the intake takes\n    area: [[52.396400, -24.314000], [52.396400, -24.313000], [52.397000, -24.313500]]"),
        one("current areas of which one is a part of the other, with a side in common", DRAW_OFF, "- id: §draw-off # what the intake takes\n    area: [[52.395950, -24.314319], [52.396097, -24.312374], [52.397701, -24.313329]]"),
        one("current areas that cross one another", DRAW_OFF, "- id: §draw-off # what the intake takes\n    area: [[52.396600, -24.316000], [52.396600, -24.311000], [52.396800, -24.311000], [52.396800, -24.316000]]"),
        one("a current past any water's", "drift: 0.10 m/s", "drift: §-0.10 m/s"),
        one("a launch site off the site", "at: [52.395812, -24.310484]", "at: §[52.395812, -42.310484]"),
        one("a zone that is no length", "    zone: 50 m\n    depth: 1.1 m", "    zone: §50\n    depth: 0.9 m"),
    ]);
    insta::assert_snapshot!(told);
}

#[test]
fn seasons_and_permissions() {
    let closed = "closed: [{ from: 03-01, to: 09-15 }]";
    let put = |name, to: &str| one(name, closed, to);
    let until = "until: 2027-08-12";
    let told = told(vec![
        put("a season without an end", "closed: [{ §from: 03-01 }]"),
        put("a day that no year has", "closed: [{ from: §02-30, to: 09-15 }]"),
        put("a season in words", "closed: [{ from: §March, to: 09-15 }]"),
        put("days of which one has a year", "closed: [{ from: 03-01, to: §2027-09-15 }]"),
        put("days the wrong way round", "closed: [{ from: 2027-09-15, to: §2027-03-01 }]"),
        put("a closure that says nothing", "closed: [§{}]"),
        put("hours that end as they begin", "closed: [{ hours: { from: '08:00', to: §'08:00' } }]"),
        put("an hour past the day's end", "closed: [{ hours: { from: '08:00', to: §'25:00' } }]"),
        put("an hour with its date", "closed: [{ hours: { from: §2027-06-15T08:00, to: '18:00' } }]"),
        one("a permission without an end", "    until: 2027-08-12\n", "").and(SITE, "- id: water-board", "- §id: water-board"),
        one("a permission that ends before it begins", until, "until: §2027-03-31"),
        one("a permission until a point in time", until, "until: §2027-08-12T12:00"),
        one("days without a time zone", "time_zone: Etc/GMT+2 # two hours behind UTC; the sign is the other way round in these names\n", "")
            .and(SITE, "closed: [", "§closed: [")
            .and(SITE, "permissions:", "§permissions:")
            .and(&mission(ID), "  time: 2027-07-06T14:10", "  time: 2027-07-06T14:10Z")
            .and(&mission(ID), "latest_return: 2027-07-06T15:30", "latest_return: 2027-07-06T15:30Z"),
    ]);
    insta::assert_snapshot!(told);
}

#[test]
fn stations() {
    let control = "antenna: { gain: 12 dBi, height: 6 m, azimuth: 063°, beamwidth: 40°, front_to_back: 20 dB, polarisation: vertical }";
    let put = |name, to: &str| one(name, control, to);
    let told = told(vec![
        put(
            "a beam that points nowhere",
            "antenna: { gain: 12 dBi, height: 6 m, beamwidth: §40° }",
        ),
        put(
            "an axis without a beam",
            "antenna: { gain: 12 dBi, height: 6 m, azimuth: §063° }",
        ),
        put(
            "a back without a front",
            "antenna: { gain: 12 dBi, height: 6 m, front_to_back: §20 dB }",
        ),
        put(
            "a beam of nothing",
            "antenna: { gain: 12 dBi, height: 6 m, azimuth: 063°, beamwidth: §0° }",
        ),
        put(
            "a beam past the circle",
            "antenna: { gain: 12 dBi, height: 6 m, azimuth: 063°, beamwidth: §400° }",
        ),
        put(
            "an azimuth past the circle",
            "antenna: { gain: 12 dBi, height: 6 m, azimuth: §400°, beamwidth: 40° }",
        ),
        put(
            "a slanted polarisation",
            "antenna: { gain: 2 dBi, height: 6 m, polarisation: §slant }",
        ),
        put(
            "a gain past any antenna's",
            "antenna: { gain: §400 dBi, height: 6 m }",
        ),
        one(
            "two radios for one link",
            "      - link: sonar-data # all",
            "      - link: §control # all",
        ),
        one(
            "a station without radios",
            "stations:\n",
            "stations:\n  - { §id: bare, at: [52.395756, -24.310513] }\n",
        ),
        one(
            "two stations of one name",
            "- id: dam-mast",
            "- id: §slip-mast",
        ),
    ]);
    insta::assert_snapshot!(told);
}
