//! Telling a value: where on the plan, which lines it follows from, what was assumed.

use super::reading::{Measured, Measurement, NotMeasured, Value};
use crate::finding::{Label, Place};
use crate::models::plane::Point;
use crate::passage::ending::{Known as StopKnown, Stopping};
use crate::passage::{Passage, Runs};
use crate::plan::mission::LinkUse;
use crate::plan::vessel::{CalmForm, Link, Radio};
use crate::plan::{Plan, Wind};
use crate::schema::Stated;
use crate::source::Span;
use crate::units::{Dimension, Energy, Length, Quantity, Ratio, Typed};

/// A label.
pub(super) fn label(span: Span, text: impl Into<String>) -> Label {
    Label {
        span,
        text: text.into(),
    }
}

/// The one reading of a mission.
pub(super) fn of_mission(outcome: Result<Measured, NotMeasured>) -> Vec<Measurement> {
    vec![Measurement {
        subject: String::new(),
        outcome,
    }]
}

/// A quantity as a measure's value.
pub(super) fn value<T: Typed>(quantity: T) -> Value {
    Value::Quantity(quantity.quantity())
}

/// A share as text.
pub(super) fn share(ratio: f64) -> String {
    Ratio::fraction(ratio).to_string()
}

/// A difference of energies as a share of the usable energy.
pub(super) fn share_of(energy: Energy, usable: Energy) -> f64 {
    energy / usable
}

/// A length in metres as text.
pub(super) fn metres(length: f64) -> String {
    Length::metres(length).to_string()
}

/// A level in decibels as text.
pub(super) fn decibels(level: f64) -> String {
    Quantity::new(level, Dimension::LEVEL).to_string()
}

/// Name, distance along the route and position of a sample.
pub(super) fn at_sample(passage: &Passage<'_>, sample: usize) -> Place {
    let along = passage.track.along[sample];
    let name = if sample == 0 {
        "the launch point".to_owned()
    } else {
        passage.plan.mission.legs[passage.track.leg_of_sample(sample)]
            .name
            .clone()
    };
    Place {
        name,
        along: Some(Length::metres(along)),
        position: Some(degrees(passage.plan, passage.track.samples[sample])),
        ..Place::default()
    }
}

/// A point of the plane as latitude and longitude in degrees.
pub(super) fn degrees(plan: &Plan, point: Point) -> (f64, f64) {
    let position = plan.site.plane.to_position(point);
    (
        position.latitude.to_degrees(),
        position.longitude.to_degrees(),
    )
}

/// A place in words for a sentence.
pub(super) fn spot(place: &Place) -> String {
    match place.along {
        Some(along) if along.get() > 0.0 => format!("{along} along the route on {}", place.name),
        _ => place.name.clone(),
    }
}

/// The line of the leg that leads to a sample.
pub(super) fn leg_span(passage: &Passage<'_>, sample: usize) -> Span {
    passage
        .plan
        .mission
        .legs
        .get(passage.track.leg_of_sample(sample))
        .map_or(passage.plan.mission.route_span, |leg| leg.span)
}

/// The lines that state the wind.
pub(super) fn wind_lines(plan: &Plan) -> Vec<Label> {
    let Some(wind) = &plan.mission.wind else {
        return Vec::new();
    };
    let mean = label(wind.mean.span(), format!("mean wind {}", wind.mean.value));
    vec![direction_line(wind), mean]
}

fn direction_line(wind: &Wind) -> Label {
    let text = format!("wind from {} ± {}", wind.from.value, wind.spread.value);
    label(wind.from.span(), text)
}

/// The line that states the gust.
pub(super) fn gust_line(plan: &Plan) -> Vec<Label> {
    let Some(wind) = &plan.mission.wind else {
        return Vec::new();
    };
    let gust = label(wind.gust.span(), format!("gusts of {}", wind.gust.value));
    vec![direction_line(wind), gust]
}

/// The lines that state the battery.
pub(super) fn battery_lines(plan: &Plan) -> Vec<Label> {
    let battery = &plan.vessel.battery;
    vec![
        label(
            battery.capacity.span(),
            format!("capacity {}", battery.capacity.value),
        ),
        label(
            battery.usable.span(),
            format!("{} of it usable", battery.usable.value),
        ),
        label(
            plan.mission.charge_at_launch.span(),
            format!("{} charged at launch", plan.mission.charge_at_launch.value),
        ),
    ]
}

