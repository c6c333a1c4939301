//! The site, typed and laid out in its plane.

use std::sync::Arc;

use super::calendar::{Closure, Permission};
use super::depths::{self, Depths};
use super::open_edges::Edges;
use super::vessel::Radio;
use super::{calendar, currents, mislaid, outline, position, together};
use crate::document::Node;
use crate::models::constants::Water;
use crate::models::geodesy::{Plane, Position};
use crate::models::geometry::{Polygon, Shore};
use crate::models::plane::Point;
use crate::schema::{Fields, Problem, Stated};
use crate::source::Span;
use crate::units::{Length, Speed, Towards};

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
    pub people: super::people::AtSite,
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

    const NAMES: &[(&str, Self)] = &[
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

/// An area with a current.
#[derive(Clone, Debug)]
pub struct Current {
    /// Its id.
    pub id: Stated<String>,
    /// What it takes in.
    pub outline: Polygon,
    /// Direction that it sets towards.
    pub set: Stated<Towards>,
    /// Its speed.
    pub drift: Stated<Speed>,
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
    /// Its radios.
    pub radios: Vec<Radio>,
}

impl Site {
    /// The launch site of this id.
    #[must_use]
    pub fn launch_site(&self, id: &str) -> Option<&LaunchSite> {
        self.launch_sites.iter().find(|place| place.id.value == id)
    }

    /// Lays a position out in the plane; one that lies too far off is a problem, which names the slip
    /// that explains it where one does.
    pub(super) fn place(&self, fields: Fields<'_>, stated: &Stated<Position>) -> Option<Point> {
        place(&self.plane, fields, stated)
    }
}

pub(super) fn place(plane: &Plane, fields: Fields<'_>, stated: &Stated<Position>) -> Option<Point> {
    let position = stated.value;
    let point = plane.to_plane(position);
    if point.length() <= Plane::LIMIT.get() && point.x.is_finite() && point.y.is_finite() {
        return Some(point);
    }
    fields.problem(mislaid::off_the_site(plane, position, stated.span()));
    None
}

/// Reads a site file. `shoreline` and `soundings` are the parsed GeoJSON that it names.
pub(crate) fn parse(file: Fields<'_>, shoreline: &Node, soundings: Option<&Node>) -> Option<Site> {
    let id = file.required_text("id");
    let shore_fields = file.required_map("shoreline")?;
    let shore_error: Option<Stated<Length>> = shore_fields.required("error");
    let (plane, shore, edges) = super::shoreline::parse(file, shore_fields, shoreline)?;
    let time_zone = time_zone(file);
    // Of a zone that is not known is told already.
    let days = time_zone.clone().unwrap_or(Some(jiff::tz::TimeZone::UTC));
    let water = file
        .word("water", &[("fresh", Water::Fresh), ("salt", Water::Salt)])
        .unwrap_or_else(|| {
            // It is denser, so that waves and water hold a boat back more.
            Stated::assumed(
                Water::Salt,
                file.span(),
                "water is salt, and for radio the worse of salt and fresh (`water` not stated)",
            )
        });
    let mean_depth: Option<Stated<Length>> = file.quantity("mean_depth");
    let depths = depths::parse(file, &plane, soundings);
    if let (Some(depths), Some(error)) = (&depths, &shore_error) {
        together::casts_on_water(file, &depths.casts, &shore, error);
    }
    let land_height = file.quantity_or("land_height");
    let hazards = each(file, "hazards", |f| hazard(&plane, f));
    let keep_out = each(file, "keep_out", |f| area(&plane, f, days.as_ref()));
    let currents = each(file, "currents", |f| currents::current(&plane, f));
    let currents = currents.filter(|all| currents::apart(file, all));
    let launch_sites = each(file, "launch_sites", |f| launch_site(&plane, f));
    if let Some(mean) = &mean_depth {
        let least = depths.as_ref().and_then(|depths| depths.least.as_ref());
        together::depths(file, mean, least, launch_sites.as_deref());
    }
    let stations = each(file, "stations", |f| station(&plane, f));
    if let Some(stations) = &stations {
        together::grounds(file, stations, &land_height);
    }
    let people = super::people::at_site(file);
    let permissions = calendar::permissions(file, days.as_ref());
    unique_ids(
        file,
        &[
            "hazards",
            "keep_out",
            "currents",
            "launch_sites",
            "stations",
            "other_users",
            "permissions",
        ],
    );
    Some(Site {
        id: id?,
        title: file.text("title").map(|title| title.value),
        plane,
        shore: Arc::new(shore),
        edges,
        shore_span: shore_fields.get("file")?.span,
        surveyed: super::time::date(shore_fields, "surveyed"),
        shore_error: shore_error?,
        time_zone: time_zone?,
        time_zone_span: file.get("time_zone").map(|zone| zone.span),
        water,
        mean_depth,
        depths: depths?,
        land_height,
        hazards: hazards?,
        hazards_stated: file.get("hazards").is_some(),
        keep_out: keep_out?,
        keep_out_stated: file.get("keep_out").is_some(),
        currents: currents?,
        currents_stated: file.get("currents").is_some(),
        launch_sites: launch_sites?,
        stations: stations?,
        people: people?,
        permissions: permissions?,
    })
}

/// Reads every item of a list; `None` where one of them is malformed.
fn each<T>(file: Fields<'_>, key: &str, read: impl Fn(Fields<'_>) -> Option<T>) -> Option<Vec<T>> {
    let items: Vec<Option<T>> = file.maps(key).map(read).collect();
    items.into_iter().collect()
}

