//! Unbroken runs against the wind, on the route and on the return leg.

use std::collections::BTreeMap;

use super::acting::{Acting, Along};
use super::boat::Boat;
use super::home;
use super::run::{HomeCost, Run, Sample};
use crate::units::{Energy, Length, Ratio, Time};

/// A track this close to where the wind comes from is against it: cosine of 45°.
const AGAINST: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// One unbroken run against the wind.
#[derive(Clone, Debug, PartialEq)]
pub struct UpwindRun {
    /// First and last sample of a run on the route; far and near sample of a return leg.
    pub samples: (usize, usize),
    /// Whether it is a return leg.
    pub home: bool,
    /// Its length.
    pub length: Length,
    /// Its time.
    pub time: Time,
    /// Its energy as a share of usable energy.
    pub energy: Ratio,
}

/// The longest runs of one scenario, each measure on its own.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LongestRuns {
    /// By length.
    pub by_length: Option<UpwindRun>,
    /// By time.
    pub by_time: Option<UpwindRun>,
    /// By energy.
    pub by_energy: Option<UpwindRun>,
    /// Those that begin on each leg, by whether they are return legs and by its index; on none where they begin
    /// at the launch point.
    pub by_leg: BTreeMap<(bool, Option<usize>), LongestRuns>,
}

impl LongestRuns {
    fn offer(&mut self, acting: &Acting<'_>, run: &UpwindRun) {
        let (first, track) = (run.samples.0, &acting.passage.track);
        let leg = (first > 0).then(|| track.leg_of_sample(first));
        self.by_leg.entry((run.home, leg)).or_default().keep(run);
        self.keep(run);
    }

    fn keep(&mut self, run: &UpwindRun) {
        keep_greater(&mut self.by_length, run, |run| run.length.get());
        keep_greater(&mut self.by_time, run, |run| run.time.get());
        keep_greater(&mut self.by_energy, run, |run| run.energy.get());
    }
}

/// Keeps a run where it is greater than the one held; of equal ones the first.
fn keep_greater(slot: &mut Option<UpwindRun>, run: &UpwindRun, key: fn(&UpwindRun) -> f64) {
    if slot.as_ref().is_none_or(|held| key(run) > key(held) + 1e-9) {
        *slot = Some(run.clone());
    }
}

/// The longest runs of the route and of the return legs.
pub(super) fn longest(along: &Along<'_>, boat: &Boat, run: &Run, usable: Energy) -> LongestRuns {
    let acting = &along.acting;
    let (samples, moving) = (&run.samples, &run.moving);
    let (east, north) = acting.scenario.from.towards().unit_vector();
    let against = |track: (f64, f64)| -(track.0 * east + track.1 * north) >= AGAINST - 1e-12;
    let mut longest = LongestRuns::default();
    on_route(acting, moving, usable, &against, &mut longest);
    let leg = &acting.passage.plan.mission.return_leg;
    if leg.along_route() {
        back_along_route(acting, samples, usable, &against, &mut longest);
    } else if !leg.via().is_empty() {
        by_waypoints((along, boat), samples, usable, &against, &mut longest);
    } else {
        straight_home(acting, samples, usable, &against, &mut longest);
    }
    longest
}

type Against<'a> = &'a dyn Fn((f64, f64)) -> bool;

/// Runs of steps of the route; pauses on the way neither count nor break a run.
fn on_route(
    acting: &Acting<'_>,
    moving: &[(Time, Energy)],
    usable: Energy,
    against: Against<'_>,
    longest: &mut LongestRuns,
) {
    let track = &acting.passage.track;
    let mut start: Option<usize> = None;
    for index in 0..=moving.len() {
        let runs_on = index < moving.len() && against(track.steps[index].track);
        match (start, runs_on) {
            (None, true) => start = Some(index),
            (Some(first), false) => {
                let parts = &moving[first..index];
                let time = parts.iter().fold(Time::ZERO, |sum, (time, _)| sum + *time);
                let energy = parts
                    .iter()
                    .fold(Energy::ZERO, |sum, (_, energy)| sum + *energy);
                longest.offer(
                    acting,
                    &UpwindRun {
                        samples: (first, index),
                        home: false,
                        length: Length::metres(track.along[index] - track.along[first]),
                        time,
                        energy: Ratio::fraction(energy / usable),
                    },
                );
                start = None;
            }
            _ => {}
        }
    }
}