/// The line that states the speed of the return leg.
pub(super) fn home_line(plan: &Plan) -> Label {
    let speed = &plan.mission.return_leg.speed;
    label(
        speed.span(),
        format!("return leg at {} through the water", speed.value),
    )
}

/// The battery's usable energy, as a step.
pub(super) fn usable_step(runs: &Runs) -> String {
    let pack = &runs.boat.pack;
    format!(
        "usable energy: {} cells in series, {} at the water's temperature, {} of it usable: {}",
        pack.cells_in_series,
        pack.capacity,
        pack.usable,
        pack.usable_energy()
    )
}

fn assumed<T>(stated: &Stated<T>, into: &mut Vec<String>) {
    if let Some(text) = stated.assumption() {
        into.push(text.to_owned());
    }
}

/// Everything that a plan assumes for want of a stated figure, the radios of needed links included.
#[must_use]
pub(crate) fn all_assumptions(plan: &Plan) -> Vec<String> {
    let links = plan.mission.links.iter();
    let needed = links.filter(|(_, usage)| usage.value == LinkUse::Needed);
    let mut all = assumptions(plan);
    all.extend(needed.flat_map(|(link, _)| link_assumptions(plan, *link)));
    all.extend(sounding_assumptions(plan));
    all
}

/// What is assumed of the soundings, where a mission says what they are to be good for.
pub(super) fn sounding_assumptions(plan: &Plan) -> Vec<String> {
    let mut all = Vec::new();
    let Some(claim) = &plan.mission.soundings else {
        return all;
    };
    if claim.times_covered() > 0 {
        assumed(&claim.overlap, &mut all);
    }
    assumed(&claim.sound_speed, &mut all);
    let finds = claim
        .survey_order
        .value
        .filter(|order| order.times_covered() > 0);
    if finds.is_some() {
        let text = format!(
            "S-44 feature detection for {} is not judged",
            crate::plan::soundings::order_name(finds)
        );
        all.push(text);
    }
    if let (Some(sonar), Some(_)) = (&plan.vessel.sonar, claim.survey_order.value) {
        assumed(&sonar.draught_error, &mut all);
        assumed(&sonar.lever_arm, &mut all);
        assumed(&sonar.latency, &mut all);
        assumed(&sonar.tilt, &mut all);
    }
    all
}

/// What is assumed of the radios at both ends of a link, each with its owner.
pub(super) fn link_assumptions(plan: &Plan, link: Link) -> Vec<String> {
    let mut all = Vec::new();
    let aboard = plan.vessel.radio(link);
    let mut radios: Vec<(String, &Radio)> = aboard
        .map(|radio| (format!("{} radio aboard", link.name()), radio))
        .into_iter()
        .collect();
    for one in &plan.mission.stations {
        let station = &plan.site.stations[one.index];
        let serving = station.radios.iter().find(|r| r.link.value == link);
        radios.extend(serving.map(|radio| {
            let owner = format!("{} radio of `{}`", link.name(), station.id.value);
            (owner, radio)
        }));
    }
    for (owner, radio) in radios {
        let mut of_radio = Vec::new();
        assumed(&radio.losses, &mut of_radio);
        assumed(&radio.antenna.horizontal, &mut of_radio);
        if radio.antenna.beamwidth.is_some() {
            assumed(&radio.antenna.front_to_back, &mut of_radio);
        }
        all.extend(of_radio.iter().map(|text| format!("{owner}: {text}")));
    }
    all
}

/// How a boat comes to a stop, so that it can be done again by hand.
pub(super) fn stops(plan: &Plan, stopping: &Stopping) -> String {
    let propulsion = &plan.vessel.propulsion;
    let distance = stopping.distance;
    match (
        stopping.known,
        &propulsion.stopping_distance,
        &propulsion.stopping_speed,
    ) {
        (StopKnown::Scaled, Some(tried), Some(from)) => format!(
            "stops in {} × ({} / {})² = {distance}",
            tried.value, stopping.speed, from.value
        ),
        (StopKnown::Coasted, ..) => {
            format!("coasts from {} to a stop in {distance}", stopping.speed)
        }
        _ => format!("stops in {distance}, as tried"),
    }
}

