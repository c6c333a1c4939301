//! What may be left out without a word, each with the reason.

use std::collections::BTreeSet;

/// Stands for every rule.
const ANY: &[&str] = &["*"];

/// Kind of file, path of the part (`*` stands for one name), the rules whose findings may go with
/// it, why.
const ARGUED: &[(&str, &str, &[&str], &str)] = &[
    (
        "mission",
        "route/*",
        ANY,
        "another route, all of which is judged: nothing is assumed of the waypoint that is gone",
    ),
    (
        "mission",
        "route/*/survey/area/*",
        ANY,
        "another area, whose lines are judged like those of the one before",
    ),
    (
        "mission",
        "route/*/speed",
        ANY,
        "the mission's own `speed` holds, which the plan itself states for this",
    ),
    (
        "mission",
        "recovery/speed",
        ANY,
        "the mission's own `speed` holds, as on the route",
    ),
    (
        "mission",
        "conditions/wind/height",
        ANY,
        "of a height beyond the wind profile nothing can be told; left out, the lowest of the profile is \
         taken, which makes the wind strongest",
    ),
    (
        "vessel",
        "propulsion/trial/points/*",
        ANY,
        "a trial of fewer points, drawn through by straight lines, is another trial; beyond its \
         last point nothing is assumed and the rule is not evaluated",
    ),
    (
        "vessel",
        "propulsion/propulsive_efficiency",
        &["propulsion-efficiency"],
        "above the rule's limit the default, the least that a working propeller gives, is the worse one",
    ),
    (
        "vessel",
        "propulsion/motor_efficiency",
        &["propulsion-efficiency"],
        "as for the propeller's",
    ),
    (
        "vessel",
        "radios/*",
        &["hotel-load"],
        "a radio that is not aboard draws nothing; a link in use that lacks one is not evaluated",
    ),
    (
        "mission",
        "antennas",
        &["link-margin", "antenna-bearing"],
        "the antenna then points where the site says it stands, and is judged so",
    ),
    (
        "mission",
        "antennas/*",
        &["link-margin", "antenna-bearing"],
        "as for all of them: the bearing that the site states holds",
    ),
    (
        "site",
        "mean_depth",
        &["mean-depth-agrees"],
        "the soundings contradict nothing then, and waves are taken as in deep water, where they \
         grow highest",
    ),
    (
        "site",
        "stations/*",
        &["station-antenna-height"],
        "a station that the mission does not use; one that it uses cannot be left out, since the \
         mission names it",
    ),
    (
        "site",
        "stations/*/radios/*",
        &["station-antenna-height"],
        "as for the station: a link in use that lacks its radio ashore is not evaluated",
    ),
    (
        "site",
        "hazards/*",
        ANY,
        "whether every danger is charted no program can tell: a review shows the one that is gone",
    ),
    (
        "site",
        "keep_out/*",
        ANY,
        "as for a hazard: a review shows the area that is gone",
    ),
    (
        "site",
        "currents/*",
        ANY,
        "as for a hazard: a review shows the current that is gone",
    ),
    (
        "policy",
        "rules/*",
        ANY,
        "the policy asks for less then, and has every right to: a review judges by the one before the change",
    ),
    (
        "policy",
        "rules",
        ANY,
        "as for one of them: a review judges by the policy before the change",
    ),
    (
        "policy",
        "rules/*/*",
        ANY,
        "as for a whole rule: a review judges by the policy before the change",
    ),
    (
        "policy",
        "checklist/*",
        ANY,
        "as for a rule: a review judges by the policy before the change, and shows the item",
    ),
    ("policy", "checklist", ANY, "as for one of its items"),
];

/// The reason why a part may be left out although these rules lose their findings.
pub fn argued(kind: &str, path: &str, lost: &BTreeSet<String>) -> Option<&'static str> {
    let bears = |rules: &[&str]| rules == ANY || lost.iter().all(|rule| rules.contains(&&**rule));
    ARGUED
        .iter()
        .find(|(of, pattern, rules, _)| *of == kind && fits(pattern, path) && bears(rules))
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