/// Two things of one list under one id could not be told apart in a finding.
fn unique_ids(file: Fields<'_>, lists: &[&str]) {
    for list in lists {
        let mut seen: Vec<Stated<String>> = Vec::new();
        for id in file.maps(list).filter_map(|item| item.text("id")) {
            if let Some(first) = seen.iter().find(|other| other.value == id.value) {
                file.problem(
                    Problem::value(
                        id.span(),
                        format!("`{}` is used twice in `{list}`", id.value),
                    )
                    .with(first.span(), "first used here"),
                );
            }
            seen.push(id);
        }
    }
}

fn time_zone(file: Fields<'_>) -> Option<Option<jiff::tz::TimeZone>> {
    let Some(name) = file.text("time_zone") else {
        return Some(None);
    };
    match jiff::tz::TimeZone::get(&name.value) {
        Ok(zone) => Some(Some(zone)),
        Err(_) => {
            file.problem(
                Problem::value(name.span(), format!("unknown time zone `{}`", name.value))
                    .help("use a name of the IANA database, such as `Etc/UTC`"),
            );
            None
        }
    }
}

fn title(fields: Fields<'_>, id: &Stated<String>) -> String {
    fields
        .text("title")
        .map_or_else(|| id.value.clone(), |title| title.value)
}

fn points(plane: &Plane, fields: Fields<'_>, key: &str) -> Option<Vec<Point>> {
    let points: Vec<Option<Point>> = position::list(fields, key)?
        .iter()
        .map(|position| place(plane, fields, position))
        .collect();
    points.into_iter().collect()
}

/// The corners of an area, checked to enclose one.
pub(super) fn ring(plane: &Plane, fields: Fields<'_>, key: &str) -> Option<Polygon> {
    let corners = points(plane, fields, key)?;
    match Polygon::new(corners, Vec::new()) {
        Ok(outline) => Some(outline),
        Err(error) => {
            let placed = position::list(fields, key)?;
            let placed = placed.iter().map(|p| (p.value, p.span())).collect();
            let (span, why) = outline::fault(plane, &[placed], &error);
            let span = span.unwrap_or(fields.get(key)?.span);
            fields.problem(Problem::value(
                span,
                format!("`{key}` is not an area: {why}"),
            ));
            None
        }
    }
}

fn hazard(plane: &Plane, fields: Fields<'_>) -> Option<Hazard> {
    let id = fields.required_text("id")?;
    let clearance = fields.required("clearance");
    let form = if fields.get("line").is_some() {
        Form::Line(points(plane, fields, "line")?)
    } else if fields.get("area").is_some() {
        Form::Area(ring(plane, fields, "area")?)
    } else {
        let at = position::required(fields, "at")?;
        Form::Point(place(plane, fields, &at)?)
    };
    let kind = fields.word("kind", HazardKind::NAMES);
    let kind = kind.unwrap_or_else(|| {
        let text = format!(
            "the hazard `{}` counts as a weir (`kind` not stated)",
            id.value
        );
        Stated::assumed(HazardKind::Weir, id.span(), text)
    });
    Some(Hazard {
        title: title(fields, &id),
        kind,
        id,
        form,
        clearance: clearance?,
    })
}

fn area(plane: &Plane, fields: Fields<'_>, zone: Option<&jiff::tz::TimeZone>) -> Option<Area> {
    let id = fields.required_text("id")?;
    let closed = calendar::closures(fields, zone);
    let outline = ring(plane, fields, "area")?;
    Some(Area {
        title: title(fields, &id),
        id,
        outline,
        closed: closed?,
    })
}

fn launch_site(plane: &Plane, fields: Fields<'_>) -> Option<LaunchSite> {
    let id = fields.required_text("id");
    let at = position::required(fields, "at").and_then(|at| place(plane, fields, &at));
    let zone = fields.required("zone");
    let depth = fields.quantity("depth");
    let id = id?;
    let accessible = fields.word("accessible", &[("yes", true), ("no", false)]);
    let accessible = accessible.unwrap_or_else(|| {
        let text = format!(
            "nobody can reach a boat ashore at `{}` (`accessible` not stated)",
            id.value
        );
        Stated::assumed(false, id.span(), text)
    });
    Some(LaunchSite {
        accessible,
        id,
        at: at?,
        zone: zone?,
        depth,
    })
}

fn station(plane: &Plane, fields: Fields<'_>) -> Option<Station> {
    let id = fields.required_text("id");
    let at = position::required(fields, "at").and_then(|at| place(plane, fields, &at));
    let radios = super::radio::read_all(fields);
    let ground = fields.quantity_or("ground_height");
    Some(Station {
        id: id?,
        at: at?,
        ground,
        radios: radios?,
    })
}
