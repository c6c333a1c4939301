//! One scenario, step by step: what the boat meets on the route and the return legs.

use super::met::{Met, OnTheBeam, Seaway, Worst, keep, worse};
use super::seas::{Of, Seas};
use crate::models::propulsion::Command;
use crate::models::stability::{group_nearness, roll_nearness, surf_riding_speed};
use crate::passage::Runs;
use crate::passage::acting::Acting;
use crate::passage::made::{commanded, reached};
use crate::passage::places::Number;
use crate::passage::run::Run;
use crate::units::{Length, Time};

/// One scenario being looked at.
pub(super) struct Watch<'a> {
    acting: &'a Acting<'a>,
    runs: &'a Runs,
    run: &'a Run,
    scenario: usize,
    roll: Option<Time>,
    length: Length,
    found: Seaway,
}

impl<'a> Watch<'a> {
    pub(super) fn new(
        acting: &'a Acting<'a>,
        runs: &'a Runs,
        run: &'a Run,
        scenario: usize,
        roll: Option<Time>,
    ) -> Self {
        Self {
            acting,
            runs,
            run,
            scenario,
            roll,
            length: acting.passage.plan.vessel.hull.length_overall.value,
            found: Seaway::default(),
        }
    }

    pub(super) fn look(mut self) -> Seaway {
        let (passage, places) = (self.acting.passage, self.acting.places());
        let steps = &passage.track.steps;
        // Time on the beam up to each sample.
        let mut beam = vec![0.0];
        let mut time = vec![0.0];
        let mut first: Option<Met> = None;
        // The time is wanted before the waves, since the highest wave depends on it.
        let mut going = Vec::with_capacity(steps.len());
        for (index, step) in steps.iter().enumerate() {
            let leg = &passage.plan.mission.legs[step.leg];
            let current = self.current(places.of_step(index));
            let command = crate::passage::boat::faster(leg.command.value, passage.variation.speed);
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
        let seas = Seas::new(self.acting, self.length, self.found.time);
        for (index, (step, made)) in steps.iter().zip(&going).enumerate() {
            let of = seas.at(places.of_step(index));
            let met = || of.met(step.middle(), made, index, false);
            // A pause does not count: a boat that holds lies head on to the waves.
            let share = self.note(of, &met);
            let on_beam = share * step.length / made.over_ground;
            if share > 0.0 {
                first = first.or_else(|| Some(met()));
            }
            beam.push(beam[index] + on_beam);
        }
        let acting = self.acting;
        // Time on the beam of each step that several return legs share; noted again it changes nothing.
        let mut shared: Vec<Option<f64>> = vec![None; places.count_shared()];
        for (sample, on_route) in beam.into_iter().enumerate() {
            let (mut on_beam, mut first) = (0.0, first);
            for step in places.home(passage, sample) {
                let slot = step.shared.and_then(|number| shared.get_mut(number));
                let known = slot.as_ref().and_then(|slot| **slot);
                if known.is_some_and(|time| time <= 0.0) {
                    continue;
                }
                let made = || commanded(step.track, home_speed, acting.at_place(step.place).1);
                let time = known.unwrap_or_else(|| {
                    let (made, of) = (made(), seas.at(step.place));
                    let met = || of.met(step.middle(passage), &made, sample, true);
                    let share = self.note(of, &met);
                    if share > 0.0 {
                        share * step.length / made.over_ground
                    } else {
                        0.0
                    }
                });
                if let Some(slot) = slot {
                    *slot = Some(time);
                }
                if time > 0.0 {
                    on_beam += time;
                    first = first.or_else(|| {
                        let of = seas.at(step.place);
                        Some(of.met(step.middle(passage), &made(), sample, true))
                    });
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

    fn current(&self, place: Number) -> (f64, f64) {
        self.acting.at_place(place).1
    }

    /// The longest that the boat may be out: up to a sample and home from there.
    fn longest(&self, time: &[f64], home_speed: Command) -> Time {
        let longest = time.iter().enumerate().map(|(sample, out)| {
            let known = self.run.samples.get(sample);
            let home = match known.map(|sample| &sample.home) {
                Some(Ok(home)) => home.time.get(),
                _ => {
                    let steps = self.acting.places().home(self.acting.passage, sample);
                    steps
                        .map(|step| {
                            let current = self.current(step.place);
                            step.length / commanded(step.track, home_speed, current).over_ground
                        })
                        .sum()
                }
            };
            out + home
        });
        Time::seconds(longest.fold(0.0, f64::max))
    }

    /// Notes what is met at a place, and says how far it is waves on the beam that count, 0 to 1. Where
    /// nothing is worse than before, it is not worked out what is met.
    fn note(&mut self, of: &Of, met: &dyn Fn() -> Met) -> f64 {
        if !of.waves.sea.has_waves() {
            return 0.0;
        }
        let height = of.waves.sea.height.get();
        let higher = worse(self.found.significant, height);
        let exceeded = self
            .found
            .highest
            .is_none_or(|held| of.highest.get() > held.value);
        if of.counts <= 0.0 && !higher && !exceeded {
            return 0.0;
        }
        let (met, scenario) = (met(), self.scenario);
        let worst = |value: f64| {
            Some(Worst {
                value,
                scenario,
                met,
            })
        };
        keep(&mut self.found.significant, worst(height));
        if exceeded {
            let highest = of.highest.min(of.breaking());
            keep(&mut self.found.highest, worst(highest.get()));
        }
        if of.counts <= 0.0 {
            return 0.0;
        }
        keep(&mut self.found.steepest, worst(of.steepness() * of.counts));
        self.note_astern(&met, of);
        let heels = of.counts * met.encounter.heels();
        if heels > 0.0 {
            self.found.heels |= heels >= 1.0;
            // Being in step is the worst there is.
            if worse(self.found.roll, heels) {
                let near = self.roll.map_or(1.0, |roll| {
                    roll_nearness(of.lengths(), met.speed, met.encounter, roll).get()
                });
                keep(&mut self.found.roll, worst(near * heels));
            }
        }
        of.counts * met.encounter.abeam()
    }

    fn note_astern(&mut self, met: &Met, of: &Of) {
        let Some(limit) = surf_riding_speed(self.length, met.encounter) else {
            return;
        };
        let astern = of.astern(self.length);
        let share = of.counts * astern.counts * met.encounter.astern();
        if share <= 0.0 {
            return;
        }
        let worst = |value: f64| {
            Some(Worst {
                value,
                scenario: self.scenario,
                met: *met,
            })
        };
        keep(&mut self.found.surfing, worst(met.speed / limit * share));
        let near = group_nearness(astern.groups, met.speed, met.encounter);
        keep(&mut self.found.groups, worst(near.get() * share));
    }
}
