//! The shoreline of a site: water polygons with islands as holes, indexed.

use rstar::{RTree, RTreeObject};

use super::super::plane::Point;
use super::grid::Grid;
use super::polygon::Polygon;
use super::rows::{Frame, Rows};
use super::search::{Edge, Envelope2, HAIR, Probe, nearest_first};
use super::segment::Segment;
use super::validity::{GeometryError, check_crossings};
use crate::units::Towards;

/// The step at which the distance inland is sampled, m. Numerical.
const INLAND_STEP: f64 = 1.0;

/// The shoreline edge nearest to a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// Distance to it.
    pub distance: f64,
    /// The point of it that is nearest.
    pub at: Point,
    /// Its number among [`Shore::edges`].
    pub edge: usize,
}

/// The clearance of a line from land.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clearance {
    /// Signed distance to land, negative on land.
    pub distance: f64,
    /// The point of the line where it is so.
    pub at: Point,
}

/// Where water ends, from water polygons with islands as holes.
///
/// Water is what an odd number of rings holds, so that water polygons laid over one another count
/// as land where they overlap.
#[derive(Debug)]
pub struct Shore {
    edges: Vec<Segment>,
    tree: RTree<Edge>,
    rows: Rows,
    /// For lines; without it the tree answers.
    grid: Option<Grid>,
    /// What is known of open water.
    open: Option<Open>,
}

/// Edges that no shore lies along: water goes on past them.
#[derive(Debug)]
struct Open {
    /// The fetch past each edge of the shoreline, m; `None` for those that are shore.
    fetches: Vec<Option<f64>>,
    /// The others, for distances from land.
    land: RTree<Edge>,
}

/// The nearest edge of a tree; the one with the lower number where several are.
fn nearest_in(tree: &RTree<Edge>, point: Point) -> Option<Nearest> {
    let probe = Probe::new(Segment::new(point, point));
    let mut best: Option<Nearest> = None;
    let mut limit = f64::INFINITY;
    nearest_first(
        tree.root(),
        &mut limit,
        &|envelope| probe.bound(envelope),
        &mut |edge, limit| {
            let at = edge.segment.nearest_to(point);
            let distance = at.distance(point);
            let id = edge.id as usize;
            let closer = best.is_none_or(|best| {
                distance < best.distance || (distance <= best.distance && id < best.edge)
            });
            if closer {
                best = Some(Nearest {
                    distance,
                    at,
                    edge: id,
                });
                *limit = distance;
            }
        },
    );
    best
}

impl Shore {
    /// From water polygons.
    ///
    /// # Errors
    /// Polygons whose edges cross or run along one another. The rings of all polygons are counted
    /// on, in their order.
    pub fn new(polygons: Vec<Polygon>) -> Result<Self, GeometryError> {
        if polygons.len() > 1 {
            let rings: Vec<Vec<Point>> = polygons
                .iter()
                .flat_map(|polygon| polygon.rings().iter().cloned())
                .collect();
            check_crossings(&rings)?;
        }
        let edges: Vec<Segment> = polygons.iter().flat_map(Polygon::edges).collect();
        let plant = || {
            RTree::bulk_load(
                (0_u32..)
                    .zip(&edges)
                    .map(|(id, &segment)| Edge { segment, id })
                    .collect(),
            )
        };
        let sort = || {
            let rows = Rows::new(&edges, Frame::along(Point::new(0.0, 1.0)));
            (rows, Grid::new(&edges))
        };
        let (tree, (rows, grid)) = rayon::join(plant, sort);
        Ok(Self {
            edges,
            tree,
            rows,
            grid,
            open: None,
        })
    }

    /// The same shoreline with edges marked open, by number, each with the fetch past it in metres
    /// (infinite where it is unlimited). What lies past an open edge is not known to be water, and
    /// nothing may go there; but it is no land either: no distance is measured to it, fetch goes on
    /// past it, and what drifts over it is gone.
    #[must_use]
    pub fn with_open(mut self, marks: impl IntoIterator<Item = (usize, f64)>) -> Self {
        let mut fetches = vec![None; self.edges.len()];
        for (edge, fetch) in marks {
            if let Some(slot) = fetches.get_mut(edge) {
                *slot = Some(fetch.max(0.0));
            }
        }
        if fetches.iter().all(Option::is_none) {
            return self;
        }
        let land = (0_u32..).zip(&self.edges).zip(&fetches);
        let land = land.filter(|(_, open)| open.is_none());
        let land = RTree::bulk_load(
            land.map(|((id, &segment), _)| Edge { segment, id })
                .collect(),
        );
        self.open = Some(Open { fetches, land });
        self
    }

