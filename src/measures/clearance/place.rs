//! Where the boat comes near something, in words and as lines of the files.

use crate::finding::{Label, Place};
use crate::measures::evidence;
use crate::passage::Passage;
use crate::passage::clearance::{ClosestApproach, Part};
use crate::plan::Plan;
use crate::plan::mission::Action;

/// Where a nearness is, in words and on the plan.
pub(super) fn place(passage: &Passage<'_>, near: &ClosestApproach) -> (String, Place) {
    let legs = &passage.plan.mission.legs;
    let position = Some(evidence::degrees(passage.plan, near.at));
    match near.part {
        Part::Leg(leg) => {
            let name = legs[leg].name.clone();
            (
                format!("on {name}"),
                Place {
                    name,
                    along: None,
                    position,
                    ..Place::default()
                },
            )
        }
        Part::Turn(leg) => {
            let name = format!("the turn at the end of {}", legs[leg].name);
            (
                format!("at {name}"),
                Place {
                    name,
                    along: None,
                    position,
                    ..Place::default()
                },
            )
        }
        Part::Home(sample) => {
            let begins = evidence::at_sample(passage, sample);
            let spot = evidence::spot(&begins);
            let name = format!("the return leg from {}", begins.name);
            let leg = return_leg(passage.plan);
            (
                format!("on {leg} from {spot}"),
                Place {
                    name,
                    along: begins.along,
                    position,
                    ..Place::default()
                },
            )
        }
        Part::Onward(index) | Part::TurnHome(index) => {
            let id = &passage.plan.mission.return_leg.via()[index].id;
            let (name, text) = if matches!(near.part, Part::Onward(_)) {
                let name = format!("the return leg from its waypoint {id} on");
                (name.clone(), format!("on {name}"))
            } else {
                let name = format!("the turn of the return leg at {id}");
                (name.clone(), format!("at {name}"))
            };
            let place = Place {
                name,
                along: None,
                position,
                ..Place::default()
            };
            (text, place)
        }
    }
}

/// A return leg off the route, by its path.
fn return_leg(plan: &Plan) -> &'static str {
    if plan.mission.return_leg.via().is_empty() {
        "the straight return leg"
    } else {
        "the return leg"
    }
}

/// The line of the part that comes near.
pub(super) fn primary(passage: &Passage<'_>, near: &ClosestApproach) -> Label {
    let mission = &passage.plan.mission;
    match near.part {
        Part::Leg(leg) => evidence::label(mission.legs[leg].span, "too close on the way here"),
        Part::Turn(leg) => evidence::label(mission.legs[leg].span, "turns here"),
        Part::Home(sample) => {
            evidence::label(evidence::leg_span(passage, sample), "return leg from here")
        }
        Part::Onward(index) => via_line(passage, index, "return leg from here on"),
        Part::TurnHome(index) => via_line(passage, index, "turns here on a return leg"),
    }
}

/// The lines that the width of the corridor follows from.
pub(super) fn corridor_lines(passage: &Passage<'_>) -> Vec<Label> {
    let (vessel, site) = (&passage.plan.vessel, &passage.plan.site);
    let navigation = &vessel.navigation;
    vec![
        evidence::label(
            navigation.position_error.span(),
            format!("position error {}", navigation.position_error.value),
        ),
        evidence::label(
            navigation.cross_track_error.span(),
            format!("cross-track error {}", navigation.cross_track_error.value),
        ),
        evidence::label(
            site.shore_error.span(),
            format!("shoreline error {}", site.shore_error.value),
        ),
    ]
}

/// The line of a waypoint of the return leg.
fn via_line(passage: &Passage<'_>, index: usize, text: &str) -> Label {
    let via = &passage.plan.mission.return_leg.via()[index];
    evidence::label(via.at.span(), text)
}

/// The contingencies that send the boat home off its route.
pub(super) fn contingency_lines(passage: &Passage<'_>) -> Vec<Label> {
    let mission = &passage.plan.mission;
    let how = comes_home(passage.plan);
    let stated = [
        mission
            .on_lost_link
            .as_ref()
            .map(|c| (&c.action, "on a lost link")),
        mission
            .on_low_battery
            .as_ref()
            .map(|c| (&c.action, "on a low battery")),
        mission
            .on_lost_position
            .as_ref()
            .map(|action| (action, "on a lost position")),
    ];
    stated
        .into_iter()
        .flatten()
        .filter(|(action, _)| action.value == Action::Return)
        .map(|(action, when)| evidence::label(action.span(), format!("{when} the boat {how}")))
        .collect()
}

/// How a boat comes home off its route, after “the boat”.
pub(super) fn comes_home(plan: &Plan) -> &'static str {
    if plan.mission.return_leg.via().is_empty() {
        "comes straight home"
    } else {
        "comes home by the waypoints of its return leg"
    }
}
