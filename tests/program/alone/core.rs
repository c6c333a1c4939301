//! The rules that a boat is most often lost by: energy, wind, link, clearance, recovery.

use super::{Case, one};

const NORTH: &str = "north-bay-lines";
const SITE: &str = "site/quenderby.yaml";
const POLICY: &str = "policy/team.yaml";
const VESSEL: &str = "vessels/goosander.yaml";

pub const CASES: &[Case] = &[
    Case {
        rule: "gust-factor",
        mission: "north-bay-lines",
        edits: &[("mission", "gust: 5 m/s", "gust: 3.3 m/s")],
        also: &[],
    },
    Case {
        rule: "wind-spread",
        mission: "north-bay-lines",
        edits: &[("mission", "spread: 20°", "spread: 5°")],
        also: &[],
    },
    Case {
        rule: "wind-not-planned",
        mission: "north-bay-lines",
        edits: &[("mission", "mean: 3 m/s", "mean: 0.8 m/s")],
        also: &[],
    },
    Case {
        rule: "shoreline",
        mission: NORTH,
        edits: &[
            ("mission", "clear_of_land: 25 m", "clear_of_land: 4 m"),
            (
                "mission",
                "[52.401987, -24.306968]",
                "[52.402687, -24.305968]",
            ),
        ],
        also: &[
            ("under-keel-clearance", "the bank is shallow"),
            ("depth-unknown", "the soundings end at the shoreline"),
            (
                "least-expected-depth-agrees",
                "the bank is shallower than the bay",
            ),
            (
                "override-overrun",
                "a line that ends at the shore is overrun on to it",
            ),
            (
                "lost-position-overrun",
                "a line that ends at the shore is overrun on to it",
            ),
        ],
    },
    one(
        "launch-site",
        NORTH,
        &[(
            "mission",
            "  at: [52.395812, -24.310484]\n  time",
            "  at: [52.395770, -24.310484]\n  time",
        )],
    )
    .along(&[("boat-in-sight", "a boat on land is seen from nowhere")]),
    one(
        "hazards",
        NORTH,
        &[(SITE, "clearance: 15 m", "clearance: 70 m")],
    ),
    Case {
        rule: "keep-out",
        mission: NORTH,
        edits: &[(
            SITE,
            "area: [[52.397644, -24.292970], [52.398320, -24.293372], [52.398688, -24.291715], [52.398013, -24.291313]]",
            "area: [[52.3975, -24.3095], [52.3976, -24.3085], [52.3972, -24.3085]]",
        )],
        also: &[(
            "drift-into-keep-out",
            "a boat that is in it need not drift there",
        )],
    },
    one(
        "gauge-matches-battery",
        NORTH,
        &[
            (VESSEL, "capacity_set: 9.0 Ah", "capacity_set: 10 Ah"),
            ("mission", "below_charge: 45 %", "below_charge: 55 %"),
        ],
    ),
    one(
        "low-battery-trigger-late",
        NORTH,
        &[("mission", "below_charge: 45 %", "below_charge: 22 %")],
    ),
    Case {
        rule: "reserve-at-turnaround",
        mission: NORTH,
        edits: &[(
            "mission",
            "charge_at_launch: 95 %",
            "charge_at_launch: 66 %",
        )],
        also: &[(
            "low-battery-trigger-early",
            "a reserve below that of the low-battery action is one that it breaks off for",
        )],
    },
    Case {
        rule: "return-energy-ratio",
        mission: NORTH,
        edits: &[
            (
                "mission",
                "charge_at_launch: 95 %",
                "charge_at_launch: 63 %",
            ),
            (POLICY, "at_least: 35 %", "at_least: 1 %"),
        ],
        also: &[(
            "low-battery-trigger-early",
            "a reserve below that of the low-battery action is one that it breaks off for",
        )],
    },
    Case {
        rule: "link-margin",
        mission: NORTH,
        edits: &[(
            "mission",
            "link: control, azimuth: 015°",
            "link: control, azimuth: 200°",
        )],
        also: &[(
            "antenna-bearing",
            "an antenna turned away is what loses the link",
        )],
    },
    one(
        "approach-into-wind",
        NORTH,
        &[("mission", "from: 240°", "from: 060°")],
    ),
    one(
        "approach-speed",
        NORTH,
        &[(
            "mission",
            "speed: { over_ground: 0.6 m/s }",
            "speed: { over_ground: 1.1 m/s }",
        )],
    ),
    Case {
        rule: "depth-at-recovery",
        mission: NORTH,
        edits: &[(SITE, "depth: 1.1 m", "depth: 0.2 m")],
        also: &[(
            "under-keel-clearance",
            "the way goes over the same depth, and in waves",
        )],
    },
    Case {
        rule: "drift-ashore",
        mission: NORTH,
        edits: &[
            (
                "mission",
                "from: 240°, spread: 20°, mean: 3 m/s, gust: 5 m/s",
                "from: 300°, spread: 20°, mean: 3 m/s, gust: 14 m/s",
            ),
            (VESSEL, "gust: 12 m/s", "gust: 15 m/s"),
            (VESSEL, "leeway: 4 %", "leeway: 7 %"),
            ("mission", "wind_limit: 12 m/s", "wind_limit: 15 m/s"),
        ],
        also: &[(
            "drift-onto-lee-shore",
            "gusts like these take a boat on to the shore of all of the bay",
        )],
    },
    one(
        "end-action",
        NORTH,
        &[(
            "mission",
            "at_end: { action: hold }",
            "at_end: { action: carry on }",
        )],
    ),
    one(
        "operator-in-sight",
        NORTH,
        &[
            (
                "mission",
                "operator:\n  at: [52.395825, -24.310461]",
                "operator:\n  at: [52.395273, -24.310461]",
            ),
            (POLICY, "at_most: 60 m", "at_most: 150 m"),
        ],
    ),
    one(
        "operator-near",
        NORTH,
        &[(
            "mission",
            "operator:\n  at: [52.395825, -24.310461]",
            "operator:\n  at: [52.395900, -24.309400]",
        )],
    ),
    Case {
        rule: "overrun",
        mission: NORTH,
        edits: &[(VESSEL, "stopping_distance: 3 m", "stopping_distance: 60 m")],
        also: &[
            ("override-overrun", "it takes as long to stop past a turn"),
            (
                "lost-position-overrun",
                "it takes as long to stop past a turn",
            ),
        ],
    },
    Case {
        rule: "stand-off",
        mission: NORTH,
        edits: &[
            (
                "mission",
                "at: [52.396063, -24.310462]",
                "at: [52.395842, -24.310462]",
            ),
            (
                "mission",
                "mean: 3 m/s, gust: 5 m/s",
                "mean: 0.4 m/s, gust: 0.6 m/s",
            ),
        ],
        also: &[
            (
                "overrun",
                "a overrun ends no farther off than it begins, unless it leads away",
            ),
            ("wind-not-planned", "the case is one of no wind"),
        ],
    },
    one(
        "straight-approach",
        NORTH,
        &[(
            "mission",
            "to: [52.396356, -24.309792]",
            "to: [52.396160, -24.310200]",
        )],
    ),
    one(
        "lost-link-action",
        NORTH,
        &[(
            "mission",
            "on_lost_link: { action: return",
            "on_lost_link: { action: carry on",
        )],
    ),
    one(
        "lost-link-delay",
        NORTH,
        &[("mission", "after: 10 s", "after: 45 s")],
    ),
    one(
        "lost-position-action",
        NORTH,
        &[(
            "mission",
            "on_lost_position: { action: stop, after: 5 s }",
            "on_lost_position: { action: hold, after: 5 s }",
        )],
    ),
    one(
        "low-battery-action",
        NORTH,
        &[(
            "mission",
            "on_low_battery: { action: return",
            "on_low_battery: { action: hold",
        )],
    ),
    one(
        "return-on-time",
        NORTH,
        &[(
            "mission",
            "latest_return: 2027-06-15T11:30",
            "latest_return: 2027-06-15T10:30",
        )],
    ),
    one(
        "headway-in-gusts",
        NORTH,
        &[
            (VESSEL, "maximum_power: 180 W", "maximum_power: 20 W"),
            (VESSEL, "leeway: 4 %", "leeway: 1.5 %"),
            ("mission", "gust: 5 m/s", "gust: 19 m/s"),
            (VESSEL, "gust: 12 m/s", "gust: 20 m/s"),
            ("mission", "wind_limit: 12 m/s", "wind_limit: 15 m/s"),
        ],
    )
    .along(&[("safety-boat-wind", "no small craft goes out in such gusts")]),
    one(
        "upwind-run-energy",
        NORTH,
        &[(
            POLICY,
            "rules:\n",
            "rules:\n  upwind-run-energy: { at_most: 8 %, reason: an old pack }\n",
        )],
    ),
    one(
        "upwind-run-length",
        NORTH,
        &[(
            POLICY,
            "rules:\n",
            "rules:\n  upwind-run-length: { at_most: 600 m, reason: an old pack }\n",
        )],
    ),
    one(
        "upwind-run-time",
        NORTH,
        &[(
            "mission",
            "  path: straight\n  speed: 1.1 m/s",
            "  path: straight\n  speed: 0.4 m/s",
        )],
    ),
];
