//! Coordinates of other systems brought to WGS 84.

use proj4rs::Proj;
use proj4rs::transform::transform;

use super::fault::{excerpt, shown_number};

/// Longest statement of a system, in bytes.
const LONGEST: usize = 500;
/// How far apart a coordinate and its own image may lie, m: past that the projection does not hold there.
const RETURNS: f64 = 0.01;
/// How far from its central meridian a transverse Mercator projection is taken, degrees: the systems of the
/// world have zones of six degrees or a few more (common practice, no source).
const FARTHEST: f64 = 10.0;

/// A system of coordinates.
#[derive(Debug)]
pub(crate) enum Crs {
    /// Longitude and latitude on WGS 84, in degrees.
    Wgs84,
    /// Any other.
    Other(Box<Other>),
}

/// A system that has to be brought to WGS 84.
#[derive(Debug)]
pub(crate) struct Other {
    from: Proj,
    to: Proj,
    /// As it was stated, safe to print.
    stated: String,
    /// Whether its datum is shifted by figures that hold to some metres.
    shifted: bool,
}

impl Crs {
    /// Reads a system as a command line states it: `EPSG:32632`, or a text of PROJ such as
    /// `+proj=utm +zone=32 +datum=WGS84`.
    ///
    /// # Errors
    /// A system that is not known, or one that leaves open how its datum lies to WGS 84.
    pub(crate) fn parse(text: &str) -> Result<Self, String> {
        let text = text.trim();
        if text.len() > LONGEST {
            return Err(format!("a system takes at most {LONGEST} characters"));
        }
        let shown = excerpt(text);
        let upper = text.to_ascii_uppercase();
        let definition = match upper.strip_prefix("EPSG:") {
            Some(code) => {
                let code: Option<u16> = code.trim().parse().ok();
                let known = code.and_then(crs_definitions::from_code);
                known
                    .ok_or_else(|| {
                        format!("`{shown}` is no EPSG code that offing knows; state the system as a text of PROJ")
                    })?
                    .proj4
            }
            None if text.starts_with('+') => text,
            None => {
                return Err(format!(
                    "`{shown}` is no system: state it as `EPSG:32632` or as `+proj=utm +zone=32 +datum=WGS84`"
                ));
            }
        };
        let shifted = shift(definition).map_err(|why| format!("{shown}: {why}"))?;
        let from = Proj::from_proj_string(definition).map_err(|error| {
            format!(
                "`{shown}` is not understood: {}",
                excerpt(&error.to_string())
            )
        })?;
        if from.is_geocent() || !from.has_inverse() || !from.is_normalized_axis() {
            return Err(format!(
                "`{shown}` cannot be brought to WGS 84: earth-centred axes, axes in another order and projections \
                 without an inverse are not supported"
            ));
        }
        let plain = from.is_latlong() && !shifted && definition.contains("WGS84");
        if plain {
            return Ok(Self::Wgs84);
        }
        let to = Proj::from_proj_string("+proj=longlat +datum=WGS84 +no_defs")
            .map_err(|error| error.to_string())?;
        Ok(Self::Other(Box::new(Other {
            from,
            to,
            stated: shown,
            shifted,
        })))
    }

    /// Latitude and longitude in degrees of an easting and a northing, or of a longitude and a latitude.
    ///
    /// # Errors
    /// What lies outside of where the system holds.
    pub(crate) fn to_degrees(&self, x: f64, y: f64) -> Result<(f64, f64), String> {
        let off = |why: &str| {
            Err(format!(
                "x {}, y {} {why}",
                shown_number(x),
                shown_number(y)
            ))
        };
        if !x.is_finite() || !y.is_finite() {
            return off("is no place: a number is not finite");
        }
        let other = match self {
            Self::Wgs84 => return on_earth(y, x),
            Self::Other(other) => other,
        };
        // No zone of UTM begins within some kilometres of its false origin (its definition; from memory).
        if other.from.projname() == "utm" && x.abs() <= 180.0 && y.abs() <= 180.0 {
            return off(&format!(
                "is no easting and northing of {} in metres; where these are degrees, state `--crs EPSG:4326`",
                other.stated
            ));
        }
        let geographic = other.from.is_latlong();
        let mut at = if geographic {
            (x.to_radians(), y.to_radians(), 0.0)
        } else {
            (x, y, 0.0)
        };
        if transform(&other.from, &other.to, &mut at).is_err() {
            return off(&format!("lies outside of where {} holds", other.stated));
        }
        let (latitude, longitude) = (at.1.to_degrees(), at.0.to_degrees());
        let fits = latitude.is_finite() && longitude.is_finite() && latitude.abs() <= 90.0;
        let central = other.from.longitude_of_origin().to_degrees();
        let transverse = ["utm", "tmerc", "etmerc"].contains(&other.from.projname());
        let apart = (longitude - central + 540.0).rem_euclid(360.0) - 180.0;
        if fits && transverse && apart.abs() > FARTHEST {
            return off(&format!(
                "lies {:.0}° from the central meridian of {}; x is the easting, y the northing",
                apart.abs(),
                other.stated
            ));
        }
        let mut back = (at.0, at.1, 0.0);
        let returned = transform(&other.to, &other.from, &mut back).is_ok();
        let near = geographic
            || (back.0 - x).abs() + (back.1 - y).abs()
                <= 2.0 * RETURNS / other.from.to_meter().max(1e-9);
        if !fits || !returned || !near {
            return off(&format!("lies outside of where {} holds", other.stated));
        }
        on_earth(latitude, longitude)
    }

