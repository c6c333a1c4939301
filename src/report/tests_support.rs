//! Outcomes made by hand.

use super::*;
use crate::check::{EffectiveLimit, MissionResult, Outcome, RuleResult, Verdict};
use crate::finding::{Comparison, Finding, Nature, Place, Severity, Side};
use crate::plan::NotChecked;
use crate::source::{SourceId, Sources, Span};
use crate::units::{Length, Level, Quantity, Ratio, Typed as _};

pub(super) const MISSION: &str = "\
kind: mission
id: west-profile
vessel: goosander

conditions:
  wind: { from: 255°, mean: 9 m/s, gust: 11 m/s }

route:
  - { id: stream-bed, to: [52.397696, -24.305195] }
  - { id: profile-end, to: [52.400307, -24.298619] }
";

pub(super) const VESSEL: &str = "\
kind: vessel
id: goosander
battery:
  capacity: 40 Wh
  usable: 80 %
radios:
  - id: control
    power: 14 dBm
    gain: 2 dB
";

pub(super) fn empty(sources: Sources) -> Outcome {
    Outcome {
        sources,
        findings: Vec::new(),
        checked: Vec::new(),
        not_checked: Vec::new(),
        notes: Vec::new(),
        looser: Vec::new(),
        in_force: Vec::new(),
        untold: 0,
        part_of: None,
    }
}

/// The span of the first place where a text holds another.
pub(super) fn span(sources: &Sources, id: SourceId, part: &str) -> Span {
    let text = sources.get(id).expect("a known file").text();
    let start = text.find(part).expect(part);
    Span::new(
        id,
        u32::try_from(start).expect("short"),
        u32::try_from(start + part.len()).expect("short"),
    )
}

pub(super) fn plain() -> Settings {
    Settings {
        colour: false,
        unicode: true,
        width: 80,
        short: false,
    }
}

pub(super) fn judged(rule: &str, verdict: Verdict, value: Quantity, limit: Quantity) -> RuleResult {
    RuleResult {
        rule: rule.into(),
        subject: if rule == "reserve-at-turnaround" {
            "profile-end".into()
        } else {
            "".into()
        },
        verdict,
        measured: Some(value),
        limit: Some(limit),
        side: Some(Side::AtLeast),
        scenario: None,
    }
}

pub(super) fn checked(mission: &str, judged: Vec<RuleResult>) -> MissionResult {
    MissionResult {
        mission: mission.to_owned(),
        path: format!("plans/missions/{mission}.yaml"),
        policy: "team".to_owned(),
        orders: None,
        repeats: None,
        judged,
        in_doubt: Vec::new(),
        assumptions: Vec::new(),
        weights: Vec::new(),
        figures: vec![("distance", Length::metres(812.0).quantity())],
        outline: Vec::new(),
        digests: crate::check::Digests {
            whole: "0".repeat(64),
            ..Default::default()
        },
        approvals: Vec::new(),
        approvals_needed: Vec::new(),
        spread: None,
        picture: None,
    }
}

/// A bare finding on a span.
pub(super) fn bare(sources: &Sources, at: Span, severity: Severity, nature: Nature) -> Finding {
    Finding::builder("under-keel-clearance", severity, nature)
        .message("Water under the keel at line 3 is 0.4 m, at least 0.5 m is required.")
        .primary(at, "measured here")
        .build(sources)
}

