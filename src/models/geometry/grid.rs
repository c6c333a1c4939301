//! Edges by the square cells that they run through, for questions about straight lines in any
//! direction.

use super::super::plane::Point;
use super::rows::Frame;
use super::segment::Segment;

/// Rounding that a walk through the cells allows for, m: an edge counts as being in every cell that it
/// comes so near to. Numerical.
const MARGIN: f64 = 1e-3;
/// Cells per edge; with fewer of them cells on the shore are crowded, more are slow to cross. Numerical:
/// bounds the work.
const CELLS_PER_EDGE: f64 = 1.0;
/// Edges that share a cell with an edge, in the mean, beyond which another index does better. Numerical:
/// bounds the work.
const CROWDED: f64 = 256.0;

/// Edges by cells.
#[derive(Debug)]
pub(super) struct Grid {
    low: Point,
    size: f64,
    columns: usize,
    rows: usize,
    /// Where each cell begins in `edges`; one more than there are cells.
    begins: Vec<u32>,
    /// Numbers of edges.
    edges: Vec<u32>,
    /// Per cell: how many cells off the nearest one with an edge is, diagonals too; no farther is counted than
    /// the number holds.
    apart: Vec<u8>,
}

impl Grid {
    /// Sorts edges, which must be finite, into cells. `None` where there is no edge, or where so
    /// many edges crowd into the same cells that they are no help.
    pub(super) fn new(edges: &[Segment]) -> Option<Self> {
        let (mut low, mut high) = (edges.first()?.a, edges.first()?.a);
        let mut length = 0.0;
        for edge in edges {
            low = Point::new(
                low.x.min(edge.a.x.min(edge.b.x)),
                low.y.min(edge.a.y.min(edge.b.y)),
            );
            high = Point::new(
                high.x.max(edge.a.x.max(edge.b.x)),
                high.y.max(edge.a.y.max(edge.b.y)),
            );
            length += edge.length();
        }
        low = low - Point::new(MARGIN, MARGIN);
        high = high + Point::new(MARGIN, MARGIN);
        let (width, height) = (high.x - low.x, high.y - low.y);
        let count = edges.len() as f64;
        // Long edges run through many cells; no smaller than this, they fill no memory.
        let size = (width * height / (CELLS_PER_EDGE * count))
            .sqrt()
            .max(0.5 * length / count)
            .max(width.max(height) / 4096.0)
            .max(4.0 * MARGIN);
        let mut grid = Self {
            low,
            size,
            columns: (width / size) as usize + 1,
            rows: (height / size) as usize + 1,
            begins: Vec::new(),
            edges: Vec::new(),
            apart: Vec::new(),
        };
        let mut begins = vec![0_u32; grid.columns * grid.rows + 1];
        for edge in edges {
            grid.each_cell(edge, |cell| begins[cell + 1] += 1);
        }
        let together: f64 = begins.iter().map(|&n| f64::from(n) * f64::from(n)).sum();
        let entries: f64 = begins.iter().map(|&n| f64::from(n)).sum();
        if entries > f64::from(u32::MAX) || together > CROWDED * entries {
            return None;
        }
        for cell in 0..grid.columns * grid.rows {
            begins[cell + 1] += begins[cell];
        }
        let mut next = begins.clone();
        let mut numbers = vec![0_u32; begins.last().copied().unwrap_or(0) as usize];
        for (number, edge) in (0_u32..).zip(edges) {
            grid.each_cell(edge, |cell| {
                numbers[next[cell] as usize] = number;
                next[cell] += 1;
            });
        }
        grid.begins = begins;
        grid.edges = numbers;
        grid.apart = grid.cells_apart();
        Some(grid)
    }

