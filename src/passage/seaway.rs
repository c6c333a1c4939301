//! The boat among the waves: what it meets at every step of the route and of the return legs, each
//! kind of trouble at its worst.
//!
//! Only the height counts everywhere. Whatever else is told counts in full in waves of at least the
//! height that a hull is taken to bear untried, and in part from half of that
//! ([`counts`](crate::models::stability::counts)), so that nothing jumps as the wind rises. Height,
//! periods and direction are those of the highest of the lattice's nodes around a place.

use std::cell::OnceCell;

use rayon::prelude::*;

use super::acting::Acting;
use super::made::{Made, commanded, reached};
use super::places::Number;
use super::run::Run;
use super::scenario::Scenarios;
use super::sea::SeaField;
use super::{Passage, Runs, Waves};
use crate::models::plane::Point;
use crate::models::propulsion::Command;
use crate::models::stability::{
    Encounter, breaking_height, counts, counts_astern, group_nearness, group_speed, roll_nearness,
    steepness, surf_riding_speed,
};
use crate::models::waves::{EXCEEDANCE, Sea, highest_exceeded, wavelength};
use crate::plan::vessel::Roll;
use crate::units::{FromDirection, Length, Speed, Time, Towards};

/// A step of the route or of a return leg, and the waves that the boat meets there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Met {
    /// Where.
    pub at: Point,
    /// Whether it is on a return leg.
    pub home: bool,
    /// Sample that the return leg begins at, or that the step leads from.
    pub sample: usize,
    /// Heading.
    pub heading: Towards,
    /// Speed through the water.
    pub speed: Speed,
    /// Angle to where the waves come from.
    pub encounter: Encounter,
    /// Where the waves come from.
    pub from: FromDirection,
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
    /// On the route up to a sample and on the return leg from there.
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
    /// Height of the highest wave of the run, m, that one run in ten exceeds.
    pub highest: Option<Worst>,
    /// Steepness of the sea, height over length, as far as it counts.
    pub steepest: Option<Worst>,
    /// Nearness of the period of encounter to that of roll, as far as the waves count; of a hull
    /// whose roll is not known, as if it were in step.
    pub roll: Option<Worst>,
    /// Speed over the speed above which waves carry the boat along, as far as they count.
    pub surfing: Option<Worst>,
    /// Nearness of the speed to that of groups of waves, as far as they count.
    pub groups: Option<Worst>,
    /// Time with waves on the beam, as far as they count.
    pub beam: Option<OnTheBeam>,
    /// Whether any wave counts in full that asks for the roll period.
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

/// Values no farther apart are the same.
const SAME: f64 = 1e-12;

/// Whether a value is worse than what is held.
fn worse(held: Option<Worst>, value: f64) -> bool {
    held.is_none_or(|held| value > held.value + SAME)
}

/// Keeps the greater; of equal ones the first.
fn keep(slot: &mut Option<Worst>, other: Option<Worst>) {
    if let Some(other) = other
        && worse(*slot, other.value)
    {
        *slot = Some(other);
    }
}

