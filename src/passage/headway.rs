//! Headway: the speed made good at full power under the gust, at its least.

use super::boat::Boat;
use super::energy::{Acting, Sample, State};
use super::home;
use crate::models::OutsideValidity;
use crate::models::plane::Point;
use crate::units::{Power, Speed};

/// The least headway of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct Headway {
    /// Speed over ground.
    pub speed: Speed,
    /// Where.
    pub at: Point,
    /// Leg of the route, or `None` on a way home.
    pub leg: Option<usize>,
    /// Sample that the way home begins at, or that the step leads from.
    pub sample: usize,
    /// Unit vector (east, north) of the track there.
    pub track: (f64, f64),
}

/// The least headway over the route and over the way home from every sample.
///
/// Only places that are worse than the worst so far need solving: whether full power holds the
/// least speed so far takes one evaluation.
pub(super) fn least(
    acting: &Acting<'_>,
    boat: &Boat,
    states: &[State],
    samples: &[Sample],
) -> Result<Headway, OutsideValidity> {
    let passage = acting.passage;
    let mut worst: Option<Headway> = None;
    let mut look =
        |at: Point, track: (f64, f64), available: Power, leg: Option<usize>, sample: usize| {
            let around = acting.gust(at);
            if let Some(worst) = &worst
                && boat
                    .propulsion
                    .can_hold(track, worst.speed, &around, available)?
            {
                return Ok(());
            }
            let speed = boat
                .propulsion
                .full_power_speed(track, &around, available)?;
            if worst.as_ref().is_none_or(|worst| speed < worst.speed) {
                worst = Some(Headway {
                    speed,
                    at,
                    leg,
                    sample,
                    track,
                });
            }
            Ok::<(), OutsideValidity>(())
        };
    for (sample, (state, step)) in states.iter().zip(&passage.track.steps).enumerate() {
        look(
            step.middle(),
            step.track,
            boat.available(state.charge),
            Some(step.leg),
            sample,
        )?;
    }
    for (sample, state) in samples.iter().enumerate() {
        // The charge falls on the way home; what is left at its end is the safe figure for all of it.
        let home = state.home.as_ref();
        let charge = home.map_or(state.charge, |home| home.charge_after.min(state.charge));
        let available = boat.available(charge);
        for (middle, track, _) in home::steps(acting, sample) {
            look(middle, track, available, None, sample)?;
        }
    }
    worst.ok_or_else(|| OutsideValidity::new("headway", "the route has no step".to_owned()))
}
