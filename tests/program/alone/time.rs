//! Daylight and lights, visibility, forecast, permission, charge.

use super::{Case, one};

const NORTH: &str = "north-bay-lines";
const DAM: &str = "dam-to-bay-transects";
const SITE: &str = "site/quenderby.yaml";
const VESSEL: &str = "vessels/goosander.yaml";

pub const CASES: &[Case] = &[
    one(
        "daylight-at-launch",
        NORTH,
        &[(
            "mission",
            "time: 2027-06-15T09:30",
            "time: 2027-06-15T03:00",
        )],
    ),
    one(
        "daylight-left",
        NORTH,
        &[
            (
                "mission",
                "time: 2027-06-15T09:30",
                "time: 2027-06-15T17:50",
            ),
            (
                "mission",
                "latest_return: 2027-06-15T11:30",
                "latest_return: 2027-06-15T19:45",
            ),
        ],
    ),
    // Its own lights are screened astern.
    one(
        "lights",
        NORTH,
        &[
            ("mission", "visibility: 5 km", "visibility: 3 km"),
            (
                VESSEL,
                "lights: []",
                "lights: [{ kind: all-round white, arc: 300°, range: 2 nmi }]",
            ),
        ],
    ),
    one(
        "visibility",
        NORTH,
        &[
            ("mission", "visibility: 5 km", "visibility: 800 m"),
            (
                VESSEL,
                "lights: []",
                "lights: [{ kind: all-round white, arc: 360°, range: 2 nmi }]",
            ),
        ],
    ),
    one(
        "forecast-fresh",
        DAM,
        &[(
            "mission",
            "issued: 2027-06-22T05:00",
            "issued: 2027-06-21T19:00",
        )],
    ),
    one(
        "forecast-holds",
        DAM,
        &[(
            "mission",
            "valid_until: 2027-06-22T17:00",
            "valid_until: 2027-06-22T10:50",
        )],
    ),
    one(
        "permission-in-force",
        NORTH,
        &[(SITE, "from: 2027-04-01", "from: 2027-06-16")],
    ),
    one(
        "recently-charged",
        NORTH,
        &[("mission", "charged: 2027-06-14", "charged: 2027-06-07")],
    ),
];
