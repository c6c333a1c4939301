//! Soundings out of columns of text, grids and images of heights, thinned to the shoalest of each cell.

mod columns;
mod grid;
mod image;
mod points;
mod text;
mod thin;
mod written;

pub(crate) use columns::SoundingColumns;

use std::io::{self, BufReader, Seek, SeekFrom};

use super::crs::Crs;
use super::fault::{Fault, Place, counted, excerpt, shown_number, shown_position};
use super::whereabouts::Whereabouts;
use crate::source::Limit;
use crate::units::Length;
use thin::Thinner;

/// The largest file that soundings are read from: 2 GiB, which is read piece by piece.
pub(crate) const LARGEST: Limit = Limit::from_bytes(2 << 30);
/// Most soundings, cells of a grid or pixels that are read.
const MOST_READ: u64 = 200_000_000;
/// Depths past this are slips or stand for no depth, m: no lake is as deep (our own choice).
const DEEPEST: f64 = 2_000.0;
/// Heights above the datum past this are slips or stand for no depth, m: no land is as high.
const HIGHEST: f64 = 9_000.0;
/// Drying heights past this are slips, m, where depths are counted downwards (our own choice).
const DRIEST: f64 = 100.0;

/// What the numbers of a file are.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) enum Sign {
    /// Depths below the datum; what dries is negative.
    PositiveDown,
    /// Heights, with the height of the datum among them.
    Elevations {
        /// Height of the datum that depths are to be below.
        datum: Length,
    },
}

/// How soundings are to come in.
#[derive(Debug)]
pub(crate) struct SoundingsOptions {
    /// The system of the file's coordinates, where it is stated.
    pub crs: Option<Crs>,
    /// What its numbers are.
    pub sign: Sign,
    /// Metres in one of its numbers, where it is stated.
    pub unit: Option<f64>,
    /// The datum of the depths, as people name it.
    pub datum: String,
    /// Side of the cells of which the shoalest sounding is kept.
    pub cell: Option<Length>,
    /// A number that stands for no depth.
    pub no_data: Option<f64>,
    /// Which columns hold what, where the file has headings.
    pub columns: Option<SoundingColumns>,
    /// Which property of a point is its depth, in GeoJSON.
    pub property: Option<String>,
}

/// Soundings as they came in.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct SoundingsImport {
    /// The text of the file.
    pub text: String,
    /// Lines of a site's file that name it.
    pub site: String,
    /// What people are to look at, a sentence each without its full stop.
    pub notes: Vec<String>,
    /// What came of it, in a sentence.
    pub summary: String,
    /// Where they lie, with their place in the file, which is the whole of it.
    pub reach: Vec<(Whereabouts, Place)>,
}

/// A sounding as a file has it.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Raw {
    x: f64,
    y: f64,
    /// As the file has it, in its unit and with its sign.
    z: f64,
    place: Place,
}

/// Takes soundings one after the other, whatever they come from.
struct Sink<'a> {
    options: &'a SoundingsOptions,
    crs: &'a Crs,
    /// Metres in one number of the file.
    unit: f64,
    /// A number that stands for no depth in this file.
    no_data: Option<f64>,
    thinner: Thinner,
    read: u64,
    left_out: u64,
    negative: u64,
    /// What else such a number may come of, as the beginning of a sentence.
    doubt: &'static str,
}

impl<'a> Sink<'a> {
    fn new(options: &'a SoundingsOptions, crs: &'a Crs, unit: f64) -> Self {
        Self {
            options,
            crs,
            unit,
            no_data: options.no_data,
            thinner: Thinner::new(options.cell),
            read: 0,
            left_out: 0,
            negative: 0,
            doubt: "",
        }
    }

    /// Counts a place that holds no depth.
    fn without(&mut self) -> Result<(), Fault> {
        self.left_out += 1;
        self.count()
    }

    fn count(&mut self) -> Result<(), Fault> {
        self.read += 1;
        if self.read > MOST_READ {
            return Err(Fault::whole(format!(
                "the file has more than {MOST_READ} soundings"
            )));
        }
        Ok(())
    }

    /// Whether a number stands for no depth.
    fn is_none(&self, z: f64) -> bool {
        let stands = |none: f64| (z - none).abs() <= none.abs() * 1e-6;
        z.is_nan() || self.no_data.is_some_and(stands)
    }

    fn take(&mut self, raw: Raw) -> Result<(), Fault> {
        if self.is_none(raw.z) {
            return self.without();
        }
        self.count()?;
        let metres = raw.z * self.unit;
        let (depth, driest) = match self.options.sign {
            Sign::PositiveDown => (metres, DRIEST),
            Sign::Elevations { datum } => (datum.get() - metres, HIGHEST),
        };
        if !(-driest..=DEEPEST).contains(&depth) {
            let what = if depth < 0.0 { "above" } else { "below" };
            return Err(Fault::at(
                raw.place,
                format!(
                    "{} is {} m {what} the datum, which no depth is; {}where the number stands for no depth, \
                     `--no-data {}` leaves it out",
                    shown_number(raw.z),
                    shown_number((depth.abs() * 10.0).round() / 10.0),
                    self.doubt,
                    shown_number(raw.z)
                ),
            ));
        }
        let placed = self.crs.to_degrees(raw.x, raw.y);
        let (latitude, longitude) = placed.map_err(|text| Fault::at(raw.place, text))?;
        self.negative += u64::from(depth < 0.0);
        self.thinner
            .take(latitude, longitude, depth)
            .map_err(|text| Fault::at(raw.place, text))
    }
}

