//! Straight stretches of shoreline that nothing is said about, and whether the waves of the route hang
//! on them.

use std::collections::BTreeMap;

use super::Passage;
use super::scenario::Scenarios;
use crate::models::fetch::Fan;
use crate::models::plane::Point;
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
    let site = &passage.plan.site;
    let stretches = &site.edges.unmarked;
    if stretches.is_empty() {
        return Vec::new();
    }
    let fan = Fan::new(scenarios.planned, &scenarios.directions);
    let return_points = passage.plan.mission.return_points();
    let last = passage.track.samples.len().saturating_sub(1);
    let places = passage.track.samples.iter().copied().enumerate();
    let places: Vec<(usize, Point)> = places
        .chain(return_points.into_iter().map(|at| (last, at)))
        .collect();
    let mut found: Vec<Found<'a>> = stretches
        .iter()
        .map(|stretch| Found {
            stretch,
            sample: None,
        })
        .collect();
    let numbers: BTreeMap<usize, usize> = stretches
        .iter()
        .enumerate()
        .flat_map(|(index, stretch)| stretch.edges.iter().map(move |edge| (*edge, index)))
        .collect();
    for (sample, at) in places {
        if found.iter().all(|one| one.sample.is_some()) {
            break;
        }
        for radial in fan.radials() {
            let edge = radial.ends_at(&site.shore, at);
            if let Some(one) = edge
                .and_then(|edge| numbers.get(&edge))
                .and_then(|index| found.get_mut(*index))
            {
                one.sample = one.sample.or(Some(sample));
            }
        }
    }
    found
}
