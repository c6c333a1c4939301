//! Pointing or raising a station's antenna.

use super::fix::{At, Fix, as_id};
use super::{Wanted, altered, value_in};
use crate::passage::Passage;
use crate::passage::links::{azimuth, least_at_height, margins_by_azimuth};
use crate::plan::Plan;
use crate::plan::mission::Pointed;
use crate::plan::radio::{Link, Radio};
use crate::units::{Angle, Length, Quantity, Towards};

/// The step in which bearings are gone through first, in degrees. Numerical.
const COARSE: usize = 10;

/// The highest mast that an antenna is raised on, m: what two people set up (common practice, no source),
/// and what the rule about masts allows.
const HIGHEST: usize = 10;

/// The bearing that leaves most margin for any one station's antenna, or the height that any one
/// of them would have to be raised to, where either passes.
pub(super) fn point_or_raise(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<Fix> {
    let (link, radios) = radios(passage, wanted)?;
    point(passage, wanted, link, &radios).or_else(|| raise(passage, wanted, link, &radios))
}

/// The bearing of any one station's antenna, nearest to the present one, at which the far end of what it serves
/// is near enough to its axis.
pub(super) fn point_at_far_end(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<Fix> {
    let (link, radios) = radios(passage, wanted)?;
    let directional = radios
        .iter()
        .filter(|(_, radio)| radio.antenna.beamwidth.is_some());
    let fixes = directional.filter_map(|(station, radio)| {
        let now = azimuth(passage, *station, radio)?;
        let turned = |degrees: i32| Towards::new(now.angle() + Angle::degrees(f64::from(degrees)));
        let off = |degrees: i32| {
            let bearing = turned(degrees);
            let plan = altered(passage, |plan| point_to(plan, *station, link, bearing));
            value_in(wanted, &Passage::varied(&plan, passage.variation.clone()))
        };
        // It grows to both sides of where the far end lies on the axis.
        let least = |from: i32, to: i32, step: usize| {
            let all = (from..=to).step_by(step);
            let all = all.filter_map(|degrees| Some((degrees, off(degrees)?)));
            all.min_by(|(_, one), (_, other)| one.total_cmp(other))
        };
        let (near, _) = least(-180, 180, COARSE)?;
        let coarse = COARSE as i32;
        let (degrees, left) = least(near - coarse, near + coarse, 1)?;
        (wanted.side.margin(left, wanted.limit.value) >= 0.0)
            .then(|| pointed(passage, *station, link, turned(degrees)))
    });
    fixes.into_iter().next()
}

/// The link that is asked about, and the radios of the stations in use that have it.
fn radios<'p>(
    passage: &'p Passage<'_>,
    wanted: &Wanted<'_>,
) -> Option<(Link, Vec<(usize, &'p Radio)>)> {
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
    Some((link, radios))
}

/// A plan whose mission points a station's antenna.
fn point_to(plan: &mut Plan, station: usize, link: Link, bearing: Towards) {
    let id = plan.site.stations[station].id.clone();
    let pointed = &mut plan.mission.antennas;
    let held = pointed
        .iter_mut()
        .find(|one| one.link == link && one.station.value == id.value);
    match held {
        Some(held) => held.azimuth.value = bearing,
        None => pointed.push(Pointed {
            azimuth: id.clone().map(|_| bearing),
            station: id,
            link,
        }),
    }
}

/// An antenna pointed for the mission, where the mission states it or would.
fn pointed(passage: &Passage<'_>, station: usize, link: Link, bearing: Towards) -> Fix {
    let id = &passage.plan.site.stations[station].id.value;
    let mut all = passage.plan.mission.antennas.iter();
    let held = all.find(|one| one.link == link && one.station.value == *id);
    let fix = match held {
        Some(held) => Fix::set_one(At::Stated(held.azimuth.span()), bearing.to_string()),
        None => {
            let name = link.name();
            let id = as_id(id);
            let item = format!("{{ station: {id}, link: {name}, azimuth: {bearing} }}");
            Fix::set_one(At::Item("/antennas", None), item)
        }
    };
    fix.saying(format!("Point the antenna of {id} at {bearing}"))
}

fn point(
    passage: &Passage<'_>,
    wanted: &Wanted<'_>,
    link: Link,
    radios: &[(usize, &Radio)],
) -> Option<Fix> {
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
    (wanted.side.margin(value, wanted.limit.value) >= 0.0).then(|| {
        let fix = pointed(passage, station, link, bearing);
        fix.noting(format!("which leaves {margin}"))
    })
}

fn raise(
    passage: &Passage<'_>,
    wanted: &Wanted<'_>,
    link: Link,
    radios: &[(usize, &Radio)],
) -> Option<Fix> {
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
                let at = At::Stated(radio.antenna.height.span());
                let fix = Fix::set_one(at, raised.to_string());
                let fix = fix.saying(format!("Raise the antenna of {id} to {raised}"));
                return Some(fix.noting(format!("which leaves {margin}")));
            }
        }
    }
    None
}
