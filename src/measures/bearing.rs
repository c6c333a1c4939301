//! Where station antennas point, against where the boat is to go.

use super::entry::Entry;
use super::evidence;
use super::input;
use super::reading::{Change, Cost, Measure, Measured, Measurement, Scope, Type};
use crate::passage::Passage;
use crate::passage::links::{azimuth, stations};
use crate::plan::mission::LinkUse;
use crate::plan::radio::Link;
use crate::units::{Angle, Dimension, Ratio};

pub(super) const OFF_BEARING: Entry = Entry {
    measure: Measure {
        name: "link.off_bearing",
        scope: Scope::Link,
        of: Type::Quantity(Dimension::RATIO),
        title: "Angle from a station antenna's axis to the far end of the route that it serves",
        meaning: "For every station with a directional antenna for a needed link: the angle \
                  between the antenna's axis and the bearing of the farthest place of the route \
                  that has no nearer station, over half the beamwidth. The greatest over the \
                  stations in use. No reading where no directional antenna is the nearest to any \
                  place of the route.",
        needs: &[
            "links",
            "the stations in use and their radios",
            "antennas",
            "route",
        ],
        levers: &[Change::Bearing],
        moved_by: input::EVERYTHING,
        of_planned_wind: false,
        cost: Cost::Run,
    },
    read: off_bearing,
};

fn off_bearing(passage: &Passage<'_>) -> Vec<Measurement> {
    let needed = passage.plan.mission.links.iter();
    needed
        .filter(|(_, usage)| usage.value == LinkUse::Needed)
        .filter_map(|(link, _)| {
            Some(Measurement {
                subject: format!("{} link", link.name()),
                outcome: match stations(passage.plan, *link) {
                    Ok(serving) => Ok(worst(passage, *link, &serving)?),
                    Err(why) => Err(super::link::unknown(passage, *link, why)),
                },
            })
        })
        .collect()
}

/// A station's antenna and the far end of what it serves.
struct Pointing {
    station: usize,
    sample: usize,
    off: Angle,
    width: Angle,
    share: f64,
}

fn worst(passage: &Passage<'_>, link: Link, serving: &[usize]) -> Option<Measured> {
    let sites = &passage.plan.site.stations;
    let samples = &passage.track.samples;
    // The station that each sample is nearest to, with the sample farthest from each.
    let mut farthest: Vec<Option<(f64, usize)>> = vec![None; sites.len()];
    for (sample, at) in samples.iter().enumerate() {
        let away = |station: usize| sites[station].at.distance(*at);
        let nearest = serving
            .iter()
            .copied()
            .min_by(|a, b| away(*a).total_cmp(&away(*b)))?;
        let distance = away(nearest);
        if farthest[nearest].is_none_or(|(held, _)| distance > held) {
            farthest[nearest] = Some((distance, sample));
        }
    }
    let pointings = serving.iter().filter_map(|&station| {
        let radio = sites[station]
            .radios
            .iter()
            .find(|r| r.link.value == link)?;
        let width = radio.antenna.beamwidth.as_ref()?.value;
        let axis = azimuth(passage, station, radio)?;
        let (_, sample) = farthest[station]?;
        let bearing = sites[station].at.bearing_to(samples[sample]);
        let off = axis.turn_to(bearing).abs();
        let share = off.get() / (width.get() / 2.0);
        Some(Pointing {
            station,
            sample,
            off,
            width,
            share,
        })
    });
    let worst = pointings.max_by(|a, b| a.share.total_cmp(&b.share))?;
    Some(known(passage, link, &worst))
}

fn known(passage: &Passage<'_>, link: Link, worst: &Pointing) -> Measured {
    let plan = passage.plan;
    let station = &plan.site.stations[worst.station];
    let id = &station.id.value;
    let place = evidence::at_sample(passage, worst.sample);
    let to = passage.track.samples[worst.sample];
    let mut because = Vec::new();
    let mut axis = None;
    if let Some(radio) = station.radios.iter().find(|r| r.link.value == link) {
        axis = azimuth(passage, worst.station, radio);
        because.extend(super::link::azimuth_line(passage, worst.station, radio));
        if let Some(width) = &radio.antenna.beamwidth {
            let text = format!("beam {} wide", width.value);
            because.push(evidence::label(width.span(), text));
        }
    }
    let mut steps = vec![format!(
        "from {id}: {} away, bearing {}",
        evidence::metres(station.at.distance(to)),
        station.at.bearing_to(to)
    )];
    steps.extend(axis.map(|axis| format!("the axis points at {axis}, {} off it", worst.off)));
    steps.push(format!(
        "{} / ({} / 2) = {}",
        worst.off,
        worst.width,
        evidence::share(worst.share)
    ));
    Measured {
        value: evidence::value(Ratio::fraction(worst.share)),
        sentence: format!(
            "the angle from the axis of {id}'s {} antenna to the far end of the route, as a share \
             of half its beam,",
            link.name()
        ),
        primary: evidence::label(
            evidence::leg_span(passage, worst.sample),
            format!("farthest from {id} here"),
        ),
        because,
        place: Some(place),
        scenario: None,
        steps,
        assumptions: Vec::new(),
    }
}
