//! The run as the track tells it: along the route, with what was passed by when.

use super::NoDebrief;
use super::passed::{Passed, distance};
use super::power::power;
use super::sums::{Between, Mark, Sums};
use super::thresholds::{FAR, NEAR};
use crate::models::plane::Point;
use crate::models::propulsion::Command;
use crate::plan::Plan;
use crate::track::{Cleaning, Counts, OnRoute, Sample, Track, along, clean};
use crate::units::{Length, Resistance, Speed};

/// One fix of the run.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Fix {
    pub sample: Sample,
    /// Where, on the plane of the site.
    pub at: Point,
    /// Which piece of the track it belongs to.
    pub piece: usize,
    /// Where along the route.
    pub on: OnRoute,
}

/// The run.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct ActualRun {
    pub fixes: Vec<Fix>,
    /// What was taken out of the track, and where it was split.
    pub counts: Counts,
    /// Fixes that lie too far off for the plane of the site.
    pub far: usize,
    /// How it was cleaned.
    pub cleaning: Cleaning,
    /// Distance along the route at which each leg ends, m.
    pub ends: Vec<f64>,
    /// What was passed of each leg.
    pub passed: Vec<Passed>,
    /// The last fix at the launch point; `None` where the track begins on the way.
    pub begun: Option<usize>,
    /// The first fix at the recovery point at the end of it all.
    pub arrived: Option<usize>,
    /// The leg on which the run was left, and the last fix on the route.
    pub left: Option<(usize, usize)>,
    /// Distances along the route of the ends of legs at which the boat is to pause, m.
    pauses: Vec<f64>,
    /// Errors of position and track together, m.
    errors: f64,
    /// How near is at a place.
    pub near: Length,
    /// Whether voltage and current were recorded at all.
    pub powered: bool,
    sums: Sums,
}

/// Fastest that the boat can be over ground, for taking out what cannot be: twice what is asked of
/// it, and the site's strongest current on top. P.
fn fastest(plan: &Plan) -> Speed {
    let asked = plan.mission.legs.iter().map(|leg| match leg.command.value {
        Command::OverGround(speed) | Command::ThroughWater(speed) => speed,
    });
    let home = plan.mission.return_leg.speed.value;
    let asked = asked.fold(home, Speed::max);
    let drift = plan.site.currents.iter().map(|one| one.drift.value);
    asked * 2.0 + drift.fold(Speed::ZERO, Speed::max)
}

impl ActualRun {
    /// Cleans a track and lays it along the route.
    pub(super) fn from_track(plan: &Plan, track: &Track) -> Result<Self, NoDebrief> {
        let plane = &plan.site.plane;
        let navigation = &plan.vessel.navigation;
        let errors = navigation.position_error.value + navigation.cross_track_error.value;
        let within = |sample: &Sample| plane.within_limit(sample.position).is_ok();
        let kept: Vec<Sample> = track
            .samples
            .iter()
            .filter(|one| within(one))
            .copied()
            .collect();
        if track.samples.is_empty() {
            return Err(NoDebrief::NoFix);
        }
        if kept.is_empty() {
            return Err(off(plan, track));
        }
        let far = track.samples.len() - kept.len();
        let mut cleaning = Cleaning::for_top_speed(fastest(plan)).at_rate_of(&kept);
        cleaning.error = cleaning.error.max(navigation.position_error.value * 2.0);
        let cleaned = clean(
            &Track {
                samples: kept,
                without_fix: track.without_fix,
                cut_off: track.cut_off,
            },
            &cleaning,
        );
        let legs: Vec<(Point, Point)> = plan
            .mission
            .legs
            .iter()
            .map(|leg| (leg.from, leg.to))
            .collect();
        let mut fixes = Vec::new();
        for (piece, samples) in cleaned.pieces.iter().enumerate() {
            fixes.extend(
                samples
                    .iter()
                    .map(|sample| (piece, *sample, plane.to_plane(sample.position))),
            );
        }
        if fixes.is_empty() {
            return Err(NoDebrief::Nothing);
        }
        let points: Vec<Point> = fixes.iter().map(|(_, _, at)| *at).collect();
        let matched = along(&legs, &points).map_err(NoDebrief::NoMatch)?;
        let so_far: Vec<f64> = matched.so_far.iter().map(|so_far| so_far.get()).collect();
        let fixes: Vec<Fix> = fixes
            .into_iter()
            .zip(matched.samples)
            .map(|((piece, sample, at), on)| Fix {
                sample,
                at,
                piece,
                on,
            })
            .collect();
        let mut ends = Vec::new();
        let mut end = 0.0;
        for leg in &plan.mission.legs {
            end += leg.length();
            ends.push(end);
        }
        let mut actual = Self {
            counts: cleaned.counts,
            far,
            cleaning,
            passed: Vec::new(),
            begun: None,
            arrived: None,
            left: None,
            pauses: Vec::new(),
            errors: errors.get(),
            near: errors.max(Length::metres(NEAR)),
            powered: fixes
                .iter()
                .any(|fix| power(&fix.sample, Resistance::ZERO).is_some()),
            sums: Sums::default(),
            ends,
            fixes,
        };
        if !actual
            .fixes
            .iter()
            .any(|fix| distance(plan, fix.on.leg, fix.at) < FAR)
        {
            return Err(off(plan, track));
        }
        let resistance = plan.vessel.battery.resistance.value;
        actual.sums = Sums::from_fixes(&actual.fixes, &actual.cleaning, resistance);
        let ends = plan.mission.legs.iter().zip(&actual.ends);
        let pauses = ends.filter(|(leg, _)| leg.pause.is_some());
        actual.pauses = pauses.map(|(_, end)| *end).collect();
        actual.passed = actual.pass(plan);
        if actual.unfinished() && !actual.came_before(plan, &legs, &so_far)? {
            actual.leave(plan, &legs, &so_far)?;
        }
        actual.begun = actual.launch(plan);
        actual.arrived = actual.arrival(plan);
        Ok(actual)
    }

