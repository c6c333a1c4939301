//! Where things lie, when they are closed, and who mans what: figures of the demo moved to where they
//! contradict another line of the files or the water itself, and others that only look as if they did.

use crate::shared::demo_tree as tree;

use offing::door::check::{Outcome, load, on_large_stacks};
use offing::door::finding::Nature;
use offing::door::passage::Passage;
use offing::door::passage::adrift::Peril;
use offing::door::source::WorkTree;
use rayon::prelude::*;
use tree::{Files, SHORELINE, SITE, SOUNDINGS, mission};

const NORTH: &str = "north-bay-lines";
const DAM: &str = "dam-to-bay-transects";

const TOWER: &str = "at: [52.402996, -24.286538]";
const WEIR: &str = "line: [[52.401519, -24.285441], [52.402017, -24.285565]]";
const MOORINGS: &str = "line: [[52.399564, -24.311623], [52.400318, -24.311369]]";
const REEDS: &str = "area: [[52.397644, -24.292970], [52.398320, -24.293372], [52.398688, -24.291715], [52.398013, -24.291313]]";
const DRAW_OFF: &str = "area: [[52.400293, -24.289230], [52.401153, -24.285364], [52.404225, -24.286174], [52.403165, -24.290938]]";
const QUAY: &str = "at: [52.404486, -24.289770]";
const DAM_MAST: &str = "at: [52.404535, -24.289721]";
const MANNED: &str = "- { station: slip-mast, operator_at: [52.395825, -24.310461] }";
const OPERATOR: &str = "operator:\n  at: [52.395825, -24.310461]";
const STATIONS: &str =
    "stations:\n  - { station: slip-mast, operator_at: [52.395825, -24.310461] }\n";
const POINTED: &str = "antennas:\n  - { station: slip-mast, link: control, azimuth: 015° }\n  - { station: slip-mast, link: telemetry, azimuth: 015° }\n";

/// Edits of a mission of the demo, and whether a rule then has a finding.
struct Case {
    what: &'static str,
    mission: &'static str,
    edits: Vec<(&'static str, &'static str, String)>,
    rule: &'static str,
    found: bool,
}

fn case(
    what: &'static str,
    mission: &'static str,
    rule: &'static str,
    found: bool,
    edits: &[(&'static str, &'static str, &str)],
) -> Case {
    let edits = edits.iter();
    Case {
        what,
        mission,
        edits: edits
            .map(|(path, from, to)| (*path, *from, (*to).to_owned()))
            .collect(),
        rule,
        found,
    }
}

fn checked(mission_id: &str, edits: &[(&str, &str, String)]) -> Outcome {
    let own = mission(mission_id);
    let mut files = Files::demo(&[mission_id]);
    for (path, from, to) in edits {
        let path = if *path == "mission" { &own } else { *path };
        files.edit(path, from, to);
    }
    files.check()
}

