//! The boat among the waves: what it meets at every step of the route and of the ways home, each
//! kind of trouble at its worst.
//!
//! Only the height counts everywhere. Whatever else is told counts in waves of at least the
//! height that a hull is taken to bear untried ([`untried_height`]). Height and period are those of
//! the highest of the lattice's nodes around a place: the worst of each, which the power is
//! reckoned with, would make waves that are steeper than any can be.

use std::collections::HashMap;

use rayon::prelude::*;

use super::energy::{Acting, Run, current_at};
use super::home;
use super::made::{Made, commanded, reached};
use super::{Passage, Runs};
use crate::models::plane::Point;
use crate::models::propulsion::Command;
use crate::models::stability::{
    Encounter, breaking_height, encounter_period, group_nearness, group_speed, nearness, steepness,
    surf_riding_speed, untried_height, waves_matter_astern,
};
use crate::models::waves::{Sea, likely_highest};
use crate::plan::vessel::Roll;
use crate::units::{Length, Speed, Time, Towards};

/// A step of the route or of a way home, and the waves that the boat meets there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Met {
    /// Where.
    pub at: Point,
    /// Whether it is on a way home.
    pub home: bool,
    /// Sample that the way home begins at, or that the step leads from.
    pub sample: usize,
    /// Heading.
    pub heading: Towards,
    /// Speed through the water.
    pub speed: Speed,
    /// Angle to where the waves come from.
    pub encounter: Encounter,
    /// The sea.
    pub sea: Sea,
}

/// The worst of one kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worst {
    /// The figure, the greater the worse.
    pub value: f64,
    /// Index of the scenario.
    pub scenario: usize,
    /// Where, and in which waves.
    pub met: Met,
}

/// Time with waves on the beam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnTheBeam {
    /// On the route up to a sample and on the way home from there.
    pub time: Time,
    /// Of which on the route.
    pub on_route: Time,
    /// The sample.
    pub sample: usize,
    /// Index of the scenario.
    pub scenario: usize,
    /// The first step of all that counted.
    pub first: Met,
}

/// What the boat meets, each at its worst over all winds; `None` where nothing counts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Seaway {
    /// Significant height, m.
    pub significant: Option<Worst>,
    /// Likely height of the highest wave of the run, m.
    pub highest: Option<Worst>,
    /// Steepness of the sea, height over length.
    pub steepest: Option<Worst>,
    /// Nearness of the period of encounter to that of roll; not told without the latter.
    pub roll: Option<Worst>,
    /// Speed over the speed above which waves carry the boat along.
    pub surfing: Option<Worst>,
    /// Nearness of the speed to that of groups of waves.
    pub groups: Option<Worst>,
    /// Time with waves on the beam.
    pub beam: Option<OnTheBeam>,
    /// Whether any wave is high enough for what asks for the roll period.
    pub heels: bool,
    /// Time under way that the highest wave is the highest of, the longest of all winds.
    pub time: Time,
}

impl Seaway {
    fn with(mut self, other: Self) -> Self {
        keep(&mut self.significant, other.significant);
        keep(&mut self.highest, other.highest);
        keep(&mut self.steepest, other.steepest);
        keep(&mut self.roll, other.roll);
        keep(&mut self.surfing, other.surfing);
        keep(&mut self.groups, other.groups);
        if let Some(beam) = other.beam
            && self
                .beam
                .is_none_or(|held| beam.time.get() > held.time.get() + 1e-9)
        {
            self.beam = Some(beam);
        }
        self.heels |= other.heels;
        self.time = self.time.max(other.time);
        self
    }
}

/// Keeps the greater; of equal ones the first.
fn keep(slot: &mut Option<Worst>, other: Option<Worst>) {
    if let Some(other) = other
        && slot.is_none_or(|held| other.value > held.value + 1e-12)
    {
        *slot = Some(other);
    }
}

