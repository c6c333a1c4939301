//! A survey block of a mission out of a polygon: its spacing, the direction of its lines, room for its turns, and
//! what of it is closed to the boat.

mod keep_outs;
mod turns;
mod written;

pub(crate) use keep_outs::KeepOut;

use super::crs::Crs;
use super::drawn::{self, Drawing, Role, Vertex};
use super::fault::{Fault, Place, excerpt, shown_position};
use crate::models::geodesy::{Plane, Position};
use crate::models::geometry::{Frame, Polygon};
use crate::models::plane::Point;
use crate::models::sounding::{footprint, line_spacing};
use crate::units::{Angle, FromDirection, Length, Ratio, Towards};

/// The widest beam, in degrees: multibeam sounders open to 120° or 150°, some to 160°, where a swath is eleven times as wide as the
/// water is deep (common practice, no source).
pub(crate) const WIDEST_BEAM: f64 = 160.0;
/// Most corners of a block; a mission's area is drawn by hand.
const MOST_CORNERS: usize = 1000;
/// The least spacing that is written, m.
const LEAST_SPACING: f64 = 0.1;
/// Ends of a line that lie this close are one place, m.
const SAME: f64 = 0.01;

/// Which way the lines run.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) enum Along {
    /// Up and down the planned wind.
    Wind(FromDirection),
    /// Along the longest side of the area.
    LongestSide,
    /// In a direction that is stated.
    Stated(Towards),
}

/// How an area is to come in.
#[derive(Debug)]
pub(crate) struct AreaOptions {
    /// The system of the file's coordinates, where it is stated.
    pub crs: Option<Crs>,
    /// Id of the block.
    pub id: String,
    /// Least depth of the area below the sonar.
    pub depth: Length,
    /// Opening angle of the beam, across the line.
    pub beam: Angle,
    /// Share of its width by which a swath overlaps the next.
    pub overlap: Ratio,
    /// Which way the lines run.
    pub along: Along,
    /// Room beyond the area for the turns at both ends of the lines.
    pub turn_room: Length,
    /// Distance from what is closed to the boat.
    pub clear_of_keep_outs: Length,
    /// Distance of the lines from the shoreline, where it is stated.
    pub clear_of_land: Option<Length>,
    /// A launch site of the site that the area is to belong to, by its id.
    pub launch_site: Option<(String, Position)>,
}

/// An area as it came in.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct AreaImport {
    /// The block, or blocks, as a mission's route has them.
    pub text: String,
    /// What people are to look at, a sentence each without its full stop.
    pub notes: Vec<String>,
    /// What came of it, in a sentence.
    pub summary: String,
}

/// Brings an area in from the bytes of a file.
///
/// # Errors
/// What is wrong with it.
pub(crate) fn import_area(
    bytes: Vec<u8>,
    file: &str,
    options: &AreaOptions,
    closed: &[KeepOut],
) -> Result<AreaImport, Fault> {
    let drawing = drawn::read(bytes, options.crs.as_ref())?;
    let spacing = spacing(options)?;
    let (outer, holes) = outline(&drawing)?;
    if let Some((id, at)) = &options.launch_site {
        is_by(*at, id, &outer[0]).map_err(|text| Fault::at(drawing.place(&outer[0]), text))?;
    }
    let plane = Plane::about(position(&outer[0]));
    let ring = laid_out(&drawing, &plane, &outer)?;
    let mut notes: Vec<String> = Vec::new();
    notes.extend(drawing.notes.iter().cloned());
    notes.extend(options.crs.as_ref().and_then(Crs::caution));
    let mut all_closed: Vec<(String, Vec<Point>)> = Vec::new();
    for keep_out in closed {
        let points = keep_out
            .outline
            .iter()
            .map(|at| plane.to_plane(*at))
            .collect();
        all_closed.push((keep_out.id.clone(), points));
    }
    for (number, hole) in holes.iter().enumerate() {
        let name = format!("hole {}", number + 1);
        all_closed.push((name, laid_out(&drawing, &plane, hole)?));
    }
    let direction = direction(options.along, &ring);
    let frame = Frame::along(Point::towards(Towards::new(direction)));
    let turned = turns::widen(&ring, frame, options.turn_room).map_err(Fault::whole)?;
    let cut = keep_outs::cut(&turned, frame, &all_closed, options, &plane)?;
    notes.extend(cut.notes);
    let size: f64 = cut.pieces.iter().map(|piece| piece.area()).sum();
    let summary = format!(
        "{} of {:.0} m², lines {} apart along {:03.0}°; a swath is {} wide at {}",
        if cut.pieces.len() == 1 {
            "a survey block".to_owned()
        } else {
            format!("{} survey blocks", cut.pieces.len())
        },
        size,
        spacing,
        direction.to_degrees(),
        Length::metres((footprint(options.depth, options.beam).get() * 10.0).round() / 10.0),
        options.depth
    );
    Ok(AreaImport {
        text: written::route(
            &cut.pieces,
            &plane,
            file,
            &drawing,
            options,
            direction,
            spacing,
        ),
        notes,
        summary,
    })
}