    /// Two sweeps, there and back: each cell is one farther than the nearest of those before it.
    fn cells_apart(&self) -> Vec<u8> {
        let columns = self.columns;
        let empty = |bounds: &[u32]| if bounds[0] == bounds[1] { u8::MAX } else { 0 };
        let mut apart: Vec<u8> = self.begins.windows(2).map(empty).collect();
        let sweep = |apart: &mut [u8]| {
            for cell in 0..apart.len() {
                let (left, right) = (cell % columns > 0, (cell + 1) % columns > 0);
                let mut nearest = if left { apart[cell - 1] } else { u8::MAX };
                if let Some(above) = cell.checked_sub(columns) {
                    let (from, to) = (above - usize::from(left), above + usize::from(right));
                    for one in &apart[from..=to] {
                        nearest = nearest.min(*one);
                    }
                }
                apart[cell] = apart[cell].min(nearest.saturating_add(1));
            }
        };
        sweep(&mut apart);
        apart.reverse();
        sweep(&mut apart);
        apart.reverse();
        apart
    }

    fn column(&self, x: f64) -> usize {
        (((x - self.low.x) / self.size) as usize).min(self.columns - 1)
    }

    fn row(&self, y: f64) -> usize {
        (((y - self.low.y) / self.size) as usize).min(self.rows - 1)
    }

    /// Calls `visit` with every cell that an edge comes near.
    fn each_cell(&self, edge: &Segment, mut visit: impl FnMut(usize)) {
        let (below, above) = if edge.a.y <= edge.b.y {
            (edge.a, edge.b)
        } else {
            (edge.b, edge.a)
        };
        let (first, last) = (self.row(below.y - MARGIN), self.row(above.y + MARGIN));
        let rise = above.y - below.y;
        let x_at = |y: f64| {
            let share = ((y - below.y) / rise).clamp(0.0, 1.0);
            below.x + share * (above.x - below.x)
        };
        for row in first..=last {
            let (one, two) = if first == last {
                (below.x, above.x)
            } else {
                // More than one row makes a rise of more than nothing, or a level edge within a
                // margin of the line between two rows.
                let start = self.low.y + row as f64 * self.size;
                let (one, two) = (x_at(start - MARGIN), x_at(start + self.size + MARGIN));
                if rise > MARGIN {
                    (one, two)
                } else {
                    (below.x, above.x)
                }
            };
            let (low, high) = (one.min(two) - MARGIN, one.max(two) + MARGIN);
            for column in self.column(low)..=self.column(high) {
                visit(row * self.columns + column);
            }
        }
    }

    /// Calls `visit` with every pair of edges whose boxes meet in a cell that both come near, the
    /// lower number first; with some pairs more than once. It ends where `visit` wants no more.
    pub(super) fn each_pair(&self, edges: &[Segment], mut visit: impl FnMut(usize, usize) -> bool) {
        let meet = |a: f64, b: f64, c: f64, d: f64| a.min(b) <= c.max(d) && c.min(d) <= a.max(b);
        for bounds in self.begins.windows(2) {
            let here = &self.edges[bounds[0] as usize..bounds[1] as usize];
            for (i, &one) in here.iter().enumerate() {
                let edge = &edges[one as usize];
                for &two in &here[i + 1..] {
                    let other = &edges[two as usize];
                    if meet(edge.a.x, edge.b.x, other.a.x, other.b.x)
                        && meet(edge.a.y, edge.b.y, other.a.y, other.b.y)
                        && !visit(one as usize, two as usize)
                    {
                        return;
                    }
                }
            }
        }
    }