pub(super) fn reserve(sources: &Sources, mission: SourceId, vessel: SourceId) -> Finding {
    let percent = |share| Ratio::fraction(share).quantity();
    Finding::builder(
        "reserve-at-turnaround",
        Severity::Error,
        Nature::Violation,
    )
    .message("Energy left over at profile-end, once the return leg is paid for, is 29.9 %; at least 30 % is required.")
    .mission("west-profile")
    .subject("profile-end")
    .primary(
        span(sources, mission, "{ id: profile-end, to: [52.400307, -24.298619] }"),
        "the turnaround",
    )
    .related(span(sources, mission, "255°"), "the wind is ahead on the return leg")
    .related(span(sources, vessel, "40 Wh"), "of which 32 Wh count as usable")
    .related(span(sources, vessel, "usable: 80 %"), "the share that may be used")
    .place(Some(Place {
        name: "profile-end".to_owned(),
        along: Some(Length::metres(812.0)),
        position: Some((52.400_307, -24.298_619)),
..Place::default()
}))
    .scenario(Some("wind from 240°, 9 m/s, no current".to_owned()))
    .comparison(Some(Comparison {
        measured: percent(0.299),
        limit: percent(0.3),
        side: Side::AtLeast,
    }))
    .steps(vec![
        "usable energy at launch: 40 Wh × 80 % = 32 Wh".to_owned(),
        "way out: 812 m at 1.1 m/s takes 738 s; at 48 W that is 9.84 Wh, and so 22.16 Wh are left at the turnaround".to_owned(),
        "return leg: 12.59 Wh, so 9.57 Wh or 29.9 % are left over".to_owned(),
    ])
    .remedies(vec![
        "a cruise speed of at most 1.08 m/s".into(),
        "wind of at most 8.9 m/s on the return leg".into(),
    ])
    .assumptions(vec!["no current, for the site states none".to_owned()])
    .why("What is left at the turnaround must bring the boat home against a wind that has freshened.\nA boat that runs out drifts onto the lee shore.")
    .build(sources)
}

/// One outcome with all there is: two files in one finding, a rule that could not be judged, a
/// file that was not checked, two missions.
pub(super) fn full() -> Outcome {
    let mut sources = Sources::new();
    let mission = sources.add("plans/missions/west-profile.yaml", MISSION);
    let vessel = sources.add("plans/vessels/goosander.yaml", VESSEL);
    let energy = reserve(&sources, mission, vessel);
    let radio = Finding::builder(
        "link-margin",
        Severity::Warning,
        Nature::NotEvaluated,
    )
    .message("The margin of the control link cannot be told because the vessel states no sensitivity of its receiver.")
    .mission("west-profile")
    .subject("control")
    .primary(span(&sources, vessel, "id: control"), "this radio")
    .remedy("add `sensitivity`, such as `-104 dBm`, to the radio")
    .build(&sources);
    let share = |value: f64| Ratio::fraction(value).quantity();
    let level = |value: f64| Level::decibels(value).quantity();
    let mut outcome = empty(sources);
    outcome.findings = vec![energy, radio];
    let unknown = RuleResult {
        measured: None,
        verdict: Verdict::Unknown,
        subject: "control".into(),
        ..judged("link-margin", Verdict::Unknown, level(0.0), level(10.0))
    };
    outcome.checked = vec![
        checked(
            "near-shore",
            vec![
                judged("link-margin", Verdict::Holds, level(14.0), level(10.0)),
                judged(
                    "reserve-at-turnaround",
                    Verdict::Holds,
                    share(0.34),
                    share(0.3),
                ),
                judged("not-here", Verdict::NotApplicable, share(0.0), share(1.0)),
            ],
        ),
        checked(
            "west-profile",
            vec![
                unknown,
                judged(
                    "reserve-at-turnaround",
                    Verdict::Fails,
                    share(0.299),
                    share(0.3),
                ),
            ],
        ),
    ];
    outcome.not_checked = vec![NotChecked {
        path: "plans/missions/draft.yaml".to_owned(),
        why: "its vessel `merganser` is not in the repository".to_owned(),
    }];
    outcome.notes =
        vec!["the repository states no policy; the built-in policy is in force".to_owned()];
    outcome.in_force = vec![EffectiveLimit {
        policy: "built-in".to_owned(),
        rule: "reserve-at-turnaround".to_owned(),
        bound: "at least 30 %".to_owned(),
        severity: Severity::Error,
        enabled: true,
        set_by: "builtin:policy.yaml:12".to_owned(),
        title: "Energy left over at the turnaround".to_owned(),
        why: "The return leg is costlier than the way out.".to_owned(),
        remedy: "Turn back sooner.".to_owned(),
    }];
    outcome
}