/// The lines that say how the boat stops.
pub(super) fn stopping_lines(plan: &Plan) -> Vec<Label> {
    let propulsion = &plan.vessel.propulsion;
    let distance = propulsion.stopping_distance.as_ref();
    let speed = propulsion.stopping_speed.as_ref();
    let stops = distance.map(|tried| label(tried.span(), format!("stops in {}", tried.value)));
    let from = speed.map(|from| label(from.span(), format!("tried from {}", from.value)));
    stops.into_iter().chain(from).collect()
}

/// What a plan assumes for want of a stated figure, radios apart, in a fixed order.
#[must_use]
pub(super) fn assumptions(plan: &Plan) -> Vec<String> {
    let mut all = Vec::new();
    let (mission, vessel, site) = (&plan.mission, &plan.vessel, &plan.site);
    if let Some(wind) = &mission.wind {
        assumed(&wind.spread, &mut all);
        assumed(&wind.gust, &mut all);
        assumed(&wind.height, &mut all);
        assumed(&wind.duration, &mut all);
    }
    assumed(&mission.water_temperature, &mut all);
    assumed(&mission.launch.delay, &mut all);
    assumed(&mission.charge_at_launch, &mut all);
    assumed(&mission.return_leg.along_route, &mut all);
    assumed(&mission.return_leg.speed, &mut all);
    if mission.contingencies.home_end.is_none() && mission.at_end.is_some() {
        let text = "after a return leg the boat does as at the end of the route (`return_leg: \
                    at_end` not stated)";
        all.push(text.to_owned());
    }
    if let Some(operator) = &mission.operator {
        assumed(&operator.reaction_time, &mut all);
    }
    if let Some(craft) = &mission.safety_boat {
        assumed(&craft.ready_within, &mut all);
        if craft.calculated() < craft.speed.value {
            all.push(format!(
                "the safety boat counts at {}, in place of the {} stated",
                craft.calculated(),
                craft.speed.value
            ));
        }
    }
    if let Some(manual_override) = &mission.contingencies.manual_override {
        assumed(&manual_override.within, &mut all);
    }
    if let Some(distance) = &vessel.propulsion.stopping_distance {
        assumed(distance, &mut all);
    }
    if mission.operator.is_none() {
        let text = format!(
            "reaction time {} (no `operator` stated)",
            mission.reaction_time()
        );
        all.push(text);
    }
    assumed(&vessel.hull.bow_length, &mut all);
    assumed(&vessel.windage.drag_coefficient, &mut all);
    assumed(&vessel.windage.height, &mut all);
    assumed(&vessel.windage.leeway, &mut all);
    assumed(&vessel.propulsion.propulsive_efficiency, &mut all);
    assumed(&vessel.propulsion.motor_efficiency, &mut all);
    assumed(&vessel.propulsion.minimum_steerageway, &mut all);
    if matches!(vessel.propulsion.calm.value, CalmForm::Model { .. })
        && vessel.hull.wetted_surface.is_none()
    {
        let text = "wetted surface calculated from the hull (`wetted_surface` not stated)";
        all.push(text.to_owned());
    }
    assumed(&vessel.battery.capacity, &mut all);
    assumed(&vessel.battery.usable, &mut all);
    assumed(&vessel.navigation.delay, &mut all);
    assumed(&vessel.limits.wave_height, &mut all);
    if let Some(gust) = &vessel.limits.gust {
        assumed(gust, &mut all);
    }
    assumed(&vessel.lights, &mut all);
    let calibration = vessel.calibration.as_ref();
    if calibration.is_some_and(|calibration| calibration.better_on_one_run) {
        let text = "a vessel figure was improved on the evidence of one run alone, as its \
                    `calibration` says";
        all.push(text.to_owned());
    }
    assumed(&site.water, &mut all);
    assumed(&site.land_height, &mut all);
    if site.mean_depth.is_none() {
        all.push("waves are those of deep water (`mean_depth` not stated)".to_owned());
    }
    if vessel.sonar.is_none()
        && mission
            .link_use(Link::SonarData)
            .is_some_and(|u| u.value == LinkUse::LoggedAboard)
    {
        all.push("soundings are recorded aboard (`sonar` not stated)".to_owned());
    }
    if !site.hazards_stated {
        all.push("the water has no hazards (no `hazards` stated)".to_owned());
    }
    all.extend(super::adrift::assumptions(plan));
    all.extend(super::depth::assumptions(plan));
    all
}
