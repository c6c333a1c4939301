//! Clearance from land, hazards and keep-outs.

mod place;

use super::assumed;
use super::entry::{Entry, entry};
use super::evidence;
use super::reading::{Change, Measured, Near, NotMeasured, Type};
use super::unmeasured;
use crate::finding::{Label, Other, Place};
use crate::passage::Passage;
use crate::passage::clearance::{Clearances, ClosestApproach};
use crate::units::{Dimension, Length, Typed as _};
use place::{comes_home, contingency_lines, corridor_lines, place, primary};

const NEEDS: &[&str] = &[
    "shoreline and its error",
    "route",
    "recovery point",
    "navigation",
    "beam",
    "contingencies",
];

const fn clearance(
    name: &'static str,
    title: &'static str,
    meaning: &'static str,
    levers: &'static [Change],
    read: fn(&Passage<'_>) -> Vec<super::Measurement>,
) -> Entry {
    let of = Type::Quantity(Dimension::LENGTH);
    entry(name, of, title, meaning, NEEDS, read).solved_by(levers)
}

pub(super) const SHORELINE: Entry = clearance(
    "mission.shoreline_clearance",
    "Least clearance from land outside the zones of launch and recovery, less the corridor",
    "Signed distance to the shoreline and islands of every leg, every turn and, where a \
     contingency sends the boat home off its route, of the return leg from every sample; less half the \
     width of the corridor (position, cross-track and shoreline errors, half the beam) and, at a \
     turn, the overrun. Negative on land.",
    &[
        Change::Shift(Near::Shore),
        Change::ByWaypoint(Near::Shore),
        Change::HomeAlong(Some(Near::Shore)),
    ],
    |passage| evidence::of_mission(land(passage)),
);

pub(super) const LAUNCH_SITE: Entry = clearance(
    "mission.launch_site_clearance",
    "Least distance from land inside the zones of launch and recovery",
    "Signed distance to the shoreline of the parts of legs and return legs inside the launch sites \
     of launch and recovery; at a turn, less the overrun. Negative on land.",
    &[
        Change::Shift(Near::LaunchSite),
        Change::ByWaypoint(Near::LaunchSite),
        Change::HomeAlong(Some(Near::LaunchSite)),
    ],
    |passage| evidence::of_mission(zone(passage)),
);

pub(super) const HAZARD: Entry = clearance(
    "mission.hazard_clearance",
    "Least clearance from hazards beyond their own stand-off, less the corridor",
    "Distance of every leg, turn and return leg off the route to every hazard of the site, less the hazard's \
     own stand-off and the corridor.",
    &[
        Change::Shift(Near::Hazard),
        Change::ByWaypoint(Near::Hazard),
        Change::HomeAlong(Some(Near::Hazard)),
    ],
    |passage| evidence::of_mission(hazard(passage)),
);

pub(super) const KEEP_OUT: Entry = clearance(
    "mission.keep_out_clearance",
    "Least clearance from keep-out areas, less the corridor",
    "Distance of every leg, turn and return leg off the route to every keep-out area that is closed at \
     some moment from the planned launch to the latest return, or to the end of the longest run \
     after the whole delay, less the corridor; an area's inside is at distance 0. An area without \
     times is always closed. All areas count as closed where the plan does not show when the boat \
     is out.",
    &[
        Change::Shift(Near::KeepOut),
        Change::ByWaypoint(Near::KeepOut),
        Change::HomeAlong(Some(Near::KeepOut)),
    ],
    |passage| evidence::of_mission(keep_out(passage)),
);

struct Subject<'a> {
    what: String,
    /// Id of the hazard or area.
    danger: Option<String>,
    others: Vec<Other>,
    line: Option<Label>,
    deducted: &'a str,
}

fn known(
    passage: &Passage<'_>,
    all: &Clearances,
    near: &ClosestApproach,
    half_width: f64,
    subject: Subject<'_>,
) -> Measured {
    let (spot, place) = place(passage, near);
    let mut because: Vec<Label> = subject.line.into_iter().collect();
    because.extend(corridor_lines(passage));
    let home = near.part.is_return();
    if home {
        because.extend(contingency_lines(passage));
    }
    let m = evidence::metres;
    let mut steps = vec![format!(
        "distance to {}: {}",
        subject.what,
        m(near.distance)
    )];
    if half_width > 0.0 {
        steps.push(format!(
            "half width of the corridor: √(({})² + ({})² + ({})²) + {} / 2 = {}",
            passage.plan.vessel.navigation.position_error.value,
            passage.plan.vessel.navigation.cross_track_error.value,
            passage.plan.site.shore_error.value,
            passage.plan.vessel.hull.beam.value,
            m(all.half_width)
        ));
    }
    if near.deducted.abs() > 0.0 {
        steps.push(format!("{}: {}", subject.deducted, m(near.deducted)));
    }
    steps.push(format!("clearance: {}", m(near.clearance)));
    let mut assumptions = assumed::of_plan(passage.plan);
    if home && contingency_lines(passage).is_empty() {
        assumptions.push(format!(
            "a contingency that the plan does not state counts as one on which the boat {}",
            comes_home(passage.plan)
        ));
    }
    Measured {
        value: evidence::value(Length::metres(near.clearance)),
        sentence: format!("the clearance from {}, {spot},", subject.what),
        primary: primary(passage, near),
        because,
        place: Some(Place {
            danger: subject.danger,
            others: subject.others,
            ..place
        }),
        scenario: None,
        steps,
        assumptions,
    }
}

