//! Points taken off a shoreline so that it moves by no more than a tolerance, and only into the water.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use rstar::primitives::GeomWithData;
use rstar::{AABB, RTree};

use crate::models::geometry::Segment;
use crate::models::plane::Point;

/// Points that are looked at; some seconds' worth. What is left then stays as it is.
const MOST_LOOKED_AT: usize = 200_000_000;

/// What is left of rings.
pub(super) struct Kept {
    /// The numbers of the points of each ring that stay, in order.
    pub kept: Vec<Vec<usize>>,
    /// Whether it ended before every point was looked at.
    pub stopped: bool,
}

/// A point that may go, with its neighbours when it was looked at and how far the shoreline then lies off.
struct Candidate {
    moved: f64,
    point: usize,
    before: usize,
    after: usize,
}

/// The least first, so that the order is the same on every machine.
impl Ord for Candidate {
    fn cmp(&self, other: &Self) -> Ordering {
        let of = other.moved.total_cmp(&self.moved);
        of.then(other.point.cmp(&self.point))
    }
}

impl PartialOrd for Candidate {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Candidate {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Candidate {}

struct Working {
    points: Vec<Point>,
    before: Vec<usize>,
    after: Vec<usize>,
    there: Vec<bool>,
    fixed: Vec<bool>,
    /// How far the points that were taken off lie from the edge that begins at each point, at most.
    off: Vec<f64>,
    ring: Vec<usize>,
    left: Vec<usize>,
    tolerance: f64,
    looked: usize,
}

/// Takes points off rings that have the water to their left. A point goes only where the triangle that it makes with
/// its neighbours is water, holds no other point, and every point taken off so far stays within the tolerance of the
/// new edge: the water only loses.
pub(super) fn simplify(rings: &[&[Point]], fixed: &[Vec<bool>], tolerance: f64) -> Kept {
    let mut work = Working {
        points: Vec::new(),
        before: Vec::new(),
        after: Vec::new(),
        there: Vec::new(),
        fixed: Vec::new(),
        off: Vec::new(),
        ring: Vec::new(),
        left: rings.iter().map(|ring| ring.len()).collect(),
        tolerance,
        looked: 0,
    };
    for (number, ring) in rings.iter().enumerate() {
        let first = work.points.len();
        let count = ring.len();
        for (index, point) in ring.iter().enumerate() {
            work.points.push(*point);
            work.before.push(first + (index + count - 1) % count);
            work.after.push(first + (index + 1) % count);
            work.there.push(true);
            let held = fixed.get(number).and_then(|fixed| fixed.get(index));
            work.fixed.push(held.copied().unwrap_or(false));
            work.off.push(0.0);
            work.ring.push(number);
        }
    }
    let indexed = work.points.iter().enumerate();
    let indexed = indexed.map(|(index, point)| GeomWithData::new([point.x, point.y], index));
    let tree: RTree<GeomWithData<[f64; 2], usize>> = RTree::bulk_load(indexed.collect());
    let mut heap: BinaryHeap<Candidate> = (0..work.points.len())
        .filter_map(|point| work.candidate(point))
        .collect();
    let mut stopped = false;
    while let Some(next) = heap.pop() {
        let Candidate {
            moved,
            point,
            before,
            after,
        } = next;
        let stands =
            work.there[point] && work.before[point] == before && work.after[point] == after;
        if !stands || work.left[work.ring[point]] <= 3 {
            continue;
        }
        if work.looked > MOST_LOOKED_AT {
            stopped = true;
            break;
        }
        if !work.is_empty(&tree, before, point, after) {
            continue;
        }
        work.there[point] = false;
        work.left[work.ring[point]] -= 1;
        work.after[before] = after;
        work.before[after] = before;
        work.off[before] = moved;
        heap.extend(
            [before, after]
                .into_iter()
                .filter_map(|one| work.candidate(one)),
        );
    }
    let mut kept: Vec<Vec<usize>> = vec![Vec::new(); rings.len()];
    let mut first = 0;
    for (ring, kept) in rings.iter().zip(&mut kept) {
        kept.extend((0..ring.len()).filter(|index| work.there[first + index]));
        first += ring.len();
    }
    Kept { kept, stopped }
}

impl Working {
    /// A point that may go as far as its neighbours tell.
    fn candidate(&self, point: usize) -> Option<Candidate> {
        if self.fixed[point] || !self.there[point] {
            return None;
        }
        let (before, after) = (self.before[point], self.after[point]);
        let [a, b, c] = [before, point, after].map(|index| self.points[index]);
        let turn = Segment::new(a, b).side_of(c);
        // A turn to the right has land inside it, and a spike that returns on itself has no side.
        let straight = turn.abs() <= 0.0 && (b - a).dot(c - b) > 0.0;
        if turn < 0.0 || turn.abs() <= 0.0 && !straight {
            return None;
        }
        // A point of either edge moves no farther than the corner between them does.
        let corner = Segment::new(a, c).distance_to(b);
        let moved = corner + self.off[before].max(self.off[point]);
        (moved <= self.tolerance).then_some(Candidate {
            moved,
            point,
            before,
            after,
        })
    }

    /// Whether no other point lies in the triangle of three, its edge counted in.
    fn is_empty(
        &mut self,
        tree: &RTree<GeomWithData<[f64; 2], usize>>,
        before: usize,
        point: usize,
        after: usize,
    ) -> bool {
        let [a, b, c] = [before, point, after].map(|index| self.points[index]);
        let sides = [Segment::new(a, b), Segment::new(b, c), Segment::new(c, a)];
        if sides[0].side_of(c).abs() <= 0.0 {
            return true;
        }
        let low = [a.x.min(b.x).min(c.x), a.y.min(b.y).min(c.y)];
        let high = [a.x.max(b.x).max(c.x), a.y.max(b.y).max(c.y)];
        for other in tree.locate_in_envelope(&AABB::from_corners(low, high)) {
            self.looked += 1;
            if !self.there[other.data] || [before, point, after].contains(&other.data) {
                continue;
            }
            let at = self.points[other.data];
            if sides.iter().all(|side| side.side_of(at) >= 0.0) {
                return false;
            }
        }
        true
    }
}
