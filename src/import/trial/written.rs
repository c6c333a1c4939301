//! A trial as a vessel's file has it.

use std::fmt::Write as _;

use super::{Point, TrialOptions};
use crate::import::fault::counted;
use crate::source::printable_line;
use crate::units::{Power, Speed};

/// What a figure may be past a step of its rounding and still be that step: the last bits of its sum.
const HAIR: f64 = 1e-6;

/// The block, from the key `propulsion` on.
pub(super) fn block(
    points: &[Point],
    hotel: Power,
    (file, runs): (&str, usize),
    options: &TrialOptions,
) -> String {
    let mut text = format!(
        "# {} of {} imported from {}; speeds rounded down, powers up\npropulsion:\n  trial:\n    date: {}\n    \
         points:\n",
        counted(points.len(), "speed"),
        counted(runs, "run"),
        printable_line(file),
        options.date
    );
    for one in points {
        let _ = writeln!(
            text,
            "      - {{ speed: {} m/s, power: {} }}",
            decimals(one.speed.get(), 2),
            watts(one.power)
        );
    }
    let _ = writeln!(text, "hotel_load: {}", watts(up(hotel)));
    text
}

/// A speed in hundredths of a metre a second, rounded down: at the same power a boat that is slower is worse.
pub(super) fn down(speed: Speed) -> Speed {
    Speed::metres_per_second((speed.get() * 100.0 + HAIR).floor() / 100.0)
}

/// A power in tenths of a watt, rounded up.
pub(super) fn up(power: Power) -> Power {
    Power::watts((power.get() * 10.0 - HAIR).ceil() / 10.0)
}

/// A power that was rounded, with all of its digits: as a quantity is shown it could lose the last to the kind side.
pub(super) fn watts(power: Power) -> String {
    format!("{} W", decimals(power.get(), 1))
}

/// A number with so many decimals, zeros at its end left out.
fn decimals(value: f64, count: usize) -> String {
    let text = format!("{value:.count$}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
