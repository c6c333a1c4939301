//! The parts of a run beside those of the plan: each leg, the whole, and the return leg.

use super::actual::ActualRun;
use super::fix::Fix;
use super::part::{Beside, CrossTrack, Lack, Part, What};
use super::planned::{Band, Planned};
use super::sums::{Between, Mark};
use super::thresholds::UNSEEN;
use crate::models::track::turn_overrun;
use crate::plan::Plan;
use crate::source::Span;
use crate::units::{Energy, Length, Ratio, Speed, Time};

/// What parts are made of.
pub(super) struct Making<'a> {
    pub plan: &'a Plan,
    pub actual: &'a ActualRun,
    pub planned: Option<&'a Planned<'a>>,
    pub fix: &'a dyn Fn(usize) -> Span,
    /// Why no power is known, where none is.
    pub no_power: &'a str,
}

impl Making<'_> {
    /// Every leg.
    pub(super) fn legs(&self) -> Vec<Part> {
        (0..self.plan.mission.legs.len())
            .map(|leg| self.leg(leg))
            .collect()
    }

    fn leg(&self, index: usize) -> Part {
        let (leg, actual) = (&self.plan.mission.legs[index], self.actual);
        let passed = actual.passed[index];
        // A leg that was left within its last turn was run as far as that.
        let left_at = actual
            .left
            .filter(|(left, _)| *left == index && passed.run());
        let end = left_at.map(|(_, fix)| actual.fixes[fix].on.along.get());
        let (from, to) = (actual.begins(index), end.unwrap_or(actual.ends[index]));
        let mut part = self.stretch(What::Leg(index), &leg.name, leg.span, (from, to));
        let on = |fix: &Fix| fix.on.leg == index;
        part.cross = self.cross(on);
        let after = actual.left.is_some_and(|(left, _)| index >= left) && left_at.is_none();
        if !passed.run() || after {
            let share = Ratio::fraction(passed.seen / passed.length.max(1e-9));
            let why = if passed.seen <= 0.0
                || (after && actual.left.is_some_and(|(left, _)| index > left))
            {
                "it was not run".to_owned()
            } else {
                format!("{share} of it was run")
            };
            part.lacks(Lack::LeftOut(why));
        } else if passed.unseen > UNSEEN * passed.length {
            let share = Ratio::fraction(passed.unseen / passed.length);
            part.unknown(&format!("there is no fix on {share} of it"));
        }
        part
    }

    /// The run as a whole, up to where it was left.
    pub(super) fn whole(&self) -> Part {
        let actual = self.actual;
        let span = self.plan.mission.route_span;
        let to = match actual.left {
            None => actual.length(),
            Some((_, index)) => actual.fixes[index].on.along.get(),
        };
        let name = match actual.left {
            None => "the whole run",
            Some(_) => "the run up to where it was left",
        };
        let mut part = self.stretch(What::Whole, name, span, (0.0, to));
        part.cross = self.cross(|_| true);
        let out = actual.passed.iter().filter(|passed| !passed.run()).count();
        if actual.left.is_none() && out > 0 {
            part.unknown("legs of it were left out");
        }
        part
    }

    /// The return leg: from the turnaround along the route, or from where the run was left.
    pub(super) fn return_leg(&self, turnaround: f64) -> Part {
        let actual = self.actual;
        let Some((leg, index)) = actual.left else {
            let span = self.plan.mission.recovery.at.span();
            let name = "the return leg from the turnaround";
            let mut part = self.stretch(What::ReturnLeg, name, span, (turnaround, actual.length()));
            part.cross = self.cross(|fix| fix.on.along.get() >= turnaround);
            let behind = actual
                .passed
                .iter()
                .enumerate()
                .filter(|(leg, _)| actual.ends[*leg] > turnaround);
            if behind.filter(|(_, passed)| !passed.run()).count() > 0 {
                part.unknown("legs of it were left out");
            }
            return part;
        };
        let span = self.plan.mission.legs[leg].span;
        let planned = self
            .planned
            .and_then(|plan| plan.home(actual.fixes[index].on.along.get()));
        let ends = actual.arrived.map(Mark::at);
        let name = "the return leg from where the run was left";
        let mut part = self.part(
            What::BrokenOff,
            name,
            span,
            planned,
            Some(Mark::at(index)),
            ends,
        );
        if actual.arrived.is_none() {
            part.unknown("the track does not come to the recovery point");
        }
        part
    }

    fn stretch(&self, what: What, name: &str, line: Span, (from, to): (f64, f64)) -> Part {
        let planned = self.planned.and_then(|plan| plan.between(from, to));
        let actual = self.actual;
        let left = actual.left.map(|(_, index)| index);
        let left = left.filter(|index| to >= actual.fixes[*index].on.along.get() - 1e-6);
        let ends = match (what, left) {
            (What::Whole | What::Leg(_), Some(index)) => Some(Mark::at(index)),
            _ => actual.passing(to),
        };
        let mut part = self.part(what, name, line, planned, actual.passing(from), ends);
        part.length = Length::metres(to - from);
        part
    }

    fn part(
        &self,
        what: What,
        name: &str,
        line: Span,
        planned: Option<super::planned::Stretch>,
        begins: Option<Mark>,
        ends: Option<Mark>,
    ) -> Part {
        let between = begins
            .zip(ends)
            .map(|(from, to)| self.actual.between(from, to));
        let length = planned.map_or(Length::ZERO, |one| one.length);
        // Off the route the boat's own path is its length.
        let made = match what {
            What::BrokenOff => between.map(|one| one.path),
            _ => planned.map(|one| one.length.get()),
        };
        let speed = |time: Time| length / time;
        let mut part = Part {
            what,
            name: name.to_owned(),
            line,
            fix: begins.map(|mark| (self.fix)(mark.index)),
            begun: begins
                .and_then(|mark| self.actual.fixes.get(mark.index))
                .map(|fix| fix.sample.time),
            length,
            path: between.map(|one| Length::metres(one.path)),
            time: Beside {
                planned: planned.map(|one| one.time),
                actual: between.map(|one| Time::seconds(one.time)),
            },
            speed: Beside {
                planned: planned.map(|one| Band {
                    planned: speed(one.time.planned),
                    least: one.time.most.map_or(Speed::ZERO, speed),
                    most: Some(speed(one.time.least)),
                }),
                actual: between
                    .zip(made)
                    .filter(|(one, _)| one.time > 0.0)
                    .map(|(one, made)| Speed::metres_per_second(made / one.time)),
            },
            energy: Beside {
                planned: planned.map(|one| one.energy),
                actual: between.map(|one| Energy::joules(one.energy)),
            },
            energy_at_most: between.map(|one| Energy::joules(one.energy_at_most)),
            unlogged: between.map(|one| Time::seconds(one.unlogged)),
            given: between.map(|one| Energy::joules(one.delivered)),
            cross: None,
            not_judged: None,
            no_energy: None,
        };
        self.doubt(&mut part, between);
        part
    }

    /// What the track does not tell of a part.
    fn doubt(&self, part: &mut Part, between: Option<Between>) {
        let Some(between) = between else {
            let actual = self.actual;
            let why = match (actual.begun, actual.arrived) {
                (None, _) if part.what != What::BrokenOff => {
                    "the track begins after the launch point"
                }
                (_, None) => "the track ends before the recovery point",
                _ => "the track does not show when the run began and ended",
            };
            part.unknown(why);
            return;
        };
        if between.broken {
            part.unknown("the clock was set on the way");
        } else if between.unseen > UNSEEN * between.time {
            let share = Ratio::fraction(between.unseen / between.time);
            part.unknown(&format!("there is no fix for {share} of its time"));
        } else if !self.actual.powered {
            part.set_no_energy(self.no_power);
        } else if between.unlogged > UNSEEN * between.time {
            let share = Ratio::fraction(between.unlogged / between.time);
            part.set_no_energy(&format!(
                "voltage and current are missing for {share} of its time"
            ));
        }
    }

    /// Cross-track distances, of fixes away from the turns; of a boat that turns, one leg's is
    /// another leg's way.
    fn cross(&self, counts: impl Fn(&Fix) -> bool) -> Option<CrossTrack> {
        let actual = self.actual;
        let (first, last) = (actual.first(), actual.last_on_route());
        let mut off: Vec<(f64, usize)> = (first..=last)
            .filter(|index| {
                actual
                    .fixes
                    .get(*index)
                    .is_some_and(|fix| counts(fix) && self.straight(fix))
            })
            .map(|index| (actual.fixes[index].on.cross.get().abs(), index))
            .collect();
        off.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (greatest, worst) = *off.last()?;
        // The nearest rank: the least value that 95 % are not above.
        let rank = (off.len() * 95).div_ceil(100).max(1);
        Some(CrossTrack {
            most: Length::metres(off[rank - 1].0),
            greatest: Length::metres(greatest),
            worst,
            count: off.len(),
        })
    }

    /// Whether a fix lies away from the turns at its leg's ends.
    fn straight(&self, fix: &Fix) -> bool {
        let (plan, index) = (self.plan, fix.on.leg);
        let navigation = &plan.vessel.navigation;
        let legs = &plan.mission.legs;
        let Some(leg) = legs.get(index) else {
            return false;
        };
        let turn = |a: Option<usize>, b: usize| match (a.and_then(|a| legs.get(a)), legs.get(b)) {
            (Some(a), Some(b)) => {
                let turned = a.from.bearing_to(a.to).turn_to(b.from.bearing_to(b.to));
                let (delay, radius) = (navigation.delay.value, navigation.turning_radius.value);
                turn_overrun(leg.speed(), delay, radius, turned).get() + radius.get()
            }
            _ => 0.0,
        };
        let along = fix.on.along.get();
        along - self.actual.begins(index) >= turn(index.checked_sub(1), index)
            && self.actual.ends[index] - along >= turn(Some(index), index + 1)
    }
}