/// What is met under every scenario; `None` where there is no sea, the water being too wide.
pub(super) fn all(passage: &Passage<'_>, runs: &Runs) -> Option<Seaway> {
    let sea = runs.sea.as_ref()?;
    let roll = roll_period(passage);
    let scenarios = runs.scenarios.all.par_iter().zip(&runs.runs).enumerate();
    let each: Vec<Seaway> = scenarios
        .map(|(index, (scenario, run))| {
            let acting = Acting {
                passage,
                scenario,
                sea,
            };
            Watch::new(&acting, runs, run, index, roll).look()
        })
        .collect();
    Some(each.into_iter().fold(Seaway::default(), Seaway::with))
}

/// The natural period of roll, where it is known.
#[must_use]
pub fn roll_period(passage: &Passage<'_>) -> Option<Time> {
    let hull = &passage.plan.vessel.hull;
    match hull.roll.as_ref()?.value {
        Roll::Period(period) => Some(period),
        Roll::MetacentricHeight(height) => crate::models::stability::roll_period(
            hull.beam.value,
            hull.draft.value,
            hull.waterline_length.value,
            height,
        )
        .ok(),
    }
}

/// What follows from a sea alone, which many steps share.
#[derive(Clone, Copy)]
struct Of {
    breaking: Length,
    steepness: f64,
    group: Speed,
    /// Whether it is long and high enough to matter from astern.
    astern: bool,
}

/// One scenario being looked at.
struct Watch<'a> {
    acting: &'a Acting<'a>,
    runs: &'a Runs,
    run: &'a Run,
    scenario: usize,
    roll: Option<Time>,
    depth: Length,
    length: Length,
    /// Height from which waves count.
    counts: Length,
    /// What follows from a sea alone, by the bits of its height and period.
    seas: HashMap<(u64, u64), Of>,
    found: Seaway,
}

impl<'a> Watch<'a> {
    fn new(
        acting: &'a Acting<'a>,
        runs: &'a Runs,
        run: &'a Run,
        scenario: usize,
        roll: Option<Time>,
    ) -> Self {
        let length = acting.passage.plan.vessel.hull.length_overall.value;
        let depth = acting.sea.water().depth;
        Self {
            acting,
            runs,
            run,
            scenario,
            roll,
            depth: depth.unwrap_or(Length::metres(f64::INFINITY)),
            length,
            counts: untried_height(length),
            seas: HashMap::new(),
            found: Seaway::default(),
        }
    }

    fn look(mut self) -> Seaway {
        let passage = self.acting.passage;
        let steps = &passage.track.steps;
        // Time on the beam up to each sample.
        let mut beam = vec![0.0];
        let mut time = vec![0.0];
        let mut first: Option<Met> = None;
        // The time is wanted before the waves, since the highest wave depends on it.
        let mut going = Vec::with_capacity(steps.len());
        for (index, step) in steps.iter().enumerate() {
            let leg = &passage.plan.mission.legs[step.leg];
            let current = self.current(step.middle());
            let command = super::boat::faster(leg.command.value, passage.variation.speed);
            let pause = leg.pause.as_ref().filter(|_| step.ends_leg);
            let pause = pause.map_or(0.0, |pause| pause.value.get());
            let made = match self.run.moving.get(index) {
                Some((taken, _)) => reached(step.track, step.length / taken.get(), current),
                None => commanded(step.track, command, current),
            };
            time.push(time[index] + step.length / made.over_ground + pause);
            going.push(made);
        }
        let home_speed = Command::ThroughWater(self.runs.boat.home_speed);
        self.found.time = self.longest(&time, home_speed);
        for (index, (step, made)) in steps.iter().zip(&going).enumerate() {
            let met = self.met(step.middle(), made, index, false);
            let mut on_beam = 0.0;
            // A pause does not count: a boat that holds lies head on to the waves.
            if self.note(&met) {
                on_beam = step.length / made.over_ground;
                first = first.or(Some(met));
            }
            beam.push(beam[index] + on_beam);
        }
        for (sample, on_route) in beam.into_iter().enumerate() {
            let (mut on_beam, mut first) = (0.0, first);
            for (middle, track, length) in home::steps(self.acting, sample) {
                let made = commanded(track, home_speed, self.current(middle));
                let met = self.met(middle, &made, sample, true);
                if self.note(&met) {
                    on_beam += length / made.over_ground;
                    first = first.or(Some(met));
                }
            }
            let total = Time::seconds(on_route + on_beam);
            if let Some(first) = first
                && self.found.beam.is_none_or(|held| total > held.time)
            {
                self.found.beam = Some(OnTheBeam {
                    time: total,
                    on_route: Time::seconds(on_route),
                    sample,
                    scenario: self.scenario,
                    first,
                });
            }
        }
        self.found
    }

