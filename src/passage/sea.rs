//! The sea over the plan's water, for each wind direction, on a lattice that is filled as it is
//! asked for.

use std::sync::{Arc, OnceLock};

use super::scenario::Scenarios;
use crate::models::fetch::Radial;
use crate::models::geometry::Shore;
use crate::models::plane::Point;
use crate::models::waves::growth::fetch_after;
use crate::models::waves::{Sea, design_sea};
use crate::units::{Angle, FromDirection, Length, Speed, Time, Towards};

/// Spacing of the lattice, m.
const SPACING: f64 = 50.0;
/// Radials either side of the wind's own direction, and the angle between them.
const RADIALS_EACH_SIDE: i32 = 4;
const RADIAL_STEP_DEGREES: f64 = 3.0;

/// The nodes around a cell.
const AROUND: [(i64, i64); 4] = [(0, 0), (0, 1), (1, 0), (1, 1)];

/// The water before one wind direction.
#[derive(Debug)]
struct Upwind {
    radials: Vec<Radial>,
    /// The effective fetch of each node; none on land.
    fetches: Vec<OnceLock<Option<Length>>>,
}

/// The lattice over a plan's water with the fetches of its nodes, which a stronger or weaker wind
/// from the same directions shares.
#[derive(Debug)]
pub struct Lattice {
    shore: Arc<Shore>,
    anchor: Point,
    /// Unit vector to where the planned wind comes from, and the one 90° clockwise of it.
    axes: (Point, Point),
    low: (i64, i64),
    columns: usize,
    count: usize,
    directions: Vec<Upwind>,
}

/// The sea for one wind direction.
#[derive(Debug)]
struct Direction {
    nodes: Vec<OnceLock<Sea>>,
    /// The worst of the four nodes around each cell, numbered as the lowest of them.
    cells: Vec<OnceLock<Sea>>,
}

/// The sea for every direction of the set.
#[derive(Debug)]
pub struct SeaField {
    lattice: Arc<Lattice>,
    directions: Vec<Direction>,
    u10: Speed,
    water: Water,
}

/// What the waves depend on beside wind and shore.
#[derive(Clone, Copy, Debug)]
pub struct Water {
    /// Mean depth, where stated.
    pub depth: Option<Length>,
    /// How long the wind has blown, where stated.
    pub duration: Option<Time>,
}

/// Nodes that the lattice may have; a plan needs a fraction of it.
const MOST_NODES: usize = 1 << 20;

impl Lattice {
    /// Lays the lattice over a set of points. `None` where they lie too far apart.
    pub fn new(
        shore: &Arc<Shore>,
        points: impl Iterator<Item = Point>,
        launch: Point,
        scenarios: &Scenarios,
    ) -> Option<Self> {
        let along = Point::towards(Towards::new(scenarios.planned.angle()));
        let across = Point::new(along.y, -along.x);
        // A leg straight into the wind from the launch point, which planners like to draw, then
        // runs along the middle of cells, and not on a line between two of them.
        let anchor = launch - (along + across).scale(SPACING / 2.0);
        let cell = |p: Point| {
            let d = p - anchor;
            (
                (d.dot(along) / SPACING).floor() as i64,
                (d.dot(across) / SPACING).floor() as i64,
            )
        };
        let mut low = (i64::MAX, i64::MAX);
        let mut high = (i64::MIN, i64::MIN);
        for point in points {
            let (i, j) = cell(point);
            low = (low.0.min(i), low.1.min(j));
            high = (high.0.max(i), high.1.max(j));
        }
        if low.0 > high.0 {
            return None;
        }
        // One more, for the far corners of the last cells.
        let rows = usize::try_from(high.0 - low.0 + 2).ok()?;
        let columns = usize::try_from(high.1 - low.1 + 2).ok()?;
        let count = rows.checked_mul(columns).filter(|n| *n <= MOST_NODES)?;
        let directions = scenarios
            .directions
            .iter()
            .map(|from| Upwind {
                radials: radials(*from),
                fetches: unasked(count),
            })
            .collect();
        Some(Self {
            shore: Arc::clone(shore),
            anchor,
            axes: (along, across),
            low,
            columns,
            count,
            directions,
        })
    }

    fn cell_of(&self, point: Point) -> (i64, i64) {
        let d = point - self.anchor;
        (
            (d.dot(self.axes.0) / SPACING).floor() as i64,
            (d.dot(self.axes.1) / SPACING).floor() as i64,
        )
    }

    fn node_at(&self, i: i64, j: i64) -> Point {
        self.anchor + self.axes.0.scale(i as f64 * SPACING) + self.axes.1.scale(j as f64 * SPACING)
    }