/// Brings soundings in from a file.
///
/// # Errors
/// What is wrong with it, or missing in the options.
pub(crate) fn import_soundings(
    mut file: impl io::Read + Seek,
    name: &str,
    options: &SoundingsOptions,
) -> Result<SoundingsImport, Fault> {
    let form = form(&mut file)?;
    if options.property.is_some() && form != Form::Points {
        return Err(Fault::whole(
            "`--z` alone names a property of points in GeoJSON; a file of columns needs `--x` and `--y` too",
        ));
    }
    let mut notes: Vec<String> = Vec::new();
    let read = match form {
        Form::Image => image::read(file, options, &mut notes)?,
        Form::Grid => grid::read(BufReader::new(file), options)?,
        Form::Points => points::read(file, options)?,
        Form::Text => text::read(BufReader::new(file), options)?,
    };
    finish(read, name, options, notes)
}

/// What a file of soundings is, by how it begins.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Form {
    Image,
    Grid,
    Points,
    Text,
}

/// Whether a file is of a form that soundings come in, before anything is asked about what it holds.
///
/// # Errors
/// That it is of none.
pub(crate) fn is_of_a_form(file: &mut (impl io::Read + Seek)) -> Result<(), Fault> {
    form(file).map(|_| ())
}

fn form(file: &mut (impl io::Read + Seek)) -> Result<Form, Fault> {
    let off = |error: std::io::Error| Fault::whole(excerpt(&error.to_string()));
    let mut head = [0; 64];
    let mut begun = 0;
    while begun < head.len() {
        match file.read(&mut head[begun..]).map_err(off)? {
            0 => break,
            count => begun += count,
        }
    }
    file.seek(SeekFrom::Start(0)).map_err(off)?;
    let head = &head[..begun];
    Ok(if image::is_image(head) {
        Form::Image
    } else if grid::is_grid(head) {
        Form::Grid
    } else if points::is_json(head) {
        Form::Points
    } else if head.contains(&0) {
        return Err(Fault::whole(
            "soundings are read from text, CSV, an ESRI ASCII grid, a GeoTIFF or points in GeoJSON, and this is none \
             of them",
        ));
    } else {
        Form::Text
    })
}

/// What a reader gives: the thinned soundings and its counts.
struct Read {
    form: &'static str,
    caution: Option<String>,
    thinner: Thinner,
    read: u64,
    left_out: u64,
    negative: u64,
}

impl Sink<'_> {
    fn finish(self, form: &'static str) -> Read {
        Read {
            form,
            caution: self.crs.caution(),
            thinner: self.thinner,
            read: self.read,
            left_out: self.left_out,
            negative: self.negative,
        }
    }
}

fn finish(
    read: Read,
    name: &str,
    options: &SoundingsOptions,
    mut notes: Vec<String>,
) -> Result<SoundingsImport, Fault> {
    notes.extend(read.caution);
    let taken = read.read - read.left_out;
    let Some((shoalest, deepest)) = read.thinner.range() else {
        return Err(Fault::whole("the file holds no sounding"));
    };
    if read.negative * 2 > taken {
        return Err(Fault::whole(format!(
            "{} of {taken} soundings lie above the datum, so that they are land, or heights where depths are stated: \
             see `--depths`, and cut the file to the water",
            read.negative
        )));
    }
    if read.left_out > 0 {
        notes.push(format!(
            "{} without a depth left out",
            counted(
                usize::try_from(read.left_out).unwrap_or(usize::MAX),
                "place"
            )
        ));
    }
    let reach = read.thinner.reach();
    let kept = read.thinner.into_kept();
    let thinned = options.cell.map_or_else(
        || "all of them kept".to_owned(),
        |cell| {
            format!(
                "the shoalest of each cell of {cell} kept, {} in all",
                kept.len()
            )
        },
    );
    let middle = kept.get(kept.len() / 2);
    let about = middle.map_or_else(String::new, |one| {
        format!(", about {}", shown_position(one.latitude, one.longitude))
    });
    Ok(SoundingsImport {
        summary: format!(
            "{} between {shoalest:.2} m and {deepest:.2} m below {}{about}; {thinned}",
            counted(usize::try_from(taken).unwrap_or(usize::MAX), "sounding"),
            excerpt(&options.datum)
        ),
        text: written::geojson(&kept, name, read.form, options),
        site: written::site(options),
        notes,
        reach: reach
            .map(|reach| (reach, Place::Whole))
            .into_iter()
            .collect(),
    })
}

/// The system of a file that does not say it itself.
fn stated(options: &SoundingsOptions) -> Result<&Crs, Fault> {
    options.crs.as_ref().ok_or_else(|| {
        Fault::whole(
            "the file does not say in which system its coordinates are; add `--crs`, such as `--crs EPSG:32632`, or \
             `--crs EPSG:4326` for longitude and latitude",
        )
    })
}

/// The unit of a file that does not say it itself.
fn unit(options: &SoundingsOptions) -> Result<f64, Fault> {
    options.unit.ok_or_else(|| {
        Fault::whole(
            "the file does not say in which unit its depths are; add `--unit`, such as `--unit m`",
        )
    })
}

#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_columns;
#[cfg(test)]
mod tests_points;
