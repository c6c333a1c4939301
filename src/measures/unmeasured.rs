//! Why a measure has no value.

use super::assumed;
use super::evidence::{label, share, wind_lines};
use super::reading::{Lack, NotMeasured};
use crate::finding::Label;
use crate::passage::scenario::NoScenarios;
use crate::passage::{NoPassage, Passage, Runs, Stop, StopCause};
use crate::plan::Plan;
use crate::source::Span;

/// A measure that cannot be determined for want of something stated.
pub(super) fn lacking(plan: &Plan, span: Span, reason: &str, remedy: &str) -> NotMeasured {
    NotMeasured {
        lack: Lack::Statement,
        reason: reason.to_owned(),
        remedy: remedy.to_owned(),
        primary: label(span, "too little is stated"),
        because: Vec::new(),
        assumptions: assumed::of_plan(plan),
    }
}

/// A measure of something that is not there, as the files say; `why` is the line that says it.
pub(super) fn no_subject(span: Span, reason: String, why: Label) -> NotMeasured {
    NotMeasured {
        lack: Lack::Subject,
        reason,
        remedy: String::new(),
        primary: label(span, "nothing here"),
        because: vec![why],
        assumptions: Vec::new(),
    }
}

/// Why there is no passage, as an unknown.
pub(super) fn no_passage(plan: &Plan, why: &NoPassage) -> NotMeasured {
    let mission = &plan.mission;
    let (reason, remedy, span) = match why {
        NoPassage::NoScenarios(NoScenarios::NoWind) => (
            "the plan states no wind".to_owned(),
            "add `conditions: wind:` with `from`, `spread`, `mean` and `gust`".to_owned(),
            mission.id.span(),
        ),
        NoPassage::NoScenarios(NoScenarios::WindHeight(outside)) => (
            outside.to_string(),
            "state the wind at a height that the wind profile covers".to_owned(),
            mission
                .wind
                .as_ref()
                .map_or(mission.id.span(), |wind| wind.height.span()),
        ),
        NoPassage::NoScenarios(NoScenarios::HullHeight(outside)) => (
            outside.to_string(),
            "state the `height` of the vessel's `windage` within what the wind profile covers"
                .to_owned(),
            plan.vessel.windage.height.span(),
        ),
        NoPassage::TooMuch { asked, limit } => (
            format!("the route takes {asked} steps over all winds (at most {limit})"),
            "split the mission".to_owned(),
            mission.route_span,
        ),
    };
    NotMeasured {
        lack: Lack::Statement,
        reason,
        remedy,
        primary: label(span, "too little is stated"),
        because: Vec::new(),
        assumptions: Vec::new(),
    }
}

/// Why a passage stops, as an unknown: the boat does not get there, or nobody can tell.
pub(super) fn stopped(
    passage: &Passage<'_>,
    runs: &Runs,
    scenario: usize,
    stop: &Stop,
) -> NotMeasured {
    let plan = passage.plan;
    let whither = match stop.leg {
        Some(leg) => format!("on {}", plan.mission.legs[leg].name),
        None => "on the return leg".to_owned(),
    };
    let wind = runs.scenarios.describe(scenario, false);
    let (reason, remedy) = match &stop.cause {
        StopCause::NoHeadway { over_ground } => (
            format!(
                "the boat makes no headway {whither} in {wind}: at most {over_ground} over ground"
            ),
            "plan for less wind, or keep to water from which the boat can get home".to_owned(),
        ),
        StopCause::Outside(outside) => (
            format!("{whither} in {wind}, {outside}"),
            "plan within the range of the boat's figures, or extend its trial".to_owned(),
        ),
        StopCause::Flat { charge, available } => (
            format!(
                "the battery runs flat {whither} in {wind}: {} charged, it gives {available} for \
                 propulsion",
                share(*charge)
            ),
            "start with a fuller or larger battery, set the low-battery action higher, or go less \
             far"
            .to_owned(),
        ),
        StopCause::BrownOut => (
            format!("the battery cannot give the power needed {whither} in {wind}"),
            "plan for less wind or a lower speed, or a battery with less resistance".to_owned(),
        ),
    };
    let span = stop
        .leg
        .map_or(plan.mission.route_span, |leg| plan.mission.legs[leg].span);
    let mut because = wind_lines(plan);
    because.push(label(
        plan.vessel.propulsion.maximum_power.span(),
        format!(
            "maximum power {}",
            plan.vessel.propulsion.maximum_power.value
        ),
    ));
    NotMeasured {
        lack: Lack::Statement,
        reason,
        remedy,
        primary: label(span, whither),
        because,
        assumptions: assumed::of_plan(plan),
    }
}

/// That a distance to a stop is stated. By coasting it can be determined too short: how far a hull carries its
/// way is in no trial of power.
pub(super) fn stop_tried(plan: &Plan) -> Result<(), NotMeasured> {
    let propulsion = &plan.vessel.propulsion;
    if propulsion.stopping_distance.is_some() {
        return Ok(());
    }
    Err(lacking(
        plan,
        propulsion.calm.span(),
        "the vessel states no stopping distance",
        "try it, and state `stopping_distance` under the vessel's `propulsion`, with \
         `stopping_speed`, the speed of that trial",
    ))
}
