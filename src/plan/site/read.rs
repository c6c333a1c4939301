//! Reading the site file.

use std::sync::Arc;

use super::{Area, Form, Hazard, HazardKind, LaunchSite, Site, Station, named, together};
use crate::document::Node;
use crate::models::constants::Water;
use crate::models::geodesy::Plane;
use crate::models::plane::Point;
use crate::plan::laid_out::{point, points, ring};
use crate::plan::sounded::Sounded;
use crate::plan::time::date;
use crate::plan::{alike, calendar, currents, depths, shoreline, site_people};
use crate::schema::{Fields, Problem, Stated};
use crate::units::{self, Angle, Length};

/// Reads a site file. `shoreline` is the parsed GeoJSON that it names, and `soundings` what the other holds.
pub(in crate::plan) fn parse(
    file: Fields<'_>,
    shoreline: &Node,
    soundings: Option<&Sounded>,
) -> Option<Site> {
    let declination = declination(file);
    let file = file.with_declination(declination);
    let id = file.required_text("id");
    let shore_fields = file.required_map("shoreline")?;
    let shore_error: Option<Stated<Length>> = shore_fields.required("error");
    let (plane, shore, edges) = shoreline::parse(file, shore_fields, shoreline)?;
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
    let places = launch_sites.as_deref().unwrap_or_default();
    let stations = each(file, "stations", |f| station(&plane, f, places));
    if let Some(stations) = &stations {
        together::grounds(file, stations, &land_height);
    }
    let people = site_people::at_site(file);
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
        surveyed: date(shore_fields, "surveyed"),
        shore_error: shore_error?,
        time_zone: time_zone?,
        time_zone_span: file.get("time_zone").map(|zone| zone.span),
        water,
        mean_depth,
        depths: depths?,
        land_height,
        declination,
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

/// What turns magnetic bearings into true ones.
fn declination(file: Fields<'_>) -> Option<Angle> {
    let text = file.text("declination")?;
    match units::declination(&text.value) {
        Ok((angle, _)) => Some(angle),
        Err(error) => {
            file.problem(Problem::value(
                text.span(),
                format!("`declination`: {error}"),
            ));
            None
        }
    }
}

fn title(fields: Fields<'_>, id: &Stated<String>) -> String {
    fields
        .text("title")
        .map_or_else(|| id.value.clone(), |title| title.value)
}

fn hazard(plane: &Plane, fields: Fields<'_>) -> Option<Hazard> {
    let id = fields.required_text("id")?;
    let clearance = fields.required("clearance");
    let form = if fields.get("line").is_some() {
        Form::Line(points(plane, fields, "line")?)
    } else if fields.get("area").is_some() {
        Form::Area(ring(plane, fields, "area")?)
    } else {
        Form::Point(point(plane, fields, "at")?.value)
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
    let at = point(plane, fields, "at");
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
        at: at?.value,
        zone: zone?,
        depth,
    })
}

fn station(plane: &Plane, fields: Fields<'_>, places: &[LaunchSite]) -> Option<Station> {
    let id = fields.required_text("id");
    let at = match fields.text("place") {
        Some(place) => at_place(fields, &place, places),
        None => point(plane, fields, "at").map(|at| at.value),
    };
    let radios = alike::ashore(fields);
    let ground = fields.quantity_or("ground_height");
    let (radios, alike) = radios?;
    Some(Station {
        id: id?,
        at: at?,
        ground,
        radios,
        alike,
    })
}

/// The position of the launch site that a station stands at.
fn at_place(fields: Fields<'_>, place: &Stated<String>, places: &[LaunchSite]) -> Option<Point> {
    match named(places, place, "this site") {
        Ok(found) => Some(found.at),
        Err(problem) => {
            fields.problem(problem);
            None
        }
    }
}
