//! Straight stretches of shoreline that nothing is said about, and whether the waves of the route hang
//! on them.

use super::Passage;
use super::scenario::Scenarios;
use crate::models::fetch::Fan;
use crate::plan::open_edges::Straight;

/// A stretch, and where on the route it is to windward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Found<'a> {
    /// The stretch.
    pub stretch: &'a Straight,
    /// The first sample of the route whose fetch it ends, in any direction that waves may come from;
    /// `None` where it ends none.
    pub sample: Option<usize>,
}

/// Every unmarked stretch that is longer than its neighbours, in the order of the shoreline.
#[must_use]
pub(crate) fn all<'a>(passage: &'a Passage<'_>, scenarios: &Scenarios) -> Vec<Found<'a>> {
    let stretches = &passage.plan.site.edges.unmarked;
    let seen_from = passage.seen_from(scenarios);
    let found = stretches.iter().zip(seen_from);
    found
        .map(|(stretch, &sample)| Found { stretch, sample })
        .collect()
}

/// Of each unmarked stretch, the first sample whose fetch it ends.
pub(super) fn seen_from(passage: &Passage<'_>, scenarios: &Scenarios) -> Vec<Option<usize>> {
    let site = &passage.plan.site;
    let mut seen_from = vec![None; site.edges.unmarked.len()];
    if seen_from.is_empty() {
        return seen_from;
    }
    let fan = Fan::new(scenarios.planned, &scenarios.directions);
    let return_points = passage.plan.mission.return_points();
    let last = passage.track.samples.len().saturating_sub(1);
    let places = passage.track.samples.iter().copied().enumerate();
    for (sample, at) in places.chain(return_points.into_iter().map(|at| (last, at))) {
        if seen_from.iter().all(Option::is_some) {
            break;
        }
        for radial in fan.radials() {
            let edge = radial.ends_at(&site.shore, at);
            let stretch = edge.and_then(|edge| site.edges.unmarked_at(edge));
            if let Some(seen) = stretch.and_then(|stretch| seen_from.get_mut(stretch)) {
                seen.get_or_insert(sample);
            }
        }
    }
    seen_from
}
