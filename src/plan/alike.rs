//! A station's radio that is the same set as one aboard, whose figures the vessel's file states for both ends.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::radio::{self, Antenna, Link, Radio};
use super::site::{Site, Station};
use super::vessel::Vessel;
use crate::schema::{Fields, Problem, Stated};
use crate::source::Span;
use crate::units::{Length, Level};

/// What only a radio states that is not the set of a boat.
const OF_ANOTHER_SET: [&str; 3] = ["frequency", "transmit_power", "sensitivity"];

/// A radio that is the same set as the one of a vessel for its link.
#[derive(Clone, Debug)]
pub struct Alike {
    /// The link that it serves.
    pub link: Stated<Link>,
    /// Id of the vessel, or of the boat that it is.
    pub vessel: Stated<String>,
    antenna: Mast,
    /// Losses of its cable, where stated.
    losses: Option<Stated<Level>>,
    near: Span,
}

/// What it radiates from.
#[derive(Clone, Debug)]
enum Mast {
    /// The antenna that the set has aboard, with its centre so high above the water.
    AsAboard(Stated<Length>),
    /// Another antenna.
    Another(Box<Antenna>),
}

/// A radio of a station, as it stands in the site's file.
pub(super) enum Ashore {
    /// With figures of its own.
    Whole(Box<Radio>),
    /// The same as one aboard.
    Alike(Box<Alike>),
}

impl Ashore {
    fn link(&self) -> &Stated<Link> {
        match self {
            Self::Whole(radio) => &radio.link,
            Self::Alike(alike) => &alike.link,
        }
    }
}

/// Reads the `radios` of a station; `None` where one of them is malformed.
pub(super) fn ashore(fields: Fields<'_>) -> Option<(Vec<Radio>, Vec<Alike>)> {
    let (mut radios, mut alike) = (Vec::new(), Vec::new());
    for one in radio::read_each(fields, one, Ashore::link)? {
        match one {
            Ashore::Whole(one) => radios.push(*one),
            Ashore::Alike(one) => alike.push(*one),
        }
    }
    Some((radios, alike))
}

fn one(fields: Fields<'_>) -> Option<Ashore> {
    let Some(vessel) = fields.text("as") else {
        if let Some(node) = fields.get("antenna_height") {
            let text = "`antenna_height` says nothing of a radio with figures of its own";
            let problem = Problem::value(node.span, text);
            fields.problem(problem.help("state the `height` of its `antenna`"));
            return None;
        }
        return radio::radio(fields).map(|one| Ashore::Whole(Box::new(one)));
    };
    let twice = OF_ANOTHER_SET
        .into_iter()
        .find_map(|key| Some((key, fields.get(key)?)));
    if let Some((key, node)) = twice {
        let text = format!(
            "`{key}` is stated of a radio that is the one aboard `{}`",
            vessel.value
        );
        fields.problem(
            Problem::value(node.span, text)
                .with(vessel.span(), "the same set")
                .help("leave out `as` if it is another set, and state all of it"),
        );
        return None;
    }
    let height: Option<Stated<Length>> = fields.quantity("antenna_height");
    let mast = match (height, fields.map("antenna")) {
        (Some(height), None) => Mast::AsAboard(height),
        (_, Some(antenna)) => Mast::Another(Box::new(radio::antenna(antenna)?)),
        (None, None) => return None,
    };
    let link = fields.word("link", Link::NAMES)?;
    let losses = match fields.get("losses") {
        Some(_) => Some(fields.quantity("losses")?),
        None => None,
    };
    Some(Ashore::Alike(Box::new(Alike {
        link,
        vessel,
        antenna: mast,
        losses,
        near: fields.span(),
    })))
}

impl Alike {
    /// The radio, its figures on the lines of the vessel's file.
    fn fitted(&self, aboard: &Radio) -> Radio {
        let antenna = match &self.antenna {
            Mast::Another(antenna) => Antenna::clone(antenna),
            Mast::AsAboard(height) => Antenna {
                height: height.clone(),
                ..aboard.antenna.clone()
            },
        };
        // Its cable is its own, whatever the one aboard is.
        let losses = self.losses.clone().unwrap_or_else(|| {
            radio::unstated_losses(aboard.frequency.value, antenna.height.value, self.near)
        });
        Radio {
            link: self.link.clone(),
            losses,
            antenna,
            ..aboard.clone()
        }
    }

    /// The radio aboard that it is the same as, where a vessel is the one that it names.
    fn aboard<'v>(&self, vessel: &'v Vessel) -> Option<&'v Radio> {
        let is_meant = |id: &Stated<String>| id.value == self.vessel.value;
        let meant = is_meant(&vessel.id) || vessel.of_boat().is_some_and(is_meant);
        vessel.radio(self.link.value).filter(|_| meant)
    }
}

/// Sites with the radios of their stations, for each vessel that is out there.
pub(super) type Fitted = BTreeMap<(String, String), Arc<Site>>;

/// A site as it is for a vessel: the radios that are the same as those aboard have their figures. Where no
/// radio is, it is the site itself.
pub(super) fn fitted(site: &Arc<Site>, vessel: &Vessel) -> Arc<Site> {
    if site.stations.iter().all(|one| one.alike.is_empty()) {
        return Arc::clone(site);
    }
    let mut with = Site::clone(site);
    for station in &mut with.stations {
        let known = |one: &Alike| Some(one.fitted(one.aboard(vessel)?));
        let radios: Vec<Radio> = station.alike.iter().filter_map(known).collect();
        station.radios.extend(radios);
    }
    Arc::new(with)
}

/// Tells of every radio of a station in use that is the same as one which the mission's boat does not have. A
/// station that is not in use serves other boats.
pub(super) fn tell_unlike(mission: Fields<'_>, site: &Site, vessel: &Vessel) {
    let used: Vec<String> = mission
        .maps("stations")
        .filter_map(|item| item.get("station")?.as_text().map(str::to_owned))
        .collect();
    let in_use = |station: &&Station| used.contains(&station.id.value);
    for station in site.stations.iter().filter(in_use) {
        for one in &station.alike {
            if one.aboard(vessel).is_some() {
                continue;
            }
            let link = one.link.value.name();
            let (id, named) = (&vessel.id, &one.vessel.value);
            let own = id.value == *named || vessel.of_boat().is_some_and(|of| of.value == *named);
            let text = if own {
                format!(
                    "the {link} radio of `{}` is the one aboard `{named}`, which has none for that link",
                    station.id.value
                )
            } else {
                format!(
                    "the {link} radio of `{}` is the one aboard `{named}`, and this mission's boat is `{}`",
                    station.id.value, id.value
                )
            };
            let near = mission.get("vessel").map_or(id.span(), |node| node.span);
            mission.problem(
                Problem::new("input-reference", one.vessel.span(), text)
                    .with(near, "this mission's boat")
                    .help("state the radio's own figures in place of `as`"),
            );
        }
    }
}