/// What is met under every scenario; `None` where there is no sea, the water being too wide.
pub(super) fn all(passage: &Passage<'_>, runs: &Runs) -> Option<Seaway> {
    let sea = runs.sea.as_ref()?;
    let roll = roll_period(passage);
    let scenarios = runs.scenarios.all.par_iter().zip(&runs.runs).enumerate();
    // What is no worse than before counts for nothing, so that the same is looked at once.
    let each: Vec<Seaway> = scenarios
        .filter(|(index, _)| runs.same_without_current(*index).is_none())
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

/// The significant height of [`Seaway`], for whoever wants no more: it follows from the places alone.
pub(super) fn highest(passage: &Passage<'_>, scenarios: &Scenarios, sea: &SeaField) -> Option<f64> {
    let places = sea.in_order(|places| places.in_order(passage));
    let of = |scenario| {
        let acting = Acting {
            passage,
            scenario,
            sea,
        };
        let heights = places.iter().map(move |place| acting.waves(*place).sea);
        let heights = heights.filter(|sea| sea.has_waves());
        let heights = heights.map(|sea| sea.height.get());
        heights.fold(None, greater)
    };
    scenarios.all.iter().filter_map(of).fold(None, greater)
}

/// The greater of two values, the first of those that are the same but for rounding.
fn greater(held: Option<f64>, value: f64) -> Option<f64> {
    match held {
        Some(held) if value <= held + SAME => Some(held),
        _ => Some(value),
    }
}

/// The natural period of roll, where it is known.
#[must_use]
pub(crate) fn roll_period(passage: &Passage<'_>) -> Option<Time> {
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

/// Periods between the shortest and the longest that rolling is looked at for.
const PERIODS: usize = 9;

/// What follows from the sea of a place, which many steps share; what few of them ask for only where it is.
struct Of {
    waves: Waves,
    depth: Length,
    /// Height of the highest wave of the run, where waves break later.
    highest: Length,
    /// How far it counts by its height.
    counts: f64,
    steepness: OnceCell<f64>,
    astern: OnceCell<Astern>,
    /// Periods and lengths, from the shortest to the longest.
    lengths: OnceCell<[(Time, Length); PERIODS]>,
}

/// What waves from astern are held against.
struct Astern {
    /// How far they count by their length.
    counts: f64,
    /// The speeds of their groups, of the shortest and the longest.
    groups: (Speed, Speed),
}

impl Of {
    fn breaking(&self) -> Length {
        breaking_height(self.waves.sea.longest, self.depth)
    }

    fn steepness(&self) -> f64 {
        let steepness = || steepness(self.waves.sea, self.depth).get();
        *self.steepness.get_or_init(steepness)
    }

    fn astern(&self, length: Length) -> &Astern {
        self.astern.get_or_init(|| {
            let (sea, depth) = (self.waves.sea, self.depth);
            Astern {
                counts: counts_astern(wavelength(sea.longest, depth), length),
                groups: (
                    group_speed(sea.shortest, depth),
                    group_speed(sea.longest, depth),
                ),
            }
        })
    }

    fn lengths(&self) -> &[(Time, Length)] {
        self.lengths.get_or_init(|| {
            let sea = self.waves.sea;
            let step = (sea.longest / sea.shortest).powf(1.0 / (PERIODS - 1) as f64);
            let mut period = sea.shortest;
            std::array::from_fn(|_| {
                let wave = (period, wavelength(period, self.depth));
                period = period * step;
                wave
            })
        })
    }

    fn met(&self, at: Point, made: &Made, sample: usize, home: bool) -> Met {
        let heading = Towards::from_components(made.through.0, made.through.1);
        let Waves { sea, from } = self.waves;
        Met {
            at,
            home,
            sample,
            heading,
            speed: Speed::metres_per_second(made.through.0.hypot(made.through.1)),
            encounter: Encounter::between(heading, from),
            from,
            sea,
        }
    }
}

/// The seas of every place under one scenario, each worked out once.
struct Seas<'a> {
    acting: &'a Acting<'a>,
    length: Length,
    depth: Length,
    time: Time,
    each: Vec<OnceCell<Of>>,
}

impl<'a> Seas<'a> {
    /// For a hull of a length overall, and a time under way that the highest wave is the highest of.
    fn new(acting: &'a Acting<'a>, length: Length, time: Time) -> Self {
        let (depth, count) = (acting.sea.water().depth, acting.places().count());
        Self {
            acting,
            length,
            depth: depth.unwrap_or(Length::metres(f64::INFINITY)),
            time,
            each: std::iter::repeat_with(OnceCell::new).take(count).collect(),
        }
    }

    fn at(&self, place: Number) -> &Of {
        self.each[place as usize].get_or_init(|| {
            let waves = self.acting.waves(place);
            let sea = waves.sea;
            Of {
                waves,
                depth: self.depth,
                highest: highest_exceeded(sea.height, self.time / sea.shortest, EXCEEDANCE),
                counts: counts(sea.height, self.length),
                steepness: OnceCell::new(),
                astern: OnceCell::new(),
                lengths: OnceCell::new(),
            }
        })
    }
}

/// One scenario being looked at.
struct Watch<'a> {
    acting: &'a Acting<'a>,
    runs: &'a Runs,
    run: &'a Run,
    scenario: usize,
    roll: Option<Time>,
    length: Length,
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

    fn look(mut self) -> Seaway {
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
