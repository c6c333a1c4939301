//! A disabled boat that drifts ashore.

use super::{danger_name, plain, recovery_label};
use crate::finding::Place;
use crate::measures::assumed;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured};
use crate::measures::unmeasured;
use crate::passage::Passage;
use crate::passage::ending;

pub(super) fn drift(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let runs = passage
        .runs()
        .map_err(|why| unmeasured::no_passage(passage.plan, why))?;
    let found = ending::drift(passage).map_err(|why| unmeasured::no_passage(passage.plan, why))?;
    let Some(drift) = found else {
        return Err(unmeasured::lacking(
            passage.plan,
            plan.mission.route_span,
            "the route has no last leg",
            "add a leg",
        ));
    };
    let leeway = &plan.vessel.windage.leeway;
    let Some(danger) = drift.on_to else {
        let reason = "a disabled boat on the last leg drifts onto nothing within a day, or only ashore inside \
                      the recovery zone";
        let line = evidence::label(
            leeway.span(),
            format!("leeway {} of the wind", leeway.value),
        );
        return Err(unmeasured::no_subject(
            plan.mission.recovery.at.span(),
            reason.to_owned(),
            line,
        ));
    };
    let reaction = plan.mission.reaction_time();
    let left = drift.time - reaction;
    if let Some(alone) = evidence::value_alone(passage, evidence::value(left)) {
        return Ok(alone);
    }
    let (name, line) = danger_name(passage, danger);
    let sentence =
        format!("the time left to act before a disabled boat on the last leg drifts onto {name}");
    let mut known = plain(
        passage,
        evidence::value(left),
        &sentence,
        recovery_label(passage),
    );
    known.because.push(line);
    known.because.extend(evidence::gust_line(plan));
    known.because.push(evidence::label(
        leeway.span(),
        format!("leeway {} of the wind", leeway.value),
    ));
    known.place = Some(Place {
        name: "the last leg".to_owned(),
        along: None,
        position: Some(evidence::degrees(plan, drift.start)),
        ..Place::default()
    });
    if let Some(operator) = &plan.mission.operator {
        let text = format!("reaction time {reaction}");
        known
            .because
            .push(evidence::label(operator.reaction_time.span(), text));
    }
    known.scenario = Some(runs.scenarios.describe(drift.scenario, true));
    known.steps = vec![
        format!(
            "leeway: {} of a wind of {} at 10 m, with the current: {} over ground",
            leeway.value, drift.wind, drift.speed
        ),
        format!("{} to {name}: {}", drift.distance, drift.time),
        format!("less the operator's reaction, {reaction}: {left}"),
    ];
    known.assumptions = assumed::of_plan(plan);
    Ok(known)
}
