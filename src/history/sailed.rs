//! How far a boat went, by the track of its run.

use jiff::Timestamp;

use crate::models::geodesy::inverse;
use crate::track::{Cleaning, Track, clean};
use crate::units::{Length, Speed};

/// No boat of this trade is faster over ground: what is, is a fix that is off. Common practice, no source.
const FASTEST: Speed = Speed::metres_per_second(10.0);

/// From fix to fix on the ellipsoid, between the launch and the end of a run; straight on over gaps, so
/// that it is rather too little than too much. `None` where no two fixes lie in that time.
pub(super) fn sailed(track: &Track, launched: Timestamp, ended: Timestamp) -> Option<Length> {
    let within = |time: Timestamp| time >= launched && time <= ended;
    let samples = track.samples.iter().filter(|sample| within(sample.time));
    let track = Track {
        samples: samples.copied().collect(),
        without_fix: track.without_fix,
        cut_off: track.cut_off,
    };
    let cleaning = Cleaning::for_top_speed(FASTEST).at_rate_of(&track.samples);
    let cleaned = clean(&track, &cleaning);
    let fixes: Vec<_> = cleaned.pieces.iter().flatten().collect();
    let steps = fixes.windows(2);
    let length = steps.map(|pair| inverse(pair[0].position, pair[1].position).distance.get());
    (fixes.len() > 1).then(|| Length::metres(length.sum()))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)] // a test that cannot go on ends here
mod tests {
    use super::*;
    use crate::models::geodesy::Position;
    use crate::track::Sample;
    use crate::units::Angle;

    fn on_meridian(latitude: f64) -> Position {
        Position {
            latitude: Angle::degrees(latitude),
            longitude: Angle::degrees(-24.0),
        }
    }

    /// A minute of latitude is 1854.46 m at 52° (GRS 80; the meridian's radius, M·π/10800 with
    /// M = a(1 − e²)/(1 − e² sin² φ)^1.5, Rapp 1991, Geometric Geodesy I).
    #[test]
    fn the_distance_is_that_of_the_ellipsoid_within_the_run() {
        let start: Timestamp = "2027-06-15T10:00:00Z".parse().unwrap();
        let at = |step: u32| {
            let time = start + jiff::SignedDuration::from_secs(i64::from(step) * 10);
            let latitude = 52.0 - 1.0 / 120.0 + f64::from(step) / 6000.0;
            Sample::at(time, on_meridian(latitude))
        };
        // 100 steps of a hundredth of a minute each: one minute about 52°, 1.86 m/s.
        let mut samples: Vec<Sample> = (0..=100).map(at).collect();
        let end = samples[100].time;
        let whole = Track {
            samples: samples.clone(),
            without_fix: 0,
            cut_off: false,
        };
        let length = sailed(&whole, start, end).unwrap().get();
        assert!((length - 1854.5).abs() < 0.3, "{length}");
        // A fix that is off by kilometres adds nothing, nor does what lies before the launch or after.
        samples[50].position = on_meridian(52.3);
        let off = Track {
            samples,
            without_fix: 0,
            cut_off: false,
        };
        let length = sailed(&off, start, end).unwrap().get();
        assert!((length - 1854.5).abs() < 0.3, "{length}");
        let half = sailed(&whole, whole.samples[50].time, end).unwrap().get();
        assert!((half - 1854.5 / 2.0).abs() < 0.3, "{half}");
        let later = end + jiff::SignedDuration::from_secs(3600);
        assert_eq!(sailed(&whole, later, later), None);
    }
}
