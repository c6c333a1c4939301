//! The margin of each radio link that the mission needs, along the route and on the return legs.

use super::Passage;
use super::track::{HOME_STEP, cut};
use crate::models::constants::Water;
use crate::models::geometry::Segment;
use crate::models::plane::Point;
use crate::models::radio::{
    EFFECTIVE_RADIUS, Ground, Polarisation, antenna_pattern, bulge, free_space, knife_edge,
    knife_edge_parameter, smooth_earth, two_ray_far,
};
use crate::plan::Plan;
use crate::plan::mission::LinkUse;
use crate::plan::radio::{Link, Radio};
use crate::plan::site::{Site, Station};
use crate::units::{Angle, Length, Level, Towards};

/// Return legs are looked at from every so many samples, and from each leg's end.
const HOME_EVERY: usize = 4;
/// Longest stretch of land that a station, or a person, itself stands on, m.
pub(super) const OWN_GROUND: f64 = 50.0;
/// Radios farther apart than this share of their frequency do not hear each other.
const SAME_FREQUENCY: f64 = 0.01;
/// Loss between crossed polarisations; from memory.
const CROSSED: f64 = 20.0;

/// One link that the mission needs.
#[derive(Clone, Debug)]
pub struct LinkReading {
    /// The link.
    pub link: Link,
    /// Its least margin, or why it has none.
    pub outcome: Result<LinkMargin, NoLink>,
}

/// Why a needed link has no margin.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum NoLink {
    /// The vessel has no radio for it.
    NoRadioAboard,
    /// No station of the site has one on the same frequency.
    NoStation,
    /// Stations of the site have one, and the mission uses none of them.
    NotManned,
}

/// The least margin of a link, and how it comes about.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkMargin {
    /// Margin above the sensitivity.
    pub margin: f64,
    /// Where the boat is.
    pub at: Point,
    /// Sample on the route, or the one that the return leg began at.
    pub sample: usize,
    /// Whether it is on a return leg.
    pub home: bool,
    /// Station that serves it best there, by index.
    pub station: usize,
    /// What the margin is made of.
    pub budget: Budget,
    /// Greatest distance from that station of any place looked at, m.
    pub farthest: f64,
}

/// A link budget at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Budget {
    /// Distance, m.
    pub distance: f64,
    /// Bearing from the station.
    pub bearing: Towards,
    /// Angle off the axis of the station's antenna, where it has one.
    pub off_axis: Option<Angle>,
    /// Loss of the station's antenna off its axis, dB.
    pub pattern: f64,
    /// Free-space loss, dB.
    pub free_space: f64,
    /// Excess over the water: two rays or smooth earth, the larger, dB.
    pub over_water: f64,
    /// Loss over land in the way, dB.
    pub land: f64,
    /// Loss between crossed polarisations, dB.
    pub crossed: f64,
    /// Transmit power plus gains less cable losses, the weaker direction, dBm.
    pub radiated: f64,
    /// Sensitivity of the receiver in that direction, dBm.
    pub sensitivity: f64,
    /// What is left, dB.
    pub margin: f64,
}

/// Every link that the mission needs.
#[must_use]
pub(crate) fn all(passage: &Passage<'_>) -> Vec<LinkReading> {
    passage
        .plan
        .mission
        .links
        .iter()
        .filter(|(_, usage)| usage.value == LinkUse::Needed)
        .map(|(link, _)| LinkReading {
            link: *link,
            outcome: least(passage, *link),
        })
        .collect()
}

/// The bearing of a station's antenna for a link: as the mission points it, or as the site has it.
#[must_use]
pub(crate) fn azimuth(passage: &Passage<'_>, station: usize, radio: &Radio) -> Option<Towards> {
    let link = radio.link.value;
    let site_station = &passage.plan.site.stations[station];
    passage
        .plan
        .mission
        .antennas
        .iter()
        .find(|p| p.link == link && p.station.value == site_station.id.value)
        .map(|pointed| pointed.azimuth.value)
        .or_else(|| radio.antenna.azimuth.as_ref().map(|azimuth| azimuth.value))
}

/// The radio aboard and the stations in use, by index, that hear it.
pub(super) type Serving<'a> = (&'a Radio, Vec<(usize, &'a Station, &'a Radio)>);

pub(super) fn serving(plan: &Plan, link: Link) -> Result<Serving<'_>, NoLink> {
    let aboard = plan.vessel.radio(link).ok_or(NoLink::NoRadioAboard)?;
    let stations: Vec<(usize, &Station, &Radio)> = plan
        .site
        .stations
        .iter()
        .enumerate()
        .filter_map(|(index, station)| {
            let radio = station.radios.iter().find(|r| r.link.value == link)?;
            let ratio = radio.frequency.value / aboard.frequency.value;
            ((ratio - 1.0).abs() <= SAME_FREQUENCY).then_some((index, station, radio))
        })
        .collect();
    if stations.is_empty() {
        return Err(NoLink::NoStation);
    }
    let manned: Vec<_> = stations
        .into_iter()
        .filter(|(index, _, _)| plan.mission.uses_station(*index))
        .collect();
    if manned.is_empty() {
        return Err(NoLink::NotManned);
    }
    Ok((aboard, manned))
}

