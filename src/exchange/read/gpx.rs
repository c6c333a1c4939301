//! Routes, tracks and waypoints of GPX.

use super::{Found, Gathered, MOST_OF_A_TRACK, Named, SAME, counted, named, number, placed};
use crate::document::xml::{Attribute, Visitor, XmlLimits, attribute, walk};
use crate::exchange::Form;

#[derive(Default)]
struct Reading {
    gathered: Gathered,
    routes: Vec<Line>,
    tracks: Vec<Line>,
}

/// A route, or a track with how many pieces it is in.
#[derive(Default)]
struct Line {
    name: Option<String>,
    points: Vec<Named>,
    pieces: usize,
}

/// Reads GPX 1.1 or 1.0, whose routes are the same: the route; where there is none, the track if it
/// is short; else the waypoints.
pub(super) fn parse_route(text: &str) -> Result<Found, String> {
    let mut reading = Reading::default();
    walk(text, &XmlLimits::GEODATA, &mut reading).map_err(|error| error.to_string())?;
    let Reading {
        gathered,
        mut routes,
        mut tracks,
    } = reading;
    routes.retain(|route| !route.points.is_empty());
    tracks.retain(|track| !track.points.is_empty());
    if routes.len() > 1 {
        return Err(several(routes.len(), "routes"));
    }
    let mut left_out = Vec::new();
    let waypoints = gathered.points;
    let beside = |left_out: &mut Vec<String>, count: usize, what: &str| {
        if count > 0 {
            left_out.push(counted(count, what));
        }
    };
    if let Some(route) = routes.pop() {
        let off = beside_corners(&route.points, &waypoints);
        beside(&mut left_out, off, "waypoint");
        beside(&mut left_out, tracks.len(), "track");
        return Ok(found("the route", route, left_out));
    }
    if tracks.len() > 1 {
        return Err(several(tracks.len(), "tracks"));
    }
    if let Some(track) = tracks.pop() {
        if track.points.len() > MOST_OF_A_TRACK {
            return Err(format!(
                "the file has no route, and its track has {} points: a track of more than \
                 {MOST_OF_A_TRACK} is the record of a run, not a plan",
                track.points.len()
            ));
        }
        if track.pieces > 1 {
            return Err(format!(
                "the file has no route, and its track is in {} pieces",
                track.pieces
            ));
        }
        let off = beside_corners(&track.points, &waypoints);
        beside(&mut left_out, off, "waypoint");
        return Ok(found("the track", track, left_out));
    }
    if waypoints.is_empty() {
        return Err("the file has no route, no track and no waypoint".to_owned());
    }
    let waypoints = Line {
        points: waypoints,
        ..Line::default()
    };
    Ok(found("the waypoints", waypoints, left_out))
}

/// How many points say something that no corner of a line does: the launch and the recovery point of a
/// route stand in it, and once more beside it.
fn beside_corners(corners: &[Named], points: &[Named]) -> usize {
    let on = |point: &&Named| {
        corners.iter().any(|corner| {
            (point.latitude - corner.latitude).abs() <= SAME
                && (point.longitude - corner.longitude).abs() <= SAME
                && (point.name.is_none() || point.name == corner.name)
        })
    };
    points.len() - points.iter().filter(on).count()
}

fn several(count: usize, what: &str) -> String {
    format!("the file has {count} {what}; leave in only the intended one")
}

fn found(from: &'static str, line: Line, left_out: Vec<String>) -> Found {
    Found {
        form: Form::Gpx,
        from,
        name: line.name,
        points: line.points,
        left_out,
    }
}

impl Reading {
    fn point(&mut self, attributes: &[Attribute]) -> Result<Named, String> {
        self.gathered.count()?;
        let degrees = |name: &str, what: &str| {
            let text = attribute(attributes, name);
            number(
                text.ok_or_else(|| format!("a point has no `{name}`"))?,
                what,
            )
        };
        placed(degrees("lat", "latitude")?, degrees("lon", "longitude")?)
    }
}

/// The names of a path, to be compared with.
fn names(path: &[String]) -> Vec<&str> {
    path.iter().map(String::as_str).collect()
}

impl Visitor for Reading {
    fn open(&mut self, path: &[String], attributes: &[Attribute]) -> Result<(), String> {
        match names(path)[..] {
            ["gpx"] => {
                let version = attribute(attributes, "version").unwrap_or("none");
                if !["1.1", "1.0"].contains(&version) {
                    return Err("only GPX versions 1.1 and 1.0 are supported".to_owned());
                }
            }
            ["gpx", "wpt"] => {
                let point = self.point(attributes)?;
                self.gathered.points.push(point);
            }
            ["gpx", "rte"] => self.routes.push(Line::default()),
            ["gpx", "rte", "rtept"] => {
                let point = self.point(attributes)?;
                self.routes
                    .last_mut()
                    .into_iter()
                    .for_each(|route| route.points.push(point.clone()));
            }
            ["gpx", "trk"] => self.tracks.push(Line::default()),
            ["gpx", "trk", "trkseg"] => {
                self.tracks
                    .last_mut()
                    .into_iter()
                    .for_each(|track| track.pieces += 1);
            }
            ["gpx", "trk", "trkseg", "trkpt"] => {
                let point = self.point(attributes)?;
                self.tracks
                    .last_mut()
                    .into_iter()
                    .for_each(|track| track.points.push(point.clone()));
            }
            _ => {}
        }
        Ok(())
    }

    fn close(&mut self, path: &[String], text: &str) -> Result<(), String> {
        let last_of = |lines: &mut Vec<Line>| {
            let last = lines.last_mut().and_then(|line| line.points.last_mut());
            last.into_iter().for_each(|point| point.name = named(text));
        };
        match names(path)[..] {
            ["gpx", "wpt", "name"] => {
                let last = self.gathered.points.last_mut();
                last.into_iter().for_each(|point| point.name = named(text));
            }
            ["gpx", "rte", "name"] => {
                self.routes
                    .last_mut()
                    .into_iter()
                    .for_each(|route| route.name = named(text));
            }
            ["gpx", "trk", "name"] => {
                self.tracks
                    .last_mut()
                    .into_iter()
                    .for_each(|track| track.name = named(text));
            }
            ["gpx", "rte", "rtept", "name"] => last_of(&mut self.routes),
            ["gpx", "trk", "trkseg", "trkpt", "name"] => last_of(&mut self.tracks),
            _ => {}
        }
        Ok(())
    }
}
