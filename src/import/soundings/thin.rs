//! The shoalest sounding of each cell, however many there are.

use std::collections::BTreeMap;

use crate::import::whereabouts::Whereabouts;
use crate::models::geodesy::{Plane, Position};
use crate::units::Length;

/// Most soundings that are kept: as many as a file may hold that a check reads.
const MOST_KEPT: usize = 250_000;
/// How far soundings may lie from the first one, m: across the whole of the largest site.
const FARTHEST: f64 = 40_000.0;

/// A sounding that is kept, depth in metres below the datum.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Kept {
    pub latitude: f64,
    pub longitude: f64,
    pub depth: f64,
}

/// Soundings thinned as they come.
pub(super) struct Thinner {
    cell: Option<f64>,
    first: Option<(Plane, Position)>,
    cells: BTreeMap<(i64, i64), Kept>,
    all: Vec<Kept>,
    range: Option<(f64, f64)>,
    reach: Option<Whereabouts>,
}

impl Thinner {
    pub(super) fn new(cell: Option<Length>) -> Self {
        Self {
            cell: cell.map(Length::get),
            first: None,
            cells: BTreeMap::new(),
            all: Vec::new(),
            range: None,
            reach: None,
        }
    }

    /// Takes a sounding.
    ///
    /// # Errors
    /// One that lies nowhere near the first, or more than can be written.
    pub(super) fn take(&mut self, latitude: f64, longitude: f64, depth: f64) -> Result<(), String> {
        let position = Position::from_degrees(latitude, longitude);
        let (plane, first) = self
            .first
            .get_or_insert_with(|| (Plane::about(position), position));
        let at = plane.to_plane(position);
        let turned = (position.longitude - first.longitude)
            .wrapped()
            .to_degrees();
        let apart = (position.latitude - first.latitude).to_degrees();
        // The far side of the earth would fold back into the plane.
        let near = at.length() <= FARTHEST && apart.abs() < 1.0 && turned.abs() < 90.0;
        if !near {
            return Err(format!(
                "the sounding at [{latitude:.6}, {longitude:.6}] lies more than {:.0} km from the first one; cut the \
                 file to the site",
                FARTHEST / 1000.0
            ));
        }
        let (shoalest, deepest) = self.range.unwrap_or((depth, depth));
        self.range = Some((shoalest.min(depth), deepest.max(depth)));
        let at_degrees = (latitude, longitude);
        match &mut self.reach {
            Some(reach) => reach.take(at_degrees),
            None => self.reach = Whereabouts::from_positions([at_degrees]),
        }
        let kept = Kept {
            latitude,
            longitude,
            depth,
        };
        match self.cell {
            None => self.all.push(kept),
            Some(cell) => {
                #[expect(
                    clippy::cast_possible_truncation,
                    reason = "40 km over the least cell is far below the largest whole number"
                )]
                let of = |value: f64| (value / cell).floor() as i64;
                let held = self.cells.entry((of(at.y), of(at.x))).or_insert(kept);
                if depth < held.depth {
                    *held = kept;
                }
            }
        }
        if self.all.len() > MOST_KEPT {
            return Err(format!(
                "there are more than {MOST_KEPT} soundings, which no file of a site holds; `--cell \"2 m\"` keeps the \
                 shoalest of each cell of 2 m"
            ));
        }
        if self.cells.len() > MOST_KEPT {
            return Err(format!(
                "more than {MOST_KEPT} cells hold soundings, which no file of a site holds; make `--cell` larger"
            ));
        }
        Ok(())
    }

    /// The least and the greatest depth; `None` where nothing was taken.
    pub(super) fn range(&self) -> Option<(f64, f64)> {
        self.range
    }

    /// How far they reach; `None` where nothing was taken.
    pub(super) fn reach(&self) -> Option<Whereabouts> {
        self.reach
    }

    /// What is kept: in the order of the file, or by cells from south to north and west to east.
    pub(super) fn into_kept(self) -> Vec<Kept> {
        match self.cell {
            None => self.all,
            Some(_) => self.cells.into_values().collect(),
        }
    }
}
