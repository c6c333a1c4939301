//! What there is on the map, in metres east and north of the site's middle.

use super::depths::Depths;
use super::view::{At, View};
use crate::units::{Angle, FromDirection, Length, Speed, Time, Towards};

/// A leg of the route.
#[derive(Clone, PartialEq, Debug)]
pub struct LegLine {
    /// Where it begins.
    pub from: At,
    /// Where it ends.
    pub to: At,
    /// Whether it is a sounding line.
    pub sounding: bool,
}

/// A waypoint on the map.
#[derive(Clone, PartialEq, Debug)]
pub struct Stop {
    /// Its number.
    pub number: usize,
    /// Its id.
    pub id: String,
    /// Where it is; of a survey where its last line ends.
    pub at: At,
    /// The track to it from the waypoint before, where it is one leg.
    pub track: Option<Towards>,
    /// Its sounding lines, where it is a survey.
    pub lines: Option<Lines>,
    /// Length of the legs that belong to it.
    pub length: Length,
    /// The least speed that is requested on the way to it.
    pub slowest: Speed,
    /// The greatest.
    pub fastest: Speed,
}

/// The sounding lines of a survey.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Lines {
    /// Where the first of them begins.
    pub from: At,
    /// Which way the first of them is run.
    pub first: Towards,
    /// How many there are.
    pub count: usize,
}

/// A fixed danger.
#[derive(Clone, PartialEq, Debug)]
pub struct Danger {
    /// What people call it.
    pub title: String,
    /// What it is, in the word of the site's file.
    pub kind: &'static str,
    /// Its form: one place, a line, or an area that closes.
    pub form: Vec<At>,
    /// Whether the form closes.
    pub closed: bool,
    /// Distance to keep.
    pub clearance: Length,
}

/// An area not to be entered.
#[derive(Clone, PartialEq, Debug)]
pub struct Area {
    /// What people call it.
    pub title: String,
    /// Its outline.
    pub outline: Vec<At>,
    /// Whether it is closed while the boat may be out.
    pub closed: bool,
}

/// A place with a name: a station, the operator, where the safety boat waits.
#[derive(Clone, PartialEq, Debug)]
pub struct Landmark {
    /// Its name.
    pub name: String,
    /// Where it is.
    pub at: At,
    /// Bearing and width of the control antenna's beam, where it has one.
    pub beam: Option<(Towards, Angle)>,
}

/// Something that the verdict rests on and that lies past the edge of the map.
#[derive(Clone, PartialEq, Debug)]
pub struct Beyond {
    /// What people call it.
    pub name: String,
    /// Where it is.
    pub at: At,
    /// How far it is from the launch point.
    pub away: Length,
    /// Which way it is from there.
    pub bearing: Towards,
}

/// A line of the graticule.
#[derive(Clone, PartialEq, Debug)]
pub struct Graticule {
    /// The latitude or longitude in words, `24° 18.5′ W`.
    pub words: String,
    /// Whether it runs from south to north.
    pub meridian: bool,
    /// Its ends on the edges of the map, the south-western one first.
    pub ends: (At, At),
}

/// What comes near something.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Comes {
    /// The route.
    Route,
    /// A straight return leg off the route.
    Return,
    /// The run that was made.
    Run,
}

/// Where the plan comes nearest to something.
#[derive(Clone, PartialEq, Debug)]
pub struct Near {
    /// To what.
    pub what: String,
    /// Where the boat is.
    pub at: At,
    /// The distance itself; negative on land or inside an area.
    pub distance: Length,
    /// The distance to keep: what the policy asks for, errors of position and chart, and the stand-off
    /// of a danger; `None` where no rule asks for any.
    pub keep: Option<Length>,
    /// What comes near.
    pub by: Comes,
    /// Whether it lies on it.
    pub crosses: bool,
}

/// A return leg.
#[derive(Clone, PartialEq, Debug)]
pub struct Way {
    /// Its places in order.
    pub places: Vec<At>,
}

/// The ways of a boat that loses its power at one place.
#[derive(Clone, PartialEq, Debug)]
pub struct Fan {
    /// Where the power is lost.
    pub at: At,
    /// Distance of that along the route.
    pub along: Length,
    /// Whether it is the turnaround.
    pub turnaround: bool,
    /// What a boat adrift drifts onto from there soonest of all the route, where it is drawn for that.
    pub on_to: Option<OnTo>,
    /// The ways, without current and with it.
    pub ways: Vec<Vec<At>>,
    /// The first of them that ends on land, where one does within a day.
    pub ashore: Option<Ashore>,
}

