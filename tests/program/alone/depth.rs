//! Water under the keel, and how old what is known of it is.

use super::{Case, one};

const NORTH: &str = "north-bay-lines";
const SITE: &str = "site/quenderby.yaml";

const fn of_site(
    rule: &'static str,
    edits: &'static [(&'static str, &'static str, &'static str)],
) -> Case {
    one(rule, NORTH, edits)
}

pub const CASES: &[Case] = &[
    of_site(
        "under-keel-clearance",
        &[(SITE, "above_datum: -0.20 m", "above_datum: -0.90 m")],
    ),
    of_site(
        "depth-unknown",
        &[(SITE, "longest_edge: 100 m", "longest_edge: 55 m")],
    ),
    of_site(
        "soundings-age",
        &[(SITE, "surveyed: 2026-09-10", "surveyed: 2019-09-10")],
    ),
    of_site(
        "water-level-age",
        &[(SITE, "read: 2027-06-14", "read: 2027-03-14")],
    ),
];
