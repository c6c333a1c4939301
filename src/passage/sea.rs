//! The sea over the plan's water, for each wind direction, on a lattice that is filled as it is
//! asked for.

use std::sync::{Arc, OnceLock};

use super::places::{Number, Places};
use super::scenario::Scenarios;
use crate::models::fetch::{Fan, Fetches};
use crate::models::geometry::Shore;
use crate::models::plane::Point;
use crate::models::waves::growth::fetch_after;
use crate::models::waves::{Sea, design_height, design_sea};
use crate::units::{FromDirection, Length, Speed, Time, Towards};

/// Spacing of the lattice, m.
const SPACING: f64 = 50.0;

/// The nodes around a cell.
const AROUND: [(i64, i64); 4] = [(0, 0), (0, 1), (1, 0), (1, 1)];

/// The waves at a place under one wind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Waves {
    /// Height, and the range of periods.
    pub sea: Sea,
    /// Where they come from, which on narrow water is not where the wind does.
    pub from: FromDirection,
}

impl Waves {
    /// The greater height with the direction that goes with it, and all the periods.
    fn envelope(self, other: Self) -> Self {
        Self {
            sea: self.sea.envelope(other.sea),
            from: if other.sea.height > self.sea.height {
                other.from
            } else {
                self.from
            },
        }
    }
}

/// How the height of the waves at a place comes about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Raised {
    /// The part of the wind along the fetch, at 10 m.
    pub wind: Speed,
    /// The fetch, cut to what the wind's duration allows.
    pub fetch: Length,
    /// Where it lies.
    pub from: FromDirection,
}

/// The lattice over a plan's water with the fetches of its nodes, which a stronger or weaker wind
/// from the same directions shares.
#[derive(Debug)]
pub(super) struct Lattice {
    shore: Arc<Shore>,
    anchor: Point,
    /// Unit vector to where the planned wind comes from, and the one 90° clockwise of it.
    axes: (Point, Point),
    low: (i64, i64),
    columns: usize,
    count: usize,
    directions: Vec<FromDirection>,
    fan: Fan,
    /// The fetches of each node, one a direction; none on land.
    fetches: Vec<OnceLock<Option<Box<[Fetches]>>>>,
    /// The places that a boat comes through.
    places: Places,
    /// Of the points whose waves let the boat down, one of each cell and current.
    over_bed: OnceLock<Vec<Point>>,
    /// The places in the order in which a boat comes through them on the route and all return legs.
    in_order: OnceLock<Vec<Number>>,
}

/// The sea for one wind direction.
#[derive(Debug)]
struct Direction {
    nodes: Vec<OnceLock<Waves>>,
    /// The worst of the four nodes around each cell, numbered as the lowest of them.
    cells: Vec<OnceLock<Waves>>,
}

/// The sea for every direction of the set.
#[derive(Debug)]
pub(super) struct SeaField {
    lattice: Arc<Lattice>,
    /// The first of its directions among the lattice's.
    first: usize,
    directions: Vec<Direction>,
    u10: Speed,
    water: Water,
}

/// What the waves depend on beside wind and shore.
#[derive(Clone, Copy, Debug)]
pub(super) struct Water {
    /// Mean depth, where stated.
    pub depth: Option<Length>,
    /// How long the wind has blown, where stated.
    pub duration: Option<Time>,
}

/// Nodes that the lattice may have; a plan needs a fraction of it.
const MOST_NODES: usize = 1 << 20;

impl Lattice {
    /// Lays the lattice over a set of points, for winds from some directions. `None` where they lie too far apart.
    pub(super) fn new(
        shore: &Arc<Shore>,
        points: impl Iterator<Item = Point>,
        launch: Point,
        planned: FromDirection,
        directions: &[FromDirection],
    ) -> Option<Self> {
        let along = Point::towards(Towards::new(planned.angle()));
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
        Some(Self {
            shore: Arc::clone(shore),
            anchor,
            axes: (along, across),
            low,
            columns,
            count,
            directions: directions.to_vec(),
            fan: Fan::new(planned, directions),
            fetches: unasked(count),
            places: Places::default(),
            over_bed: OnceLock::new(),
            in_order: OnceLock::new(),
        })
    }

    /// The same with the places that a boat comes through.
    pub(super) fn with(self, places: Places) -> Self {
        Self { places, ..self }
    }

    /// Where some directions stand among its own, one after the other; `None` where it was laid for others.
    fn place_of(&self, directions: &[FromDirection]) -> Option<usize> {
        let bits = |of: &FromDirection| of.angle().get().to_bits();
        let mut among = self.directions.windows(directions.len().max(1));
        among.position(|some| some.iter().map(bits).eq(directions.iter().map(bits)))
    }

