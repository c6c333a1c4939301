//! Headway: the speed made good at full power under the gust, at its least.

use super::acting::Along;
use super::boat::Boat;
use super::places::Number;
use super::run::Sample;
use crate::models::OutsideValidity;
use crate::models::plane::Point;
use crate::models::propulsion::Holding;
use crate::units::{Power, Speed};

/// The least headway of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct Headway {
    /// Speed over ground.
    pub speed: Speed,
    /// Where.
    pub at: Point,
    /// Leg of the route, or `None` on a return leg.
    pub leg: Option<usize>,
    /// Sample that the return leg begins at, or that the step leads from.
    pub sample: usize,
    /// Unit vector (east, north) of the track there.
    pub track: (f64, f64),
}

/// The least headway over the route and over the return leg from every sample.
///
/// Only places that are worse than the worst so far need solving: whether full power holds the
/// least speed so far takes one evaluation.
pub(super) fn least(
    along: &Along<'_>,
    boat: &Boat,
    samples: &[Sample],
) -> Result<Headway, OutsideValidity> {
    let passage = along.acting.passage;
    let places = along.acting.places();
    let propulsion = &boat.propulsion;
    let mut worst: Option<Headway> = None;
    let mut known: Vec<Option<(Speed, Holding)>> = vec![None; places.count_shared()];
    let mut look = |(place, track): (Number, (f64, f64)),
                    shared: Option<usize>,
                    available: Power,
                    put: &dyn Fn() -> Put| {
        if let Some(worst) = &worst {
            // What it takes to hold the least speed so far at a step that return legs share.
            let slot = shared.and_then(|number| known.get_mut(number));
            let here = slot.as_ref().and_then(|slot| slot.as_ref());
            let holding = match here.filter(|(speed, _)| same(*speed, worst.speed)) {
                Some((_, holding)) => *holding,
                None => {
                    let (around, head) = along.gust(place).map_err(Clone::clone)?;
                    let holding = propulsion.holding_in(track, worst.speed, (&around, head));
                    if let Some(slot) = slot {
                        *slot = Some((worst.speed, holding));
                    }
                    holding
                }
            };
            if holding.with(propulsion, available) {
                return Ok(());
            }
        }
        let (around, head) = along.gust(place).map_err(Clone::clone)?;
        let speed = propulsion.full_power_speed_in(track, (&around, head), available);
        if worst.as_ref().is_none_or(|worst| speed < worst.speed) {
            let (at, leg, sample) = put();
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
    for (sample, (state, step)) in samples.iter().zip(&passage.track.steps).enumerate() {
        let available = boat.available(state.charge);
        let here = (places.of_step(sample), step.track);
        look(here, None, available, &|| {
            (step.middle(), Some(step.leg), sample)
        })?;
    }
    for (sample, state) in samples.iter().enumerate() {
        // The charge falls on the return leg; what is left at its end is the safe figure for all of it.
        let home = state.home.as_ref();
        let charge = home.map_or(state.charge, |home| home.charge_after.min(state.charge));
        let available = boat.available(charge);
        for step in places.home(passage, sample) {
            let here = (step.place, step.track);
            look(here, step.shared, available, &|| {
                (step.middle(passage), None, sample)
            })?;
        }
    }
    worst.ok_or_else(|| OutsideValidity::new("headway", "the route has no step".to_owned()))
}

/// Whether two speeds are the very same.
fn same(one: Speed, other: Speed) -> bool {
    one.get().to_bits() == other.get().to_bits()
}

/// Where it is, on which leg, and the sample.
type Put = (Point, Option<usize>, usize);