/// What drives a disabled boat.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Driven {
    /// Where the wind comes from.
    pub from: FromDirection,
    /// Its speed at 10 m.
    pub wind: Speed,
    /// How far to the right of downwind it is driven.
    pub off: Angle,
    /// Whether the currents of the site run.
    pub current: bool,
}

impl Driven {
    /// The wind in words.
    #[must_use]
    pub fn describe(&self) -> String {
        let degrees = self.off.to_degrees();
        let side = match degrees {
            right if right > 0.5 => format!(", {right:.0}° right of downwind"),
            left if left < -0.5 => format!(", {:.0}° left of downwind", -left),
            _ => String::new(),
        };
        let current = if self.current {
            ", with the current"
        } else {
            ""
        };
        if self.wind > Speed::ZERO {
            format!("wind from {}, {}{side}{current}", self.from, self.wind)
        } else {
            format!("no wind{current}")
        }
    }
}

impl Fan {
    /// Where the power is lost, in words.
    #[must_use]
    pub fn place(&self) -> String {
        if self.turnaround {
            "the turnaround".to_owned()
        } else {
            format!("{} along the route", self.along)
        }
    }
}

/// What a boat adrift drifts onto.
#[derive(Clone, PartialEq, Debug)]
pub struct OnTo {
    /// What people call it.
    pub title: String,
    /// Where the boat is carried onto it.
    pub at: At,
    /// Time until then.
    pub after: Time,
    /// What drives it there.
    pub driven: Driven,
    /// Time until the safety boat is there, where there is one that gets there.
    pub fetched: Option<Time>,
}

/// Where a boat adrift comes ashore.
#[derive(Clone, PartialEq, Debug)]
pub struct Ashore {
    /// Time until then.
    pub after: Time,
    /// What drives it there.
    pub driven: Driven,
    /// Time until the safety boat is there, where there is one that gets there.
    pub fetched: Option<Time>,
}

/// How far the control link carries.
#[derive(Clone, PartialEq, Debug)]
pub struct Coverage {
    /// The station.
    pub station: String,
    /// Where the margin first falls short of what the policy asks for.
    pub outline: Vec<At>,
}

/// Everything on the map.
#[derive(Clone, PartialEq, Debug)]
pub struct Map {
    /// The part that matters.
    pub view: View,
    /// Rings of the shoreline: inside an odd number of them is water.
    pub shore: Vec<Vec<At>>,
    /// Edges of it that are no shore, in rows.
    pub open: Vec<Vec<At>>,
    /// Depths, where there are soundings.
    pub depths: Option<Depths>,
    /// The launch point.
    pub launch: At,
    /// The recovery point.
    pub recovery: At,
    /// Legs in order.
    pub legs: Vec<LegLine>,
    /// Waypoints in order, the last one being the recovery point.
    pub stops: Vec<Stop>,
    /// Where the route lies farthest from the recovery point.
    pub turnaround: At,
    /// From where the boat does not get home, where there is such a place.
    pub point_of_no_return: Option<At>,
    /// Return legs from the waypoints.
    pub return_legs: Vec<Way>,
    /// Fixed dangers.
    pub dangers: Vec<Danger>,
    /// Areas not to be entered.
    pub areas: Vec<Area>,
    /// Where the plan comes nearest to land and to a danger.
    pub nearest: Vec<Near>,
    /// Where a disabled boat drifts to.
    pub fans: Vec<Fan>,
    /// Stations in use.
    pub stations: Vec<Landmark>,
    /// The operator, where stated.
    pub operator: Option<At>,
    /// Where the safety boat waits, where there is one.
    pub safety_boat: Option<At>,
    /// What the verdict rests on past the edge of the map.
    pub beyond: Vec<Beyond>,
    /// Some meridians and parallels.
    pub graticule: Vec<Graticule>,
    /// How far magnetic north is east of true north, where the site states it.
    pub declination: Option<Angle>,
    /// How far the control link carries, where a policy asks for a margin.
    pub coverage: Vec<Coverage>,
}