fn position(vertex: &Vertex) -> Position {
    Position::from_degrees(vertex.latitude, vertex.longitude)
}

/// Refuses an area that lies farther from a launch site than any plan reaches, and says what it could have meant.
fn is_by(launch_site: Position, id: &str, corner: &Vertex) -> Result<(), String> {
    let plane = Plane::about(launch_site);
    if plane.within_limit(position(corner)).is_ok() {
        return Ok(());
    }
    let swapped = corner.longitude.abs() <= 90.0
        && plane
            .within_limit(Position::from_degrees(corner.longitude, corner.latitude))
            .is_ok();
    let hint = if swapped {
        "latitude and longitude are swapped"
    } else {
        "is it the site that `--site` names, and the system that `--crs` names?"
    };
    Err(format!(
        "the area begins at {}, more than {} from launch site `{}`; {hint}",
        shown_position(corner.latitude, corner.longitude),
        Plane::LIMIT,
        excerpt(id)
    ))
}

/// The spacing, rounded down to a tenth of a metre.
fn spacing(options: &AreaOptions) -> Result<Length, Fault> {
    let swath = footprint(options.depth, options.beam);
    let spacing = line_spacing(swath, options.overlap).get();
    let rounded = (spacing * 10.0 + 1e-6).floor() / 10.0;
    if !rounded.is_finite() || rounded < LEAST_SPACING {
        return Err(Fault::whole(format!(
            "lines would be {spacing:.2} m apart, by a depth of {}, a beam of {} and an overlap of {}; give a wider \
             beam, a greater depth or a smaller overlap",
            options.depth, options.beam, options.overlap
        )));
    }
    Ok(Length::metres(rounded))
}

/// The one outline of a file, and the holes in it.
fn outline(drawing: &Drawing) -> Result<(Vec<Vertex>, Vec<Vec<Vertex>>), Fault> {
    let mut outer: Option<Vec<Vertex>> = None;
    let mut holes = Vec::new();
    for shape in &drawing.shapes {
        let mut points = shape.points.clone();
        let first = points[0];
        let place = drawing.place(&first);
        let (first, last) = (position(&first), position(&points[points.len() - 1]));
        let apart = Plane::about(first).to_plane(last).length();
        if points.len() < 4 || apart > SAME {
            let text = format!(
                "an area is a ring that ends where it begins, at {}; this one ends {apart:.2} m away",
                shown_position(first.latitude.to_degrees(), first.longitude.to_degrees())
            );
            return Err(Fault::at(place, text));
        }
        points.pop();
        points.dedup_by(|next, held| next.same_spot(held));
        if shape.role == Role::Hole {
            holes.push(points);
        } else if outer.replace(points).is_some() {
            let text = "a second outline begins here; leave in the one that is to be surveyed";
            return Err(Fault::at(place, text));
        }
    }
    let outer = outer.ok_or_else(|| Fault::whole("there is no area in the file"))?;
    if outer.len() > MOST_CORNERS {
        return Err(Fault::whole(format!(
            "the outline has {} corners; at most {MOST_CORNERS} are taken: draw it with fewer",
            outer.len()
        )));
    }
    Ok((outer, holes))
}

/// A ring in the plane, anticlockwise, free of crossings.
fn laid_out(drawing: &Drawing, plane: &Plane, ring: &[Vertex]) -> Result<Vec<Point>, Fault> {
    let mut points = Vec::new();
    for vertex in ring {
        let within = plane.within_limit(position(vertex));
        points.push(within.map_err(|_| {
            let text = format!(
                "{} lies more than {} from the first corner",
                shown_position(vertex.latitude, vertex.longitude),
                Plane::LIMIT
            );
            Fault::at(drawing.place(vertex), text)
        })?);
    }
    let place = ring
        .first()
        .map_or(Place::Whole, |first| drawing.place(first));
    if let Err(error) = Polygon::new(points.clone(), Vec::new()) {
        return Err(Fault::at(
            place,
            format!("the outline is not valid: {error}"),
        ));
    }
    if crate::models::geometry::ring_area(&points) < 0.0 {
        points.reverse();
    }
    Ok(points)
}

/// The direction of the lines, from 0° to 180°: a line has no head.
fn direction(along: Along, ring: &[Point]) -> Angle {
    let angle = match along {
        Along::Wind(from) => from.angle(),
        Along::Stated(towards) => towards.angle(),
        Along::LongestSide => {
            let sides = (0..ring.len()).map(|index| (ring[index], ring[(index + 1) % ring.len()]));
            let longest = sides.max_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)));
            longest.map_or(Angle::ZERO, |(from, to)| from.bearing_to(to).angle())
        }
    };
    // To a tenth of a degree, which is what is written.
    let tenths = (angle.to_degrees() * 10.0).round() / 10.0;
    Angle::degrees(tenths.rem_euclid(180.0))
}

#[cfg(test)]
mod tests;
