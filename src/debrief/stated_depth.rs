//! Depth as it was sounded, against the least depths that the site states in words.

use super::actual::ActualRun;
use super::judging::Judging;
use super::thresholds::{RUNNING, STATED_DEPTH};
use crate::finding::{Comparison, Nature, Severity, Side};
use crate::passage::depth::lowered;
use crate::plan::Plan;
use crate::plan::mission::Zone;
use crate::source::Span;
use crate::units::{Length, Typed as _};

/// A stretch over which there was less water than a depth that is stated as the least.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct LessThanStated {
    /// By how much at its worst.
    pub by: Length,
    /// Depth there as it was sounded.
    pub sounded: Length,
    /// Least depth that is stated.
    pub stated: Length,
    /// How far the water may stand below the level that it is stated for.
    pub lowered: Length,
    /// What it may differ by.
    pub allowed: Length,
    /// Of what it is stated: the site, or a launch site.
    pub of: String,
    /// Its line.
    pub line: Span,
    /// Fixes that it is told by.
    pub fixes: usize,
    /// Index of the fix where it is worst.
    pub(super) worst: usize,
}

/// The worst stretch with less water than is stated; `None` where there is none.
pub(super) fn less(
    plan: &Plan,
    actual: &ActualRun,
    sounded: &[(usize, Length)],
    own_error: Length,
) -> Option<LessThanStated> {
    let level_error = plan.site.depths.level.as_ref();
    let level_error = level_error.map_or(Length::ZERO, |level| level.error.value);
    let allowed = Length::metres(own_error.get().hypot(level_error.get()));
    let lowered = lowered(plan);
    let bank =
        plan.site.shore_error.value.get() + plan.vessel.navigation.position_error.value.get();
    let (mut worst, mut running) = (None::<LessThanStated>, Vec::<LessThanStated>::new());
    let mut last = None;
    for (index, depth) in sounded {
        if !last.is_some_and(|last| actual.follows(last, *index)) {
            running.clear();
        }
        last = Some(*index);
        let at = actual.fixes[*index].at;
        // Within the errors of shore and position the boat may lie at the bank itself, as at a quay.
        let off = plan.site.shore.distance(at) > bank;
        let Some((of, stated, line)) = stated_at(plan, at).filter(|_| off) else {
            running.clear();
            continue;
        };
        let by = stated - lowered - *depth;
        if by <= allowed || running.first().is_some_and(|first| first.line != line) {
            running.clear();
        }
        if by <= allowed {
            continue;
        }
        running.push(LessThanStated {
            by,
            sounded: *depth,
            stated,
            lowered,
            allowed,
            of,
            line,
            fixes: 1,
            worst: *index,
        });
        if running.len() < RUNNING {
            continue;
        }
        let here = running
            .iter()
            .max_by(|a, b| a.by.get().total_cmp(&b.by.get()));
        if let Some(here) = here
            && worst.as_ref().is_none_or(|held| here.by >= held.by)
        {
            worst = Some(LessThanStated {
                fixes: running.len(),
                ..here.clone()
            });
        }
    }
    worst
}

/// The least depth that is stated for a place, and of what.
fn stated_at(plan: &Plan, at: crate::models::plane::Point) -> Option<(String, Length, Span)> {
    let mission = &plan.mission;
    let holds = |zone: &&Zone| zone.centre.distance(at) <= zone.radius.value.get();
    let zones = [&mission.launch.zone, &mission.recovery.zone];
    let inside = zones.into_iter().filter(holds);
    let depths = inside.filter_map(|zone| Some((zone, zone.depth.as_ref()?)));
    // Of two zones that both hold it, the shallower one, as under the keel of the plan.
    if let Some((zone, depth)) = depths.min_by(|a, b| a.1.value.get().total_cmp(&b.1.value.get())) {
        let of = format!("launch site `{}`", zone.place.value);
        return Some((of, depth.value, depth.span()));
    }
    let mut places = plan.site.launch_sites.iter();
    let off = places.all(|place| place.at.distance(at) > place.zone.value.get());
    let least = plan.site.depths.least.as_ref().filter(|_| off)?;
    let of = format!("site `{}`", plan.site.id.value);
    Some((of, least.value, least.span()))
}

impl Judging<'_> {
    pub(super) fn stated_depth(&mut self) {
        let found = self.found.depths.as_ref();
        let Some(less) = found.and_then(|depths| depths.less.as_ref()) else {
            return;
        };
        let message = format!(
            "There is {} less water than the least depth stated for the {}: {} sounded, {} stated \
             (the errors allow {})",
            less.by, less.of, less.sounded, less.stated, less.allowed
        );
        let steps = vec![format!(
            "{} stated − {} by which the level may be lower − {} sounded = {}",
            less.stated, less.lowered, less.sounded, less.by
        )];
        let worst = (self.fix)(less.worst);
        self.push(
            &STATED_DEPTH,
            Severity::Error,
            Nature::Violation,
            ("", message),
            |one| {
                one.primary(
                    worst,
                    format!("sounded here, on {} consecutive fixes", less.fixes),
                )
                .related(less.line, "stated here")
                .comparison(Some(Comparison {
                    measured: less.by.quantity(),
                    limit: less.allowed.quantity(),
                    side: Side::AtMost,
                }))
                .steps(steps)
            },
        );
    }
}
