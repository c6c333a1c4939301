//! Directions as people write them: degrees, points of the compass, magnetic bearings.
//!
//! A direction is from true north. The canonical spelling has three whole figures, `063°`, or the point's
//! letters, `WSW`; a magnetic one says so, `015° M`, and may have its own declination, `015° M (3°E)`.

use super::dimension::Dimension;
use super::geographic::{Axis, ordinate};
use super::parse::parse_quantity;
use super::spelling;
use super::typed::Angle;

/// The points of the compass from north round by east, 11¼° apart, `b` for “by”.
const POINTS: [&str; 32] = [
    "N", "NbE", "NNE", "NEbN", "NE", "NEbE", "ENE", "EbN", "E", "EbS", "ESE", "SEbE", "SE", "SEbS",
    "SSE", "SbE", "S", "SbW", "SSW", "SWbS", "SW", "SWbW", "WSW", "WbS", "W", "WbN", "WNW", "NWbW",
    "NW", "NWbN", "NNW", "NbW",
];

/// A direction that was read.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Bearing {
    /// The angle as it is written, clockwise from the north that is meant.
    pub written: Angle,
    /// Whether that is magnetic north.
    pub magnetic: bool,
    /// The declination that stands with it, positive east.
    pub declination: Option<Angle>,
    /// Its canonical spelling.
    pub spelled: String,
}

impl Bearing {
    /// The direction from true north; `None` where it is magnetic and no declination is known.
    pub(crate) fn true_angle(&self, of_site: Option<Angle>) -> Option<Angle> {
        if !self.magnetic {
            return Some(self.written);
        }
        let declination = self.declination.or(of_site)?;
        let turn = std::f64::consts::TAU;
        let turned = (self.written + declination).get();
        Some(Angle::radians(turned.rem_euclid(turn)))
    }

    /// The same of a direction that is typed by itself, where no site states a declination.
    ///
    /// # Errors
    /// That the declination is missing, or the angle is no direction.
    pub(crate) fn by_itself(&self) -> Result<Angle, &'static str> {
        let from_north = self
            .true_angle(None)
            .ok_or("a magnetic direction needs its declination, such as `240° M (3°E)`")?;
        // Files bound the angle as it is written too.
        if !(0.0..=std::f64::consts::TAU + 1e-9).contains(&self.written.get()) {
            return Err("a direction is from 0° to 360°");
        }
        Ok(from_north)
    }
}

/// The declination of a place: `3°E`, `3°12′W`. It is positive where the needle points east of true north.
///
/// # Errors
/// In a sentence.
pub(crate) fn declination(text: &str) -> Result<(Angle, String), String> {
    let wrong = || {
        format!(
            "`{}` is no declination; write such as `3°E` or `3°12′W`",
            text.trim()
        )
    };
    match ordinate(text) {
        Ok(one) if one.axis == Axis::Longitude => Ok((Angle::degrees(one.degrees), one.spelled)),
        _ => Err(wrong()),
    }
}

/// Reads a direction.
///
/// # Errors
/// In a sentence.
pub(crate) fn direction(text: &str) -> Result<Bearing, String> {
    let whole = text.trim();
    let (rest, own) = match whole
        .strip_suffix(')')
        .and_then(|inner| inner.split_once('('))
    {
        Some((rest, own)) => (rest.trim_end(), Some(declination(own)?)),
        None => (whole, None),
    };
    let (angle, north) = match north(rest) {
        Some((angle, letter)) => (angle, Some(letter)),
        None => (rest, None),
    };
    let magnetic = north == Some('M');
    if own.is_some() && !magnetic {
        return Err(format!(
            "`{whole}` has a declination and is not magnetic; write it after a magnetic bearing, such as \
             `015° M (3°E)`"
        ));
    }
    let (written, mut spelled) = match point(angle) {
        Some((angle, name)) => (angle, name.to_owned()),
        None if !angle.is_empty() && angle.chars().all(char::is_alphabetic) => {
            return Err(format!(
                "`{angle}` is no point of the compass; write a direction such as `240°` or `WSW`"
            ));
        }
        None => {
            let read =
                parse_quantity(angle, Dimension::ANGLE).map_err(|error| error.to_string())?;
            (Angle::radians(read.value), three_figures(angle))
        }
    };
    if magnetic {
        spelled.push_str(" M");
    }
    if let Some((_, text)) = &own {
        spelled.push_str(&format!(" ({text})"));
    }
    Ok(Bearing {
        written,
        magnetic,
        declination: own.map(|(angle, _)| angle),
        spelled,
    })
}

