//! Inputs that may be taken away without a word, each with the reason.

/// The files that parts are taken from.
pub const KINDS: [&str; 3] = ["mission", "vessel", "site"];

/// Kind of file, path of the part (`*` stands for one name), the rules whose findings may go with
/// it, why.
const ARGUED: &[(&str, &str, &[&str], &str)] = &[
    (
        "mission",
        "route/profile-end",
        &["upwind-run-length", "reserve-at-turnaround"],
        "another route: a boat that never goes to the far end has no long way home from it, and \
         nothing is assumed of the waypoint that is gone",
    ),
    (
        "mission",
        "route/*",
        &[],
        "another route, as with the far end, though no finding goes with these",
    ),
    (
        "mission",
        "route/*/speed",
        &[],
        "the mission's own `speed` holds, which the plan itself states for this",
    ),
    (
        "mission",
        "way_home",
        &[],
        "what the boat does once it is home is then what it does at the end of the route, which is told as \
         an assumption",
    ),
    (
        "mission",
        "antennas",
        &["link-range", "antenna-bearing"],
        "the bearing that the site's file states holds: the antenna then points as it usually \
         does, and that is stated, not assumed",
    ),
    (
        "mission",
        "antennas/control",
        &["link-range", "antenna-bearing"],
        "as for the whole list: the site's own bearing holds",
    ),
    (
        "vessel",
        "propulsion/trial/points/*",
        &[],
        "a trial of fewer points, drawn through by straight lines, is another trial; beyond its \
         last point nothing is assumed and the rule is not evaluated",
    ),
    (
        "site",
        "hazards/slip-rock",
        &["run-on"],
        "a site without the danger is another site; whether every danger is charted no program can \
         tell. Where none is left that is listed as an assumption",
    ),
    (
        "site",
        "hazards/*",
        &[],
        "another site, as with the rock off the slip, though no finding goes with these",
    ),
    (
        "site",
        "currents/*",
        &[],
        "another site, as with a hazard; where no current is left that is listed as an assumption",
    ),
    (
        "site",
        "landing_places/*/depth",
        &[],
        "the soundings stand there instead, and the depth at the recovery point is not evaluated",
    ),
    (
        "site",
        "stations/*",
        &[],
        "one station fewer to serve the boat, which never betters a link",
    ),
    (
        "site",
        "stations/*/radios/*",
        &[],
        "as for the whole station: one radio fewer never betters a link",
    ),
];

/// The reason why a part may be taken away although it changes what is measured, and although
/// these rules lose their findings.
pub fn argued(kind: &str, path: &str, lost: &[&&str]) -> Option<&'static str> {
    ARGUED
        .iter()
        .find(|(of, pattern, rules, _)| {
            *of == kind && fits(pattern, path) && lost.iter().all(|rule| rules.contains(*rule))
        })
        .map(|(_, _, _, why)| *why)
}

fn fits(pattern: &str, path: &str) -> bool {
    let (pattern, path): (Vec<_>, Vec<_>) =
        (pattern.split('/').collect(), path.split('/').collect());
    pattern.len() == path.len()
        && pattern
            .iter()
            .zip(path)
            .all(|(due, name)| *due == "*" || *due == name)
}
