//! A disabled boat: what it drifts onto before it is fetched.

use super::Case;

const NORTH: &str = "north-bay-lines";
const DAM: &str = "dam-to-bay-transects";
const READY: &str = "ready_within: 2 min";

pub const CASES: &[Case] = &[
    Case {
        rule: "drift-onto-weir",
        mission: DAM,
        edits: &[("mission", READY, "ready_within: 5 min")],
        also: &[],
    },
    Case {
        rule: "drift-into-keep-out",
        mission: DAM,
        edits: &[
            ("site/quenderby.yaml", "kind: intake", "kind: swimming"),
            ("mission", READY, "ready_within: 7 min"),
        ],
        also: &[],
    },
    Case {
        rule: "drift-into-open-water",
        mission: NORTH,
        edits: &[
            ("site/quenderby-shoreline.geojson", north_shore!(), ""),
            (
                "site/quenderby.yaml",
                "time_zone: Etc/GMT+2",
                "open_edges:\n  - from: [52.401954, -24.301639]\n    to: [52.401858, -24.304984]\n    \
                 fetch: 2 km\ntime_zone: Etc/GMT+2",
            ),
            ("mission", READY, "ready_within: 25 min"),
        ],
        also: &[("drift-onto-lee-shore", "the shore beside it is as near")],
    },
    Case {
        rule: "drift-onto-lee-shore",
        mission: NORTH,
        edits: &[("mission", READY, "ready_within: 25 min")],
        also: &[],
    },
    Case {
        rule: "safety-boat-wind",
        mission: NORTH,
        edits: &[("mission", "wind_limit: 12 m/s", "wind_limit: 4 m/s")],
        also: &[],
    },
];
