//! Soundings as their file has them, before they lie on a site: one at a time, so that a large survey is
//! never held as values.

use std::ops::ControlFlow;

use crate::document::{Node, ParseLimits, Value, each_item};
use crate::models::geodesy::{Plane, Position};
use crate::models::plane::Point;
use crate::models::seabed::Sounding;
use crate::schema::Problem;
use crate::source::{SourceId, Span};
use crate::units::Length;

/// Depths deeper than this, and heights above the datum past it, are slips, m.
const DEEPEST: f64 = 12_000.0;
/// Keys and values that one feature may hold.
const ONE: usize = 10_000;

/// A sounding by the numbers of its file.
#[derive(Clone, Copy, Debug)]
struct Written {
    longitude: f64,
    latitude: f64,
    /// Metres; not a number where the depth is at fault.
    depth: f64,
    span: Span,
}

/// The soundings of a file.
#[derive(Debug)]
pub(super) struct Sounded {
    /// Those before the first that is at fault, and that one too where its place is none.
    written: Vec<Written>,
    /// What is wrong with it.
    fault: Option<Problem>,
}

impl Sounded {
    /// Reads a file's text, which is JSON that every reader takes alike; `None` where it is not.
    #[must_use]
    pub(super) fn from_text(source: SourceId, text: &str) -> Option<Self> {
        let limits = ParseLimits {
            nodes: ONE,
            ..ParseLimits::GEODATA
        };
        let mut read = Self::none();
        let root = each_item((source, text), "features", &limits, &mut |feature| {
            read.take(feature)
        })?;
        Some(read.of_collection(&root))
    }

    /// Takes them from a file that was parsed.
    #[must_use]
    pub(super) fn from_node(geojson: &Node) -> Self {
        let mut read = Self::none();
        let features = geojson.get("features").and_then(Node::as_list);
        for feature in features.unwrap_or_default() {
            if read.take(feature).is_break() {
                break;
            }
        }
        read.of_collection(geojson)
    }

    fn none() -> Self {
        Self {
            written: Vec::new(),
            fault: None,
        }
    }

    /// The same, unless the file as a whole is no collection of soundings.
    fn of_collection(self, geojson: &Node) -> Self {
        let fault = if let Some(system) = geojson.get("crs") {
            let text = "soundings may not have their own `crs`: their positions are WGS 84";
            refuse(system, text).help("bring the file to WGS 84 and leave `crs` out")
        } else if !is_collection(geojson) {
            let text = "soundings are a GeoJSON FeatureCollection with a list of `features`";
            refuse(geojson, text)
        } else {
            return self;
        };
        Self {
            written: Vec::new(),
            fault: Some(fault),
        }
    }

    fn take(&mut self, feature: &Node) -> ControlFlow<()> {
        match written(feature) {
            Ok(one) => self.written.push(one),
            Err((one, problem)) => {
                self.written.extend(one);
                self.fault = Some(problem);
                return ControlFlow::Break(());
            }
        }
        ControlFlow::Continue(())
    }

    /// The soundings in the plane of a site. What is no sounding is refused, not passed over.
    ///
    /// # Errors
    /// What is wrong with the first that is none.
    pub(super) fn on_plane(&self, plane: &Plane) -> Result<Vec<Sounding>, Problem> {
        let placed = self.written.iter().map(|one| {
            Ok(Sounding {
                at: one.on_plane(plane)?,
                depth: Length::metres(one.depth),
            })
        });
        let placed = placed.collect::<Result<Vec<_>, Problem>>()?;
        match &self.fault {
            Some(fault) => Err(fault.clone()),
            None => Ok(placed),
        }
    }
}

impl Written {
    fn on_plane(&self, plane: &Plane) -> Result<Point, Problem> {
        let Self {
            longitude,
            latitude,
            span,
            ..
        } = *self;
        let off = |why: &str| {
            let text = format!("[{longitude}, {latitude}] {why}; GeoJSON has longitude first");
            Problem::new("input-geodata", span, text)
        };
        if !(longitude.abs() <= 180.0 && latitude.abs() <= 90.0) {
            return Err(off("is not on the earth"));
        }
        let point = plane.to_plane(Position::from_degrees(latitude, longitude));
        if point.is_finite() && point.length() <= Plane::LIMIT.get() {
            Ok(point)
        } else {
            Err(off("is not on the site"))
        }
    }
}

fn refuse(node: &Node, text: impl Into<String>) -> Problem {
    Problem::new("input-geodata", node.span, text.into())
}

fn is_collection(geojson: &Node) -> bool {
    let kind = geojson.get("type").and_then(Node::as_text);
    let features = geojson.get("features").map(|node| &node.value);
    kind == Some("FeatureCollection") && matches!(features, Some(Value::List(_)))
}

/// A feature by its numbers; where its depth is at fault, its place all the same, which comes first.
fn written(feature: &Node) -> Result<Written, (Option<Written>, Problem)> {
    let geometry = feature.get("geometry");
    let is_point = geometry.and_then(|g| g.get("type")).and_then(Node::as_text) == Some("Point");
    let coordinates = geometry.and_then(|g| g.get("coordinates"));
    let Some(coordinates) = coordinates.filter(|_| is_point) else {
        let text = "a sounding is a Feature with a Point";
        return Err((None, refuse(feature, text)));
    };
    let (longitude, latitude) = position(coordinates).map_err(|problem| (None, problem))?;
    let at = |depth: f64| Written {
        longitude,
        latitude,
        depth,
        span: coordinates.span,
    };
    let depth = feature.get("properties").and_then(|p| p.get("depth"));
    let Some(depth) = depth else {
        let text = "this sounding has no `depth` among its properties";
        return Err((Some(at(f64::NAN)), refuse(feature, text)));
    };
    let metres = depth.as_number().filter(|metres| metres.abs() <= DEEPEST);
    match metres {
        Some(metres) => Ok(at(metres)),
        None => {
            let text = "`depth` is a number of metres below the datum, such as 4.2";
            Err((Some(at(f64::NAN)), refuse(depth, text)))
        }
    }
}

/// A GeoJSON position: longitude first. A third number, the altitude, is allowed and not used.
fn position(node: &Node) -> Result<(f64, f64), Problem> {
    let numbers: Option<Vec<f64>> = match &node.value {
        Value::List(items) => items.iter().map(Node::as_number).collect(),
        _ => None,
    };
    match numbers.as_deref() {
        Some([longitude, latitude] | [longitude, latitude, _]) => Ok((*longitude, *latitude)),
        _ => Err(refuse(
            node,
            "a position is two numbers, longitude and latitude",
        )),
    }
}