/// The stations in use, by index, that hear a link of the vessel.
///
/// # Errors
/// [`NoLink`] where there are none.
pub(crate) fn stations(plan: &Plan, link: Link) -> Result<Vec<usize>, NoLink> {
    let (_, stations) = serving(plan, link)?;
    Ok(stations.iter().map(|(index, _, _)| *index).collect())
}

/// The least margin of a link for each of some bearings of one station's antenna. The paths are
/// the same for all of them and are calculated once.
///
/// # Errors
/// [`NoLink`] where the link has no margin at any bearing.
pub(crate) fn margins_by_azimuth(
    passage: &Passage<'_>,
    link: Link,
    station: usize,
    bearings: &[Towards],
) -> Result<Vec<f64>, NoLink> {
    let site = &passage.plan.site;
    let (aboard, serving) = serving(passage.plan, link)?;
    let mut least = vec![f64::INFINITY; bearings.len()];
    for (at, _, _) in places(passage) {
        let mut others = f64::NEG_INFINITY;
        let mut own = None;
        for (index, ashore_at, ashore) in &serving {
            let azimuth = azimuth(passage, *index, ashore);
            let budget = budget(site, ashore_at, ashore, azimuth, aboard, at);
            if *index == station {
                own = Some((ashore, budget));
            } else {
                others = others.max(budget.margin);
            }
        }
        for (held, axis) in least.iter_mut().zip(bearings) {
            let margin = own.as_ref().map_or(f64::NEG_INFINITY, |(ashore, budget)| {
                let (_, pattern) = off_axis(ashore, Some(*axis), budget.bearing);
                budget.margin + budget.pattern - pattern
            });
            *held = held.min(margin.max(others));
        }
    }
    Ok(least)
}

/// The least margin of a link with one station's antenna at another height.
///
/// # Errors
/// [`NoLink`] where the link has no margin.
pub(crate) fn least_at_height(
    passage: &Passage<'_>,
    link: Link,
    station: usize,
    height: Length,
) -> Result<f64, NoLink> {
    let site = &passage.plan.site;
    let (aboard, serving) = serving(passage.plan, link)?;
    let mut raised: Vec<(usize, &Station, Radio)> = Vec::new();
    for (index, at, radio) in serving {
        let mut radio = radio.clone();
        if index == station {
            radio.antenna.height.value = height;
        }
        raised.push((index, at, radio));
    }
    let margin_at = |at: Point| {
        raised
            .iter()
            .map(|(index, ashore_at, radio)| {
                let azimuth = azimuth(passage, *index, radio);
                budget(site, ashore_at, radio, azimuth, aboard, at).margin
            })
            .fold(f64::NEG_INFINITY, f64::max)
    };
    Ok(places(passage)
        .iter()
        .map(|(at, _, _)| margin_at(*at))
        .fold(f64::INFINITY, f64::min))
}

/// The angle off the axis of a station's antenna, where it has one, and its loss there, dB.
fn off_axis(ashore: &Radio, axis: Option<Towards>, bearing: Towards) -> (Option<Angle>, f64) {
    match (&ashore.antenna.beamwidth, axis) {
        (Some(width), Some(axis)) => {
            let off = axis.turn_to(bearing).abs();
            let loss = antenna_pattern(off, width.value, ashore.antenna.front_to_back.value);
            (Some(off), loss.get())
        }
        _ => (None, 0.0),
    }
}

fn least(passage: &Passage<'_>, link: Link) -> Result<LinkMargin, NoLink> {
    let plan = passage.plan;
    let (aboard, serving) = serving(plan, link)?;
    let mut worst: Option<LinkMargin> = None;
    let mut farthest = vec![0.0_f64; plan.site.stations.len()];
    for (at, sample, home) in places(passage) {
        let mut best: Option<(usize, Budget)> = None;
        for (index, station, radio) in &serving {
            let azimuth = azimuth(passage, *index, radio);
            let budget = budget(&plan.site, station, radio, azimuth, aboard, at);
            farthest[*index] = farthest[*index].max(budget.distance);
            if best
                .as_ref()
                .is_none_or(|(_, held)| budget.margin > held.margin)
            {
                best = Some((*index, budget));
            }
        }
        if let Some((station, budget)) = best
            && worst
                .as_ref()
                .is_none_or(|held| budget.margin < held.margin)
        {
            let margin = budget.margin;
            worst = Some(LinkMargin {
                margin,
                at,
                sample,
                home,
                station,
                budget,
                farthest: 0.0,
            });
        }
    }
    let mut worst = worst.ok_or(NoLink::NoStation)?;
    worst.farthest = farthest[worst.station];
    Ok(worst)
}

