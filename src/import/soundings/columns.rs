//! Which columns of a file hold the place and the depth.

use crate::track::Columns;

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
}