    fn current(&self, at: Point) -> (f64, f64) {
        if self.acting.scenario.current {
            current_at(self.acting.passage, at)
        } else {
            (0.0, 0.0)
        }
    }

    /// The longest that the boat may be out: up to a sample and home from there.
    fn longest(&self, time: &[f64], home_speed: Command) -> Time {
        let longest = time.iter().enumerate().map(|(sample, out)| {
            let known = self.run.samples.get(sample);
            let home = match known.map(|sample| &sample.home) {
                Some(Ok(home)) => home.time.get(),
                _ => home::steps(self.acting, sample)
                    .map(|(at, track, length)| {
                        length / commanded(track, home_speed, self.current(at)).over_ground
                    })
                    .sum(),
            };
            out + home
        });
        Time::seconds(longest.fold(0.0, f64::max))
    }

    fn met(&self, at: Point, made: &Made, sample: usize, home: bool) -> Met {
        let heading = Towards::from_components(made.through.0, made.through.1);
        Met {
            at,
            home,
            sample,
            heading,
            speed: Speed::metres_per_second(made.through.0.hypot(made.through.1)),
            encounter: Encounter::between(heading, self.acting.scenario.from),
            sea: self.acting.sea.highest(self.acting.scenario.direction, at),
        }
    }

    /// Notes what is met, and says whether it is waves on the beam that count.
    fn note(&mut self, met: &Met) -> bool {
        let sea = met.sea;
        if !sea.has_waves() {
            return false;
        }
        let scenario = self.scenario;
        let worst = |value: f64| {
            Some(Worst {
                value,
                scenario,
                met: *met,
            })
        };
        keep(&mut self.found.significant, worst(sea.height.get()));
        let waves = self.found.time / sea.period;
        let likely = likely_highest(sea.height, waves);
        if self
            .found
            .highest
            .is_none_or(|held| likely.get() > held.value)
        {
            let highest = likely.min(self.of(sea).breaking);
            keep(&mut self.found.highest, worst(highest.get()));
        }
        if sea.height < self.counts {
            return false;
        }
        let of = self.of(sea);
        keep(&mut self.found.steepest, worst(of.steepness));
        if of.astern {
            self.note_astern(met, of.group);
        }
        if met.encounter.heels() {
            self.found.heels = true;
            if let Some(roll) = self.roll {
                let period = encounter_period(sea.period, self.depth, met.speed, met.encounter);
                let near = nearness(period.get(), roll.get());
                keep(&mut self.found.roll, worst(near.get()));
            }
        }
        met.encounter.is_abeam()
    }

    fn of(&mut self, sea: Sea) -> Of {
        let (length, depth) = (self.length, self.depth);
        let key = (sea.height.get().to_bits(), sea.period.get().to_bits());
        *self.seas.entry(key).or_insert_with(|| Of {
            breaking: breaking_height(sea.period, depth),
            steepness: steepness(sea, depth).get(),
            group: group_speed(sea.period, depth),
            astern: waves_matter_astern(length, sea, depth),
        })
    }

    fn note_astern(&mut self, met: &Met, group: Speed) {
        let Some(limit) = surf_riding_speed(self.length, met.encounter) else {
            return;
        };
        let worst = |value: f64| {
            Some(Worst {
                value,
                scenario: self.scenario,
                met: *met,
            })
        };
        keep(&mut self.found.surfing, worst(met.speed / limit));
        let near = group_nearness(group, met.speed, met.encounter);
        keep(&mut self.found.groups, worst(near.get()));
    }
}