/// Where the links are looked at: every sample, and along return legs.
fn places(passage: &Passage<'_>) -> Vec<(Point, usize, bool)> {
    let track = &passage.track;
    let mission = &passage.plan.mission;
    let return_points = mission.return_points();
    let mut places: Vec<(Point, usize, bool)> = track
        .samples
        .iter()
        .enumerate()
        .map(|(index, at)| (*at, index, false))
        .collect();
    let mut way = |from: Point, sample: usize| {
        places.push((from, sample, true));
        let next = return_points[0];
        places.extend(cut(from, next, HOME_STEP).map(|(_, to, _)| (to, sample, true)));
    };
    if mission.return_leg.along_route() {
        way(mission.launch.at.value, 0);
        return places;
    }
    for (index, at) in track.samples.iter().enumerate() {
        let ends_leg = index > 0 && track.steps[index - 1].ends_leg;
        if index % HOME_EVERY == 0 || ends_leg {
            way(*at, index);
        }
    }
    // What every return leg has in common counts for the launch point.
    for pair in return_points.windows(2) {
        places.extend(cut(pair[0], pair[1], HOME_STEP).map(|(_, to, _)| (to, 0, true)));
    }
    places
}

/// The budget of a link between a station and the boat at a place.
pub(super) fn budget(
    site: &Site,
    station: &Station,
    ashore: &Radio,
    azimuth: Option<Towards>,
    aboard: &Radio,
    at: Point,
) -> Budget {
    let distance = station.at.distance(at).max(1.0);
    let metres = Length::metres(distance);
    let bearing = station.at.bearing_to(at);
    let frequency = ashore.frequency.value;
    let heights = (ashore.antenna.height.value, aboard.antenna.height.value);
    let (off_axis, pattern) = off_axis(ashore, azimuth, bearing);
    let free = free_space(frequency, metres);
    // Of water that nothing is said about the one that takes more counts.
    let grounds: &[Ground] = match (site.water.assumption(), site.water.value) {
        (Some(_), _) => &[Ground::FRESH_WATER, Ground::SEA_WATER],
        (None, Water::Fresh) => &[Ground::FRESH_WATER],
        (None, Water::Salt) => &[Ground::SEA_WATER],
    };
    let polarisation = if ashore.antenna.horizontal.value && aboard.antenna.horizontal.value {
        Polarisation::Horizontal
    } else {
        Polarisation::Vertical
    };
    let two_rays = (two_ray_far(metres, heights) - free).max(Level::ZERO);
    let earth = grounds.iter().map(|ground| {
        smooth_earth(
            frequency,
            metres,
            heights,
            EFFECTIVE_RADIUS,
            *ground,
            polarisation,
        )
    });
    let over_water = earth.fold(two_rays, Level::max).get();
    let land = land_in_the_way(site, station, ashore, heights, at);
    let ends = [&ashore.antenna.horizontal, &aboard.antenna.horizontal];
    let stated = ends.iter().all(|end| end.assumption().is_none());
    let crossed = if stated && ends[0].value == ends[1].value {
        0.0
    } else {
        CROSSED
    };
    let gains = ashore.antenna.gain.value.get() + aboard.antenna.gain.value.get()
        - ashore.losses.value.get()
        - aboard.losses.value.get();
    let up = (
        ashore.transmit_power.value.get() + gains,
        aboard.sensitivity.value.get(),
    );
    let down = (
        aboard.transmit_power.value.get() + gains,
        ashore.sensitivity.value.get(),
    );
    let weaker = if up.0 - up.1 <= down.0 - down.1 {
        up
    } else {
        down
    };
    let (radiated, sensitivity) = weaker;
    let margin = radiated - pattern - free.get() - over_water - land - crossed - sensitivity;
    Budget {
        distance,
        bearing,
        off_axis,
        pattern,
        free_space: free.get(),
        over_water,
        land,
        crossed,
        radiated,
        sensitivity,
        margin,
    }
}

/// Loss over the stretches of land between a station and a place, dB.
fn land_in_the_way(
    site: &Site,
    station: &Station,
    radio: &Radio,
    heights: (Length, Length),
    at: Point,
) -> f64 {
    let line = Segment {
        a: station.at,
        b: at,
    };
    let length = line.length();
    if length < 1.0 {
        return 0.0;
    }
    let mut loss = 0.0;
    for (from, to) in site.shore.land_intervals(line) {
        if from <= 1e-9 && to * length <= OWN_GROUND {
            continue;
        }
        let mut worst = f64::NEG_INFINITY;
        for share in [from, f64::midpoint(from, to), to] {
            // An edge at either antenna has no distance of its own; a metre keeps it finite.
            let least = 1.0_f64.min(length / 2.0);
            let d1 = (share * length).clamp(least, length - least);
            let (d1, d2) = (Length::metres(d1), Length::metres(length - d1));
            let line_height = heights.0 + (heights.1 - heights.0) * (d1.get() / length);
            let above = site.land_height.value - line_height + bulge(d1, d2, EFFECTIVE_RADIUS);
            worst = worst.max(knife_edge_parameter(radio.frequency.value, above, d1, d2));
        }
        // Several stretches count as edges one after another, each with its whole loss.
        loss += knife_edge(worst).get();
    }
    loss
}