/// What the clearance from each of the other dangers is, where it is nearest.
fn of_others(
    passage: &Passage<'_>,
    but: usize,
    all: &[Option<ClosestApproach>],
    id: impl Fn(usize) -> String,
) -> Vec<Other> {
    let all = all.iter().enumerate().filter(|(index, _)| *index != but);
    let all = all.filter_map(|(index, near)| Some((index, near.as_ref()?)));
    all.map(|(index, near)| Other {
        name: place(passage, near).1.name,
        danger: Some(id(index)),
        value: Length::metres(near.clearance).quantity(),
    })
    .collect()
}

fn shore_line(passage: &Passage<'_>) -> Option<Label> {
    Some(evidence::label(
        passage.plan.site.shore_span,
        "this shoreline",
    ))
}

/// A block that does not say how far its lines keep from land. They are drawn as its area has them then.
fn unclipped(passage: &Passage<'_>) -> Option<NotMeasured> {
    let plan = passage.plan;
    let block = plan
        .mission
        .blocks
        .iter()
        .find(|block| !block.clear_stated)?;
    let reason = format!(
        "block `{}` does not say how far its lines keep from land",
        block.id.value
    );
    let remedy =
        "add `clear_of_land` to its `survey`, `0 m` where its lines run as the area is drawn";
    Some(unmeasured::lacking(plan, block.id.span(), &reason, remedy))
}

fn land(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    if let Some(unknown) = unclipped(passage) {
        return Err(unknown);
    }
    let all = passage.clearances();
    match &all.land {
        Some(near) => {
            let subject = Subject {
                what: "land".to_owned(),
                danger: None,
                others: Vec::new(),
                line: shore_line(passage),
                deducted: "the boat overruns the turn by",
            };
            Ok(known(passage, all, near, all.half_width, subject))
        }
        None => Err(unmeasured::lacking(
            passage.plan,
            passage.plan.mission.launch.zone.radius.span(),
            "the whole route lies inside the launch sites, where no clearance from land applies",
            "make the `zone` of the launch site smaller",
        )),
    }
}

fn zone(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let all = passage.clearances();
    match &all.zone {
        Some(near) => {
            let subject = Subject {
                what: "land inside the launch site".to_owned(),
                danger: None,
                others: Vec::new(),
                line: shore_line(passage),
                deducted: "the boat overruns the turn by",
            };
            Ok(known(passage, all, near, 0.0, subject))
        }
        None => Err(nothing(
            passage,
            "the clearance from land inside the launch sites",
            "no part of the route lies inside a launch site",
        )),
    }
}

fn hazard(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    super::adrift::hazards_said(passage.plan)?;
    let all = passage.clearances();
    let Some((index, near)) = all.hazard() else {
        return Err(nothing(
            passage,
            "the clearance from hazards",
            "this site states none",
        ));
    };
    let hazard = &passage.plan.site.hazards[index];
    let subject = Subject {
        what: format!("the hazard `{}`", hazard.id.value),
        danger: Some(hazard.id.value.clone()),
        others: of_others(passage, index, &all.hazards, |at| {
            passage.plan.site.hazards[at].id.value.clone()
        }),
        line: Some(evidence::label(
            hazard.clearance.span(),
            format!("{}: keep {} away", hazard.title, hazard.clearance.value),
        )),
        deducted: "stand-off of the hazard, and any overrun past a turn",
    };
    Ok(known(passage, all, near, all.half_width, subject))
}

fn keep_out(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let all = passage.clearances();
    let Some((index, near)) = nearest_closed(passage) else {
        let why = if passage.plan.site.keep_out.is_empty() {
            "this site states none"
        } else {
            "none is closed while the boat may be out"
        };
        return Err(nothing(passage, "the clearance from keep-out areas", why));
    };
    if let Some(alone) =
        evidence::value_alone(passage, evidence::value(Length::metres(near.clearance)))
    {
        return Ok(alone);
    }
    let area = &passage.plan.site.keep_out[index];
    let shut = closed(passage);
    let of_each = all.keep_out.iter().zip(&shut);
    let closed_ones: Vec<Option<ClosestApproach>> = of_each
        .map(|(near, shut)| near.clone().filter(|_| *shut))
        .collect();
    let subject = Subject {
        what: format!("the keep-out area `{}`", area.id.value),
        danger: Some(area.id.value.clone()),
        others: of_others(passage, index, &closed_ones, |at| {
            passage.plan.site.keep_out[at].id.value.clone()
        }),
        line: Some(evidence::label(
            area.id.span(),
            format!("{}: not to be entered", area.title),
        )),
        deducted: "the boat overruns the turn by",
    };
    Ok(known(passage, all, near, all.half_width, subject))
}

/// Whether each keep-out area is closed at some moment from the planned launch to the latest that the
/// boat may be out. Where that cannot be determined, all of them are taken as closed.
pub(crate) fn closed(passage: &Passage<'_>) -> Vec<bool> {
    passage.closed_while_out()
}

/// The nearest of the keep-out areas that are closed while the boat may be out.
pub(super) fn nearest_closed<'p>(passage: &'p Passage<'_>) -> Option<(usize, &'p ClosestApproach)> {
    let closed = closed(passage);
    let all = passage.clearances().keep_out.iter().enumerate();
    all.filter_map(|(index, near)| Some((index, near.as_ref()?)))
        .filter(|(index, _)| closed[*index])
        .min_by(|(_, a), (_, b)| a.clearance.total_cmp(&b.clearance))
}

/// There is nothing to come near.
fn nothing(passage: &Passage<'_>, what: &str, why: &str) -> NotMeasured {
    unmeasured::no_subject(
        passage.plan.mission.route_span,
        format!("{what}: nothing to come near"),
        evidence::label(passage.plan.site.id.span(), why),
    )
}
