//! Edges sorted into rows along one direction, for many questions about straight lines that way.

use super::super::plane::Point;
use super::segment::Segment;

/// A frame whose v axis runs in a direction and whose u axis is 90° clockwise of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    along: Point,
}

impl Frame {
    /// The frame of a unit vector.
    #[must_use]
    pub const fn along(unit: Point) -> Self {
        Self { along: unit }
    }

    /// The unit vector that it was made of.
    #[must_use]
    pub const fn direction(&self) -> Point {
        self.along
    }

    /// The coordinates (u, v) of a point.
    #[must_use]
    pub fn coordinates(&self, point: Point) -> (f64, f64) {
        (
            self.across(point),
            point.x * self.along.x + point.y * self.along.y,
        )
    }

    /// The first of the coordinates of a point, u.
    #[must_use]
    pub(super) fn across(&self, point: Point) -> f64 {
        point.x * self.along.y - point.y * self.along.x
    }

    /// The point at coordinates (u, v).
    #[must_use]
    pub fn point(&self, u: f64, v: f64) -> Point {
        Point::new(
            u * self.along.y + v * self.along.x,
            v * self.along.y - u * self.along.x,
        )
    }

    /// Where an edge crosses the line of all points with this u, as v.
    ///
    /// Of an edge's ends the one with the greater u is not part of it, so that a line through a
    /// corner counts it once, or twice where it only grazes it.
    #[must_use]
    pub fn crossing(edge: &[(f64, f64); 2], u: f64) -> Option<f64> {
        let [(u1, v1), (u2, v2)] = *edge;
        ((u1 <= u) != (u2 <= u)).then(|| v1 + (u - u1) / (u2 - u1) * (v2 - v1))
    }
}

#[derive(Clone, Copy, Debug)]
struct Entry {
    edge: [(f64, f64); 2],
    /// The greatest v of this edge and all before it in its row.
    reached: f64,
}

/// Edges in rows of u, each row nearly in order of v.
#[derive(Clone, Debug)]
pub(super) struct Rows {
    frame: Frame,
    start: f64,
    per_metre: f64,
    /// Where each row begins in `entries`; one more than there are rows.
    begins: Vec<u32>,
    entries: Vec<Entry>,
}

impl Rows {
    /// Sorts edges, which must be finite.
    #[must_use]
    pub(super) fn new(edges: &[Segment], frame: Frame) -> Self {
        let turned: Vec<[(f64, f64); 2]> = edges
            .iter()
            .map(|edge| [frame.coordinates(edge.a), frame.coordinates(edge.b)])
            .collect();
        let (mut u_low, mut u_high) = (f64::INFINITY, f64::NEG_INFINITY);
        let (mut v_low, mut v_high) = (f64::INFINITY, f64::NEG_INFINITY);
        let mut spanned = 0.0;
        for &[(u1, v1), (u2, v2)] in &turned {
            u_low = u_low.min(u1.min(u2));
            u_high = u_high.max(u1.max(u2));
            v_low = v_low.min(v1.min(v2));
            v_high = v_high.max(v1.max(v2));
            spanned += (u2 - u1).abs();
        }
        let count = edges.len();
        let extent = u_high - u_low;
        if count == 0 || extent.is_nan() || extent <= 0.0 {
            return Self {
                frame,
                start: 0.0,
                per_metre: 0.0,
                begins: vec![0, 0],
                entries: Vec::new(),
            };
        }
        // Rows thin enough to hold few edges each, and so thick that the edges that run across
        // many of them do not fill the memory.
        let wanted = (count as f64 / 20.0).clamp(1.0, 2048.0);
        let height = (extent / wanted).max(spanned / (3.0 * count as f64));
        let per_metre = 1.0 / height;
        let rows = ((extent * per_metre) as usize + 1).max(1);
        let row = |u: f64| (((u - u_low) * per_metre) as u32).min(rows as u32 - 1);
        let bins = count.clamp(1, 1 << 16);
        let bin_height = ((v_high - v_low) / bins as f64).max(1e-9);
        let bins_per_metre = 1.0 / bin_height;

        // Nearly in order of the least v: bins, which are quicker than a sort.
        let mut begins = vec![0_u32; rows + 1];
        let mut places = vec![0_u32; bins + 1];
        let keys: Vec<(u32, u32, u32)> = turned
            .iter()
            .map(|&[(u1, v1), (u2, v2)]| {
                let (one, two) = (row(u1), row(u2));
                let (low, high) = (one.min(two), one.max(two));
                for r in low..=high {
                    begins[r as usize + 1] += 1;
                }
                let bin = (((v1.min(v2) - v_low) * bins_per_metre) as u32).min(bins as u32 - 1);
                places[bin as usize + 1] += 1;
                (low, high, bin)
            })
            .collect();
        for i in 0..bins {
            places[i + 1] += places[i];
        }
        for r in 0..rows {
            begins[r + 1] += begins[r];
        }
        let mut order = vec![0_u32; count];
        for (i, &(_, _, bin)) in (0_u32..).zip(&keys) {
            let place = &mut places[bin as usize];
            order[*place as usize] = i;
            *place += 1;
        }
        let blank = Entry {
            edge: [(0.0, 0.0); 2],
            reached: f64::NEG_INFINITY,
        };
        let mut entries = vec![blank; begins[rows] as usize];
        let mut next = begins.clone();
        for i in order {
            let edge = turned[i as usize];
            let [(_, v1), (_, v2)] = edge;
            let most = v1.max(v2);
            let (low, high, _) = keys[i as usize];
            for r in low as usize..=high as usize {
                let at = next[r] as usize;
                let before = if at > begins[r] as usize {
                    entries[at - 1].reached
                } else {
                    f64::NEG_INFINITY
                };
                entries[at] = Entry {
                    edge,
                    reached: before.max(most),
                };
                next[r] += 1;
            }
        }
        Self {
            frame,
            start: u_low,
            per_metre,
            begins,
            entries,
        }
    }

    /// The entries of the row that holds u, beginning with the first that may reach v.
    fn ahead(&self, u: f64, v: f64) -> &[Entry] {
        let along = (u - self.start) * self.per_metre;
        // Past the last row, before the first, or not a number.
        if !(0.0..=(self.begins.len() - 1) as f64).contains(&along) {
            return &[];
        }
        let row = (along as usize).min(self.begins.len() - 2);
        let entries = &self.entries[self.begins[row] as usize..self.begins[row + 1] as usize];
        let first = entries.partition_point(|entry| entry.reached < v);
        &entries[first..]
    }

    /// Whether an odd number of edges lies ahead of a point in the frame's direction: whether it is
    /// inside, by the even-odd rule, where the edges make closed rings.
    #[must_use]
    pub(super) fn odd_ahead(&self, point: Point) -> bool {
        let (u, v) = self.frame.coordinates(point);
        self.ahead(u, v)
            .iter()
            .filter(|entry| Frame::crossing(&entry.edge, u).is_some_and(|at| at > v))
            .count()
            % 2
            == 1
    }
}