fn hold(cases: &[Case]) {
    let wrong: Vec<String> = cases
        .par_iter()
        .filter_map(|case| {
            let outcome = checked(case.mission, &case.edits);
            let inputs: Vec<&String> = outcome
                .findings
                .iter()
                .filter(|finding| finding.nature == Nature::Input)
                .map(|finding| &finding.message)
                .collect();
            let found = outcome.findings.iter().any(|f| f.rule == case.rule);
            let rules: Vec<&str> = outcome.findings.iter().map(|f| f.rule.as_str()).collect();
            (found != case.found || !inputs.is_empty())
                .then(|| format!("{}: {rules:?} {inputs:?}", case.what))
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn what_belongs_to_the_water_lies_there() {
    let rule = "placed-on-water";
    let one = |what, found, from, to| case(what, NORTH, rule, found, &[(SITE, from, to)]);
    hold(&[
        one(
            "an intake up the hill",
            true,
            TOWER,
            "at: [52.407496, -24.286538]",
        ),
        one(
            "a weir below the dam",
            true,
            WEIR,
            "line: [[52.401519, -24.280441], [52.402017, -24.280565]]",
        ),
        one(
            "moorings on a field",
            true,
            MOORINGS,
            "line: [[52.399564, -24.316623], [52.400318, -24.316369]]",
        ),
        one(
            "a keep-out area in a wood",
            true,
            REEDS,
            "area: [[52.392644, -24.292970], [52.393320, -24.293372], [52.393688, -24.291715]]",
        ),
        one(
            "a current on dry land",
            true,
            DRAW_OFF,
            "area: [[52.392644, -24.292970], [52.393320, -24.293372], [52.393688, -24.291715]]",
        ),
        one(
            "a weir that runs onto the bank",
            false,
            WEIR,
            "line: [[52.401519, -24.285441], [52.402017, -24.284000]]",
        ),
        one(
            "a keep-out area that takes in the bank",
            false,
            REEDS,
            "area: [[52.394644, -24.292970], [52.398320, -24.293372], [52.398688, -24.291715], [52.394013, -24.291313]]",
        ),
    ]);
}

#[test]
fn a_launch_site_lies_at_the_waterline() {
    let rule = "launch-site-at-waterline";
    let one = |what, found, to| case(what, NORTH, rule, found, &[(SITE, QUAY, to)]);
    hold(&[
        one("on the hill", true, "at: [52.407486, -24.289770]"),
        one("in mid-water", true, "at: [52.402486, -24.289770]"),
        one("kilometres away", true, "at: [52.424486, -24.289770]"),
        one("a few metres inland", false, "at: [52.404586, -24.289770]"),
    ]);
}

#[test]
fn a_station_may_stand_on_land_and_not_kilometres_away() {
    let rule = "station-near-water";
    let one = |what, found, to| case(what, NORTH, rule, found, &[(SITE, DAM_MAST, to)]);
    hold(&[
        one("two kilometres north", true, "at: [52.422535, -24.289721]"),
        one(
            "twenty kilometres east",
            true,
            "at: [52.404535, -24.009721]",
        ),
        one("on the hill", false, "at: [52.409535, -24.289721]"),
        one("on a raft", false, "at: [52.402535, -24.290721]"),
    ]);
}

#[test]
fn soundings_lie_within_the_shoreline() {
    let rule = "soundings-within-shoreline";
    let one = |what, found, to| {
        let from = "[-24.30887, 52.39578]";
        case(what, DAM, rule, found, &[(SOUNDINGS, from, to)])
    };
    hold(&[
        one("one on land", true, "[-24.30887, 52.39478]"),
        one("one at another water", true, "[-24.40887, 52.39578]"),
        one("one on the bank", false, "[-24.30887, 52.39570]"),
    ]);
    // All of them a few hundred metres west, as in another reference system.
    let mut files = Files::demo(&[DAM]);
    let shifted = files.text(SOUNDINGS).replace("[-24.3", "[-24.31");
    files.write(SOUNDINGS, shifted);
    let outcome = files.check();
    assert!(outcome.findings.iter().any(|f| f.rule == rule));
}

/// A box of ten kilometres in place of the shoreline: nothing in it is near any land.
#[test]
fn a_shoreline_is_drawn_where_the_boat_is() {
    let mut files = Files::demo(&[NORTH]);
    files.write(
        SHORELINE,
        r#"{ "type": "Polygon", "coordinates": [
  [[-24.40, 52.35], [-24.20, 52.35], [-24.20, 52.45], [-24.40, 52.45], [-24.40, 52.35]]
] }"#,
    );
    let outcome = files.check();
    for rule in ["shoreline-near-route", "launch-site-at-waterline"] {
        let found = outcome.findings.iter().find(|f| f.rule == rule);
        assert!(
            found.is_some_and(|f| f.nature == Nature::Violation),
            "{rule}"
        );
    }
}

#[test]
fn operators_stand_where_they_can_act() {
    let far = "operator:\n  at: [52.404476, -24.289795]";
    let far_manned = "- { station: slip-mast, operator_at: [52.404476, -24.289795] }";
    let one = |what, rule, found, edits: &[(&'static str, &'static str, &str)]| {
        case(what, NORTH, rule, found, edits)
    };
    let both: &[(&'static str, &'static str, &str)] =
        &[("mission", OPERATOR, far), ("mission", MANNED, far_manned)];
    let operator: &[(&'static str, &'static str, &str)] = &[("mission", OPERATOR, far)];
    let station: &[(&'static str, &'static str, &str)] = &[("mission", MANNED, far_manned)];
    hold(&[
        one("everybody at the dam", "operator-at-launch", true, both),
        one("everybody at the dam", "station-manned", true, both),
        one("everybody at the dam", "operator-at-controls", true, both),
        one(
            "somebody at the slip",
            "operator-at-launch",
            false,
            operator,
        ),
        one(
            "the operator at the dam",
            "operator-at-controls",
            true,
            operator,
        ),
        one("nobody at the mast", "station-manned", true, station),
        one("nobody at the mast", "operator-at-controls", false, station),
        one("as it is", "operator-at-launch", false, &[]),
    ]);
}

/// Somebody who stands at a station 1.7 km off is not at the water at the launch, and whoever steers does
/// not go out for the boat.
#[test]
fn people_at_the_water_add_up() {
    let second = "stations:\n  - { station: slip-mast, operator_at: [52.395825, -24.310461] }\n  - { station: dam-mast, operator_at: [52.404476, -24.289795] }\n";
    let one = |what, rule, found, edits: &[(&'static str, &'static str, &str)]| {
        case(what, NORTH, rule, found, edits)
    };
    let two = ("mission", "at_water: 3", "at_water: 2");
    let crew = "recovery_crew: survey lead and second helper, with the inflatable";
    hold(&[
        one("two at the slip", "minimum-crew", false, &[two]),
        one(
            "one of the two at the dam",
            "minimum-crew",
            true,
            &[two, ("mission", STATIONS, second)],
        ),
        one(
            "one of three at the dam",
            "minimum-crew",
            false,
            &[("mission", STATIONS, second)],
        ),
        one(
            "who steers fetches the boat",
            "roles-assigned",
            true,
            &[("mission", crew, "recovery_crew: the operator")],
        ),
        one(
            "who steers and another",
            "roles-assigned",
            false,
            &[("mission", crew, "recovery_crew: operator and survey lead")],
        ),
    ]);
}

/// An area off the dam that a boat adrift is blown into, closed at one time or another. The boat is
/// out from 08:40 to 10:30 on 22 June.
#[test]
fn a_boat_adrift_meets_what_is_closed_then() {
    let rule = "drift-into-keep-out";
    let closed = |what, found, season: &str| {
        let area = format!(
            "area: [[52.402681, -24.287053], [52.403311, -24.287053], [52.403311, -24.286023], [52.402681, -24.286023]]\n    {season} # "
        );
        let site = format!("{REEDS}\n    closed: [{{ from: 03-01, to: 09-15 }}] # ");
        let site: &'static str = site.leak();
        case(
            what,
            DAM,
            rule,
            found,
            &[
                (SITE, site, &area),
                ("mission", "ready_within: 2 min", "ready_within: 8 min"),
            ],
        )
    };
    hold(&[
        closed("in summer", true, "closed: [{ from: 03-01, to: 09-15 }]"),
        closed("in winter", false, "closed: [{ from: 10-01, to: 02-28 }]"),
        closed("always", true, ""),
        closed(
            "until the day before",
            false,
            "closed: [{ from: 06-01, to: 06-21 }]",
        ),
        closed(
            "from the day after on",
            false,
            "closed: [{ from: 06-23, to: 07-21 }]",
        ),
        closed("on this day", true, "closed: [{ from: 06-22, to: 06-22 }]"),
        closed(
            "in the evening",
            false,
            "closed: [{ hours: { from: '18:00', to: '22:00' } }]",
        ),
        // It is out until 10:30, and drifts on after.
        closed(
            "from when it may be adrift",
            true,
            "closed: [{ hours: { from: '10:31', to: '12:00' } }]",
        ),
    ]);
}

/// Where it cannot be determined when the boat is out, everything is closed.
#[test]
fn without_a_latest_return_a_boat_adrift_meets_every_season() {
    let edits = [
        (
            SITE,
            REEDS,
            "area: [[52.397644, -24.312970], [52.398320, -24.313372], [52.398688, -24.305715], [52.398013, -24.305313]]".to_owned(),
        ),
        (
            SITE,
            "closed: [{ from: 03-01, to: 09-15 }]",
            "closed: [{ from: 10-01, to: 02-28 }]".to_owned(),
        ),
    ];
    let rule = "drift-into-keep-out";
    let has = |outcome: &Outcome| outcome.findings.iter().any(|f| f.rule == rule);
    assert!(!has(&checked(NORTH, &edits)));
    let back = "  latest_return: 2027-06-15T11:30\n";
    let mut edits = edits.to_vec();
    edits.push(("mission", back, String::new()));
    assert!(has(&checked(NORTH, &edits)));
}

/// The launch window asks for the same passage at many times, and shares what time does not change: not
/// what is closed for a season, whatever else is closed all year, nor what closes once the boat is due back
/// and may still be adrift.
#[test]
fn a_boat_launched_in_another_season_meets_what_is_closed_then() {
    let season = "closed: [{ from: 03-01, to: 09-15 }]";
    let all_year =
        "  - id: nets\n    area: [[52.3965, -24.3130], [52.3966, -24.3130], [52.3966, -24.3128]]\n";
    let after = "closed: [{ from: 06-22, to: 06-22, hours: { from: '10:31', to: '12:00' } }]";
    for (closed, also) in [
        (season, ""),
        (season, all_year),
        (after, ""),
        (after, all_year),
    ] {
        let mut files = Files::demo(&[DAM]);
        files.edit(
            SITE,
            REEDS,
            "area: [[52.402681, -24.287053], [52.403311, -24.287053], [52.403311, -24.286023], [52.402681, -24.286023]]",
        );
        files.edit(SITE, season, closed);
        files.edit(
            SITE,
            "  - id: reed-bed\n",
            &format!("{also}  - id: reed-bed\n"),
        );
        let folder = files.lay_out();
        on_large_stacks(|| {
            let tree = WorkTree::open(folder.path()).unwrap();
            let loaded = load(&tree, None).unwrap();
            assert!(loaded.problems.is_empty(), "{:?}", loaded.problems);
            let summer = &loaded.linked.plans[0];
            let mut winter = summer.clone();
            // Half a year on, to the minute.
            let later = jiff::SignedDuration::from_hours(24 * 180);
            winter.mission.launch.time.value += later;
            if let Some(back) = &mut winter.mission.launch.latest_return {
                back.value += later;
            }
            let met = |passage: &Passage<'_>| {
                let met = &passage.adrift(Peril::Closed).unwrap().met.meets;
                met.iter().any(|meets| *meets)
            };
            let first = Passage::from_plan(summer);
            assert!(met(&first), "{closed}{also}");
            let again = first.relaunched(&winter);
            assert!(!met(&again), "{closed}{also}");
            assert!(met(&again.relaunched(summer)), "{closed}{also}");
            assert!(met(&first.relaunched(summer)), "{closed}{also}");
        });
    }
}

