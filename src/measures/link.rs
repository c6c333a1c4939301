//! The margin of each radio link that the mission needs.

use super::assumed;
use super::entry::Entry;
use super::evidence;
use super::input;
use super::reading::{
    Change, Cost, Lack, Measure, Measured, Measurement, NotMeasured, Scope, Type,
};
use crate::finding::Label;
use crate::passage::Passage;
use crate::passage::links::{LinkMargin, LinkReading, NoLink};
use crate::plan::Plan;
use crate::plan::radio::{Link, Radio};
use crate::schema::Stated;
use crate::units::{Dimension, Level};

pub(super) const MARGIN: Entry = Entry {
    measure: Measure {
        name: "link.margin",
        scope: Scope::Link,
        of: Type::Quantity(Dimension::LEVEL),
        title: "Least margin of a link that the mission needs",
        meaning: "Along the whole route and the return legs: transmit power, gains and the \
                  antenna's pattern off its axis, less losses, less the path (free space, the \
                  larger of two rays over the water and the earth's bulge, land in the way), less \
                  the sensitivity of the receiver; the weaker direction, by the best station in \
                  use there.",
        needs: &[
            "links",
            "the vessel's radios",
            "the stations in use and their radios",
            "route",
        ],
        levers: &[Change::Antenna, Change::HomeAlong(None)],
        moved_by: input::EVERYTHING,
        of_planned_wind: false,
        cost: Cost::Run,
    },
    read: margins,
};

fn margins(passage: &Passage<'_>) -> Vec<Measurement> {
    if passage.plan.mission.links.is_empty() {
        let outcome = Err(NotMeasured {
            lack: Lack::Statement,
            reason: "the plan does not say which links it needs".to_owned(),
            remedy: "add `links:` with `control: needed`".to_owned(),
            primary: evidence::label(passage.plan.mission.id.span(), "too little is stated"),
            because: Vec::new(),
            assumptions: Vec::new(),
        });
        return evidence::of_mission(outcome);
    }
    passage
        .links()
        .iter()
        .map(|reading| measurement(passage, reading))
        .collect()
}

fn measurement(passage: &Passage<'_>, reading: &LinkReading) -> Measurement {
    let outcome = match &reading.outcome {
        Ok(margin) => Ok(known(passage, reading.link, margin)),
        Err(why) => Err(unknown(passage, reading.link, *why)),
    };
    Measurement {
        subject: format!("{} link", reading.link.name()),
        outcome,
    }
}

pub(super) fn unknown(passage: &Passage<'_>, link: Link, why: NoLink) -> NotMeasured {
    let plan = passage.plan;
    let name = link.name();
    let usage = plan
        .mission
        .link_use(link)
        .map_or(plan.mission.id.span(), Stated::span);
    let (reason, remedy, owner) = match why {
        NoLink::NoRadioAboard => (
            format!("the vessel states no radio for the {name} link"),
            format!("add the {name} radio to the vessel's `radios`"),
            evidence::label(plan.vessel.id.span(), "this vessel"),
        ),
        NoLink::NoStation => (
            format!(
                "no station of the site has a radio for the {name} link on the boat's frequency"
            ),
            format!("add the {name} radio to a station of the site"),
            evidence::label(plan.site.id.span(), "this site"),
        ),
        NoLink::NotManned => (
            if plan.mission.stations.is_empty() {
                "the plan does not say which stations are in use".to_owned()
            } else {
                format!("no station in use has a radio for the {name} link")
            },
            format!(
                "add `- {{ station: {}, operator_at: [latitude, longitude] }}` to the mission's \
                 `stations`{}",
                serving_link(plan, link).next().unwrap_or("…"),
                or_another(serving_link(plan, link).skip(1))
            ),
            evidence::label(plan.site.id.span(), "this site"),
        ),
    };
    NotMeasured {
        lack: Lack::Statement,
        reason,
        remedy,
        primary: evidence::label(usage, "the mission needs this link"),
        because: vec![owner],
        assumptions: assumed::of_plan(plan),
    }
}

/// The stations of the site with a radio for a link.
fn serving_link(plan: &Plan, link: Link) -> impl Iterator<Item = &str> {
    let stations = plan.site.stations.iter();
    stations
        .filter(move |station| station.radios.iter().any(|r| r.link.value == link))
        .map(|station| station.id.value.as_str())
}

/// The rest of what may be manned in place of the first, in words.
fn or_another<'a>(others: impl Iterator<Item = &'a str>) -> String {
    let others: Vec<String> = others.map(|id| format!("`{id}`")).collect();
    if others.is_empty() {
        return String::new();
    }
    format!(", or one with {}", others.join(" or "))
}

/// The station's radio for a link.
fn station_radio<'p>(passage: &'p Passage<'_>, station: usize, link: Link) -> Option<&'p Radio> {
    passage.plan.site.stations[station]
        .radios
        .iter()
        .find(|r| r.link.value == link)
}

