//! The shoreline of a site: water polygons with islands as holes, indexed.

use rstar::{AABB, ParentNode, RTree, RTreeNode, RTreeObject};

use super::super::plane::Point;
use super::grid::Grid;
use super::polygon::Polygon;
use super::rows::{Frame, Rows};
use super::segment::Segment;
use super::validity::{GeometryError, check_crossings};
use crate::units::Towards;

/// The step at which the distance inland is sampled, m.
const INLAND_STEP: f64 = 1.0;
/// Rounding that a search allows for, m.
const HAIR: f64 = 1e-6;

type Envelope2 = AABB<[f64; 2]>;

#[derive(Clone, Copy, Debug)]
struct Edge {
    segment: Segment,
    id: u32,
}

impl RTreeObject for Edge {
    type Envelope = Envelope2;
    fn envelope(&self) -> Envelope2 {
        let (a, b) = (self.segment.a, self.segment.b);
        AABB::from_corners([a.x, a.y], [b.x, b.y])
    }
}

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
}

/// What a search is for, with what its lower bounds need.
struct Probe {
    segment: Segment,
    middle: Point,
    half: Point,
    /// A unit vector across the segment; zero where it has no length.
    across: Point,
}

impl Probe {
    fn new(segment: Segment) -> Self {
        let half = (segment.b - segment.a).scale(0.5);
        let across = half
            .unit()
            .map_or(Point::ZERO, |along| Point::new(-along.y, along.x));
        Self {
            segment,
            middle: segment.a + half,
            half: Point::new(half.x.abs(), half.y.abs()),
            across,
        }
    }

    /// A lower bound of the distance to anything within a box: the gaps along the axes and across
    /// the segment.
    fn bound(&self, envelope: &Envelope2) -> f64 {
        let (low, high) = (envelope.lower(), envelope.upper());
        let centre = Point::new(0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1]));
        let reach = Point::new(0.5 * (high[0] - low[0]), 0.5 * (high[1] - low[1]));
        let apart = centre - self.middle;
        let x = (apart.x.abs() - reach.x - self.half.x).max(0.0);
        let y = (apart.y.abs() - reach.y - self.half.y).max(0.0);
        let across = self.across.dot(apart).abs()
            - self.across.x.abs() * reach.x
            - self.across.y.abs() * reach.y;
        Point::new(x, y).length().max(across) - HAIR * 1e-3
    }
}

/// Most children that a node of the tree has.
const CHILDREN: usize = 8;

/// Walks the tree, nearest boxes first, and calls `leaf` with each edge that may lie closer than
/// `limit`, which `leaf` may lower.
fn nearest_first(
    node: &ParentNode<Edge>,
    limit: &mut f64,
    bound: &impl Fn(&Envelope2) -> f64,
    leaf: &mut impl FnMut(&Edge, &mut f64),
) {
    let mut order = [(0.0_f64, 0_usize); CHILDREN];
    let mut count = 0;
    for (i, child) in node.children().iter().enumerate() {
        match child {
            RTreeNode::Leaf(edge) => leaf(edge, limit),
            RTreeNode::Parent(parent) => {
                let least = bound(&parent.envelope());
                if least > *limit {
                    continue;
                }
                if count == CHILDREN {
                    // More children than the tree is set to have: no order, but nothing is missed.
                    nearest_first(parent, limit, bound, leaf);
                    continue;
                }
                let mut at = count;
                while at > 0 && order[at - 1].0 > least {
                    order[at] = order[at - 1];
                    at -= 1;
                }
                order[at] = (least, i);
                count += 1;
            }
        }
    }
    for &(least, i) in &order[..count] {
        if least > *limit {
            break;
        }
        if let RTreeNode::Parent(parent) = &node.children()[i] {
            nearest_first(parent, limit, bound, leaf);
        }
    }
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
        })
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

    /// Distance to the nearest shoreline edge, on land as on water; infinite without a shore.
    #[must_use]
    pub fn distance(&self, point: Point) -> f64 {
        self.nearest(point)
            .map_or(f64::INFINITY, |nearest| nearest.distance)
    }

    /// Distance to the nearest shoreline edge, negative on land.
    #[must_use]
    pub fn signed_distance(&self, point: Point) -> f64 {
        let distance = self.distance(point);
        if self.is_water(point) {
            distance
        } else {
            -distance
        }
    }

    /// The nearest shoreline edge; the one with the lower number where several are.
    #[must_use]
    pub fn nearest(&self, point: Point) -> Option<Nearest> {
        let probe = Probe::new(Segment::new(point, point));
        let mut best: Option<Nearest> = None;
        let mut limit = f64::INFINITY;
        nearest_first(
            self.tree.root(),
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
    fn segment_distance(&self, segment: Segment, limit: f64) -> Option<(f64, Point)> {
        let probe = Probe::new(segment);
        let mut best = None;
        let mut limit = limit;
        nearest_first(
            self.tree.root(),
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
    /// It is the least signed distance along the segment; where some of it is on land, minus the
    /// greatest distance inland, sampled at steps of at most 1 m.
    #[must_use]
    pub fn segment_clearance(&self, segment: Segment, best_so_far: f64) -> Option<Clearance> {
        let near = self.segment_distance(segment, best_so_far.max(HAIR));
        if let Some((distance, _)) = near
            && distance <= 0.0
        {
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
                let distance = self.distance(at);
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

    /// The distance from a point to the first edge in a direction, if it is at most `reach`.
    #[must_use]
    pub fn first_land(&self, from: Point, direction: Towards, reach: f64) -> Option<f64> {
        self.first_along(&Frame::along(Point::towards(direction)), from, reach)
    }

    /// As [`Self::first_land`], in a frame's direction.
    #[must_use]
    pub fn first_along(&self, frame: &Frame, from: Point, reach: f64) -> Option<f64> {
        match &self.grid {
            Some(grid) => grid.first(&self.edges, frame, from, reach),
            None => self.first_by_tree(frame, from, reach),
        }
    }

    /// As [`Self::first_along`], whatever the edges: where they crowd together, too.
    pub(super) fn first_by_tree(&self, frame: &Frame, from: Point, reach: f64) -> Option<f64> {
        let unit = frame.direction();
        let (u, v) = frame.of(from);
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
            let turned = [frame.of(edge.segment.a), frame.of(edge.segment.b)];
            if let Some(crossing) = Frame::crossing(&turned, u) {
                let distance = crossing - v;
                if distance >= 0.0 && distance <= *best {
                    *best = distance;
                    found = Some(distance);
                }
            }
        });
        found
    }
}
