//! A track from GPX 1.1.

use jiff::Timestamp;

use super::{MOST_SAMPLES, Sample, Track, placed};
use crate::document::xml::{Attribute, Visitor, XmlLimits, attribute, walk};
use crate::models::geodesy::Position;

#[derive(Default)]
struct Reading {
    track: Track,
    place: Option<Position>,
    time: Option<Timestamp>,
    points: usize,
    /// Where what is read begins, and where the open point does.
    offset: usize,
    begins: usize,
}

/// Reads the points of every track of a GPX file, in the order of the file. Points without a time
/// are counted and left out.
///
/// # Errors
/// What is wrong with the file, with its line.
pub fn read_gpx(text: &str) -> Result<Track, String> {
    let mut reading = Reading::default();
    walk(text, &XmlLimits::GEODATA, &mut reading).map_err(|error| error.to_string())?;
    if reading.points == 0 {
        return Err("the file has no point of a track".to_owned());
    }
    Ok(reading.track)
}

impl Visitor for Reading {
    fn at(&mut self, offset: usize) {
        self.offset = offset;
    }

    fn open(&mut self, path: &[String], attributes: &[Attribute]) -> Result<(), String> {
        match names(path)[..] {
            [root] if root != "gpx" => Err("the root element is not `gpx`".to_owned()),
            ["gpx", "trk", "trkseg", "trkpt"] => {
                self.points += 1;
                if self.points > MOST_SAMPLES {
                    return Err(format!("there are more than {MOST_SAMPLES} points"));
                }
                let degrees =
                    |name: &str| -> Option<f64> { attribute(attributes, name)?.parse().ok() };
                let place = degrees("lat").zip(degrees("lon"));
                let place = place.and_then(|(latitude, longitude)| placed(latitude, longitude));
                self.place = Some(place.ok_or("a point has no place on the earth")?);
                self.time = None;
                self.begins = self.offset;
                Ok(())
            }
            _ => Ok(()),
        }
    }

    fn close(&mut self, path: &[String], text: &str) -> Result<(), String> {
        match names(path)[..] {
            ["gpx", "trk", "trkseg", "trkpt", "time"] => {
                let time = text.parse();
                self.time = Some(time.map_err(|_| "a time is no moment with its offset from UTC")?);
            }
            ["gpx", "trk", "trkseg", "trkpt"] => match (self.place.take(), self.time.take()) {
                (Some(place), Some(time)) => self.track.samples.push(Sample {
                    begins: u32::try_from(self.begins).unwrap_or(u32::MAX),
                    ..Sample::at(time, place)
                }),
                _ => self.track.without_fix += 1,
            },
            _ => {}
        }
        Ok(())
    }
}

fn names(path: &[String]) -> Vec<&str> {
    path.iter().map(String::as_str).collect()
}
