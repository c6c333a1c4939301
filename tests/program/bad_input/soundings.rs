//! What soundings, the water's level and the safety boat can have wrong.

use super::cases::{Case, case, run};
use super::tree::{Files, SITE, SOUNDINGS, mission};

const ID: &str = "long-run-downwind";
const NAMED: &str = "  file: quenderby-soundings.geojson";
const FIRST: &str = "{ \"type\": \"Feature\", \"properties\": { \"depth\": 3.1 }, \"geometry\": { \"type\": \"Point\", \"coordinates\": [-24.30887, 52.39578] } }";

/// Without the mission's line, which is marked in every case of the site.
fn base() -> Files {
    let mut base = Files::demo(&[ID]);
    base.edit(&mission(ID), "site: quenderby", "site: §quenderby");
    base
}

/// A fault in the first sounding, which the site's line is told of too.
fn of_first(name: &'static str, to: &str) -> Case {
    case(name, SOUNDINGS, FIRST, to)
}

#[test]
fn soundings() {
    let named = |name, to: &str| case(name, SITE, NAMED, to);
    let point = |properties: &str, at: &str| {
        format!(
            "§{{ \"type\": \"Feature\", \"properties\": {{ {properties} }}, \"geometry\": {{ \"type\": \
             \"Point\", \"coordinates\": {at} }} }}"
        )
    };
    let told = run(
        &base(),
        &[
            named("not there", "  file: §quenderby-depths.geojson"),
            named("out of the repository", "  file: §../../../etc/hostname"),
            named("absolute", "  file: §/etc/hostname"),
            of_first("no depth", &point("\"d\": 3.1", "[-24.30887, 52.39578]")),
            of_first(
                "a depth in words",
                &point("\"depth\": §\"deep\"", "[-24.30887, 52.39578]").replacen('§', "", 1),
            ),
            of_first(
                "deeper than any water",
                &point("\"depth\": §1e9", "[-24.30887, 52.39578]").replacen('§', "", 1),
            ),
            of_first(
                "latitude first",
                &point("\"depth\": 3.1", "§[52.39578, -24.30887]").replacen('§', "", 1),
            ),
            of_first(
                "a line",
                "§{ \"type\": \"Feature\", \"properties\": { \"depth\": 3.1 }, \"geometry\": { \"type\": \
                 \"LineString\", \"coordinates\": [[-24.3, 52.4], [-24.3, 52.41]] } }",
            ),
            case(
                "too far apart to be joined",
                SITE,
                "longest_edge: 100 m",
                "longest_edge: §1 m",
            ),
            case(
                "a day that is none",
                SITE,
                "read: 2027-06-14",
                "read: §2027-06-31",
            ),
        ],
    );
    insta::assert_snapshot!(told);
}

#[test]
fn safety_boat() {
    let own = mission(ID);
    let place = "  place: west-slip\n  speed: 2.5 m/s";
    let told = run(
        &Files::demo(&[ID]),
        &[
            case(
                "a place that is not there",
                &own,
                place,
                "  place: §west-slap\n  speed: 2.5 m/s",
            ),
            case(
                "off the site",
                &own,
                place,
                "  at: §[51.0, -24.3]\n  speed: 2.5 m/s",
            ),
            case(
                "no speed at all",
                &own,
                place,
                "  place: west-slip\n  speed: §0 m/s",
            ),
        ],
    );
    insta::assert_snapshot!(told);
}
