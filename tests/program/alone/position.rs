//! Where things lie and who stands where.

use super::{Case, one};

const NORTH: &str = "north-bay-lines";
const DAM: &str = "dam-to-bay-transects";
const SITE: &str = "site/quenderby.yaml";
const POLICY: &str = "policy/team.yaml";

pub const CASES: &[Case] = &[
    one(
        "placed-on-water",
        NORTH,
        &[(
            SITE,
            "at: [52.402996, -24.286538]",
            "at: [52.407496, -24.286538]",
        )],
    ),
    one(
        "launch-site-at-waterline",
        NORTH,
        &[(
            SITE,
            "at: [52.404486, -24.289770]",
            "at: [52.405286, -24.289770]",
        )],
    ),
    one(
        "station-near-water",
        NORTH,
        &[(
            SITE,
            "at: [52.404535, -24.289721]",
            "at: [52.420035, -24.289721]",
        )],
    ),
    one(
        "soundings-within-shoreline",
        DAM,
        &[(
            "site/quenderby-soundings.geojson",
            "[-24.30887, 52.39578]",
            "[-24.30887, 52.39478]",
        )],
    ),
    one(
        "shoreline-near-route",
        NORTH,
        &[(
            POLICY,
            "rules:\n",
            "rules:\n  shoreline-near-route: { at_most: 100 m, reason: the crew wades out to the boat }\n",
        )],
    ),
    one(
        "station-manned",
        NORTH,
        &[(
            "mission",
            "operator_at: [52.395825, -24.310461]",
            "operator_at: [52.395825, -24.308461]",
        )],
    ),
    one(
        "operator-at-controls",
        NORTH,
        &[(
            POLICY,
            "rules:\n",
            "rules:\n  operator-at-controls: { at_most: 5 m, reason: the controls hang on a lead }\n",
        )],
    ),
    one(
        "operator-at-launch",
        NORTH,
        &[(
            POLICY,
            "rules:\n",
            "rules:\n  operator-at-launch: { at_most: 1 m, reason: the operator launches the boat }\n",
        )],
    ),
    Case {
        rule: "boat-in-sight",
        mission: NORTH,
        edits: &[
            (
                "mission",
                "operator:\n  at: [52.395825, -24.310461]",
                "operator:\n  at: [52.395273, -24.310461]",
            ),
            (
                "mission",
                "operator_at: [52.395825, -24.310461]",
                "operator_at: [52.395273, -24.310461]",
            ),
            (POLICY, "at_most: 60 m", "at_most: 150 m"),
        ],
        also: &[(
            "operator-in-sight",
            "who has none of the route in sight has no recovery point in sight either",
        )],
    },
    one(
        "clock-matches-longitude",
        NORTH,
        &[(SITE, "time_zone: Etc/GMT+2", "time_zone: Etc/GMT-2")],
    ),
];
