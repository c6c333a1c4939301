//! Where antennas point, and where a link goes over to another station.

use super::along::AlongRoute;
use crate::passage::Passage;
use crate::passage::links::azimuth;
use crate::plan::mission::LinkUse;
use crate::units::{Angle, Length, Towards};

/// Where an antenna points.
#[derive(Clone, PartialEq, Debug)]
pub struct Pointing {
    /// The station.
    pub station: String,
    /// The link.
    pub link: &'static str,
    /// Bearing of its axis, true.
    pub bearing: Towards,
    /// Width of its beam.
    pub beam: Angle,
}

/// Where the link goes over from one station to another.
#[derive(Clone, PartialEq, Debug)]
pub struct HandOver {
    /// The link.
    pub link: &'static str,
    /// Station before.
    pub from: String,
    /// Station after.
    pub to: String,
    /// Distance along the route.
    pub along: Length,
    /// Waypoint that the boat is on the way to.
    pub before: String,
}

/// The antennas of stations in use, of needed and wanted links, that have a direction.
pub(super) fn antennas(passage: &Passage<'_>) -> Vec<Pointing> {
    let mut all = Vec::new();
    let stations = passage.plan.site.stations.iter().enumerate();
    let in_use = stations.filter(|(index, _)| passage.plan.mission.uses_station(*index));
    for (index, station) in in_use {
        for radio in &station.radios {
            let needed = passage.plan.mission.link_use(radio.link.value);
            let used = needed.is_some_and(|usage| usage.value != LinkUse::NotUsed);
            let (Some(bearing), Some(beam)) = (
                azimuth(passage, index, radio),
                radio.antenna.beamwidth.as_ref(),
            ) else {
                continue;
            };
            if used {
                all.push(Pointing {
                    station: station.id.value.clone(),
                    link: radio.link.value.name(),
                    bearing,
                    beam: beam.value,
                });
            }
        }
    }
    all
}

/// Stretches shorter than this change nothing about who serves the boat, m.
const SHORT: f64 = 50.0;
/// Most hand-overs that are reported.
const MOST: usize = 6;

/// Where the best station changes for longer than a moment.
pub(super) fn hand_overs(along: &AlongRoute) -> Vec<HandOver> {
    let mut all = Vec::new();
    for link in &along.links {
        let Some(mut serving) = link.station.first() else {
            continue;
        };
        for sample in 1..link.station.len() {
            let now = &link.station[sample];
            if now == serving {
                continue;
            }
            let rest = link.station[sample..].iter();
            let stays = rest.take_while(|station| *station == now).count();
            let end = (sample + stays).min(along.distance.len() - 1);
            let length = along.distance[end] - along.distance[sample];
            if length.get() < SHORT {
                continue;
            }
            let before = along
                .waypoints
                .iter()
                .find(|station| station.sample >= sample);
            all.push(HandOver {
                link: link.link,
                from: serving.clone(),
                to: now.clone(),
                along: along.distance[sample],
                before: before.map_or_else(String::new, |station| station.id.clone()),
            });
            serving = now;
        }
    }
    all.truncate(MOST);
    all
}
