//! Pointing or raising a station's antenna.

use super::Wanted;
use crate::passage::Passage;
use crate::passage::links::{azimuth, least_at_height, margins_by_azimuth};
use crate::plan::radio::{Link, Radio};
use crate::units::{Angle, Length, Quantity, Towards};

/// The highest mast that an antenna is raised on, m: what two people set up (common practice, no source),
/// and what the rule about masts allows.
const HIGHEST: usize = 10;

/// The bearing that leaves most margin for any one station's antenna, or the height that any one
/// of them would have to be raised to, where either passes.
pub(super) fn point_or_raise(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<String> {
    let link = passage
        .links()
        .iter()
        .map(|reading| reading.link)
        .find(|link| format!("{} link", link.name()) == wanted.subject)?;
    let stations = passage.plan.site.stations.iter().enumerate();
    let radios: Vec<(usize, &Radio)> = stations
        .filter(|(index, _)| passage.plan.mission.uses_station(*index))
        .filter_map(|(index, station)| {
            let radio = station
                .radios
                .iter()
                .find(|radio| radio.link.value == link)?;
            Some((index, radio))
        })
        .collect();
    point(passage, wanted, link, &radios).or_else(|| raise(passage, wanted, link, &radios))
}

fn point(
    passage: &Passage<'_>,
    wanted: &Wanted<'_>,
    link: Link,
    radios: &[(usize, &Radio)],
) -> Option<String> {
    let mut best: Option<(f64, usize, Towards)> = None;
    for (station, radio) in radios
        .iter()
        .filter(|(_, radio)| radio.antenna.beamwidth.is_some())
    {
        let Some(now) = azimuth(passage, *station, radio) else {
            continue;
        };
        // Whole degrees from the present bearing on, so that a turned plan gives the same advice.
        let bearings: Vec<Towards> = (0..360)
            .map(|degree| Towards::new(now.angle() + Angle::degrees(f64::from(degree))))
            .collect();
        let Ok(margins) = margins_by_azimuth(passage, link, *station, &bearings) else {
            continue;
        };
        for (value, bearing) in margins.into_iter().zip(bearings) {
            if best.is_none_or(|(held, _, _)| value > held + 1e-9) {
                best = Some((value, *station, bearing));
            }
        }
    }
    let (value, station, bearing) = best?;
    let margin = Quantity::new(value, wanted.limit.dimension);
    let id = &passage.plan.site.stations[station].id.value;
    (wanted.side.margin(value, wanted.limit.value) >= 0.0)
        .then(|| format!("Point the antenna of {id} at {bearing}, which leaves {margin}."))
}

fn raise(
    passage: &Passage<'_>,
    wanted: &Wanted<'_>,
    link: Link,
    radios: &[(usize, &Radio)],
) -> Option<String> {
    for height in 1..=HIGHEST {
        for (station, radio) in radios {
            let ground = passage.plan.site.stations[*station].ground.value;
            let raised = ground + Length::metres(height as f64);
            if raised <= radio.antenna.height.value {
                continue;
            }
            let Ok(value) = least_at_height(passage, link, *station, raised) else {
                continue;
            };
            if wanted.side.margin(value, wanted.limit.value) >= 0.0 {
                let margin = Quantity::new(value, wanted.limit.dimension);
                let id = &passage.plan.site.stations[*station].id.value;
                return Some(format!(
                    "Raise the antenna of {id} to {raised}, which leaves {margin}."
                ));
            }
        }
    }
    None
}
