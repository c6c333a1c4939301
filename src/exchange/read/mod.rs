//! A route read from a file of another program. The form is recognised by what the file holds, not by its
//! name.

mod geojson;
mod gpx;
mod kml;

use super::Form;
use crate::document::xml::{Attribute, Visitor, XmlLimits, walk};
use crate::source::{Limit, printable_line};

/// The largest file that a route is read from: 16 MiB.
pub(crate) const LARGEST: Limit = Limit::from_bytes(16 << 20);
/// Most points that are read of one file, those beside the route included.
pub(super) const MOST_POINTS: usize = 10_000;
/// Most points of a track that is taken for a route: more are the record of a run, not a plan.
const MOST_OF_A_TRACK: usize = 200;
/// How near a point has to lie to a corner of a line to lend it its name, in degrees: a centimetre.
const SAME: f64 = 1e-7;
/// Longest name that is kept, in characters.
const LONGEST_NAME: usize = 200;

/// A position with its name.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Named {
    /// Its name, where the file has one.
    pub name: Option<String>,
    /// Latitude in degrees, from −90 to 90.
    pub latitude: f64,
    /// Longitude in degrees, from −180 to 180.
    pub longitude: f64,
}

/// What was found in a file.
#[derive(Clone, PartialEq, Debug)]
pub struct Found {
    /// The form of the file.
    pub form: Form,
    /// What the route was taken from: `the route`, `the track`.
    pub from: &'static str,
    /// Its name.
    pub name: Option<String>,
    /// Its points in order; two at least.
    pub points: Vec<Named>,
    /// What else the file holds and was left out.
    pub left_out: Vec<String>,
}

/// Reads a route from the text of a file.
///
/// # Errors
/// What is wrong, in a sentence without its full stop.
pub fn parse_route(text: &str) -> Result<Found, String> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let found = match text.trim_start().chars().next() {
        None => return Err("the file is empty".to_owned()),
        Some('{') => geojson::parse_route(text),
        Some('<') => xml(text),
        Some(_) => return Err("this is neither GPX, nor KML, nor GeoJSON".to_owned()),
    }?;
    if found.points.len() < 2 {
        return Err(format!(
            "{} has one point, but a route has two or more",
            found.from
        ));
    }
    Ok(found)
}

/// Finds out which XML format a file is in.
struct Root(Option<String>);

impl Visitor for Root {
    fn open(&mut self, path: &[String], _: &[Attribute]) -> Result<(), String> {
        self.0 = path.first().cloned();
        Err(String::new())
    }
    fn close(&mut self, _: &[String], _: &str) -> Result<(), String> {
        Ok(())
    }
}

fn xml(text: &str) -> Result<Found, String> {
    let mut root = Root(None);
    let ended = walk(text, &XmlLimits::GEODATA, &mut root);
    match root.0.as_deref() {
        Some("gpx") => gpx::parse_route(text),
        Some("kml") => kml::parse_route(text),
        Some(other) => Err(format!(
            "the root element is `{}`; that of GPX is `gpx`, that of KML `kml`",
            printable_line(&other.chars().take(40).collect::<String>())
        )),
        None => Err(ended.map_or_else(
            |error| error.to_string(),
            |()| "the file is empty".to_owned(),
        )),
    }
}

/// What a file holds, gathered before it is decided what of it is the route.
#[derive(Default)]
struct Gathered {
    /// Lines, each with its name.
    lines: Vec<(Option<String>, Vec<Named>)>,
    /// Points by themselves.
    points: Vec<Named>,
    /// Areas, which are no route.
    areas: usize,
    /// All points so far.
    count: usize,
}

impl Gathered {
    fn count(&mut self) -> Result<(), String> {
        self.count += 1;
        if self.count > MOST_POINTS {
            return Err(format!("the file has more than {MOST_POINTS} points"));
        }
        Ok(())
    }

    /// The route of a format that knows lines and points: its one line, its corners named by the
    /// points on them; or the points in their order.
    fn route(mut self, form: Form) -> Result<Found, String> {
        let mut left_out = Vec::new();
        if self.areas > 0 {
            left_out.push(counted(self.areas, "area"));
        }
        if self.lines.len() > 1 {
            return Err(format!(
                "the file has {} lines; leave in only the route",
                self.lines.len()
            ));
        }
        let Some((name, mut points)) = self.lines.pop() else {
            if self.points.is_empty() {
                return Err("there is no line in the file, and no point".to_owned());
            }
            return Ok(Found {
                form,
                from: "the points",
                name: None,
                points: self.points,
                left_out,
            });
        };
        let beside = lend_names(&mut points, &self.points);
        if beside > 0 {
            left_out.push(format!("{} besides the line", counted(beside, "point")));
        }
        Ok(Found {
            form,
            from: "the line",
            name,
            points,
            left_out,
        })
    }
}

/// Gives the corners of a line the names of the points that lie on them, each point used once;
/// tells how many were not.
fn lend_names(corners: &mut [Named], points: &[Named]) -> usize {
    let mut free: Vec<&Named> = points.iter().collect();
    for corner in corners {
        let on = |point: &&Named| {
            (point.latitude - corner.latitude).abs() <= SAME
                && (point.longitude - corner.longitude).abs() <= SAME
        };
        if let Some(index) = free.iter().position(on) {
            corner.name.clone_from(&free.remove(index).name);
        }
    }
    free.len()
}

/// A position as numbers; what is no place on the earth is refused.
fn placed(latitude: f64, longitude: f64) -> Result<Named, String> {
    let fits = |value: f64, most: f64| value.is_finite() && value.abs() <= most;
    if !fits(latitude, 90.0) || !fits(longitude, 180.0) {
        let swapped = fits(longitude, 90.0) && fits(latitude, 180.0);
        let hint = if swapped {
            "; latitude and longitude look swapped"
        } else {
            ""
        };
        return Err(format!(
            "latitude {latitude}, longitude {longitude} is not on the earth: latitude goes to 90, \
             longitude to 180{hint}"
        ));
    }
    Ok(Named {
        name: None,
        latitude,
        longitude,
    })
}

/// A number of degrees as it is written.
fn number(text: &str, what: &str) -> Result<f64, String> {
    let text = text.trim();
    let digits = text
        .bytes()
        .all(|byte| byte.is_ascii_digit() || matches!(byte, b'+' | b'-' | b'.' | b'e' | b'E'));
    text.parse().ok().filter(|_| digits).ok_or_else(|| {
        let shown: String = text.chars().take(40).collect();
        format!("{what} `{}` is not a number", printable_line(&shown))
    })
}

/// A name that says something.
fn named(text: &str) -> Option<String> {
    let name: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let name: String = name.chars().take(LONGEST_NAME).collect();
    (!name.is_empty()).then_some(name)
}

fn counted(count: usize, what: &str) -> String {
    match count {
        1 => format!("1 {what}"),
        count => format!("{count} {what}s"),
    }
}