    /// What people are to know of the positions that come of it.
    pub(crate) fn caution(&self) -> Option<String> {
        match self {
            Self::Other(other) if other.shifted => Some(format!(
                "{} has a datum of its own, shifted to WGS 84 by figures that hold to some metres: add them to the \
                 error that the site states",
                other.stated
            )),
            _ => None,
        }
    }

    /// Whether coordinates are degrees as they stand.
    pub(crate) fn is_wgs84(&self) -> bool {
        matches!(self, Self::Wgs84)
    }
}

/// A place on the earth, to the ninth decimal of a degree, a tenth of a millimetre, which is what files hold.
fn on_earth(latitude: f64, longitude: f64) -> Result<(f64, f64), String> {
    let fits = |value: f64, most: f64| value.is_finite() && value.abs() <= most;
    if !fits(latitude, 90.0) || !fits(longitude, 180.0) {
        let hint = if fits(longitude, 90.0) && fits(latitude, 180.0) {
            "; latitude and longitude look swapped"
        } else {
            "; projected coordinates need `--crs`, such as `--crs EPSG:32632`"
        };
        return Err(format!(
            "latitude {}, longitude {} is not on the earth{hint}",
            shown_number(latitude),
            shown_number(longitude)
        ));
    }
    let rounded = |value: f64| (value * 1e9).round() / 1e9;
    Ok((rounded(latitude), rounded(longitude)))
}