    /// Where a node is kept; `None` off the lattice.
    fn place(&self, i: i64, j: i64) -> Option<usize> {
        let row = usize::try_from(i - self.low.0).ok()?;
        let column = usize::try_from(j - self.low.1)
            .ok()
            .filter(|column| *column < self.columns)?;
        Some(row * self.columns + column)
    }

    /// The effective fetch at a node, however long the wind has blown; `None` on land.
    fn fetch(&self, direction: usize, i: i64, j: i64) -> Option<Length> {
        let upwind = &self.directions[direction];
        let compute = || {
            let at = self.node_at(i, j);
            if !self.shore.is_water(at) {
                return None;
            }
            let fetches = upwind.radials.iter();
            let sum: f64 = fetches
                .map(|radial| radial.fetch(&self.shore, at).get())
                .sum();
            Some(Length::metres(sum / upwind.radials.len() as f64))
        };
        match self.place(i, j).and_then(|at| upwind.fetches.get(at)) {
            Some(fetch) => *fetch.get_or_init(compute),
            None => compute(),
        }
    }
}

fn unasked<T>(count: usize) -> Vec<OnceLock<T>> {
    std::iter::repeat_with(OnceLock::new).take(count).collect()
}

impl SeaField {
    /// Prepares the sea on a lattice that was laid for the same directions.
    pub fn new(lattice: &Arc<Lattice>, scenarios: &Scenarios, water: Water) -> Self {
        let directions = lattice.directions.iter();
        Self {
            lattice: Arc::clone(lattice),
            directions: directions
                .map(|_| Direction {
                    nodes: unasked(lattice.count),
                    cells: unasked(lattice.count),
                })
                .collect(),
            u10: scenarios.sustained_u10,
            water,
        }
    }

    /// The sea at a point for one direction of the set: the worst of the four nodes around it.
    pub fn at(&self, direction: usize, point: Point) -> Sea {
        let (i, j) = self.lattice.cell_of(point);
        let compute = || {
            AROUND.iter().fold(Sea::CALM, |sea, (di, dj)| {
                sea.envelope(self.node(direction, i + di, j + dj))
            })
        };
        let cell = self
            .lattice
            .place(i, j)
            .and_then(|at| self.directions[direction].cells.get(at));
        match cell {
            Some(cell) => *cell.get_or_init(compute),
            None => compute(),
        }
    }

    /// The sea at the one of the four nodes around a point where it is highest, its height and its
    /// period from one place. Its height is that of [`at`](Self::at).
    pub fn highest(&self, direction: usize, point: Point) -> Sea {
        let (i, j) = self.lattice.cell_of(point);
        AROUND.iter().fold(Sea::CALM, |highest, (di, dj)| {
            let sea = self.node(direction, i + di, j + dj);
            if sea.height > highest.height {
                sea
            } else {
                highest
            }
        })
    }

    /// The greatest fetch among the four nodes around a point, the one that the height of its
    /// waves follows from, already cut to what the wind's duration allows.
    pub fn fetch(&self, direction: usize, point: Point) -> Length {
        let (i, j) = self.lattice.cell_of(point);
        let fetches = AROUND
            .iter()
            .filter_map(|(di, dj)| self.fetch_at(direction, i + di, j + dj));
        fetches.fold(Length::ZERO, Length::max)
    }

    /// Mean depth and the wind's duration.
    pub fn water(&self) -> Water {
        self.water
    }

    fn node(&self, direction: usize, i: i64, j: i64) -> Sea {
        let compute = || {
            self.fetch_at(direction, i, j).map_or(Sea::CALM, |fetch| {
                design_sea(self.u10, fetch, self.water.depth)
            })
        };
        let nodes = &self.directions[direction].nodes;
        match self.lattice.place(i, j).and_then(|at| nodes.get(at)) {
            Some(node) => *node.get_or_init(compute),
            None => compute(),
        }
    }

    /// The fetch to reckon with at a node; `None` on land.
    fn fetch_at(&self, direction: usize, i: i64, j: i64) -> Option<Length> {
        let fetch = self.lattice.fetch(direction, i, j)?;
        Some(match self.water.duration {
            Some(duration) => fetch_after(self.u10, fetch, duration),
            None => fetch,
        })
    }
}

/// The directions that the effective fetch is the mean of.
fn radials(from: FromDirection) -> Vec<Radial> {
    (-RADIALS_EACH_SIDE..=RADIALS_EACH_SIDE)
        .map(|k| {
            let off = Angle::degrees(f64::from(k) * RADIAL_STEP_DEGREES);
            Radial::new(from.veered(off))
        })
        .collect()
}
