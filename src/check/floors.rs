//! A policy's floors put on a plan: what a crew or a boat is said to do in less counts as the
//! floor.

use std::sync::Arc;

use crate::plan::Plan;
use crate::plan::floored::Floored;
use crate::rules::{EffectivePolicy, Floor, Floors};
use crate::schema::{Origin, Stated};
use crate::units::{Length, Quantity, Time, Typed};

/// The plan as a policy has it judged, every figure at its floor or above.
pub(super) fn applied(plan: &Plan, policy: &EffectivePolicy) -> Plan {
    let mut plan = plan.clone();
    let floors = &policy.floors;
    let seconds = |floor: Floor| Time::seconds(floors.get(floor).value);
    let mut floored = Vec::new();
    let mission = &mut plan.mission;
    if let Some(operator) = &mut mission.operator {
        let (time, what) = (&mut operator.reaction_time, "the operator's reaction time");
        floored.extend(raise(
            time,
            (floors, Floor::Reaction),
            seconds(Floor::Reaction),
            what,
        ));
    }
    if let Some(craft) = &mut mission.safety_boat {
        let (time, what) = (&mut craft.ready_within, "the safety boat's readiness");
        let least = seconds(Floor::Readiness);
        floored.extend(raise(time, (floors, Floor::Readiness), least, what));
    }
    if let Some(manual_override) = &mut mission.contingencies.manual_override {
        let (time, what) = (
            &mut manual_override.within,
            "the time in which the boat obeys",
        );
        floored.extend(raise(
            time,
            (floors, Floor::ManualOverride),
            seconds(Floor::ManualOverride),
            what,
        ));
    }
    let hull = plan.vessel.hull.length_overall.value;
    let least: Length = hull * floors.get(Floor::Stopping).value;
    let stopping = plan.vessel.propulsion.stopping_distance.as_ref();
    if stopping.is_some_and(|stated| stated.value < least) {
        let mut vessel = (*plan.vessel).clone();
        if let Some(distance) = &mut vessel.propulsion.stopping_distance {
            let what = "the stopping distance";
            floored.extend(raise(distance, (floors, Floor::Stopping), least, what));
        }
        plan.vessel = Arc::new(vessel);
    }
    plan.floored = floored;
    plan
}

/// Puts a figure up to its floor, where it is below.
fn raise<T: Typed + Copy + PartialOrd>(
    figure: &mut Stated<T>,
    (floors, floor): (&Floors, Floor),
    least: T,
    what: &'static str,
) -> Option<Floored> {
    if figure.value >= least {
        return None;
    }
    // What is not stated stays so: whoever asks for it is told that.
    if !matches!(figure.origin, Origin::Written(_)) {
        figure.value = least;
        return None;
    }
    let stated: Quantity = figure.value.quantity();
    let told = least.quantity();
    let whose = floors.set_by(floor).map_or_else(
        || "the built-in floor".to_owned(),
        |(policy, _)| format!("the floor `{}` of policy `{policy}`", floor.key()),
    );
    let span = figure.span();
    figure.value = least;
    figure.origin = Origin::Assumed {
        near: span,
        what: format!("{what} counts as {told}, {whose}, in place of the {stated} stated"),
    };
    Some(Floored {
        what,
        stated: stated.to_string(),
        floor: told.to_string(),
        share: stated.value / told.value,
        span,
    })
}
