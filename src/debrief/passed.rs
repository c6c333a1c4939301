//! What was passed of each leg, and where the route was left.

use super::NoDebrief;
use super::actual::{ActualRun, Passed};
use super::thresholds::{ALONG_LEAST, ALONG_TIMES, MISSING, MISSING_LENGTH};
use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::models::track::turn_overrun;
use crate::plan::Plan;
use crate::track::along;

/// Stays at the recovery point that are looked at for the end of the run.
const STAYS: usize = 8;

impl ActualRun {
    /// What was passed of each leg: steps along it, as far as the boat could make them in their time
    /// and near enough to it.
    pub(super) fn pass(&self, plan: &Plan) -> Vec<Passed> {
        let navigation = &plan.vessel.navigation;
        let beside = beside(plan);
        let legs = &plan.mission.legs;
        let mut passed: Vec<Passed> = Vec::new();
        for (index, leg) in legs.iter().enumerate() {
            let turn = |a: usize, b: usize| match (legs.get(a), legs.get(b)) {
                (Some(a), Some(b)) => turn_overrun(
                    leg.speed(),
                    navigation.delay.value,
                    navigation.turning_radius.value,
                    a.from.bearing_to(a.to).turn_to(b.from.bearing_to(b.to)),
                )
                .get(),
                _ => 0.0,
            };
            let turns = index
                .checked_sub(1)
                .map_or(0.0, |before| turn(before, index))
                + turn(index, index + 1);
            passed.push(Passed {
                length: leg.length(),
                may_miss: (MISSING * leg.length())
                    .max((MISSING_LENGTH + turns).min(0.5 * leg.length())),
                ..Passed::default()
            });
        }
        for pair in self.fixes.windows(2) {
            let (a, b) = (pair[0].on.along.get(), pair[1].on.along.get());
            if b - a <= 0.0 {
                continue;
            }
            let seconds = pair[1]
                .sample
                .time
                .duration_since(pair[0].sample.time)
                .as_secs_f64();
            let reach =
                self.cleaning.fastest.get() * seconds.max(0.0) + 2.0 * self.cleaning.error.get();
            let near = pair
                .iter()
                .all(|fix| distance(plan, fix.on.leg, fix.at) <= beside);
            if b - a > reach || !near {
                continue;
            }
            let seen = pair[0].piece == pair[1].piece;
            for (leg, passed) in passed
                .iter_mut()
                .enumerate()
                .take(pair[1].on.leg + 1)
                .skip(pair[0].on.leg)
            {
                let (from, to) = (a.max(self.begins(leg)), b.min(self.ends[leg]));
                let part = (to - from).max(0.0);
                if seen {
                    passed.seen += part;
                } else {
                    passed.unseen += part;
                }
            }
        }
        passed
    }

    /// Whether the run was left: from some leg that was not run on, less than half of what then
    /// remains of the route was.
    pub(super) fn unfinished(&self) -> bool {
        let first = self.passed.iter().position(|passed| !passed.run());
        let Some(rest) = first.and_then(|leg| self.passed.get(leg + 1..)) else {
            return false;
        };
        let length: f64 = rest.iter().map(|one| one.length).sum();
        let run = rest.iter().filter(|one| one.run());
        let run: f64 = run.map(|one| one.length).sum();
        run <= 0.0 || run < 0.5 * length
    }

    /// Finds where the run was left, going along the route step by step as far as the boat can have
    /// gone, and lays the track along it up to there. What comes after has no place on the route.
    pub(super) fn leave(
        &mut self,
        plan: &Plan,
        legs: &[(Point, Point)],
        so_far: &[f64],
    ) -> Result<(), NoDebrief> {
        let beside = beside(plan);
        let error = 2.0 * self.cleaning.error.get();
        let (mut reached, mut index) = (0.0, 0);
        for (number, (fix, along)) in self.fixes.iter().zip(so_far).enumerate() {
            let seconds = fix
                .sample
                .time
                .duration_since(self.fixes[index].sample.time);
            let reach = self.cleaning.fastest.get() * seconds.as_secs_f64().max(0.0) + error;
            let leg = self.ends.partition_point(|end| end < along);
            if *along > reached && along - reached <= reach && distance(plan, leg, fix.at) <= beside
            {
                (reached, index) = (*along, number);
            }
        }
        let leg = self.lay(plan, legs, index)?;
        self.left = Some((leg, index));
        Ok(())
    }

    /// Lays the track along the route up to a fix, and tells the leg that it is on.
    fn lay(
        &mut self,
        plan: &Plan,
        legs: &[(Point, Point)],
        index: usize,
    ) -> Result<usize, NoDebrief> {
        let points: Vec<Point> = self.fixes[..=index].iter().map(|fix| fix.at).collect();
        let matched = along(legs, &points).map_err(NoDebrief::NoMatch)?;
        let last = matched.samples.last().copied().ok_or(NoDebrief::Nothing)?;
        let on = matched.samples.into_iter().chain(std::iter::repeat(last));
        for (fix, on) in self.fixes.iter_mut().zip(on) {
            fix.on = on;
        }
        self.passed = self.pass(plan);
        Ok(last.leg)
    }

    /// Whether the boat had run the route and come to the recovery point before it, or its recorder,
    /// went on elsewhere. The track is then laid along the route up to there.
    pub(super) fn came_before(
        &mut self,
        plan: &Plan,
        legs: &[(Point, Point)],
        so_far: &[f64],
    ) -> Result<bool, NoDebrief> {
        let (at, near) = (plan.mission.recovery.at.value, self.near.get());
        let due = self.length() - near;
        let there: Vec<bool> = self
            .fixes
            .iter()
            .zip(so_far)
            .map(|(fix, so_far)| fix.at.distance(at) <= near && *so_far >= due)
            .collect();
        // The last fix of every stay there.
        let leaves = |index: &usize| there[*index] && there.get(index + 1).is_none_or(|next| !next);
        let stays: Vec<usize> = (0..there.len()).filter(leaves).take(STAYS).collect();
        for index in stays {
            self.lay(plan, legs, index)?;
            if !self.unfinished() {
                return Ok(true);
            }
        }
        Ok(false)
    }
}

/// Farther off a leg than this is not along it, m.
fn beside(plan: &Plan) -> f64 {
    let error = plan.vessel.navigation.cross_track_error.value;
    (error.get() * ALONG_TIMES).max(ALONG_LEAST)
}

/// Distance of a place from a leg, m.
pub(super) fn distance(plan: &Plan, leg: usize, at: Point) -> f64 {
    plan.mission.legs.get(leg).map_or(f64::INFINITY, |leg| {
        Segment {
            a: leg.from,
            b: leg.to,
        }
        .distance_to(at)
    })
}