#[test]
fn the_clock_is_that_of_the_longitude() {
    let rule = "clock-matches-longitude";
    let zone = "time_zone: Etc/GMT+2";
    let one = |what, found, to| case(what, NORTH, rule, found, &[(SITE, zone, to)]);
    hold(&[
        one("the sign the other way round", true, "time_zone: Etc/GMT-2"),
        one(
            "of the other side of the earth",
            true,
            "time_zone: Asia/Tokyo",
        ),
        one("of the next continent", true, "time_zone: Europe/Helsinki"),
        one("an hour off", false, "time_zone: Etc/GMT+3"),
        one("UTC", false, "time_zone: Etc/UTC"),
    ]);
    // No zone at the site: the offset that the launch is written with is its clock.
    let base = Files::demo(&[NORTH]);
    let site = base.text(SITE);
    let from = site.find("permissions:").unwrap();
    let to = site.find("emergency_contact").unwrap();
    let permissions: &'static str = site[from..to].to_owned().leak();
    let line = "time_zone: Etc/GMT+2 # two hours behind UTC; the sign is the other way round in these names\n";
    let closed =
        "    closed: [{ from: 03-01, to: 09-15 }] # every year, until the young have flown\n";
    let by = |what, found, launch: &str, back: &str| {
        case(
            what,
            NORTH,
            rule,
            found,
            &[
                (SITE, line, ""),
                (SITE, closed, ""),
                (SITE, permissions, ""),
                ("mission", "charged: 2027-06-14\n", ""),
                ("mission", "  time: 2027-06-15T09:30", launch),
                ("mission", "  latest_return: 2027-06-15T11:30", back),
            ],
        )
    };
    hold(&[
        by(
            "its own offset, of elsewhere",
            true,
            "  time: 2027-06-15T23:30+12:00",
            "  latest_return: 2027-06-16T01:30+12:00",
        ),
        by(
            "its own offset",
            false,
            "  time: 2027-06-15T09:30-02:00",
            "  latest_return: 2027-06-15T11:30-02:00",
        ),
        by(
            "UTC",
            false,
            "  time: 2027-06-15T11:30Z",
            "  latest_return: 2027-06-15T13:30Z",
        ),
    ]);
}