/// Straight return legs, each a run of its own where it is against the wind.
fn straight_home(
    acting: &Acting<'_>,
    samples: &[Sample],
    usable: Energy,
    against: Against<'_>,
    longest: &mut LongestRuns,
) {
    for (index, sample) in samples.iter().enumerate() {
        let Ok(home) = &sample.home else { continue };
        let Some(step) = acting.places().home(acting.passage, index).next() else {
            continue;
        };
        if against(step.track) {
            longest.offer(
                acting,
                &UpwindRun {
                    samples: (index, samples.len() - 1),
                    home: true,
                    length: home.length,
                    time: home.time,
                    energy: Ratio::fraction(home.energy / usable),
                },
            );
        }
    }
}

/// Unbroken stretches of the return legs by waypoints.
fn by_waypoints(
    (along, boat): (&Along<'_>, &Boat),
    samples: &[Sample],
    usable: Energy,
    against: Against<'_>,
    longest: &mut LongestRuns,
) {
    for (index, sample) in samples.iter().enumerate() {
        let mut began: Option<HomeCost> = None;
        let mut offer = |began: HomeCost, ended: &HomeCost| {
            longest.offer(
                &along.acting,
                &UpwindRun {
                    samples: (index, samples.len() - 1),
                    home: true,
                    length: ended.length - began.length,
                    time: ended.time - began.time,
                    energy: Ratio::fraction((ended.energy - began.energy) / usable),
                },
            );
        };
        let whole = home::cost_by_step(along, boat, (index, sample.charge), |step, so_far| {
            if !against(step.track) {
                if let Some(began) = began.take() {
                    offer(began, &so_far());
                }
            } else if began.is_none() {
                began = Some(so_far());
            }
        });
        if let (Ok(whole), Some(began)) = (whole, began) {
            offer(began, &whole);
        }
    }
}

/// Stretches of the return leg along the route. Time and energy of a stretch are the difference of
/// two return legs.
fn back_along_route(
    acting: &Acting<'_>,
    samples: &[Sample],
    usable: Energy,
    against: Against<'_>,
    longest: &mut LongestRuns,
) {
    let passage = acting.passage;
    let steps = &passage.track.steps;
    let (launch, home) = (
        passage.track.samples[0],
        passage.plan.mission.recovery.at.value,
    );
    // The straight end of the way, from the launch point, goes on from a run that reaches it.
    let end = (home - launch)
        .unit()
        .is_some_and(|unit| against(unit.components()));
    let nothing = HomeCost {
        charge_after: 0.0,
        energy: Energy::ZERO,
        time: Time::ZERO,
        length: Length::ZERO,
    };
    let mut nearest = 0;
    for (index, sample) in samples.iter().enumerate() {
        let runs_on = if index == 0 {
            end
        } else {
            let (east, north) = steps[index - 1].track;
            against((-east, -north))
        };
        if !runs_on {
            nearest = index;
            continue;
        }
        let from_end = end && nearest == 0;
        let near = if from_end {
            Ok(&nothing)
        } else {
            samples[nearest].home.as_ref()
        };
        let (Ok(far), Ok(near)) = (&sample.home, near) else {
            continue;
        };
        longest.offer(
            acting,
            &UpwindRun {
                samples: (index, nearest),
                home: true,
                length: far.length - near.length,
                time: far.time - near.time,
                energy: Ratio::fraction((far.energy - near.energy) / usable),
            },
        );
    }
}
