//! A track laid along the route of its plan: the run that it tells of.

use super::NoDebrief;
use super::actual::ActualRun;
use super::fix::Fix;
use super::passed::distance;
use super::power::power;
use super::sums::Sums;
use super::thresholds::{FAR, NEAR};
use crate::models::plane::Point;
use crate::models::propulsion::Command;
use crate::plan::Plan;
use crate::track::{Cleaning, Sample, Track, along, clean};
use crate::units::{Length, Resistance, Speed};

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

/// Cleans a track and lays it along the route.
///
/// # Errors
/// [`NoDebrief`] where the track tells of no run of this plan.
pub(super) fn lay_along_route(plan: &Plan, track: &Track) -> Result<ActualRun, NoDebrief> {
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
    let mut actual = ActualRun {
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

impl ActualRun {
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
    match track.is_swapped_on(&plan.site.plane) {
        true => NoDebrief::Swapped,
        false => NoDebrief::Elsewhere,
    }
}
