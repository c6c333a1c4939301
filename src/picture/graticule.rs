//! Meridians and parallels across a map, at round minutes.

use super::on_map::Graticule;
use super::view::{At, View};
use crate::models::geodesy::{Plane, Position};
use crate::models::plane::Point;

/// Steps between two lines, in thousandths of a minute: each is so many parts of the next that labels
/// stay short.
const STEPS: [u32; 11] = [10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000];
/// Lines across the map, at most.
const MOST: f64 = 4.0;
/// The same of meridians, whose names stand side by side.
const MOST_MERIDIANS: f64 = 3.0;

/// Some meridians and parallels of a view, both at one step of their own.
pub(super) fn graticule(plane: &Plane, view: View) -> Vec<Graticule> {
    let position = |at: At| plane.to_position(Point::new(at.east, at.north));
    let (low, high) = (position(view.low), position(view.high));
    let minutes = |position: Position| {
        (
            position.latitude.to_degrees() * 60.0,
            position.longitude.to_degrees() * 60.0,
        )
    };
    let ((south, west), (north, east)) = (minutes(low), minutes(high));
    let at = |latitude: f64, longitude: f64| {
        At::from(plane.to_plane(Position::from_degrees(latitude / 60.0, longitude / 60.0)))
    };
    let parallels = lines(south, north, MOST)
        .into_iter()
        .map(|(latitude, step)| Graticule {
            words: words(latitude, step, ('N', 'S')),
            meridian: false,
            ends: (at(latitude, west), at(latitude, east)),
        });
    // A view across the antimeridian has none: longitudes do not run on there.
    let meridians = lines(west, east, MOST_MERIDIANS)
        .into_iter()
        .map(|(longitude, step)| Graticule {
            words: words(longitude, step, ('E', 'W')),
            meridian: true,
            ends: (at(south, longitude), at(north, longitude)),
        });
    parallels.chain(meridians).collect()
}

/// Round minutes between two, with the step between them in thousandths.
fn lines(from: f64, to: f64, most: f64) -> Vec<(f64, u32)> {
    let fits = |step: &&u32| (to - from) * 1000.0 / f64::from(**step) <= most;
    let Some(step) = STEPS.iter().find(fits).filter(|_| from < to) else {
        return Vec::new();
    };
    let each = f64::from(*step) / 1000.0;
    let first = (from / each).ceil();
    (0..=most as u32)
        .map(|index| (first + f64::from(index)) * each)
        .take_while(|minutes| *minutes <= to)
        .map(|minutes| (minutes, *step))
        .collect()
}

/// Minutes as degrees and minutes, with as many decimals as the step needs.
fn words(minutes: f64, step: u32, (above, below): (char, char)) -> String {
    let decimals = match step {
        step if step % 1000 == 0 => 0,
        step if step % 100 == 0 => 1,
        _ => 2,
    };
    let side = if minutes < 0.0 { below } else { above };
    // Rounded first, so that no 60 minutes are left.
    let parts = 10f64.powi(decimals);
    let all = (minutes.abs() * parts).round() / parts;
    let degrees = (all / 60.0 + 1e-9).floor();
    let decimals = decimals as usize;
    let rest = (all - 60.0 * degrees).max(0.0);
    format!("{degrees:.0}° {rest:.decimals$}′ {side}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_at_round_minutes_and_few() {
        let plane = Plane::about(Position::from_degrees(52.4, -24.31));
        let at = |east: f64, north: f64| At { east, north };
        let view = View {
            low: at(-500.0, -600.0),
            high: at(500.0, 600.0),
        };
        let all = graticule(&plane, view);
        let words: Vec<&str> = all.iter().map(|one| one.words.as_str()).collect();
        // By hand: a minute of latitude is 1855 m here, 1200 m of it 0.65′ from 23.68′; a minute of longitude
        // is 1135 m, 1000 m of it 0.88′ from 18.16′ to 19.04′ west.
        let hand = [
            "52° 23.8′ N",
            "52° 24.0′ N",
            "52° 24.2′ N",
            "24° 19.0′ W",
            "24° 18.5′ W",
        ];
        assert_eq!(words, hand);
        for line in &all {
            let ends = [line.ends.0, line.ends.1];
            let along = if line.meridian { 1200.0 } else { 1000.0 };
            let length = (ends[1].east - ends[0].east).hypot(ends[1].north - ends[0].north);
            assert!((length - along).abs() < 3.0, "{line:?}");
        }
    }

    #[test]
    fn minutes_are_never_sixty() {
        assert_eq!(words(59.9999 + 3120.0, 10, ('N', 'S')), "53° 0.00′ N");
        assert_eq!(words(-0.5, 500, ('E', 'W')), "0° 0.5′ W");
    }
}
