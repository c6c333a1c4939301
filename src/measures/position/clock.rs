//! The site's clock against its longitude.

use crate::measures::evidence;
use crate::measures::reading::Measured;
use crate::passage::Passage;
use crate::plan::offset_shown;
use crate::units::Time;

/// Seconds of an hour, by definition.
const HOUR: f64 = 3600.0;

/// Seconds either way from the time of a longitude (degrees east) that an offset from UTC (s) is;
/// a whole day is no difference, as either side of the date line.
fn difference(offset: f64, longitude: f64) -> f64 {
    let day = 24.0 * HOUR;
    let off = (offset - longitude / 15.0 * HOUR).rem_euclid(day);
    off.min(day - off)
}

pub(super) fn off_sun(passage: &Passage<'_>) -> Measured {
    let site = &passage.plan.site;
    let launch = &passage.plan.mission.launch;
    let position = site.plane.to_position(launch.at.value);
    let longitude = position.longitude.to_degrees();
    let of_zone = site.time_zone.as_ref().map(|zone| {
        let offset = zone.to_offset(launch.time.value).seconds();
        let span = site.time_zone_span.unwrap_or(site.id.span());
        (
            f64::from(offset),
            evidence::label(span, "the site's time zone"),
        )
    });
    let written = launch.offset.map(|offset| {
        let line = evidence::label(launch.time.span(), "this offset from UTC");
        (f64::from(offset.seconds()), line)
    });
    let Some((offset, primary)) = of_zone.or(written) else {
        return Measured::new(
            evidence::value(Time::ZERO),
            "the difference between the clock and the longitude, the launch being given in UTC,",
            evidence::label(launch.time.span(), "in UTC"),
        );
    };
    let mut known = Measured::new(
        evidence::value(Time::seconds(difference(offset, longitude))),
        "the difference between the site's clock and the time of its longitude",
        primary,
    );
    let here = format!("the launch point, at longitude {longitude:.2}°");
    known.because.push(evidence::label(launch.at.span(), here));
    known.steps.push(format!(
        "the clock: {}; the time of longitude {longitude:.2}°, an hour for every 15°: {}",
        offset_shown(offset as i32),
        offset_shown((longitude / 15.0 * HOUR).round() as i32)
    ));
    known
}

#[cfg(test)]
mod tests {
    use super::difference;

    fn hours(offset: f64, longitude: f64) -> f64 {
        difference(offset * 3600.0, longitude) / 3600.0
    }

    /// Clocks and longitudes from memory.
    #[test]
    fn clocks_that_are_kept_are_near_the_sun() {
        // A zone of the sea is the nearest whole hour.
        assert!((hours(-2.0, -24.3) - 0.38).abs() < 1e-9);
        // West of the date line and kept as if east of it: UTC+14 at 157.4° W.
        assert!((hours(14.0, -157.4) - 0.493).abs() < 0.01);
        // One clock for the whole width of China: UTC+8 at 76° E.
        assert!((hours(8.0, 76.0) - 2.933).abs() < 0.01);
        // Summer time in the west of Alaska: UTC−8 at 171.7° W.
        assert!((hours(-8.0, -171.7) - 3.447).abs() < 0.01);
    }

    #[test]
    fn a_clock_of_elsewhere_is_far_from_the_sun() {
        // The sign the other way round, as it is in the names of the zones of the sea.
        assert!((hours(2.0, -24.3) - 3.62).abs() < 1e-9);
        assert!((hours(9.0, -24.3) - 10.62).abs() < 1e-9);
        assert!((hours(12.0, -24.3) - 10.38).abs() < 1e-9);
    }
}