fn known(passage: &Passage<'_>, link: Link, margin: &LinkMargin) -> Measured {
    let plan = passage.plan;
    let station = &plan.site.stations[margin.station];
    let mut place = evidence::at_sample(passage, margin.sample);
    let spot = evidence::spot(&place);
    let (spot, here) = if margin.home {
        place.name = format!("the return leg from {}", place.name);
        (
            format!("on the return leg from {spot}"),
            "return leg from here",
        )
    } else {
        (format!("at {spot}"), "weakest here")
    };
    place.position = Some(evidence::degrees(plan, margin.at));
    let mut because = Vec::new();
    if let Some(usage) = plan.mission.link_use(link) {
        because.push(evidence::label(usage.span(), "the mission needs this link"));
    }
    because.extend(antenna_lines(passage, margin.station, link));
    if let Some(aboard) = plan.vessel.radio(link) {
        let height = &aboard.antenna.height;
        because.push(evidence::label(
            height.span(),
            format!("antenna aboard {} high", height.value),
        ));
    }
    let mut assumptions = assumed::of_plan(plan);
    assumptions.extend(assumed::of_link(plan, link));
    Measured {
        value: evidence::value(Level::decibels(margin.margin)),
        sentence: format!("the margin of the {} link, {spot},", link.name()),
        primary: evidence::label(evidence::leg_span(passage, margin.sample), here),
        because,
        place: Some(place),
        scenario: None,
        steps: steps(margin, &station.id.value),
        assumptions,
    }
}

/// The lines that state the antennas: of the station that serves best, and where those of the
/// others point, since one of them may be the one that ought to serve.
fn antenna_lines(passage: &Passage<'_>, station: usize, link: Link) -> Vec<Label> {
    let mut lines = Vec::new();
    if let Some(radio) = station_radio(passage, station, link) {
        lines.extend(azimuth_line(passage, station, radio));
        if let Some(width) = &radio.antenna.beamwidth {
            lines.push(evidence::label(
                width.span(),
                format!("beam {} wide", width.value),
            ));
        }
        let id = &passage.plan.site.stations[station].id.value;
        lines.push(evidence::label(
            radio.antenna.height.span(),
            format!("antenna of {id} {} high", radio.antenna.height.value),
        ));
    }
    let others = (0..passage.plan.site.stations.len())
        .filter(|other| *other != station && passage.plan.mission.uses_station(*other));
    for other in others {
        if let Some(radio) = station_radio(passage, other, link) {
            lines.extend(azimuth_line(passage, other, radio));
        }
    }
    lines
}

/// The line that says where a station's antenna points, where it has a bearing.
pub(super) fn azimuth_line(passage: &Passage<'_>, station: usize, radio: &Radio) -> Option<Label> {
    let plan = passage.plan;
    let id = &plan.site.stations[station].id.value;
    let link = radio.link.value;
    let pointed = plan
        .mission
        .antennas
        .iter()
        .find(|p| p.link == link && p.station.value == *id);
    let (azimuth, when) = match (pointed, &radio.antenna.azimuth) {
        (Some(pointed), _) => (&pointed.azimuth, " for this mission"),
        (None, Some(azimuth)) => (azimuth, ""),
        (None, None) => return None,
    };
    let text = format!("antenna of {id} pointed at {}{when}", azimuth.value);
    Some(evidence::label(azimuth.span(), text))
}

/// A figure to a tenth, so that the sums can be done again by hand.
fn tenths(value: f64) -> String {
    format!("{value:.1}").replace('-', "\u{2212}")
}

fn steps(margin: &LinkMargin, station: &str) -> Vec<String> {
    let budget = &margin.budget;
    let db = evidence::decibels;
    let mut steps = vec![format!(
        "from {station}: {} away, bearing {}",
        evidence::metres(budget.distance),
        budget.bearing
    )];
    if let Some(off) = budget.off_axis {
        steps.push(format!(
            "{off} off the antenna's axis: {} lost",
            db(budget.pattern)
        ));
    }
    steps.push(format!(
        "path: {} in free space, {} more over the water, {} over land in the way",
        db(budget.free_space),
        db(budget.over_water),
        db(budget.land)
    ));
    if budget.crossed > 0.0 {
        steps.push(format!("crossed polarisations: {}", db(budget.crossed)));
    }
    let lost =
        budget.pattern + budget.free_space + budget.over_water + budget.land + budget.crossed;
    let received = budget.radiated - lost;
    steps.push(format!(
        "received: {} dBm − {} dB = {} dBm; needed: {} dBm; margin: {}",
        tenths(budget.radiated),
        tenths(lost),
        tenths(received),
        tenths(budget.sensitivity),
        db(budget.margin)
    ));
    steps
}
