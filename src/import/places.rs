//! Places of a site out of points in GeoJSON (RFC 7946), each with what it is as its property `kind` and its name as
//! `id`: launch sites, stations and hazards, as the fields of a site's file.

use std::fmt::Write as _;

use super::fault::{Fault, Place, counted, excerpt};
use super::geodata::geodata;
use super::whereabouts::Whereabouts;
use crate::document::Node;
use crate::schema::is_id;
use crate::schema::marks::{gap, proposal};
use crate::source::Limit;
use crate::units::{Length, Typed as _, decimal_degrees};
use crate::yaml::Yaml;

/// The largest file that places are read from: 64 MiB, as of a shoreline, which may be the same file.
pub(crate) const LARGEST: Limit = Limit::SHORELINE;
/// Most places of a file.
const MOST: usize = 1000;
/// Where boats are put in.
const LAUNCH_SITE: &str = "launch site";
/// Where radios are.
const STATION: &str = "station";

/// Places as they came in.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct PlacesImport {
    /// The fields of a site's file.
    pub text: String,
    /// What people are to look at, a sentence each without its full stop.
    pub notes: Vec<String>,
    /// What came of it, in a sentence.
    pub summary: String,
    /// Where each lies, with its record.
    pub reach: Vec<(Whereabouts, Place)>,
}

/// A place.
struct Found {
    kind: String,
    id: String,
    latitude: f64,
    longitude: f64,
    number: u32,
}

/// The word for a kind of hazard, with the distance from one that is proposed.
type Hazard<'h> = (&'h str, Length);

