//! A station's radio that is the same set as one aboard, whose figures the vessel's file states for both ends.

use super::radio::{self, Antenna, Link, Radio};
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
    pub(super) fn fitted(&self, aboard: &Radio) -> Radio {
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
    pub(super) fn aboard<'v>(&self, vessel: &'v Vessel) -> Option<&'v Radio> {
        let is_meant = |id: &Stated<String>| id.value == self.vessel.value;
        let meant = is_meant(&vessel.id) || vessel.of_boat().is_some_and(is_meant);
        vessel.radio(self.link.value).filter(|_| meant)
    }
}
