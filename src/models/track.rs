//! How far a boat strays from the line it was given.

use crate::units::{Angle, Length, Speed, Time};

/// Half the width of the corridor that holds the whole boat, from the errors of its position, of
/// its steering and of the chart (95 % each) and its beam.
///
/// Source: arithmetic; errors that do not depend on one another add by their squares, as IHO S-44 (edition 6)
/// has it for a total uncertainty.
#[must_use]
pub(crate) fn corridor_half_width(
    position: Length,
    track: Length,
    chart: Length,
    beam: Length,
) -> Length {
    let squares = position.get().powi(2) + track.get().powi(2) + chart.get().powi(2);
    Length::metres(squares.sqrt() + beam.get() / 2.0)
}

/// How far a boat runs on past a waypoint at which it turns by `turn`: the way made during
/// `delay`, and the advance of the turn of radius `radius`, at most two radii.
///
/// Source: geometry of a circle tangent to both legs; the delay and the bound are our own choice.
#[must_use]
pub(crate) fn turn_overrun(speed: Speed, delay: Time, radius: Length, turn: Angle) -> Length {
    let half = turn.wrapped().get().abs() / 2.0;
    // At a half turn the tangent is unbounded, or wraps to a large negative number.
    let advance = if half < std::f64::consts::FRAC_PI_2 {
        half.tan().min(2.0)
    } else {
        2.0
    };
    speed * delay + radius * advance
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed from the formula: 3 m, 2 m and 5.2 m make 6.3 m without the beam.
    #[test]
    fn errors_add_by_their_squares() {
        let m = Length::metres;
        let bare = corridor_half_width(m(3.0), m(2.0), m(5.2), m(0.0)).get();
        assert!((bare - 6.3277).abs() < 1e-3);
        let with_beam = corridor_half_width(m(3.0), m(2.0), m(5.2), m(0.4)).get();
        assert!((with_beam - bare - 0.2).abs() < 1e-12);
    }

    #[test]
    fn a_turn_runs_on_by_the_tangent_up_to_two_radii() {
        let run = |degrees: f64| {
            turn_overrun(
                Speed::metres_per_second(1.5),
                Time::seconds(1.0),
                Length::metres(3.0),
                Angle::degrees(degrees),
            )
            .get()
        };
        assert!((run(0.0) - 1.5).abs() < 1e-12);
        assert!((run(90.0) - 4.5).abs() < 1e-9);
        assert!((run(-90.0) - 4.5).abs() < 1e-9);
        assert!((run(180.0) - 7.5).abs() < 1e-9);
        assert!((run(-180.0) - 7.5).abs() < 1e-9);
        assert!((run(179.9) - 7.5).abs() < 1e-9);
        assert!((run(270.0) - run(90.0)).abs() < 1e-9);
    }
}
