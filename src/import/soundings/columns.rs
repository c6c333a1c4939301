//! Which columns of a file hold the place and the depth.

use crate::import::fault::excerpt;
use crate::track::Columns;

/// Words that a heading of latitudes or northings begins with, and one of longitudes or eastings (common practice, no
/// source).
const NORTHWARD: [&str; 4] = ["lat", "latitude", "north", "northing"];
const EASTWARD: [&str; 5] = ["lon", "long", "longitude", "east", "easting"];

/// Columns with headings.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct SoundingColumns {
    /// What parts the cells; found out where it is not stated.
    pub delimiter: Option<char>,
    /// Heading of eastings or longitudes.
    pub x: String,
    /// Heading of northings or latitudes.
    pub y: String,
    /// Heading of depths.
    pub z: String,
    /// Metres in one number of the depths, where the columns state a unit.
    pub unit: Option<f64>,
    /// Whether the place is latitude and longitude in degrees on WGS 84.
    pub degrees: bool,
}

impl SoundingColumns {
    /// Those of a recorder, as a file of columns states them.
    ///
    /// # Errors
    /// A file that names no column of depths.
    pub(crate) fn from_track(columns: &Columns) -> Result<Self, String> {
        let depth = columns.depth.as_ref();
        let depth = depth.ok_or("the file of columns names no `depth`")?;
        Ok(Self {
            delimiter: Some(columns.delimiter),
            x: columns.longitude.clone(),
            y: columns.latitude.clone(),
            z: depth.heading.clone(),
            unit: Some(depth.factor),
            degrees: true,
        })
    }

    /// What is wrong where a heading says that it holds the other of the two.
    pub(super) fn exchanged(&self) -> Option<String> {
        let says = |heading: &str, words: &[&str]| {
            let first = heading.split(|one: char| !one.is_ascii_alphabetic()).next();
            words.contains(&first.unwrap_or_default().to_ascii_lowercase().as_str())
        };
        let (x, y) = (&self.x, &self.y);
        let wrong = if says(x, &NORTHWARD) {
            x
        } else if says(y, &EASTWARD) {
            y
        } else {
            return None;
        };
        Some(format!(
            "longitudes or eastings are to stand in the column `{}`, latitudes or northings in `{}`, and `{}` says the \
             other: exchange the two, or rename the column",
            excerpt(x),
            excerpt(y),
            excerpt(wrong)
        ))
    }
}
