//! Outlines and lines of a shapefile, alone or in a ZIP archive (the published shapefile technical description
//! of July 1998).

use std::io::Cursor;

use shapefile::{PolygonRing, Shape as Record, ShapeReader};

use super::{Drawing, Gathered, LARGEST, MOST_VERTICES, Marks, Role, Vertex, Winding};
use crate::import::crs::Crs;
use crate::import::fault::{Fault, Place, excerpt};
use crate::import::zip;

/// What a file begins with: its code, 9994, the larger byte first.
const CODE: [u8; 4] = [0, 0, 0x27, 0x0a];
/// Length of the file's head and of a record's, in bytes.
const HEAD: usize = 100;
const RECORD_HEAD: usize = 8;
/// Largest statement of a system beside a shapefile.
const LARGEST_SYSTEM: usize = 64 << 10;

/// Whether bytes begin as a shapefile does.
pub(super) fn is_shapefile(bytes: &[u8]) -> bool {
    bytes.starts_with(&CODE)
}

/// A shapefile that does not say on which system it is.
pub(super) fn no_system() -> Fault {
    Fault::whole(
        "a shapefile by itself does not say in which system its coordinates are; add `--crs`, such as \
         `--crs EPSG:32632`, or `--crs EPSG:4326` for degrees on WGS 84",
    )
}

/// Reads the one shapefile of an archive, with the system that stands beside it where the user states none.
pub(super) fn read_zipped(archive: &[u8], stated: Option<&Crs>) -> Result<Drawing, Fault> {
    let entries = zip::entries(archive)?;
    let ending = |ending: &str| -> Vec<&zip::Entry> {
        let all = entries.iter().filter(|entry| entry.ends_with(ending));
        // Copies that one system puts beside files of its own.
        all.filter(|entry| !entry.name.starts_with("__MACOSX/"))
            .collect()
    };
    let shapes = match ending(".shp")[..] {
        [one] => one,
        [] if !ending(".kml").is_empty() => {
            return Err(Fault::whole(
                "the archive holds KML; take the `.kml` file out of it",
            ));
        }
        [] => return Err(Fault::whole("the archive holds no shapefile (`.shp`)")),
        ref several => {
            return Err(Fault::whole(format!(
                "the archive holds {} shapefiles; leave in only the intended one",
                several.len()
            )));
        }
    };
    let most = usize::try_from(LARGEST.bytes()).unwrap_or(usize::MAX);
    let bytes = shapes.read(archive, most)?;
    if !is_shapefile(&bytes) {
        return Err(Fault::whole(format!(
            "`{}` is no shapefile",
            excerpt(&shapes.name)
        )));
    }
    let system = ending(".prj").first().copied();
    let system = system.map(|entry| entry.read(archive, LARGEST_SYSTEM));
    match (
        system.transpose()?.map(|bytes| System::from_bytes(&bytes)),
        stated,
    ) {
        (None, None) => Err(no_system()),
        (None, Some(crs)) => read(&bytes, crs),
        (Some(system), None) if system.is_wgs84 => read(&bytes, &Crs::Wgs84),
        (Some(system), None) => Err(Fault::whole(format!(
            "the coordinates are in the system `{}`; say which it is with `--crs`, such as `--crs EPSG:32632`",
            system.name
        ))),
        (Some(system), Some(crs)) if system.is_wgs84 => match crs {
            Crs::Wgs84 => read(&bytes, crs),
            // Degrees would be taken for metres, a pond by the equator.
            Crs::Other(_) => Err(Fault::whole(
                "the archive states degrees on WGS 84, and `--crs` another system; leave `--crs` out, or take the \
                 `.prj` file out of the archive where it is wrong",
            )),
        },
        (Some(system), Some(crs)) => {
            let mut drawing = read(&bytes, crs)?;
            drawing.notes.push(format!(
                "the archive itself states the system `{}`; `--crs` counts in its place",
                system.name
            ));
            Ok(drawing)
        }
    }
}

/// The system that stands beside a shapefile, as far as it is understood.
struct System {
    /// Its name, safe to print.
    name: String,
    /// Whether it is longitude and latitude on WGS 84.
    is_wgs84: bool,
}

impl System {
    fn from_bytes(bytes: &[u8]) -> Self {
        let text = String::from_utf8_lossy(bytes);
        let name = text.split('"').nth(1).unwrap_or("of no name");
        let plain = text.trim_start().starts_with("GEOGCS");
        Self {
            name: excerpt(name),
            is_wgs84: plain && ["GCS_WGS_1984", "WGS 84", "WGS_1984"].contains(&name),
        }
    }
}

/// Reads the polygons and lines of a shapefile.
pub(super) fn read(bytes: &[u8], crs: &Crs) -> Result<Drawing, Fault> {
    sound(bytes)?;
    let reader = ShapeReader::new(Cursor::new(bytes));
    let mut reader = reader.map_err(|error| Fault::whole(excerpt(&error.to_string())))?;
    let mut gathered = Gathered::new(crs);
    for (index, record) in reader.iter_shapes().enumerate() {
        let number = u32::try_from(index + 1).unwrap_or(u32::MAX);
        let off = |text: String| Fault::at(Place::Record(number), text);
        let record = record.map_err(|error| off(excerpt(&error.to_string())))?;
        take(&mut gathered, record, number).map_err(off)?;
    }
    Ok(gathered.finish("shapefile", Some(Winding::Clockwise), Marks::Records))
}

