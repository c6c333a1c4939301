//! Telling a value: where on the plan, and which lines it follows from.

use super::reading::{Measured, Measurement, NotMeasured, Value};
use crate::finding::{Label, Place};
use crate::models::plane::Point;
use crate::passage::ending::{Known as StopKnown, Stopping};
use crate::passage::{Passage, Runs};
use crate::plan::{Plan, Wind};
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

/// A value with nothing told of it, where no more is wanted of a passage.
pub(super) fn value_alone(passage: &Passage<'_>, value: Value) -> Option<Measured> {
    passage.is_of_values().then(|| alone(passage, value))
}

/// A value with nothing told of it.
pub(super) fn alone(passage: &Passage<'_>, value: Value) -> Measured {
    Measured::new(value, "", label(passage.plan.mission.id.span(), ""))
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

/// What the route calls the place of a sample: the leg that leads to it.
pub(super) fn name_at<'p>(passage: &'p Passage<'_>, sample: usize) -> &'p str {
    match sample {
        0 => "the launch point",
        _ => &passage.plan.mission.legs[passage.track.leg_of_sample(sample)].name,
    }
}

/// Name, distance along the route and position of a sample.
pub(super) fn at_sample(passage: &Passage<'_>, sample: usize) -> Place {
    let along = passage.track.along[sample];
    Place {
        name: name_at(passage, sample).to_owned(),
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