    /// Length of the route, m.
    pub(super) fn length(&self) -> f64 {
        self.ends.last().copied().unwrap_or(0.0)
    }

    /// Distance along the route at which a leg begins, m.
    pub(super) fn begins(&self, leg: usize) -> f64 {
        leg.checked_sub(1)
            .and_then(|before| self.ends.get(before))
            .copied()
            .unwrap_or(0.0)
    }

    /// The first fix of the run.
    pub(super) fn first(&self) -> usize {
        self.begun.unwrap_or(0)
    }

    /// The last fix of the run.
    pub(super) fn last(&self) -> usize {
        self.arrived.unwrap_or(self.fixes.len() - 1)
    }

    /// The last fix that is on the route: where it was left, or where it ended.
    pub(super) fn last_on_route(&self) -> usize {
        self.left.map_or(self.last(), |(_, index)| index)
    }

    /// The moment at which the boat passes a distance along the route; `None` where it never does.
    pub(super) fn passing(&self, distance: f64) -> Option<Mark> {
        let (first, last) = (self.first(), self.last_on_route());
        if distance <= 0.0 {
            return self.begun.map(Mark::at);
        }
        if distance >= self.length() - 1e-6 {
            return self.arrived.filter(|_| self.left.is_none()).map(Mark::at);
        }
        let run = self.fixes.get(first..=last)?;
        if self.pauses.iter().any(|end| (end - distance).abs() < 0.5)
            && let Some(index) = self.holding(distance, (first, last))
        {
            return Some(Mark::at(index));
        }
        let next = first + run.partition_point(|fix| fix.on.along.get() <= distance);
        if next > last || next == first {
            return None;
        }
        let (a, b) = (
            self.fixes[next - 1].on.along.get(),
            self.fixes[next].on.along.get(),
        );
        Some(Mark {
            index: next - 1,
            share: (distance - a) / (b - a),
        })
    }

    /// The last fix of a boat that holds where it is to pause: the first one that is found is gone on
    /// from as long as the next is no farther off than the errors.
    fn holding(&self, distance: f64, (first, last): (usize, usize)) -> Option<usize> {
        let near =
            |index: &usize| (self.fixes[*index].on.along.get() - distance).abs() <= self.errors;
        let at = (first..=last).find(near)?;
        (at..=last).take_while(near).last()
    }

    /// Time from one fix to another, s; a step over which the clock was set has none.
    pub(super) fn seconds(&self, from: usize, to: usize) -> f64 {
        self.between(Mark::at(from), Mark::at(to)).time
    }

    /// Whether the clock was set somewhere in the track.
    pub(super) fn clock_was_set(&self) -> bool {
        let ends = self.fixes.len().saturating_sub(1);
        self.between(Mark::at(0), Mark::at(ends)).broken
    }

    /// What lies between two moments.
    pub(super) fn between(&self, from: Mark, to: Mark) -> Between {
        self.sums.between(from, to)
    }

    /// The last fix at the launch point before the boat is under way.
    fn launch(&self, plan: &Plan) -> Option<usize> {
        let (at, near) = (plan.mission.launch.at.value, self.near.get());
        let under_way = self
            .fixes
            .iter()
            .position(|fix| fix.on.along.get() > near && fix.at.distance(at) > near);
        let before = &self.fixes[..under_way.unwrap_or(self.fixes.len())];
        before.iter().rposition(|fix| fix.at.distance(at) <= near)
    }

    /// The first fix at the recovery point once the route is behind, or was left.
    fn arrival(&self, plan: &Plan) -> Option<usize> {
        let (at, near) = (plan.mission.recovery.at.value, self.near.get());
        let after = self.left.map_or(0, |(_, index)| index);
        let long_enough =
            |fix: &Fix| self.left.is_some() || fix.on.along.get() >= self.length() - near;
        let found = self.fixes[after..]
            .iter()
            .position(|fix| long_enough(fix) && fix.at.distance(at) <= near);
        // Of the fixes at the point, the nearest one of the first that go on without leaving it.
        let first = after + found?;
        let stay = self.fixes[first..]
            .iter()
            .take_while(|fix| fix.at.distance(at) <= near);
        let nearest = stay
            .enumerate()
            .min_by(|(_, a), (_, b)| a.at.distance(at).total_cmp(&b.at.distance(at)));
        Some(first + nearest.map_or(0, |(index, _)| index))
    }
}

/// Why a track that lies somewhere else is none of this mission; it may be its mirror image.
fn off(plan: &Plan, track: &Track) -> NoDebrief {
    let swapped = |sample: &Sample| {
        let (latitude, longitude) = (sample.position.latitude, sample.position.longitude);
        let exchanged = crate::models::geodesy::Position {
            latitude: longitude,
            longitude: latitude,
        };
        longitude.to_degrees().abs() <= 90.0 && plan.site.plane.within_limit(exchanged).is_ok()
    };
    if track.samples.iter().all(swapped) {
        NoDebrief::Swapped
    } else {
        NoDebrief::Elsewhere
    }
}
