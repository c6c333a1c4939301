//! Operators: at their stations, at the controls, at the launch.

use crate::measures::evidence;
use crate::measures::link::unknown as no_link;
use crate::measures::reading::{Measured, NotMeasured};
use crate::measures::unmeasured;
use crate::passage::links::{self, NoLink};
use crate::passage::{Passage, sight};
use crate::plan::Plan;
use crate::plan::radio::Link;
use crate::source::Span;
use crate::units::Length;

/// Those who stand where [`sight::observers`] has them, in words and with their lines.
pub(super) fn named(plan: &Plan) -> Vec<(String, Span)> {
    let mission = &plan.mission;
    let operator = mission
        .operator
        .iter()
        .map(|operator| ("the remote operator".to_owned(), operator.at.span()));
    let stations = mission.stations.iter().map(|one| {
        let who = format!("the operator of {}", one.station.value);
        (who, one.operator.span())
    });
    operator.chain(stations).collect()
}

pub(super) fn no_operator(plan: &Plan, span: Span) -> NotMeasured {
    unmeasured::lacking(
        plan,
        span,
        "the plan does not say where the remote operator stands",
        "add `operator:` with `at`",
    )
}

pub(super) fn station_operator(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let stations = plan.mission.stations.iter();
    let away = stations.map(|one| {
        let at = plan.site.stations[one.index].at;
        (at.distance(one.operator.value), one)
    });
    let farthest = away.max_by(|a, b| a.0.total_cmp(&b.0));
    let (distance, one) = farthest.ok_or_else(|| {
        let why = links::stations(plan, Link::Control).err();
        no_link(passage, Link::Control, why.unwrap_or(NoLink::NotManned))
    })?;
    let station = &plan.site.stations[one.index];
    let mut known = Measured::new(
        evidence::value(Length::metres(distance)),
        format!(
            "the distance from station `{}` to its operator",
            station.id.value
        ),
        evidence::label(one.operator.span(), "its operator stands here"),
    );
    let line = evidence::label(station.id.span(), "the station");
    known.because.push(line);
    Ok(known)
}

pub(super) fn operator_to_controls(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let operator = plan.mission.operator.as_ref();
    let operator = operator.ok_or_else(|| no_operator(plan, plan.mission.id.span()))?;
    let no_link = |why| no_link(passage, Link::Control, why);
    let stations = links::stations(plan, Link::Control).map_err(no_link)?;
    let away = |index: usize| plan.site.stations[index].at.distance(operator.at.value);
    let nearest = stations
        .into_iter()
        .map(|index| (away(index), index))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let (distance, index) = nearest.ok_or_else(|| no_link(NoLink::NotManned))?;
    let station = &plan.site.stations[index];
    let mut known = Measured::new(
        evidence::value(Length::metres(distance)),
        format!(
            "the distance from the remote operator to the control station `{}`, the nearest in use,",
            station.id.value
        ),
        evidence::label(operator.at.span(), "the operator stands here"),
    );
    let line = evidence::label(station.id.span(), "the station");
    known.because.push(line);
    Ok(known)
}

pub(super) fn operator_to_launch(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let launch = &plan.mission.launch.at;
    let nearest = sight::observers(passage)
        .into_iter()
        .zip(named(plan))
        .map(|(at, named)| (at.distance(launch.value), named))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let (distance, (who, span)) = nearest.ok_or_else(|| no_operator(plan, launch.span()))?;
    let mut known = Measured::new(
        evidence::value(Length::metres(distance)),
        format!("the distance from the launch point to {who}, the nearest there,"),
        evidence::label(span, "stands here"),
    );
    let line = evidence::label(launch.span(), "launched here");
    known.because.push(line);
    Ok(known)
}