    /// The distance from a point to the first edge in a frame's direction, and its number, if it is
    /// at most `reach`. The edges must be those that the grid was made of.
    pub(super) fn first(
        &self,
        edges: &[Segment],
        frame: &Frame,
        from: Point,
        reach: f64,
    ) -> Option<(f64, usize)> {
        let (u, v) = frame.coordinates(from);
        let unit = frame.direction();
        let (enter, leave) = self.inside(from, unit)?;
        let start = from + unit.scale(enter);
        let mut across = Walk::new(unit.x, from.x - self.low.x, self.column(start.x), self.size);
        let mut up = Walk::new(unit.y, from.y - self.low.y, self.row(start.y), self.size);
        let mut best = reach;
        let mut found = None;
        loop {
            let cell = up.cell * self.columns + across.cell;
            let here = &self.edges[self.begins[cell] as usize..self.begins[cell + 1] as usize];
            // Where nothing lies around, there is nothing to look at up to there.
            let apart = usize::from(self.apart[cell]);
            if apart > 1 {
                let (over, above) = (across.end_after(apart - 1), up.end_after(apart - 1));
                let next = over.min(above);
                if !(next <= best + MARGIN && next <= leave) {
                    return found;
                }
                let (columns, rows) = if over <= above {
                    (apart, up.count(apart, |end| end < over))
                } else {
                    (across.count(apart, |end| end <= above), apart)
                };
                if !(across.go(columns, self.columns) && up.go(rows, self.rows)) {
                    return found;
                }
                continue;
            }
            for &number in here {
                let edge = &edges[number as usize];
                // Most edges lie to one side of the ray.
                if (frame.across(edge.a) <= u) == (frame.across(edge.b) <= u) {
                    continue;
                }
                let turned = [frame.coordinates(edge.a), frame.coordinates(edge.b)];
                if let Some(crossing) = Frame::crossing(&turned, u) {
                    let distance = crossing - v;
                    if distance >= 0.0 && distance <= best {
                        best = distance;
                        found = Some((distance, number as usize));
                    }
                }
            }
            let next = across.end.min(up.end);
            // What lies beyond this cell is farther; a NaN ends the walk too.
            if !(next <= best + MARGIN && next <= leave) {
                return found;
            }
            let goes_on = if across.end <= up.end {
                across.step(self.columns)
            } else {
                up.step(self.rows)
            };
            if !goes_on {
                return found;
            }
        }
    }

    /// The stretch of a ray that lies in the grid; `None` where it passes it by.
    fn inside(&self, from: Point, unit: Point) -> Option<(f64, f64)> {
        let width = self.columns as f64 * self.size;
        let height = self.rows as f64 * self.size;
        let (mut enter, mut leave) = (0.0_f64, f64::INFINITY);
        for (at, along, extent) in [
            (from.x - self.low.x, unit.x, width),
            (from.y - self.low.y, unit.y, height),
        ] {
            let (one, two) = ((0.0 - at) / along, (extent - at) / along);
            if one.is_nan() || two.is_nan() || one.is_infinite() || two.is_infinite() {
                // Along this axis it does not move.
                if !(-MARGIN..=extent + MARGIN).contains(&at) {
                    return None;
                }
                continue;
            }
            enter = enter.max(one.min(two));
            leave = leave.min(one.max(two));
        }
        (enter <= leave + MARGIN).then_some((enter, leave + MARGIN))
    }
}

/// A ray's way through columns, or through rows.
struct Walk {
    cell: usize,
    /// How far along the ray the cell ends.
    end: f64,
    /// Where the ray begins, from the start of the first cell.
    at: f64,
    size: f64,
    /// Length of the ray for each metre in this axis, with its sign.
    per_metre: f64,
}

impl Walk {
    fn new(along: f64, at: f64, cell: usize, size: f64) -> Self {
        let mut walk = Self {
            cell,
            end: f64::INFINITY,
            at,
            size,
            per_metre: 1.0 / along,
        };
        walk.end = walk.ends();
        walk
    }

    fn ends(&self) -> f64 {
        self.end_after(0)
    }

    /// How far along the ray the cell so many on ends; never less than that before it, however it is rounded.
    fn end_after(&self, cells: usize) -> f64 {
        let side = if self.per_metre > 0.0 {
            (self.cell + 1 + cells) as f64
        } else {
            self.cell as f64 - cells as f64
        };
        if self.per_metre.is_finite() {
            (side * self.size - self.at) * self.per_metre
        } else {
            f64::INFINITY
        }
    }

    /// How many of so many cells, this one the first, end so.
    fn count(&self, cells: usize, ends: impl Fn(f64) -> bool) -> usize {
        let (mut low, mut high) = (0, cells);
        while low < high {
            let middle = low + (high - low) / 2;
            if ends(self.end_after(middle)) {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        low
    }

    /// Goes on to the next cell, unless this was the last.
    fn step(&mut self, count: usize) -> bool {
        self.go(1, count)
    }

    /// Goes on by so many cells, unless the last comes before.
    fn go(&mut self, cells: usize, count: usize) -> bool {
        if self.per_metre > 0.0 {
            self.cell += cells;
        } else if let Some(before) = self.cell.checked_sub(cells) {
            self.cell = before;
        } else {
            return false;
        }
        self.end = self.ends();
        self.cell < count
    }
}
