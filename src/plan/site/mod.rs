//! The site, typed and laid out in its plane.

mod read;
mod together;

use std::sync::Arc;

pub(super) use read::parse;

use super::alike::Alike;
use super::calendar::{Closure, Permission};
use super::currents::Current;
use super::depths::Depths;
use super::open_edges::Edges;
use super::radio::Radio;
use super::site_people::AtSite;
use crate::models::constants::Water;
use crate::models::geodesy::Plane;
use crate::models::geometry::{Polygon, Shore};
use crate::models::plane::Point;
use crate::schema::{Problem, Stated, explain};
use crate::source::Span;
use crate::units::{Angle, Length};

/// A stretch of water.
#[derive(Clone, Debug)]
pub struct Site {
    /// Its id.
    pub id: Stated<String>,
    /// What people call it, where stated.
    pub title: Option<String>,
    /// The plane that everything of the site is laid out in.
    pub plane: Plane,
    /// Land and water.
    pub shore: Arc<Shore>,
    /// Which edges of it are no shore, and which may be none.
    pub edges: Edges,
    /// The line that names the shoreline file.
    pub shore_span: Span,
    /// Day of its survey, where stated.
    pub surveyed: Option<Stated<jiff::civil::Date>>,
    /// Error of the shoreline at 95 %.
    pub shore_error: Stated<Length>,
    /// Time zone of times that carry no offset.
    pub time_zone: Option<jiff::tz::TimeZone>,
    /// The line that states it, where there is one.
    pub time_zone_span: Option<Span>,
    /// Kind of water.
    pub water: Stated<Water>,
    /// Mean depth, where stated.
    pub mean_depth: Option<Stated<Length>>,
    /// What is known of the depth.
    pub depths: Depths,
    /// Height of the land as an obstacle to radio.
    pub land_height: Stated<Length>,
    /// What turns magnetic bearings into true ones, positive east, where it is stated.
    pub declination: Option<Angle>,
    /// Fixed dangers.
    pub hazards: Vec<Hazard>,
    /// Whether the site says which there are, be it that there are none.
    pub hazards_stated: bool,
    /// Areas not to be entered.
    pub keep_out: Vec<Area>,
    /// Whether the site says which there are, be it that there are none.
    pub keep_out_stated: bool,
    /// Currents.
    pub currents: Vec<Current>,
    /// Whether the site says which there are, be it that there are none.
    pub currents_stated: bool,
    /// Launch sites.
    pub launch_sites: Vec<LaunchSite>,
    /// Shore stations.
    pub stations: Vec<Station>,
    /// Whom to call, and who else is on the water.
    pub people: AtSite,
    /// Permissions to use the water.
    pub permissions: Vec<Permission>,
}

/// The form of a hazard.
#[derive(Clone, Debug)]
pub enum Form {
    /// One place.
    Point(Point),
    /// A line.
    Line(Vec<Point>),
    /// An area.
    Area(Polygon),
}

/// What a hazard is to a boat adrift.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum HazardKind {
    /// A weir: it takes the boat, and whoever comes after it.
    Weir,
    /// An intake, which does the same.
    Intake,
    /// People in the water.
    Swimming,
    /// A rock.
    Rock,
    /// Moored boats.
    Moorings,
    /// Anything else, calculated with as a weir: a word that says nothing of it must not make it less.
    Other,
}

impl HazardKind {
    /// The word in files.
    #[must_use]
    pub fn word(self) -> &'static str {
        let named = Self::NAMES.iter().find(|(_, kind)| *kind == self);
        named.map_or("other", |(name, _)| name)
    }

    /// The words in files for all of them, each with the distance that is proposed where nobody has stated one yet.
    pub(crate) fn proposals() -> impl Iterator<Item = (&'static str, Length)> {
        let all = Self::NAMES.iter();
        all.map(|(name, kind)| (*name, kind.proposed_clearance()))
    }

    /// 50 m from what draws a boat in and from people, 20 m from what it strikes: our own proposal,
    /// to be read by whoever knows the place.
    fn proposed_clearance(self) -> Length {
        Length::metres(match self {
            Self::Weir | Self::Intake | Self::Swimming | Self::Other => 50.0,
            Self::Rock | Self::Moorings => 20.0,
        })
    }

    const NAMES: &'static [(&'static str, Self)] = &[
        ("weir", Self::Weir),
        ("intake", Self::Intake),
        ("swimming", Self::Swimming),
        ("rock", Self::Rock),
        ("moorings", Self::Moorings),
        ("other", Self::Other),
    ];
}

/// A fixed danger.
#[derive(Clone, Debug)]
pub struct Hazard {
    /// Its id.
    pub id: Stated<String>,
    /// What people call it; default: the id.
    pub title: String,
    /// What it is.
    pub kind: Stated<HazardKind>,
    /// Where it lies.
    pub form: Form,
    /// Distance to keep.
    pub clearance: Stated<Length>,
}

/// A named area.
#[derive(Clone, Debug)]
pub struct Area {
    /// Its id.
    pub id: Stated<String>,
    /// What people call it; default: the id.
    pub title: String,
    /// What it takes in.
    pub outline: Polygon,
    /// When it is closed; always where nothing is stated.
    pub closed: Vec<Closure>,
}

/// A place to launch or recover at.
#[derive(Clone, Debug)]
pub struct LaunchSite {
    /// Its id.
    pub id: Stated<String>,
    /// Where it is.
    pub at: Point,
    /// Radius within which a boat may be near this shore.
    pub zone: Stated<Length>,
    /// Least depth of water on the approach, where stated.
    pub depth: Option<Stated<Length>>,
    /// Whether people reach a boat that comes ashore within the zone.
    pub accessible: Stated<bool>,
}

/// A shore station.
#[derive(Clone, Debug)]
pub struct Station {
    /// Its id.
    pub id: Stated<String>,
    /// Where it is.
    pub at: Point,
    /// Height of the ground that it stands on, above the water.
    pub ground: Stated<Length>,
    /// Its radios; of a plan, with those that are the same as one aboard.
    pub radios: Vec<Radio>,
    /// Those that are the same as one aboard, as the file has them.
    pub alike: Vec<Alike>,
}

impl Site {
    /// The launch site of this id.
    #[must_use]
    pub fn launch_site(&self, id: &str) -> Option<&LaunchSite> {
        self.launch_sites.iter().find(|place| place.id.value == id)
    }
}

/// The launch site of an id among those of a site.
///
/// # Errors
/// That there is none, with the nearest or all of them; `of` names the site.
pub(super) fn named<'s>(
    places: &'s [LaunchSite],
    place: &Stated<String>,
    of: &str,
) -> Result<&'s LaunchSite, Problem> {
    let found = places.iter().find(|one| one.id.value == place.value);
    found.ok_or_else(|| {
        let known: Vec<&str> = places.iter().map(|one| one.id.value.as_str()).collect();
        let text = format!("`{}` is not a launch site of {of}", place.value);
        let problem = Problem::new("input-reference", place.span(), text);
        match explain::nearest(&place.value, &known) {
            Some(near) => problem.help(format!("did you mean `{near}`?")),
            None if known.is_empty() => problem,
            None => problem.help(format!("it has {}", known.join(", "))),
        }
    })
}
