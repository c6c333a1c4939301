//! A boat that misses its turn, until the operator or its own watch stops it.

use super::known;
use super::stated::override_lines;
use crate::finding::{Label, Place};
use crate::measures::assumed;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured};
use crate::measures::unmeasured;
use crate::models::geodesy::Plane;
use crate::passage::Passage;
use crate::passage::missed_turn::{Near, straight_on};
use crate::units::Time;

pub(super) fn manual_override(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let (time, primary, because) = override_lines(passage)?;
    let until = "the operator has stopped it";
    clearance(passage, time, until, primary, because)
}

pub(super) fn lost_position(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let mission = &plan.mission;
    let Some(action) = &mission.on_lost_position else {
        return Err(unmeasured::lacking(
            plan,
            mission.id.span(),
            "the plan does not say what the boat does on a lost position",
            "add `on_lost_position:` with an `action` and `after`",
        ));
    };
    let Some(after) = &mission.contingencies.position_noticed else {
        return Err(unmeasured::lacking(
            plan,
            action.span(),
            "the plan does not say how soon the boat notices a lost position",
            "add `after` to `on_lost_position:`",
        ));
    };
    let primary = evidence::label(after.span(), format!("noticed after {}", after.value));
    let because = vec![evidence::label(
        action.span(),
        format!("then: {}", action.value.label()),
    )];
    let until = "it has noticed its lost position and stopped";
    clearance(passage, after.value, until, primary, because)
}

fn clearance(
    passage: &Passage<'_>,
    time: Time,
    until: &str,
    primary: Label,
    mut because: Vec<Label>,
) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    unmeasured::stop_tried(plan)?;
    let lacking = |_| {
        unmeasured::lacking(
            plan,
            plan.mission.route_span,
            "the stopping distance of the boat is unknown",
            "state `stopping_distance` under the vessel's `propulsion`, as tried, and \
             `stopping_speed`, the speed of that trial",
        )
    };
    let closed = crate::measures::clearance::closed(passage);
    let Some(found) = straight_on(passage, time, &|index| closed[index]).map_err(lacking)? else {
        let far = evidence::value(Plane::LIMIT);
        let sentence = "the clearance past a turn";
        because.push(evidence::label(plan.mission.route_span, "no turn to miss"));
        return Ok(known(far, sentence, primary, because));
    };
    if let Some(alone) = evidence::value_alone(passage, evidence::value(found.clearance)) {
        return Ok(alone);
    }
    let site = &plan.site;
    let (name, line) = match found.from {
        Near::Land | Near::LaunchSite => (
            "land".to_owned(),
            evidence::label(site.shore_span, "this shoreline"),
        ),
        Near::Hazard(index) => {
            let hazard = &site.hazards[index];
            let text = format!("{}: keep {} away", hazard.title, hazard.clearance.value);
            let line = evidence::label(hazard.clearance.span(), text);
            (format!("the hazard `{}`", hazard.id.value), line)
        }
        Near::KeepOut(index) => {
            let area = &site.keep_out[index];
            let line = evidence::label(area.id.span(), area.title.clone());
            (format!("the keep-out area `{}`", area.id.value), line)
        }
    };
    let leg = &plan.mission.legs[found.leg];
    because.push(evidence::label(leg.span, "goes straight on past its end"));
    because.push(line);
    because.extend(evidence::stopping_lines(plan));
    let sentence = format!(
        "the clearance from {name} of a boat that goes straight on from {} until {until}",
        leg.name
    );
    let mut known = known(evidence::value(found.clearance), sentence, primary, because);
    known.place = Some(Place {
        name: format!("straight on past the end of {}", leg.name),
        along: None,
        position: Some(evidence::degrees(plan, found.end)),
        ..Place::default()
    });
    let danger = match found.from {
        Near::Land | Near::LaunchSite => None,
        Near::Hazard(index) => Some(site.hazards[index].id.value.clone()),
        Near::KeepOut(index) => Some(site.keep_out[index].id.value.clone()),
    };
    if let Some(place) = &mut known.place {
        place.danger = danger;
    }
    let off = match found.from {
        Near::LaunchSite => "nothing, inside a launch site",
        Near::Hazard(_) => "the hazard's stand-off and half the corridor",
        Near::Land | Near::KeepOut(_) => "half the corridor",
    };
    let distance = found.clearance + found.deducted;
    known.steps = vec![
        format!("in {time} at {} the boat covers {}", found.speed, found.way),
        format!("then it {}", evidence::stops(plan, &found.stopping)),
        format!("distance of that stretch from {name}: {distance}"),
        format!(
            "less {off}: {distance} − {} = {}",
            found.deducted, found.clearance
        ),
    ];
    known.assumptions = assumed::of_plan(plan);
    Ok(known)
}