/// Whether the datum of a definition is shifted; an error where it is not told how it lies to WGS 84.
fn shift(definition: &str) -> Result<bool, String> {
    let mut datum = None;
    let mut ellipsoid = None;
    let mut shift = None;
    for token in definition.split_whitespace() {
        let (key, value) = token.split_once('=').unwrap_or((token, ""));
        match key {
            "+datum" => datum = Some(value),
            "+ellps" => ellipsoid = Some(value),
            "+towgs84" => shift = Some(value),
            "+nadgrids" | "+geoidgrids" if value != "@null" => {
                return Err("its datum is shifted by a file of a grid, which offing does not read; bring the data to \
                            WGS 84 first"
                    .to_owned());
            }
            "+init" | "+step" | "+pipeline" => {
                return Err(format!("`{}` is not supported", excerpt(token)));
            }
            _ => {}
        }
    }
    if let Some(shift) = shift {
        let figures: Option<Vec<f64>> = shift.split(',').map(|one| one.parse().ok()).collect();
        let figures = figures.filter(|figures| matches!(figures.len(), 3 | 7));
        let figures = figures.ok_or("`+towgs84` takes three or seven numbers")?;
        return Ok(figures.iter().any(|figure| figure.abs() > 0.0));
    }
    match (datum, ellipsoid) {
        (Some("WGS84" | "NAD83"), _) => Ok(false),
        (Some("NAD27"), _) => Err("its datum is shifted by a file of a grid, which offing does not read; bring the \
                                   data to WGS 84 first"
            .to_owned()),
        (Some(_), _) => Ok(true),
        // Datums of today lie within some decimetres of WGS 84 (from memory).
        (None, Some("WGS84" | "GRS80")) => Ok(false),
        _ => Err("it does not say how its datum lies to WGS 84; add `+towgs84=` with the three or seven figures of the \
                  datum"
            .to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Degrees, minutes and seconds.
    fn dms(degrees: f64, minutes: f64, seconds: f64) -> f64 {
        degrees + minutes / 60.0 + seconds / 3600.0
    }

    /// The worked example of the Transverse Mercator method in IOGP Guidance Note 7-2 (Geomatics Guidance
    /// Note 7, part 2), British National Grid: 50°30'00" N, 0°30'00" E is E 577 274.99 m, N 69 740.50 m. It
    /// stays on the datum of its own. From memory.
    #[test]
    fn the_transverse_mercator_example_of_guidance_note_7_2_comes_back() {
        let grid = "+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 \
                    +a=6377563.396 +rf=299.32496 +units=m";
        let from = Proj::from_proj_string(grid).unwrap();
        let to = Proj::from_proj_string("+proj=longlat +a=6377563.396 +rf=299.32496").unwrap();
        let mut at = (577_274.99, 69_740.50, 0.0);
        transform(&from, &to, &mut at).unwrap();
        // Half of the last digit, a hundredth of a metre, in degrees of latitude.
        assert!((at.1.to_degrees() - 50.5).abs() < 1e-7, "{at:?}");
        assert!((at.0.to_degrees() - 0.5).abs() < 2e-7, "{at:?}");
    }

    /// A tower in Toronto, as articles on UTM have it: 43°38'33.24" N, 79°23'13.7" W lies in zone 17 at
    /// 630 084 m east, 4 833 438 m north. From memory.
    #[test]
    fn utm_is_read_by_code_and_by_text() {
        for stated in [
            "EPSG:32617",
            "epsg:32617",
            "+proj=utm +zone=17 +datum=WGS84 +units=m",
        ] {
            let crs = Crs::parse(stated).unwrap();
            let (latitude, longitude) = crs.to_degrees(630_084.0, 4_833_438.0).unwrap();
            assert!(
                (latitude - dms(43.0, 38.0, 33.24)).abs() < 1e-5,
                "{latitude}"
            );
            assert!(
                (longitude + dms(79.0, 23.0, 13.7)).abs() < 1e-5,
                "{longitude}"
            );
            assert!(crs.caution().is_none());
        }
    }

    #[test]
    fn a_geographic_system_on_wgs_84_is_taken_as_it_stands() {
        let crs = Crs::parse("EPSG:4326").unwrap();
        assert!(crs.is_wgs84());
        assert_eq!(crs.to_degrees(-24.25, 52.5).unwrap(), (52.5, -24.25));
        let told = crs.to_degrees(400_000.0, 5_000_000.0).unwrap_err();
        assert!(told.contains("`--crs EPSG:32632`"), "{told}");
        let told = crs.to_degrees(52.4, -124.3).unwrap_err();
        assert!(told.contains("look swapped"), "{told}");
    }

    #[test]
    fn what_would_put_positions_elsewhere_is_refused() {
        for (stated, due) in [
            ("utm 32", "is no system"),
            ("EPSG:1", "is no EPSG code"),
            ("EPSG:99999999", "is no EPSG code"),
            // Clarke's ellipsoid, and nothing of its datum.
            ("EPSG:2000", "how its datum lies to WGS 84"),
            (
                "+proj=utm +zone=32 +ellps=intl",
                "how its datum lies to WGS 84",
            ),
            ("+proj=utm +zone=15 +datum=NAD27", "file of a grid"),
            (
                "+proj=utm +zone=32 +ellps=intl +towgs84=1,2",
                "three or seven",
            ),
            ("+proj=nonesuch +datum=WGS84", "is not understood"),
            ("+proj=geocent +datum=WGS84", "earth-centred"),
            ("+init=epsg:32632", "not supported"),
        ] {
            let told = Crs::parse(stated).unwrap_err();
            assert!(told.contains(due), "{stated}: {told}");
        }
        let utm = Crs::parse("EPSG:32632").unwrap();
        assert!(utm.to_degrees(f64::NAN, 5e6).is_err());
        // Northing and easting exchanged.
        let told = utm.to_degrees(5_800_000.0, 500_000.0).unwrap_err();
        assert!(
            told.contains("x is the easting") || told.contains("outside"),
            "{told}"
        );
    }

    #[test]
    fn degrees_are_no_coordinates_of_a_zone() {
        let utm = Crs::parse("EPSG:32633").unwrap();
        for (x, y) in [(16.2, 68.4), (68.4, 16.2), (-70.5, -33.2)] {
            let told = utm.to_degrees(x, y).unwrap_err();
            assert!(told.contains("state `--crs EPSG:4326`"), "{told}");
        }
        // On the equator, and on the meridian of the zone.
        assert!(utm.to_degrees(500_000.0, 0.0).is_ok());
    }

    /// European Datum 1950 is shifted by figures that hold to some metres, which is reported.
    #[test]
    fn an_older_datum_is_shifted_and_told() {
        let crs = Crs::parse("EPSG:23032").unwrap();
        assert!(crs.caution().unwrap().contains("some metres"));
        let modern = Crs::parse("EPSG:25832").unwrap();
        let (old, new) = (
            crs.to_degrees(500_000.0, 5_800_000.0).unwrap(),
            modern.to_degrees(500_000.0, 5_800_000.0).unwrap(),
        );
        let metres = (old.0 - new.0) * 111_000.0;
        // Some 200 m in the northing between the two datums (from memory).
        assert!((-250.0..-150.0).contains(&metres), "{metres}");
    }
}