fn take(gathered: &mut Gathered<'_>, record: Record, number: u32) -> Result<(), String> {
    let rows = match record {
        Record::Polyline(line) => lines(line.into_inner(), |point| (point.x, point.y)),
        Record::PolylineM(line) => lines(line.into_inner(), |point| (point.x, point.y)),
        Record::PolylineZ(line) => lines(line.into_inner(), |point| (point.x, point.y)),
        Record::Polygon(polygon) => rings(polygon.into_inner(), |point| (point.x, point.y)),
        Record::PolygonM(polygon) => rings(polygon.into_inner(), |point| (point.x, point.y)),
        Record::PolygonZ(polygon) => rings(polygon.into_inner(), |point| (point.x, point.y)),
        _ => {
            gathered.beside += 1;
            return Ok(());
        }
    };
    for (role, row) in rows {
        let points = row.into_iter().map(|(x, y)| gathered.vertex(x, y, number));
        let points: Result<Vec<Vertex>, _> = points.collect();
        let points = points.map_err(|(_, text)| text)?;
        gathered.add(role, points);
    }
    Ok(())
}

/// Coordinates with what they are.
type Row = (Role, Vec<(f64, f64)>);

fn lines<P>(parts: Vec<Vec<P>>, at: fn(&P) -> (f64, f64)) -> Vec<Row> {
    let row = |part: &Vec<P>| (Role::Line, part.iter().map(at).collect());
    parts.iter().map(row).collect()
}

/// Which way round a ring runs says whether it is cut out.
fn rings<P>(rings: Vec<PolygonRing<P>>, at: fn(&P) -> (f64, f64)) -> Vec<Row> {
    let row = |ring: &PolygonRing<P>| match ring {
        PolygonRing::Outer(points) => (Role::Outer, points.iter().map(at).collect()),
        PolygonRing::Inner(points) => (Role::Hole, points.iter().map(at).collect()),
    };
    rings.iter().map(row).collect()
}

/// Refuses a file whose records claim more than they hold, before anything is set aside for them.
fn sound(bytes: &[u8]) -> Result<(), Fault> {
    let cut = || Fault::whole("the shapefile is cut off");
    let declared = big(bytes, 24).ok_or_else(cut)?.checked_mul(2);
    let declared = declared.and_then(|length| usize::try_from(length).ok());
    if bytes.len() < HEAD || declared != Some(bytes.len()) {
        return Err(Fault::whole(
            "the length that the shapefile states is not the one that it has: it is cut off or damaged",
        ));
    }
    let mut at = HEAD;
    let mut record = 0;
    while at < bytes.len() {
        record += 1;
        let off = |text: &str| Fault::at(Place::Record(record), text);
        let broken = || off("the record is cut off or claims more than it holds");
        let length = big(bytes, at + 4).ok_or_else(broken)?;
        let length = usize::try_from(length)
            .ok()
            .and_then(|length| length.checked_mul(2));
        let begins = at + RECORD_HEAD;
        let ends = length
            .and_then(|length| begins.checked_add(length))
            .ok_or_else(broken)?;
        let content = bytes.get(begins..ends).ok_or_else(broken)?;
        let kind = little(content, 0).ok_or_else(broken)?;
        // Lines and polygons, with heights or measures or without.
        if [3, 5, 13, 15, 23, 25].contains(&kind) {
            let count = |offset| {
                let count = little(content, offset)?;
                usize::try_from(count).ok()
            };
            let (parts, points) = (count(36).ok_or_else(broken)?, count(40).ok_or_else(broken)?);
            if parts > MOST_VERTICES || points > MOST_VERTICES {
                return Err(off(&format!(
                    "the record has more than {MOST_VERTICES} vertices"
                )));
            }
            if 44 + 4 * parts + 16 * points > content.len() {
                return Err(broken());
            }
            let mut before = -1;
            for part in 0..parts {
                let first = little(content, 44 + 4 * part).ok_or_else(broken)?;
                let inside = usize::try_from(first).is_ok_and(|first| first < points);
                if first <= before || !inside || part == 0 && first != 0 {
                    return Err(off("the parts of the record do not follow one another"));
                }
                before = first;
            }
        }
        at = ends;
    }
    Ok(())
}

fn big(bytes: &[u8], at: usize) -> Option<i32> {
    let four = bytes.get(at..at.checked_add(4)?)?;
    Some(i32::from_be_bytes(four.try_into().ok()?))
}

fn little(bytes: &[u8], at: usize) -> Option<i32> {
    let four = bytes.get(at..at.checked_add(4)?)?;
    Some(i32::from_le_bytes(four.try_into().ok()?))
}
