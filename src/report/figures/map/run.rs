//! A run laid over the map: its track, where it was left, where it ends.

use svg::Node as _;

use super::super::labels::Labels;
use super::super::style::{self, n, path, path_data};
use super::super::thin::thinned;
use super::{FINE, Sheet};
use crate::picture::At;

/// A run laid over the map.
#[derive(Clone, Copy)]
pub(crate) struct RunOnMap<'a> {
    /// The track in its pieces.
    pub pieces: &'a [Vec<At>],
    /// Where the run was left, where it was.
    pub left: Option<At>,
    /// Where the track ends.
    pub end: Option<At>,
}

pub(super) fn draw(
    sheet: &Sheet<'_>,
    group: &mut style::Group,
    labels: &mut Labels,
    run: RunOnMap<'_>,
) {
    for piece in run.pieces {
        let places = thinned(&sheet.places(piece), FINE);
        group.append(path(path_data(&places, false), "line four"));
    }
    let mut mark = |at: Option<At>, data: &dyn Fn(f64, f64) -> String| {
        let place = at.map(|at| sheet.place(at));
        let Some(place) = place.filter(|place| sheet.on(*place)) else {
            return;
        };
        group.append(path(data(place.0, place.1), "line four"));
        labels.keep(place, 6.0);
    };
    let cross = |x: f64, y: f64| format!("M{} {}h10m-5 -5v10", n(x - 5.0), n(y));
    let square = |x: f64, y: f64| format!("M{} {}h8v8h-8z", n(x - 4.0), n(y - 4.0));
    mark(run.left, &cross);
    mark(run.end, &square);
}

impl RunOnMap<'_> {
    /// What of a run has a name on the map, with it.
    pub(super) fn named(&self) -> impl Iterator<Item = (At, &'static str)> {
        let left = self.left.map(|at| (at, "route left"));
        let end = self.end.map(|at| (at, "track ends"));
        left.into_iter().chain(end)
    }
}
