//! The way home from every sample: straight to the recovery point, or back along the route.

use super::boat::Boat;
use super::energy::{Acting, Going, HomeCost, State, Stop, reversed, track_of};
use super::track::{HOME_STEP, cut};
use crate::models::plane::Point;
use crate::models::propulsion::Command;
use crate::units::{Length, Time};

/// What the way home from each of the states takes, begun with the charge of that state.
pub(super) fn costs(
    acting: &Acting<'_>,
    boat: &Boat,
    states: &[State],
) -> Vec<Result<HomeCost, Stop>> {
    states
        .iter()
        .enumerate()
        .map(|(sample, state)| cost_from(acting, boat, sample, state.charge))
        .collect()
}

/// What the way home from one sample takes, begun at a given charge.
pub(super) fn cost_from(
    acting: &Acting<'_>,
    boat: &Boat,
    sample: usize,
    charge: f64,
) -> Result<HomeCost, Stop> {
    let command = Command::ThroughWater(boat.home_speed);
    let mut going = Going::at(charge);
    let mut length = 0.0;
    for (middle, track, piece) in steps(acting, sample) {
        let around = acting.sustained(middle);
        going
            .step(boat, track, piece, command, &around)
            .map_err(|cause| Stop {
                cause,
                at: middle,
                leg: None,
            })?;
        length += piece;
    }
    let state = going.state();
    let before = boat.pack.energy_above_empty(charge);
    let after = boat.pack.energy_above_empty(state.charge);
    Ok(HomeCost {
        charge_after: state.charge,
        energy: before - after,
        time: Time::seconds(state.time),
        length: Length::metres(length),
    })
}

/// Nearer than this a place is the recovery point, m: legs shorter than it are left out as well.
const NO_WAY: f64 = 1e-3;

type HomeStep = (Point, (f64, f64), f64);

/// The steps of the way home from a sample: middle, track, length.
pub(super) fn steps<'a>(
    acting: &'a Acting<'_>,
    sample: usize,
) -> impl Iterator<Item = HomeStep> + 'a {
    let passage = acting.passage;
    let mission = &passage.plan.mission;
    let along_route = mission.way_home.along_route.value;
    let back = if along_route { sample } else { 0 };
    let recovery = mission.recovery.at.value;
    // Where it is home already it need not go back over its route to be there.
    let home = is_home(passage.track.samples[sample], recovery);
    let back = if home { 0 } else { back };
    let along = passage.track.steps[..back]
        .iter()
        .rev()
        .map(|step| (step.middle(), reversed(step), step.length));
    let from = passage.track.samples[if along_route { 0 } else { sample }];
    let line = (!home).then(|| straight(from, recovery));
    along.chain(line.into_iter().flatten())
}

/// Whether a place is the recovery point itself.
fn is_home(at: Point, recovery: Point) -> bool {
    at.distance(recovery) < NO_WAY
}

/// The steps of a straight way: middle, track, length; none where it is already there.
fn straight(from: Point, to: Point) -> impl Iterator<Item = HomeStep> {
    track_of(from, to).into_iter().flat_map(move |track| {
        cut(from, to, HOME_STEP).map(move |(a, b, length)| (a.lerp(b, 0.5), track, length))
    })
}
