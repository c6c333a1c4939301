//! Whether a track is one of another run: of another day, and along another route.

use super::thresholds::{ALONG_LEAST, ALONG_SHARE, ANOTHER_DAY};
use super::{DebriefInput, NoDebrief};
use crate::models::geometry::Segment;
use crate::plan::Plan;
use crate::plan::calendar::civil;
use crate::track::Track;
use crate::units::Ratio;

/// Share of a track's fixes that lie along a plan's route; none lies there that the site's plane does not reach.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
pub(super) fn along_route(plan: &Plan, track: &Track) -> Ratio {
    let legs: Vec<Segment> = plan
        .mission
        .legs
        .iter()
        .map(|leg| Segment {
            a: leg.from,
            b: leg.to,
        })
        .collect();
    let along = track.samples.iter().filter(|sample| {
        let at = plan.site.plane.within_limit(sample.position);
        at.is_ok_and(|at| legs.iter().any(|leg| leg.distance_to(at) <= ALONG_LEAST))
    });
    Ratio::fraction(along.count() as f64 / track.samples.len().max(1) as f64)
}

/// Whether a track may be a run of a plan: most of its fixes lie along the route.
#[must_use]
pub(crate) fn fits(plan: &Plan, track: &Track) -> bool {
    along_route(plan, track).get() >= ALONG_SHARE
}

/// Refuses the track of another mission: its record says so, or it is neither of the day nor of the route.
pub(super) fn another(asked: &DebriefInput<'_>) -> Result<(), NoDebrief> {
    let (plan, track) = (asked.plan, asked.track);
    if let Some(run) = asked.record.map(|of| of.run)
        && run.mission.value != plan.mission.id.value
    {
        return Err(NoDebrief::Recorded {
            record: run.id.value.clone(),
            mission: run.mission.value.clone(),
        });
    }
    let Some(first) = track.samples.iter().map(|sample| sample.time).min() else {
        return Ok(());
    };
    let launch = plan.mission.launch.time.value;
    let apart = first.duration_since(launch).as_secs_f64().abs();
    if apart <= ANOTHER_DAY || fits(plan, track) {
        return Ok(());
    }
    let zone = plan.site.time_zone.as_ref();
    Err(NoDebrief::Another {
        track: civil(first, zone).day,
        plan: civil(launch, zone).day,
        share: along_route(plan, track),
    })
}
