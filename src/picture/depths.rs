//! Depths over the map.

use super::view::View;
use crate::models::plane::Point;
use crate::passage::Passage;
use crate::units::Length;

/// Nodes of the depth lattice along the greater extent.
const NODES: usize = 64;

/// Depths on a lattice over the view, below the datum of the soundings.
#[derive(Clone, PartialEq, Debug)]
pub struct Depths {
    /// Columns of the lattice.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// Depth at each node in metres, west to east, then south to north; not there where unknown.
    pub nodes: Vec<Option<f64>>,
    /// What they are below.
    pub datum: String,
}

/// The depths over a view; nothing without soundings.
pub(super) fn depths(passage: &Passage<'_>, view: View) -> Option<Depths> {
    let soundings = passage.plan.site.depths.soundings.as_ref()?;
    let (wide, high) = (
        view.high.east - view.low.east,
        view.high.north - view.low.north,
    );
    let step = wide.max(high) / NODES as f64;
    let (columns, rows) = (
        (wide / step).round().max(1.0) as usize + 1,
        (high / step).round().max(1.0) as usize + 1,
    );
    let share = |index: usize, count: usize| index as f64 / (count - 1) as f64;
    let mut nodes = Vec::with_capacity(columns * rows);
    for row in 0..rows {
        for column in 0..columns {
            let at = Point::new(
                view.low.east + share(column, columns) * wide,
                view.low.north + share(row, rows) * high,
            );
            nodes.push(soundings.bed.depth_at(at).map(Length::get));
        }
    }
    Some(Depths {
        columns,
        rows,
        nodes,
        datum: soundings.datum.value.clone(),
    })
}
