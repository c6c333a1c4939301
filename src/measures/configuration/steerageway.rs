//! Commanded speeds against the least at which the boat steers.

use crate::measures::assumed;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured};
use crate::measures::unmeasured;
use crate::passage::{Passage, speeds};

pub(super) fn in_hand(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let steers = &plan.vessel.propulsion.minimum_steerageway;
    if steers.is_missing() {
        return Err(unmeasured::lacking(
            plan,
            steers.span(),
            "the vessel states no minimum steerageway",
            "add `minimum_steerageway` to the vessel's `propulsion`",
        ));
    }
    let home = &plan.mission.return_leg.speed;
    let Some(least) = speeds::least_through_water(passage) else {
        return Err(unmeasured::lacking(
            plan,
            plan.mission.route_span,
            "the route has no step",
            "add a leg",
        ));
    };
    let steerageway = evidence::label(
        steers.span(),
        format!(
            "minimum steerageway \
                                                              {}",
            steers.value
        ),
    );
    if home.value < least.speed {
        let over = home.value - steers.value;
        let mut known = Measured::new(
            evidence::value(over),
            "the speed of the return leg above minimum steerageway",
            evidence::label(home.span(), format!("return leg at {}", home.value)),
        );
        known.because = vec![steerageway];
        known.steps = vec![format!("{} − {} = {over}", home.value, steers.value)];
        known.assumptions = assumed::of_plan(plan);
        return Ok(known);
    }
    let leg = &plan.mission.legs[least.leg];
    let over = least.speed - steers.value;
    let place = evidence::at_sample(passage, least.sample);
    let mut known = Measured::new(
        evidence::value(over),
        format!(
            "the speed through the water above minimum steerageway, at {},",
            evidence::spot(&place)
        ),
        evidence::label(
            leg.command.span(),
            format!("{} commanded through the water", least.speed),
        ),
    );
    known.because = vec![steerageway];
    known.place = Some(place);
    known.steps = vec![
        format!(
            "commanded {}; the current along the track {}; through the water {}",
            leg.speed(),
            crate::units::Speed::metres_per_second(least.along),
            least.speed
        ),
        format!("{} − {} = {over}", least.speed, steers.value),
    ];
    known.assumptions = assumed::of_plan(plan);
    Ok(known)
}
