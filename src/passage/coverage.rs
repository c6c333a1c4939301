//! How well a link serves the route and the water around its stations, for figures.

use rayon::prelude::*;

use super::Passage;
use super::links::{NoLink, azimuth, budget, serving};
use crate::models::plane::Point;
use crate::plan::radio::Link;
use crate::units::{Angle, Length, Towards};

/// The station that serves a place best.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Served {
    /// Margin above the sensitivity, dB.
    pub margin: f64,
    /// The station, by index.
    pub station: usize,
}

/// How far a link carries around one station.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Reach {
    /// The station, by index.
    pub station: usize,
    /// Where the margin first falls short, one place a bearing, clockwise from north.
    pub outline: Vec<Point>,
}

/// Bearings that the reach is looked at along.
const BEARINGS: u32 = 72;
/// Steps outwards along each of them.
const STEPS: u32 = 60;

/// The margin of a link at every sample of the route.
///
/// # Errors
/// [`NoLink`] where it has none.
pub(crate) fn along(passage: &Passage<'_>, link: Link) -> Result<Vec<Served>, NoLink> {
    let (aboard, stations) = serving(passage.plan, link)?;
    let site = &passage.plan.site;
    let best = |at: &Point| {
        let mut best: Option<Served> = None;
        for (index, station, radio) in &stations {
            let azimuth = azimuth(passage, *index, radio);
            let margin = budget(site, station, radio, azimuth, aboard, *at).margin;
            if best.is_none_or(|held| margin > held.margin) {
                best = Some(Served {
                    margin,
                    station: *index,
                });
            }
        }
        best.ok_or(NoLink::NoStation)
    };
    passage.track.samples.par_iter().map(best).collect()
}

/// How far a link carries around each of its stations with a margin, dB, out to a distance.
///
/// # Errors
/// [`NoLink`] where it has none.
pub(crate) fn reach(
    passage: &Passage<'_>,
    link: Link,
    margin: f64,
    farthest: Length,
) -> Result<Vec<Reach>, NoLink> {
    let (aboard, stations) = serving(passage.plan, link)?;
    let site = &passage.plan.site;
    let step = farthest.get() / f64::from(STEPS);
    let one = |(index, station, radio): &(usize, &_, &_)| {
        let station: &crate::plan::site::Station = station;
        let azimuth = azimuth(passage, *index, radio);
        let outwards = |bearing: u32| {
            let turn = 360.0 * f64::from(bearing) / f64::from(BEARINGS);
            let out = Point::towards(Towards::new(Angle::degrees(turn)));
            let mut last = station.at;
            for count in 1..=STEPS {
                let at = station.at + out.scale(f64::from(count) * step);
                if budget(site, station, radio, azimuth, aboard, at).margin < margin {
                    break;
                }
                last = at;
            }
            last
        };
        Reach {
            station: *index,
            outline: (0..BEARINGS).into_par_iter().map(outwards).collect(),
        }
    };
    Ok(stations.iter().map(one).collect())
}