/// The site's own offset and UTC are taken beside its time zone; another clock is refused, as
/// `tests/program/bad_input` has it.
#[test]
fn a_time_may_be_written_by_the_sites_clock_or_in_utc() {
    let times = [
        (
            "time: 2027-06-15T09:30-02:00",
            "latest_return: 2027-06-15T11:30-02:00",
        ),
        (
            "time: 2027-06-15T11:30Z",
            "latest_return: 2027-06-15T13:30Z",
        ),
        ("time: 2027-06-15T09:30", "latest_return: 2027-06-15T13:30Z"),
    ];
    for (launch, back) in times {
        let edits = [
            ("mission", "time: 2027-06-15T09:30\n", format!("{launch}\n")),
            (
                "mission",
                "latest_return: 2027-06-15T11:30",
                back.to_owned(),
            ),
        ];
        let outcome = checked(NORTH, &edits);
        assert!(
            outcome.findings.is_empty(),
            "{launch}: {:?}",
            outcome.findings
        );
    }
}

/// What a mission leaves unsaid of its stations leaves the link not evaluated, with what to add.
#[test]
fn a_station_counts_only_where_the_mission_mans_it() {
    let unsaid = |edits: &[(&str, &str, String)]| {
        let outcome = checked(NORTH, edits);
        let found = outcome.findings.iter().find(|f| f.rule == "link-margin");
        let found = found.unwrap_or_else(|| panic!("no finding: {:?}", outcome.findings));
        let remedies = found.remedies_told().join("\n");
        (found.nature, format!("{}\n{remedies}", found.message))
    };
    let none = |to: &str| unsaid(&[("mission", &format!("{STATIONS}{POINTED}"), to.to_owned())]);
    for left in ["", "stations: []\n"] {
        let (nature, text) = none(left);
        assert_eq!(nature, Nature::NotEvaluated, "{left:?}");
        assert!(
            text.contains("does not say which stations are in use"),
            "{text}"
        );
        assert!(text.contains("station: slip-mast"), "{text}");
    }
    // A station in use that has no radio for the link.
    let gone = "      - link: control\n        frequency: 868 MHz\n        transmit_power: 14 dBm\n        sensitivity: -103 dBm\n        losses: 1 dB\n        antenna: { gain: 12 dBi, height: 6 m, azimuth: 063°, beamwidth: 40°, front_to_back: 20 dB, polarisation: vertical }\n";
    let (nature, text) = unsaid(&[
        (SITE, gone, String::new()),
        ("mission", POINTED, String::new()),
    ]);
    assert_eq!(nature, Nature::NotEvaluated);
    assert!(
        text.contains("no station in use has a radio for the control link"),
        "{text}"
    );
    assert!(text.contains("station: dam-mast"), "{text}");
    // The station at the other end is in use and does not reach.
    let dam = "stations:\n  - { station: dam-mast, operator_at: [52.404476, -24.289795] }\n";
    let (nature, text) = none(dam);
    assert_eq!(nature, Nature::Violation, "{text}");
}
