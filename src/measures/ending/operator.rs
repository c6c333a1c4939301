//! The remote operator: near the recovery point, with it in sight.

use super::{plain, recovery_label};
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured, Value};
use crate::measures::unmeasured;
use crate::passage::Passage;
use crate::passage::ending;
use crate::units::Length;

fn no_operator(passage: &Passage<'_>) -> NotMeasured {
    unmeasured::lacking(
        passage.plan,
        passage.plan.mission.recovery.at.span(),
        "the plan does not say where the remote operator stands",
        "add `operator:` with `at`",
    )
}

pub(super) fn operator_distance(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let mission = &passage.plan.mission;
    let operator = mission
        .operator
        .as_ref()
        .ok_or_else(|| no_operator(passage))?;
    let distance = operator.at.value.distance(mission.recovery.at.value);
    let primary = evidence::label(operator.at.span(), "the operator stands here");
    let sentence = "the distance from the operator to the recovery point";
    let mut known = plain(
        passage,
        evidence::value(Length::metres(distance)),
        sentence,
        primary,
    );
    known.because.push(recovery_label(passage));
    Ok(known)
}

pub(super) fn operator_in_sight(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let mission = &passage.plan.mission;
    let operator = mission
        .operator
        .as_ref()
        .ok_or_else(|| no_operator(passage))?;
    let clear = ending::in_sight(passage, operator.at.value);
    let primary = evidence::label(operator.at.span(), "the operator stands here");
    let sentence = if clear {
        "the operator has the recovery point in sight"
    } else {
        "land lies between the operator and the recovery point"
    };
    let mut known = plain(passage, Value::Truth(clear), sentence, primary);
    known.because.push(recovery_label(passage));
    known.because.push(evidence::label(
        passage.plan.site.shore_span,
        "this shoreline",
    ));
    Ok(known)
}
