//! Depths at the nodes of a regular grid.

use super::super::geometry::Segment;
use super::super::plane::Point;
use super::strip::{Strip, area};
use super::{MOST_SOUNDINGS, SeabedError, Sounding, StripDepth, shallower};
use crate::units::{Length, Ratio};

/// A grid of depths, some of which may be missing.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    south_west: Point,
    step: (f64, f64),
    columns: usize,
    rows: usize,
    depths: Vec<Option<f64>>,
}

/// A place in a grid: the column and the row of its cell, and the share of the way across.
type Place = ((usize, f64), (usize, f64));

impl Grid {
    /// From the place of the south-western node, the steps east and north, the number of columns,
    /// and the depths row by row, each from west to east, the southernmost row first.
    ///
    /// # Errors
    /// A place or a depth that is not a number, steps that are not above zero, fewer than two
    /// columns or rows, a last row that is not full, or too many nodes.
    pub fn new(
        south_west: Point,
        step: (Length, Length),
        columns: usize,
        depths: &[Option<Length>],
    ) -> Result<Self, SeabedError> {
        if depths.len() > MOST_SOUNDINGS {
            return Err(SeabedError::TooMany(depths.len()));
        }
        let step = (step.0.get(), step.1.get());
        let good = |value: f64| value > 0.0 && value.is_finite();
        if !(good(step.0) && good(step.1) && south_west.is_finite()) {
            return Err(SeabedError::Shape(format!(
                "steps of {} m and {} m from ({} m, {} m)",
                step.0, step.1, south_west.x, south_west.y
            )));
        }
        if columns < 2 || depths.len() < 2 * columns || !depths.len().is_multiple_of(columns) {
            return Err(SeabedError::Shape(format!(
                "{} depths in {columns} columns",
                depths.len()
            )));
        }
        let bad = |depth: &Option<Length>| depth.is_some_and(|depth| !depth.get().is_finite());
        if let Some(i) = depths.iter().position(bad) {
            return Err(SeabedError::NotFinite(i));
        }
        Ok(Self {
            south_west,
            step,
            columns,
            rows: depths.len() / columns,
            depths: depths.iter().map(|depth| depth.map(Length::get)).collect(),
        })
    }

    fn node(&self, column: usize, row: usize) -> Point {
        self.south_west + Point::new(column as f64 * self.step.0, row as f64 * self.step.1)
    }

    fn depth(&self, column: usize, row: usize) -> Option<f64> {
        self.depths[row * self.columns + column]
    }

    fn place(&self, point: Point) -> Option<Place> {
        let from = point - self.south_west;
        let along = |metres: f64, step: f64, nodes: usize| {
            let at = metres / step;
            (0.0..=(nodes - 1) as f64).contains(&at).then(|| {
                let cell = (at as usize).min(nodes - 2);
                (cell, at - cell as f64)
            })
        };
        Some((
            along(from.x, self.step.0, self.columns)?,
            along(from.y, self.step.1, self.rows)?,
        ))
    }

    /// The depth at a point, bilinear between the corners of its cell; `None` off the grid and where
    /// a corner is missing.
    #[must_use]
    pub fn depth_at(&self, point: Point) -> Option<Length> {
        let ((column, x), (row, y)) = self.place(point)?;
        let south = self.depth(column, row)? * (1.0 - x) + self.depth(column + 1, row)? * x;
        let north = self.depth(column, row + 1)? * (1.0 - x) + self.depth(column + 1, row + 1)? * x;
        Some(Length::metres(south * (1.0 - y) + north * y))
    }

    /// The least depth within a half width of a segment: that of the shallowest corner of all cells
    /// that the strip touches, which no bilinear depth in them can be less than.
    ///
    /// The strip reaches the half width past the segment's sides and ends. A cell with a missing
    /// corner is unknown; the corners that it has count.
    #[must_use]
    pub fn least_depth(&self, segment: Segment, half_width: Length) -> StripDepth {
        let strip = Strip::new(segment, half_width);
        let envelope = strip.envelope();
        let (low, high) = (envelope.lower(), envelope.upper());
        let cells = |low: f64, high: f64, start: f64, step: f64, nodes: usize| {
            let last = (nodes - 2) as f64;
            let from = ((low - start) / step).floor();
            let to = ((high - start) / step).floor();
            // None where the strip lies off the grid, or is not a number.
            if to >= 0.0 && from <= last {
                from.max(0.0) as usize..to.min(last) as usize + 1
            } else {
                0..0
            }
        };
        let rows = cells(low[1], high[1], self.south_west.y, self.step.1, self.rows);
        let columns = cells(
            low[0],
            high[0],
            self.south_west.x,
            self.step.0,
            self.columns,
        );
        let mut least = None;
        let mut known = 0.0;
        let mut looked_at = 0;
        let (mut shape, mut spare) = (Vec::with_capacity(8), Vec::with_capacity(8));
        for row in rows {
            for column in columns.clone() {
                looked_at += 1;
                let nodes = [(0, 0), (1, 0), (1, 1), (0, 1)]
                    .map(|(east, north)| (column + east, row + north));
                shape.clear();
                shape.extend(nodes.map(|(c, r)| strip.corner(self.node(c, r), 0.0)));
                strip.cut(&mut shape, &mut spare);
                if shape.is_empty() {
                    continue;
                }
                let depths = nodes.map(|(c, r)| self.depth(c, r));
                if depths.iter().all(Option::is_some) {
                    known += area(&shape);
                }
                for ((c, r), depth) in nodes.into_iter().zip(depths) {
                    if let Some(depth) = depth {
                        let at = self.node(c, r);
                        let depth = Length::metres(depth);
                        least = shallower(least, Sounding { at, depth });
                    }
                }
            }
        }
        StripDepth {
            least,
            known: Ratio::fraction((known / strip.area()).clamp(0.0, 1.0)),
            looked_at,
        }
    }
}