    /// The fetch past an edge that is marked open, m; `None` for one that is shore.
    #[must_use]
    pub fn open_fetch(&self, edge: usize) -> Option<f64> {
        *self.open.as_ref()?.fetches.get(edge)?
    }

    /// The edges that are land, indexed.
    fn land(&self) -> &RTree<Edge> {
        self.open.as_ref().map_or(&self.tree, |open| &open.land)
    }

    /// The edges of the shoreline.
    #[must_use]
    pub fn edges(&self) -> &[Segment] {
        &self.edges
    }

    /// Whether a point is in the water.
    #[must_use]
    pub fn is_water(&self, point: Point) -> bool {
        self.rows.odd_ahead(point)
    }

    /// Distance to the nearest edge that is land, on land as on water; infinite without a shore.
    #[must_use]
    pub fn distance(&self, point: Point) -> f64 {
        self.nearest(point)
            .map_or(f64::INFINITY, |nearest| nearest.distance)
    }

    /// How far a point outside the water is from it, past whichever edge.
    fn depth_inland(&self, point: Point) -> f64 {
        nearest_in(&self.tree, point).map_or(f64::INFINITY, |nearest| nearest.distance)
    }

    /// Distance to the nearest edge that is land; outside the water it is negative, and to any
    /// edge.
    #[must_use]
    pub fn signed_distance(&self, point: Point) -> f64 {
        if self.is_water(point) {
            self.distance(point)
        } else {
            -self.depth_inland(point)
        }
    }

    /// The nearest edge that is land; the one with the lower number where several are.
    #[must_use]
    pub fn nearest(&self, point: Point) -> Option<Nearest> {
        nearest_in(self.land(), point)
    }

    /// Calls `visit` with every edge that may lie within a distance of a segment, and with a few
    /// that do not.
    pub(in super::super) fn edges_near(
        &self,
        segment: Segment,
        within: f64,
        mut visit: impl FnMut(&Segment),
    ) {
        let probe = Probe::new(segment);
        let mut limit = within;
        nearest_first(
            self.tree.root(),
            &mut limit,
            &|envelope| probe.bound(envelope),
            &mut |edge, limit| {
                if probe.bound(&edge.envelope()) <= *limit {
                    visit(&edge.segment);
                }
            },
        );
    }

    /// The distance from a segment to the nearest edge and the segment's point there, if it is at
    /// most `limit`.
    fn segment_distance(tree: &RTree<Edge>, segment: Segment, limit: f64) -> Option<(f64, Point)> {
        let probe = Probe::new(segment);
        let mut best = None;
        let mut limit = limit;
        nearest_first(
            tree.root(),
            &mut limit,
            &|envelope| probe.bound(envelope),
            &mut |edge, limit| {
                if probe.bound(&edge.envelope()) > *limit {
                    return;
                }
                let (distance, at) = probe.segment.nearest_to_segment(&edge.segment);
                if distance < *limit {
                    *limit = distance;
                    best = Some((distance, at));
                }
            },
        );
        best
    }

    /// The clearance of a segment from land, or `None` where it is not below `best_so_far`.
    ///
    /// It is the least signed distance along the segment; where some of it is on land, or past an
    /// open edge, minus the greatest distance inland, sampled at steps of at most 1 m.
    #[must_use]
    pub fn segment_clearance(&self, segment: Segment, best_so_far: f64) -> Option<Clearance> {
        let near = Self::segment_distance(self.land(), segment, best_so_far.max(HAIR));
        let over = self.open.is_some()
            && Self::segment_distance(&self.tree, segment, HAIR).is_some_and(|(d, _)| d <= 0.0);
        if over || near.is_some_and(|(distance, _)| distance <= 0.0) {
            let land = self.land_intervals(segment);
            if !land.is_empty() {
                return self.inland(segment, &land, best_so_far);
            }
        } else if !self.is_water(segment.a) {
            return self.inland(segment, &[(0.0, 1.0)], best_so_far);
        }
        near.filter(|&(distance, _)| distance < best_so_far)
            .map(|(distance, at)| Clearance { distance, at })
    }