/// Parts off the letter that says which north is meant.
fn north(text: &str) -> Option<(&str, char)> {
    let letter = text
        .chars()
        .next_back()
        .filter(|c| matches!(c, 'M' | 'T'))?;
    let angle = &text[..text.len() - 1];
    let apart = angle.ends_with(['°', ' ']);
    apart.then(|| (angle.trim_end(), letter))
}

fn point(text: &str) -> Option<(Angle, &'static str)> {
    let capitals = |text: &str| text.replace('b', "B");
    let at = POINTS
        .iter()
        .position(|name| capitals(name) == capitals(text))?;
    Some((Angle::degrees(at as f64 * 11.25), POINTS[at]))
}

/// An angle in degrees with three whole figures; any other as quantities are spelled.
fn three_figures(text: &str) -> String {
    let spelled = spelling::quantity(text, Dimension::ANGLE).unwrap_or_else(|| text.to_owned());
    match spelled.strip_suffix('°') {
        Some(number) if number.starts_with(|c: char| c.is_ascii_digit()) => {
            let whole = number.bytes().take_while(u8::is_ascii_digit).count();
            format!("{}{spelled}", "0".repeat(3_usize.saturating_sub(whole)))
        }
        _ => spelled,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn degrees(text: &str) -> f64 {
        let read = direction(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        read.true_angle(None).map_or(f64::NAN, Angle::to_degrees)
    }

    /// Boxing the compass: the thirty-two points and their degrees, as the American Practical Navigator
    /// (Bowditch) has them in its table of compass points; from memory.
    #[test]
    fn the_points_of_the_compass_stand_where_navigators_have_them() {
        for (point, due) in [
            ("N", 0.0),
            ("NbE", 11.25),
            ("NNE", 22.5),
            ("NEbN", 33.75),
            ("NE", 45.0),
            ("NEbE", 56.25),
            ("ENE", 67.5),
            ("EbN", 78.75),
            ("E", 90.0),
            ("ESE", 112.5),
            ("SE", 135.0),
            ("SSE", 157.5),
            ("S", 180.0),
            ("SbW", 191.25),
            ("SSW", 202.5),
            ("SW", 225.0),
            ("WSW", 247.5),
            ("W", 270.0),
            ("WNW", 292.5),
            ("NWBW", 303.75),
            ("NW", 315.0),
            ("NNW", 337.5),
            ("NbW", 348.75),
        ] {
            assert!((degrees(point) - due).abs() < 1e-9, "{point}");
        }
        assert_eq!(POINTS.len(), 32);
        for wrong in [
            "", "north", "WWS", "NbS", "w", "much", "5", "5 kg", "M", "T",
        ] {
            assert!(direction(wrong).is_err(), "{wrong}");
        }
    }

    /// “Compass to true, add east” (the rule that mariners learn, American Practical Navigator): a magnetic
    /// bearing and an easterly declination add, a westerly one is taken away.
    #[test]
    fn a_magnetic_bearing_turns_by_the_declination_that_is_stated() {
        let read = direction("015° M").unwrap();
        assert_eq!(read.true_angle(None), None);
        let with = |declination: &str| {
            let (angle, _) = super::declination(declination).unwrap();
            read.true_angle(Some(angle)).unwrap().to_degrees()
        };
        assert!((with("3° E") - 18.0).abs() < 1e-9);
        assert!((with("3°30′ W") - 11.5).abs() < 1e-9);
        assert!((with("20° W") - 355.0).abs() < 1e-9);
        // Its own declination goes before the site's.
        let own = direction("015°M (3° W)").unwrap();
        let site = Some(Angle::degrees(9.0));
        assert!((own.true_angle(site).unwrap().to_degrees() - 12.0).abs() < 1e-9);
        assert!((degrees("015° T") - 15.0).abs() < 1e-9);
        for wrong in [
            "015° (3° E)",
            "015° T (3° E)",
            "015° M (3°)",
            "015° M (3° N)",
            "015° M (-3° E)",
            "M",
        ] {
            assert!(direction(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_direction_has_one_spelling() {
        for (written, due) in [
            ("63°", "063°"),
            ("063 deg", "063°"),
            ("7.50°", "007.50°"),
            ("360°", "360°"),
            ("NWBW", "NWbW"),
            ("15°M", "015° M"),
            ("15° T", "015°"),
            ("15° M(3° E)", "015° M (3°E)"),
            ("WSW M", "WSW M"),
            ("-5°", "-5°"),
            ("1 rad", "1 rad"),
        ] {
            let read = direction(written).unwrap();
            assert_eq!(read.spelled, due);
            let again = direction(&read.spelled).unwrap();
            assert_eq!(again.spelled, due);
            assert!(
                (again.written.get() - read.written.get()).abs() <= 0.0,
                "{written}"
            );
        }
    }
}
