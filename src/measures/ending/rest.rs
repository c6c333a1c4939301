//! Coming to rest: the action at the end, running on, standing off.

use super::{danger_name, plain, recovery_label};
use crate::measures::assumed;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured, Value};
use crate::measures::unmeasured;
use crate::passage::Passage;
use crate::passage::ending;
use crate::plan::mission::Action;
use crate::units::Length;

pub(super) fn comes_to_rest(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let mission = &passage.plan.mission;
    let Some(action) = &mission.at_end else {
        return Err(unmeasured::lacking(
            passage.plan,
            mission.recovery.at.span(),
            "the plan does not say what the boat does at the recovery point",
            "add `at_end: { action: hold }` or `stop`",
        ));
    };
    let rests = matches!(action.value, Action::Hold | Action::Stop);
    let primary = evidence::label(
        action.span(),
        format!("at the end: {}", action.value.label()),
    );
    let sentence = if rests {
        "the boat comes to rest at the recovery point"
    } else {
        "the boat does not come to rest at the recovery point but carries on"
    };
    let mut known = plain(passage, Value::Truth(rests), sentence, primary);
    known.because.push(recovery_label(passage));
    Ok(known)
}

pub(super) fn overrun(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let mission = &passage.plan.mission;
    let Some(operator) = &mission.operator else {
        return Err(unmeasured::lacking(
            passage.plan,
            mission.recovery.at.span(),
            "the plan states no operator, so no reaction time is known",
            "add `operator:` with `at` and `reaction_time`",
        ));
    };
    unmeasured::stop_tried(passage.plan)?;
    let overrun = ending::overrun(passage, Length::ZERO).ok_or_else(|| {
        unmeasured::lacking(
            passage.plan,
            passage.plan.vessel.propulsion.calm.span(),
            "the stopping distance cannot be calculated at this approach speed",
            "state `stopping_distance` under the vessel's `propulsion`, and `stopping_speed`, the \
             speed of that trial",
        )
    })?;
    let (name, line) = danger_name(passage, overrun.from);
    let sentence = format!("the clearance from {name} of an overrun past the recovery point");
    let mut known = plain(
        passage,
        evidence::value(overrun.clearance),
        &sentence,
        recovery_label(passage),
    );
    known.because.push(line);
    if let Some((leg, _)) = mission.approach() {
        known.because.push(evidence::label(
            leg.command.span(),
            format!("approach at {}", leg.speed()),
        ));
    }
    known.because.extend(evidence::stopping_lines(passage.plan));
    known.because.push(evidence::label(
        operator.reaction_time.span(),
        format!("reaction time {}", operator.reaction_time.value),
    ));
    known.steps = vec![
        format!(
            "runs on for {} at {}: {}",
            operator.reaction_time.value, overrun.speed, overrun.reaction
        ),
        format!(
            "{}; {} in all",
            evidence::stops(passage.plan, &overrun.stopping),
            overrun.reaction + overrun.stopping.distance
        ),
        format!(
            "clearance of the overrun from {name}, less the corridor: {}",
            overrun.clearance
        ),
    ];
    known.assumptions = assumed::of_plan(passage.plan);
    Ok(known)
}

pub(super) fn stand_off(passage: &Passage<'_>) -> Measured {
    let (distance, danger) = ending::stand_off(passage);
    let (name, line) = danger_name(passage, danger);
    let sentence = format!("the distance of the recovery point from {name}");
    let mut known = plain(
        passage,
        evidence::value(distance),
        &sentence,
        recovery_label(passage),
    );
    known.because.push(line);
    known
}