    /// Minus the greatest distance inland over parts of a segment.
    fn inland(&self, segment: Segment, land: &[(f64, f64)], best_so_far: f64) -> Option<Clearance> {
        let mut deepest = if best_so_far > 0.0 {
            -1.0
        } else {
            -best_so_far
        };
        let mut found = None;
        let length = segment.length();
        for &(from, to) in land {
            let count = ((to - from) * length / INLAND_STEP).ceil().max(2.0);
            let step = (to - from) * length / count;
            let mut k = 0.0;
            while k <= count {
                let at = segment.at(from + (to - from) * (k / count));
                let distance = self.depth_inland(at);
                if distance > deepest {
                    deepest = distance;
                    found = Some(at);
                }
                // The distance cannot grow faster than the way made, so samples that cannot be
                // deeper are passed over.
                let passed = (deepest - distance) / step;
                k += if passed.is_finite() {
                    passed.floor() + 1.0
                } else {
                    1.0
                };
            }
        }
        found.map(|at| Clearance {
            distance: 0.0 - deepest,
            at,
        })
    }

    /// The parts of a segment that are on land, as shares of it from its start, in order.
    #[must_use]
    pub fn land_intervals(&self, segment: Segment) -> Vec<(f64, f64)> {
        let along = segment.b - segment.a;
        let length2 = along.dot(along);
        if length2 <= 0.0 {
            return if self.is_water(segment.a) {
                Vec::new()
            } else {
                vec![(0.0, 1.0)]
            };
        }
        let share = |point: Point| ((point - segment.a).dot(along) / length2).clamp(0.0, 1.0);
        let mut cuts = vec![0.0, 1.0];
        self.edges_near(segment, HAIR, |edge| {
            if let Some(at) = segment.contact(edge) {
                cuts.push(share(at));
                // An edge that runs along the segment cuts it at both of its ends.
                if segment.overlaps(edge) {
                    cuts.push(share(edge.a));
                    cuts.push(share(edge.b));
                }
            }
        });
        cuts.sort_by(f64::total_cmp);
        let mut parts: Vec<(f64, f64)> = Vec::new();
        for pair in cuts.windows(2) {
            let (from, to) = (pair[0], pair[1]);
            if to - from <= 1e-12 || self.is_water(segment.at(0.5 * (from + to))) {
                continue;
            }
            match parts.last_mut() {
                Some(last) if from - last.1 <= 1e-12 => last.1 = to,
                _ => parts.push((from, to)),
            }
        }
        parts
    }

    /// The distance from a point to the first edge in a direction and its number, if it is at most
    /// `reach`. It may be [open](Self::open_fetch).
    #[must_use]
    pub fn first_edge(&self, from: Point, direction: Towards, reach: f64) -> Option<(f64, usize)> {
        self.first_along(&Frame::along(Point::towards(direction)), from, reach)
    }

    /// As [`Self::first_edge`], in a frame's direction.
    #[must_use]
    pub fn first_along(&self, frame: &Frame, from: Point, reach: f64) -> Option<(f64, usize)> {
        match &self.grid {
            Some(grid) => grid.first(&self.edges, frame, from, reach),
            None => self.first_by_tree(frame, from, reach),
        }
    }

    /// As [`Self::first_along`], whatever the edges: where they crowd together, too.
    pub(super) fn first_by_tree(
        &self,
        frame: &Frame,
        from: Point,
        reach: f64,
    ) -> Option<(f64, usize)> {
        let unit = frame.direction();
        let (u, v) = frame.coordinates(from);
        let ray = Probe::new(Segment::new(from, from + unit.scale(reach)));
        // How far ahead a box begins, or infinity where the ray passes it by.
        let ahead = |envelope: &Envelope2| {
            if ray.bound(envelope) > HAIR {
                return f64::INFINITY;
            }
            let (low, high) = (envelope.lower(), envelope.upper());
            let centre = Point::new(0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1])) - from;
            let reach =
                0.5 * (high[0] - low[0]) * unit.x.abs() + 0.5 * (high[1] - low[1]) * unit.y.abs();
            centre.dot(unit) - reach - HAIR
        };
        let mut best = reach;
        let mut found = None;
        nearest_first(self.tree.root(), &mut best, &ahead, &mut |edge, best| {
            let turned = [
                frame.coordinates(edge.segment.a),
                frame.coordinates(edge.segment.b),
            ];
            if let Some(crossing) = Frame::crossing(&turned, u) {
                let distance = crossing - v;
                if distance >= 0.0 && distance <= *best {
                    *best = distance;
                    found = Some((distance, edge.id as usize));
                }
            }
        });
        found
    }
}