    /// The cell that a point lies in.
    pub(super) fn cell_of(&self, point: Point) -> (i64, i64) {
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

    /// The fetches at a node, however long the wind has blown; `None` on land.
    fn fetches(&self, direction: usize, i: i64, j: i64) -> Option<Fetches> {
        let compute = || {
            let at = self.node_at(i, j);
            let wet = self.shore.is_water(at);
            wet.then(|| self.fan.fetches(&self.shore, at).collect())
        };
        let of = |all: &Option<Box<[Fetches]>>| all.as_ref()?.get(direction).copied();
        match self.place(i, j).and_then(|at| self.fetches.get(at)) {
            Some(kept) => of(kept.get_or_init(compute)),
            None => of(&compute()),
        }
    }
}

fn unasked<T>(count: usize) -> Vec<OnceLock<T>> {
    std::iter::repeat_with(OnceLock::new).take(count).collect()
}

impl SeaField {
    /// Prepares the sea on a lattice that was laid for the same directions, or for others around them too; `None`
    /// on one for others.
    pub(super) fn new(lattice: &Arc<Lattice>, scenarios: &Scenarios, water: Water) -> Option<Self> {
        let first = lattice.place_of(&scenarios.directions)?;
        let directions = scenarios.directions.iter();
        Some(Self {
            lattice: Arc::clone(lattice),
            first,
            directions: directions
                .map(|_| Direction {
                    nodes: unasked(lattice.count),
                    cells: unasked(lattice.count),
                })
                .collect(),
            u10: scenarios.sustained_u10,
            water,
        })
    }

    /// The waves at a point for one direction of the set: the worst of the four nodes around it,
    /// each figure for itself.
    pub(super) fn at(&self, direction: usize, point: Point) -> Waves {
        let (i, j) = self.lattice.cell_of(point);
        let compute = || {
            AROUND.iter().fold(self.calm(direction), |waves, (di, dj)| {
                waves.envelope(self.node(direction, i + di, j + dj))
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

    /// The waves at the one of the four nodes around a point where they are highest, everything
    /// from one place. Their height is that of [`at`](Self::at).
    pub(super) fn highest(&self, direction: usize, point: Point) -> Waves {
        let (i, j) = self.lattice.cell_of(point);
        AROUND
            .iter()
            .fold(self.calm(direction), |highest, (di, dj)| {
                let waves = self.node(direction, i + di, j + dj);
                if waves.sea.height > highest.sea.height {
                    waves
                } else {
                    highest
                }
            })
    }

    /// How the height of the waves at a point comes about: that of the highest of the four nodes
    /// around it. `None` where there are no waves.
    pub(super) fn raised(&self, direction: usize, point: Point) -> Option<Raised> {
        let (i, j) = self.lattice.cell_of(point);
        let height = |raised: &Raised| design_height(raised.wind, raised.fetch, self.water.depth);
        let all = AROUND
            .iter()
            .filter_map(|(di, dj)| self.fetches(direction, i + di, j + dj))
            .flat_map(|fetches| self.raise(direction, &fetches));
        let mut best: Option<(Length, Raised)> = None;
        for raised in all {
            let height = height(&raised);
            if best.is_none_or(|(held, _)| height > held) {
                best = Some((height, raised));
            }
        }
        best.map(|(_, raised)| raised)
    }

    /// The places that a boat comes through.
    pub(super) fn places(&self) -> &Places {
        &self.lattice.places
    }

    /// The points whose waves let the boat down, which `find` gives where they are not known yet: no strength of
    /// wind makes others of them.
    pub(super) fn over_bed(&self, find: impl FnOnce(&Lattice) -> Vec<Point>) -> &[Point] {
        self.lattice.over_bed.get_or_init(|| find(&self.lattice))
    }

    /// The places in the order in which a boat comes through them, which `find` gives where it is not known yet.
    pub(super) fn in_order(&self, find: impl FnOnce(&Places) -> Vec<Number>) -> &[Number] {
        self.lattice
            .in_order
            .get_or_init(|| find(&self.lattice.places))
    }

    /// Mean depth and the wind's duration.
    pub(super) fn water(&self) -> Water {
        self.water
    }

    /// Where the wind of one of its directions comes from.
    fn direction(&self, direction: usize) -> FromDirection {
        self.lattice.directions[self.first + direction]
    }

    /// The fetches at a node; `None` on land.
    fn fetches(&self, direction: usize, i: i64, j: i64) -> Option<Fetches> {
        self.lattice.fetches(self.first + direction, i, j)
    }

    fn calm(&self, direction: usize) -> Waves {
        Waves {
            sea: Sea::CALM,
            from: self.direction(direction),
        }
    }

    fn node(&self, direction: usize, i: i64, j: i64) -> Waves {
        let compute = || {
            let Some(fetches) = self.fetches(direction, i, j) else {
                return self.calm(direction);
            };
            let raised = self.raise(direction, &fetches);
            // Waves come along the chief fetch, and have its periods, however the wind has blown.
            let [along, chief] = raised;
            let mut sea = design_sea(chief.wind, chief.fetch, self.water.depth);
            if fetches.off_wind.get().abs() > 0.0 && sea.has_waves() {
                sea.height =
                    sea.height
                        .max(design_height(along.wind, along.fetch, self.water.depth));
            }
            Waves {
                sea,
                from: chief.from,
            }
        };
        let nodes = &self.directions[direction].nodes;
        match self.lattice.place(i, j).and_then(|at| nodes.get(at)) {
            Some(node) => *node.get_or_init(compute),
            None => compute(),
        }
    }

    /// The wind and the fetch that counts along the wind, and along the chief fetch.
    fn raise(&self, direction: usize, fetches: &Fetches) -> [Raised; 2] {
        let along = self.direction(direction);
        let raised = |wind: Speed, fetch: Length, from: FromDirection| Raised {
            wind,
            fetch: match self.water.duration {
                Some(duration) => fetch_after(wind, fetch, duration),
                None => fetch,
            },
            from,
        };
        [
            raised(self.u10, fetches.along, along),
            raised(
                self.u10 * fetches.off_wind.get().cos(),
                fetches.chief,
                along.veered(fetches.off_wind),
            ),
        ]
    }
}
