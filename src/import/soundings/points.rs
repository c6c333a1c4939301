//! Soundings of points in GeoJSON (RFC 7946), each with its depth as a property or as the third number of its
//! position.

use std::io::{self, Read as _};
use std::ops::ControlFlow;

use super::{Raw, Read, Sink, SoundingsOptions, unit};
use crate::document::{Node, ParseLimits, each_item};
use crate::import::crs::Crs;
use crate::import::fault::{Fault, Place, excerpt};
use crate::import::geodata::geodata;
use crate::source::Sources;

/// The largest file of this form, which is held whole: 256 MiB.
const LARGEST: u64 = 256 << 20;
/// Keys and values that one feature may hold.
const ONE: usize = 10_000;
/// Properties that a message names.
const NAMED: usize = 8;

/// Whether bytes begin as JSON does, which none of the other forms do.
pub(super) fn is_json(head: &[u8]) -> bool {
    let text = String::from_utf8_lossy(head);
    let text = text.trim_start_matches('\u{feff}').trim_start();
    text.starts_with(['{', '['])
}

/// Reads the points of a file. Without a system that is stated they lie on WGS 84.
pub(super) fn read(file: impl io::Read, options: &SoundingsOptions) -> Result<Read, Fault> {
    let mut bytes = Vec::new();
    let whole = file.take(LARGEST + 1).read_to_end(&mut bytes);
    whole.map_err(|error| Fault::whole(excerpt(&error.to_string())))?;
    if bytes.len() as u64 > LARGEST {
        return Err(Fault::whole(
            "GeoJSON is read up to 256 MiB; bring more in as text, or in parts",
        ));
    }
    let text = String::from_utf8(bytes).map_err(|_| Fault::whole("this is no text in UTF-8"))?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let mut sources = Sources::new();
    let source = sources.add("the file", text);
    let stated = options.crs.as_ref();
    let mut sink = Sink::new(options, stated.unwrap_or(&Crs::Wgs84), unit(options)?);
    let (mut number, mut fault) = (0, None);
    let limits = ParseLimits {
        nodes: ONE,
        ..ParseLimits::GEODATA
    };
    let root = each_item((source, text), "features", &limits, &mut |feature| {
        number += 1;
        match raw(feature, Place::Record(number), options).and_then(|raw| sink.take(raw)) {
            Ok(()) => ControlFlow::Continue(()),
            Err(why) => {
                fault = Some(why);
                ControlFlow::Break(())
            }
        }
    });
    let Some(root) = root else {
        return Err(malformed(text));
    };
    if root.get("type").and_then(Node::as_text) != Some("FeatureCollection") {
        return Err(no_collection());
    }
    if root.get("crs").is_some_and(|system| !system.is_null()) && stated.is_none() {
        return Err(Fault::whole(
            "the file states a `crs` of its own; say with `--crs` which it is, or take the member out where it is \
             WGS 84",
        ));
    }
    match fault {
        Some(fault) => Err(fault),
        None if sink.read == 0 => Err(Fault::whole("the file holds no sounding")),
        None => Ok(sink.finish("GeoJSON")),
    }
}

fn no_collection() -> Fault {
    Fault::whole("soundings come as a GeoJSON FeatureCollection of points")
}

/// Why a text cannot be read.
fn malformed(text: &str) -> Fault {
    geodata(text).err().unwrap_or_else(no_collection)
}

/// A feature as a sounding.
fn raw(feature: &Node, place: Place, options: &SoundingsOptions) -> Result<Raw, Fault> {
    let off = |text: String| Err(Fault::at(place, text));
    let geometry = feature.get("geometry");
    let kind = geometry.and_then(|one| one.get("type")?.as_text());
    if kind != Some("Point") {
        let kind = kind.map_or_else(
            || "nothing".to_owned(),
            |kind| format!("a {}", excerpt(kind)),
        );
        return off(format!("a sounding is a point, and this feature is {kind}"));
    }
    let numbers = geometry.and_then(|one| one.get("coordinates")?.as_list());
    let numbers = numbers.unwrap_or_default().iter().map(Node::as_number);
    let Some(numbers) = numbers.collect::<Option<Vec<f64>>>() else {
        return off("a position is two numbers or three, longitude first".to_owned());
    };
    let [x, y, rest @ ..] = numbers.as_slice() else {
        return off("a position is two numbers or three, longitude first".to_owned());
    };
    let z = match (&options.property, rest.first()) {
        (Some(name), _) => property(feature, name, place)?,
        (None, Some(z)) => *z,
        (None, None) => {
            let named = names(feature);
            return off(if named.is_empty() {
                "the point has no depth, neither as a property nor as the third number of its position".to_owned()
            } else {
                format!("say with `--z` which property is the depth: {named}")
            });
        }
    };
    Ok(Raw {
        x: *x,
        y: *y,
        z,
        place,
    })
}

/// The number of a property; none where it is null, as what was not measured is written.
fn property(feature: &Node, name: &str, place: Place) -> Result<f64, Fault> {
    let found = feature.get("properties").and_then(|all| all.get(name));
    match found {
        Some(node) if node.is_null() => Ok(f64::NAN),
        Some(node) => node.as_number().ok_or_else(|| {
            let text = format!("the property `{}` is not a number", excerpt(name));
            Fault::at(place, text)
        }),
        None => {
            let named = names(feature);
            let has = if named.is_empty() {
                "it has none".to_owned()
            } else {
                format!("it has {named}")
            };
            let text = format!("the point has no property `{}`; {has}", excerpt(name));
            Err(Fault::at(place, text))
        }
    }
}

/// The properties of a feature that are numbers.
fn names(feature: &Node) -> String {
    let Some(crate::document::Value::Map(entries)) =
        feature.get("properties").map(|all| &all.value)
    else {
        return String::new();
    };
    let numbers = entries
        .iter()
        .filter(|entry| entry.value.as_number().is_some());
    let named = numbers
        .take(NAMED)
        .map(|entry| format!("`{}`", excerpt(&entry.key)));
    named.collect::<Vec<_>>().join(", ")
}
