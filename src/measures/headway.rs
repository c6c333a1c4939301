//! Headway at full power under the gust.

use super::assumed;
use super::entry::Entry;
use super::evidence;
use super::input;
use super::reading::{Change, Cost, Lack, Measure, Measured, NotMeasured, Scope, Type};
use super::unmeasured;
use crate::passage::Passage;
use crate::units::{Angle, Dimension, Towards};

pub(super) const IN_GUSTS: Entry = Entry {
    measure: Measure {
        name: "mission.headway_in_gusts",
        scope: Scope::Mission,
        of: Type::Quantity(Dimension::SPEED),
        title: "Least speed made good at full power in the gust",
        meaning: "Over every step of the route and of the return legs: the greatest speed over \
                  ground along the track that the propulsion and the battery give in the gust, \
                  with the waves of the sustained wind and the current. The least over all winds.",
        needs: &[
            "wind",
            "gust",
            "propulsion",
            "battery",
            "windage",
            "hull",
            "route",
        ],
        levers: &[Change::Wind],
        moved_by: input::EVERYTHING,
        of_planned_wind: false,
        cost: Cost::Run,
    },
    read: |passage| evidence::of_mission(headway(passage)),
};

fn headway(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let runs = passage
        .runs()
        .map_err(|why| unmeasured::no_passage(plan, why))?;
    let mut least = None;
    for (scenario, headway) in runs.headway(passage).iter().enumerate() {
        match headway {
            Ok(headway) => {
                if least.is_none_or(|(held, _): (&crate::passage::Headway, usize)| {
                    headway.speed < held.speed
                }) {
                    least = Some((headway, scenario));
                }
            }
            Err(outside) => {
                let mut because = evidence::gust_line(plan);
                because.push(hull_line(passage));
                return Err(NotMeasured {
                    lack: Lack::Statement,
                    reason: format!("in {}, {outside}", runs.scenarios.describe(scenario, true)),
                    remedy: "plan for less wind".to_owned(),
                    primary: evidence::label(plan.mission.route_span, "somewhere on this route"),
                    because,
                    assumptions: assumed::of_plan(plan),
                });
            }
        }
    }
    let Some((headway, scenario)) = least else {
        return Err(NotMeasured {
            lack: Lack::Statement,
            reason: "the route covers more water than the sea can be calculated for".to_owned(),
            remedy: "split the mission".to_owned(),
            primary: evidence::label(plan.mission.route_span, "too wide"),
            because: Vec::new(),
            assumptions: Vec::new(),
        });
    };
    let value = evidence::value(headway.speed);
    if let Some(alone) = evidence::value_alone(passage, value) {
        return Ok(alone);
    }
    let mut place =
        evidence::at_sample(passage, headway.sample + usize::from(headway.leg.is_some()));
    place.position = Some(evidence::degrees(plan, headway.at));
    let spot = if headway.leg.is_some() {
        format!("at {}", evidence::spot(&place))
    } else {
        format!("on the return leg from {}", evidence::spot(&place))
    };
    let track = Towards::from_components(headway.track.0, headway.track.1);
    let from = runs.scenarios.all[scenario].from;
    let off: Angle = track.turn_to(Towards::new(from.angle())).abs();
    let mut because = evidence::gust_line(plan);
    let power = &plan.vessel.propulsion.maximum_power;
    because.push(evidence::label(
        power.span(),
        format!("maximum power {}", power.value),
    ));
    let frontal = &plan.vessel.windage.frontal_area;
    because.push(evidence::label(
        frontal.span(),
        format!("windage area {}", frontal.value),
    ));
    let charge = runs.runs[scenario].samples[headway.sample].charge;
    Ok(Measured {
        value,
        sentence: format!("the headway at full power in gusts, {spot},"),
        primary: evidence::label(
            evidence::leg_span(passage, headway.sample + 1),
            "least headway",
        ),
        because,
        place: Some(place),
        scenario: Some(runs.scenarios.describe(scenario, true)),
        steps: vec![
            format!("track {track}, {off} from where the wind comes from"),
            format!(
                "at {} charged the battery and the motors give {} for propulsion",
                evidence::share(charge),
                runs.boat.most(charge)
            ),
            format!("with that the boat makes {} over ground", headway.speed),
        ],
        assumptions: assumed::of_plan(plan),
    })
}

fn hull_line(passage: &Passage<'_>) -> crate::finding::Label {
    let length = &passage.plan.vessel.hull.waterline_length;
    evidence::label(length.span(), format!("waterline length {}", length.value))
}
