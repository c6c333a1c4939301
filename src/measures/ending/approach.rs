//! The approach: speed, wind, straight way, depth.

use super::{plain, recovery_label};
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured};
use crate::measures::unmeasured;
use crate::passage::Passage;
use crate::passage::approaches;
use crate::passage::ending;
use crate::plan::route::Leg;
use crate::units::Length;

fn no_last_leg(passage: &Passage<'_>) -> NotMeasured {
    let plan = passage.plan;
    let why = "the route has no last leg";
    unmeasured::lacking(plan, plan.mission.route_span, why, "add a leg")
}

pub(super) fn approach_speed(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let mission = &passage.plan.mission;
    let (Some(approach), Some((leg, _))) = (ending::approach(passage), mission.approach()) else {
        return Err(no_last_leg(passage));
    };
    let primary = evidence::label(
        leg.command.span(),
        format!("speed of the last leg: {}", leg.speed()),
    );
    let mut known = plain(
        passage,
        evidence::value(approach.over_ground),
        "the approach speed over ground",
        primary,
    );
    known.because.push(recovery_label(passage));
    Ok(known)
}

pub(super) fn off_wind(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let runs = passage
        .runs()
        .map_err(|why| unmeasured::no_passage(passage.plan, why))?;
    let Some((angle, scenario)) = ending::off_wind(passage, &runs.scenarios) else {
        return Err(no_last_leg(passage));
    };
    let sentence = "the angle between the last leg and where the wind comes from";
    let mut known = plain(
        passage,
        evidence::value(angle),
        sentence,
        recovery_label(passage),
    );
    known.because.extend(evidence::wind_lines(passage.plan));
    known.scenario = Some(runs.scenarios.describe(scenario, false));
    if let Some(leg) = passage.plan.mission.legs.last() {
        known.steps = vec![format!(
            "the last leg runs towards {}; the wind comes from {}",
            leg.from.bearing_to(leg.to),
            runs.scenarios.all[scenario].from
        )];
    }
    Ok(known)
}

/// Least angle to the wind at which the wind counts as abeam. By definition.
const ABEAM: f64 = 90.0;

pub(super) fn least_off_wind(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let runs = passage
        .runs()
        .map_err(|why| unmeasured::no_passage(passage.plan, why))?;
    let Some(best) = approaches::least_off_wind(passage, &runs.scenarios) else {
        return Err(no_last_leg(passage));
    };
    let sentence = "the least angle between an approach over water and where the wind comes from";
    let mut known = plain(
        passage,
        evidence::value(best.angle),
        sentence,
        recovery_label(passage),
    );
    known.because.extend(evidence::wind_lines(passage.plan));
    known.scenario = Some(runs.scenarios.describe(best.scenario, false));
    known.steps = vec![match best.towards {
        Some(towards) => format!(
            "of straight approaches as long as the last leg, 5° apart, over water and clear of the shore by the \
             cross-track error but for the last of it, the nearest to the wind runs towards {towards}"
        ),
        None => "no straight approach as long as the last leg is clear of the shore".to_owned(),
    }];
    Ok(known)
}

/// That no approach the shore leaves open comes up into the wind, where that is so: nothing a plan from this
/// place can change.
pub(crate) fn shore_bound(passage: &Passage<'_>) -> Option<String> {
    let runs = passage.runs().ok()?;
    let best = approaches::least_off_wind(passage, &runs.scenarios)?;
    let place = &passage.plan.mission.recovery.zone.place.value;
    (best.angle.to_degrees() > ABEAM).then(|| {
        format!(
            "the shore at `{place}` leaves no approach nearer to the wind than {}: the boat comes in with the wind \
             behind it, and does not stop by itself",
            best.angle
        )
    })
}

pub(super) fn straight_length(passage: &Passage<'_>) -> Measured {
    let length = passage.plan.mission.legs.last().map_or(0.0, Leg::length);
    let sentence = "the straight approach to the recovery point";
    plain(
        passage,
        evidence::value(Length::metres(length)),
        sentence,
        recovery_label(passage),
    )
}

pub(super) fn depth(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let zone = &passage.plan.mission.recovery.zone;
    let Some(depth) = &zone.depth else {
        return Err(unmeasured::lacking(
            passage.plan,
            zone.place.span(),
            "the site states no depth for this launch site",
            "add `depth` to the launch site",
        ));
    };
    let draft = &passage.plan.vessel.hull.draft;
    let under_keel = depth.value - draft.value;
    let primary = evidence::label(zone.place.span(), "recovered here");
    let mut known = plain(
        passage,
        evidence::value(under_keel),
        "the depth under the keel at recovery",
        primary,
    );
    known.because.push(evidence::label(
        depth.span(),
        format!("depth {}", depth.value),
    ));
    known.because.push(evidence::label(
        draft.span(),
        format!("draft {}", draft.value),
    ));
    known.steps = vec![format!("{} − {} = {under_keel}", depth.value, draft.value)];
    Ok(known)
}
