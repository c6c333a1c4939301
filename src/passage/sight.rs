//! Whether somebody has the boat in sight: no land between an operator and the boat.

use super::Passage;
use super::links::OWN_GROUND;
use crate::models::geometry::Segment;
use crate::models::plane::Point;

/// The nearest operator to the boat at a sample, and whether it is in sight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Watched {
    /// Index among the [`observers`]: the nearest that sees the boat, else the nearest.
    pub observer: usize,
    /// Distance from there, m.
    pub distance: f64,
    /// Whether anybody sees it.
    pub seen: bool,
}

/// Where the remote operator stands, where stated, and then the operators of the stations in use, in
/// the order of the file.
#[must_use]
pub(crate) fn observers(passage: &Passage<'_>) -> Vec<Point> {
    let mission = &passage.plan.mission;
    let operator = mission.operator.iter().map(|operator| &operator.at);
    let stations = mission.stations.iter().map(|station| &station.operator);
    operator.chain(stations).map(|at| at.value).collect()
}

/// Whether no land lies between a person and a place, but for the ground that the person stands on.
#[must_use]
pub(crate) fn sees(passage: &Passage<'_>, from: Point, to: Point) -> bool {
    let line = Segment { a: from, b: to };
    let length = line.length();
    let land = passage.plan.site.shore.land_intervals(line);
    land.iter()
        .all(|(begin, end)| *begin <= 1e-9 && end * length <= OWN_GROUND)
}

/// Who watches the boat at every sample of the route; nothing where nobody does.
pub(super) fn along_route(passage: &Passage<'_>) -> Vec<Watched> {
    let observers = observers(passage);
    let watched = |at: &Point| {
        let of = |(index, observer): (usize, &Point)| Watched {
            observer: index,
            distance: observer.distance(*at),
            seen: sees(passage, *observer, *at),
        };
        // Whoever sees the boat comes before whoever does not, however near.
        observers
            .iter()
            .enumerate()
            .map(of)
            .min_by(|a, b| b.seen.cmp(&a.seen).then(a.distance.total_cmp(&b.distance)))
    };
    passage.track.samples.iter().filter_map(watched).collect()
}