/// Brings places in from the bytes of a file. `hazards` are the kinds of hazards that there are.
///
/// # Errors
/// What is wrong with it.
pub(crate) fn import_places(
    bytes: Vec<u8>,
    file: &str,
    hazards: &[Hazard<'_>],
) -> Result<PlacesImport, Fault> {
    let text = String::from_utf8(bytes).map_err(|_| Fault::whole("this is no text in UTF-8"))?;
    let document = geodata(&text)?;
    let root = &document.root;
    if root.get("crs").is_some_and(|system| !system.is_null()) {
        return Err(Fault::whole(
            "the file states a `crs` of its own: bring it to WGS 84, and leave the member out",
        ));
    }
    let features = root.get("features").and_then(Node::as_list);
    let Some(features) = features else {
        return Err(Fault::whole(
            "places come as points of a GeoJSON FeatureCollection",
        ));
    };
    let mut found: Vec<Found> = Vec::new();
    let mut left = 0;
    for (number, feature) in (1..).zip(features) {
        match place(feature, number, hazards)? {
            Some(place) => {
                unlike(&found, &place)?;
                found.push(place);
            }
            None => left += 1,
        }
    }
    if found.is_empty() {
        return Err(Fault::whole(format!(
            "no point has a `kind`; it may be {}",
            all_kinds(hazards)
        )));
    }
    if found.len() > MOST {
        return Err(Fault::whole(format!(
            "the file has more than {MOST} places"
        )));
    }
    let mut notes = Vec::new();
    if left > 0 {
        notes.push(format!(
            "{} without a `kind`, or no point, left out",
            counted(left, "feature")
        ));
    }
    let reach = found.iter().filter_map(|one| {
        let reach = Whereabouts::from_positions([(one.latitude, one.longitude)])?;
        Some((reach, Place::Record(one.number)))
    });
    Ok(PlacesImport {
        reach: reach.collect(),
        summary: counted(found.len(), "place"),
        text: written(&found, file, hazards),
        notes,
    })
}

fn kinds<'h>(hazards: &'h [Hazard<'_>]) -> impl Iterator<Item = &'h str> {
    let hazards = hazards.iter().map(|(word, _)| *word);
    [LAUNCH_SITE, STATION].into_iter().chain(hazards)
}

/// The same in a sentence.
fn all_kinds(hazards: &[Hazard<'_>]) -> String {
    let all: Vec<String> = kinds(hazards).map(|word| format!("`{word}`")).collect();
    all.join(", ")
}

/// A feature as a place; `None` where it is another thing.
fn place(feature: &Node, number: u32, hazards: &[Hazard<'_>]) -> Result<Option<Found>, Fault> {
    let off = |text: String| Err(Fault::at(Place::Record(number), text));
    let geometry = feature.get("geometry");
    let is_point = geometry.and_then(|one| one.get("type")?.as_text()) == Some("Point");
    let property = |key: &str| feature.get("properties").and_then(|all| all.get(key));
    let Some(kind) = property("kind").filter(|_| is_point) else {
        return Ok(None);
    };
    let kind = kind.as_text().unwrap_or_default();
    if !kinds(hazards).any(|word| word == kind) {
        let text = format!(
            "the `kind` is `{}`; it may be {}",
            excerpt(kind),
            all_kinds(hazards)
        );
        return off(text);
    }
    let id = property("id").and_then(Node::as_text).unwrap_or_default();
    if !is_id(id) {
        let text = format!(
            "the place needs an `id` of letters from a to z, digits, `.`, `_` and `-`; this is `{}`",
            excerpt(id)
        );
        return off(text);
    }
    let numbers = geometry.and_then(|one| one.get("coordinates")?.as_list());
    let numbers = numbers.unwrap_or_default().iter().map(Node::as_number);
    let numbers: Option<Vec<f64>> = numbers.collect();
    match numbers.as_deref() {
        Some([longitude, latitude, ..]) if longitude.abs() <= 180.0 && latitude.abs() <= 90.0 => {
            Ok(Some(Found {
                kind: kind.to_owned(),
                id: id.to_owned(),
                latitude: *latitude,
                longitude: *longitude,
                number,
            }))
        }
        _ => off("a position is longitude and latitude in degrees, longitude first".to_owned()),
    }
}

/// Which list of a site's file a place belongs in.
fn list(kind: &str) -> &'static str {
    match kind {
        LAUNCH_SITE => "launch_sites",
        STATION => "stations",
        _ => "hazards",
    }
}

/// Two of one list under one id could not be told apart.
fn unlike(found: &[Found], new: &Found) -> Result<(), Fault> {
    let same = |one: &&Found| one.id == new.id && list(&one.kind) == list(&new.kind);
    match found.iter().find(same) {
        None => Ok(()),
        Some(first) => Err(Fault::at(
            Place::Record(new.number),
            format!("the id `{}` is that of record {} too", new.id, first.number),
        )),
    }
}

/// The fields, lists in the order of a site's file.
fn written(found: &[Found], file: &str, hazards: &[Hazard<'_>]) -> String {
    let mut text = format!(
        "# {} imported from {}\n",
        counted(found.len(), "place"),
        crate::source::printable_line(file)
    );
    for name in ["hazards", "launch_sites", "stations"] {
        let here: Vec<&Found> = found.iter().filter(|one| list(&one.kind) == name).collect();
        if here.is_empty() {
            continue;
        }
        let _ = writeln!(text, "{name}:");
        for one in here {
            let _ = writeln!(text, "  - id: {}", Yaml::word(&one.id).on_one_line());
            if name == "hazards" {
                let _ = writeln!(text, "    kind: {}", one.kind);
            }
            let _ = writeln!(
                text,
                "    at: [{}, {}]",
                decimal_degrees(one.latitude),
                decimal_degrees(one.longitude)
            );
            let fields = match name {
                "hazards" => {
                    let mut kinds = hazards.iter();
                    let known = kinds.find(|(word, _)| *word == one.kind);
                    let told = "least distance from it";
                    vec![known.map_or_else(
                        || gap("clearance", told),
                        |(_, away)| proposal("clearance", &away.quantity().exact(), told),
                    )]
                }
                "launch_sites" => vec![
                    proposal(
                        "zone",
                        "30 m",
                        "radius within which a boat may be near this shore",
                    ),
                    gap(
                        "depth",
                        "least depth of the water in the zone that the approach uses",
                    ),
                ],
                _ => vec![gap("radios", "its radios, one per link")],
            };
            for field in fields {
                let _ = writeln!(text, "    {field}");
            }
        }
    }
    text
}

#[cfg(test)]
#[allow(clippy::unwrap_used)] // a test that cannot go on ends here
mod tests {
    use super::*;

    fn hazards() -> [Hazard<'static>; 2] {
        [
            ("weir", Length::metres(50.0)),
            ("rock", Length::metres(20.0)),
        ]
    }

    fn import(text: &str) -> Result<PlacesImport, Fault> {
        import_places(text.as_bytes().to_vec(), "p.geojson", &hazards())
    }

    fn collection(points: &[(&str, &str, &str)]) -> String {
        let features: Vec<String> = points
            .iter()
            .map(|(kind, id, at)| {
                format!(
                    "{{\"type\":\"Feature\",\"properties\":{{\"kind\":\"{kind}\",\"id\":\"{id}\"}},\
                     \"geometry\":{{\"type\":\"Point\",\"coordinates\":{at}}}}}"
                )
            })
            .collect();
        let outline = "{\"type\":\"Feature\",\"properties\":{\"kind\":\"water\"},\"geometry\":{\"type\":\"Polygon\",\
                       \"coordinates\":[]}}";
        format!(
            "{{\"type\":\"FeatureCollection\",\"features\":[{outline},{}]}}",
            features.join(",")
        )
    }

    #[test]
    fn points_become_the_lists_of_a_site_latitude_first() {
        let text = collection(&[
            ("launch site", "jetty", "[-31.202245, 46.6]"),
            ("weir", "outflow", "[-31.2, 46.595934, 4]"),
            ("station", "mast", "[-31.2025, 46.6]"),
            ("rock", "tooth", "[-31.201, 46.599]"),
        ]);
        let import = import(&text).unwrap();
        assert_eq!(
            import.text,
            "# 4 places imported from p.geojson\nhazards:\n  - id: outflow\n    kind: weir\n    at: [46.595934, \
             -31.200000]\n    clearance: 50 m # proposed: least distance from it\n  - id: tooth\n    kind: rock\n    at: \
             [46.599000, -31.201000]\n    clearance: 20 m # proposed: least distance from it\nlaunch_sites:\n  - id: jetty\n    \
             at: [46.600000, -31.202245]\n    zone: 30 m # proposed: radius within which a boat may be near this \
             shore\n    depth: # to be filled: least depth of the water in the zone that the approach uses\n\
             stations:\n  - id: mast\n    at: [46.600000, -31.202500]\n    radios: # to be filled: its radios, one \
             per link\n"
        );
        assert_eq!(import.summary, "4 places");
        assert_eq!(
            import.notes,
            ["1 feature without a `kind`, or no point, left out"]
        );
    }

    #[test]
    fn what_is_no_place_is_refused_by_its_number() {
        let at = "[-31.2, 46.6]";
        for (text, says) in [
            (
                collection(&[("pier", "a", at)]),
                "f: record 2: the `kind` is `pier`; it may be `launch site`, `station`",
            ),
            (
                collection(&[("rock", "no id", at)]),
                "f: record 2: the place needs an `id`",
            ),
            (
                collection(&[("rock", "", at)]),
                "f: record 2: the place needs an `id`",
            ),
            (
                collection(&[("rock", "a", "[46.6, -131.2]")]),
                "f: record 2: a position is longitude and latitude",
            ),
            (
                collection(&[("rock", "a", "[46.6]")]),
                "f: record 2: a position is",
            ),
            (
                collection(&[("rock", "a", at), ("weir", "a", at)]),
                "f: record 3: the id `a` is that of record 2 too",
            ),
            (
                collection(&[]).replace(",]", "]"),
                "f: no point has a `kind`",
            ),
            ("{\"features\": 1}".to_owned(), "f: places come as points"),
            ("{".to_owned(), "f:1:"),
            (
                collection(&[("rock", "a", at)]).replacen('{', "{\"crs\":{},", 1),
                "f: the file states a `crs` of its own",
            ),
        ] {
            let said = import(&text).unwrap_err().shown("f");
            assert!(said.starts_with(says), "{says}: {said}");
        }
        // One of each list may have one name.
        let same = collection(&[("rock", "a", at), ("launch site", "a", at)]);
        assert!(import(&same).is_ok());
    }
}
