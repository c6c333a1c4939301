//! The forecast as a mission's conditions have it.

use std::fmt::Write as _;

use jiff::Timestamp;

use super::{ForecastOptions, Hour};
use crate::import::direction::whole_circle;
use crate::import::fault::counted;
use crate::source::printable_line;
use crate::units::{Length, Speed, Typed as _};
use crate::yaml::Yaml;

/// The block, from the key `conditions` on.
pub(super) fn block(hours: &[Hour], file: &str, form: &str, options: &ForecastOptions) -> String {
    let mut text = format!(
        "# {} imported from {} ({form}); speeds rounded up\nconditions:\n  forecast:\n",
        counted(hours.len(), "hour"),
        printable_line(file)
    );
    let _ = writeln!(
        text,
        "    source: {}",
        Yaml::text(&options.source).on_one_line()
    );
    let _ = writeln!(text, "    issued: {}", moment(options.issued));
    let _ = writeln!(text, "    valid_until: {}", moment(options.valid_until));
    // With all of their digits: from higher up, less of a wind is left at the hull.
    let _ = writeln!(text, "    height: {}", options.height.quantity().exact());
    let _ = writeln!(text, "    spread: {}", options.spread.quantity().exact());
    text.push_str("    hours:\n");
    for hour in hours {
        let _ = writeln!(
            text,
            "      - {{ time: {}, from: {}, mean: {}, gust: {} }}",
            moment(hour.time),
            whole_circle(hour.from),
            up(hour.mean),
            up(hour.gust)
        );
    }
    let seen = hours.iter().filter_map(|hour| hour.visibility);
    if let Some(least) = seen.min_by(|a, b| a.get().total_cmp(&b.get())) {
        let _ = writeln!(
            text,
            "  visibility: {} # the least of these hours",
            down(least)
        );
    }
    text
}

/// A visibility in hundreds of metres, rounded down.
fn down(length: Length) -> String {
    let hundreds = (length.get() / 100.0 + 1e-6).floor().max(0.0);
    if hundreds < 10.0 {
        return format!("{} m", hundreds * 100.0);
    }
    format!("{} km", hundreds / 10.0)
}

/// A moment in UTC: `2027-06-15T09:30Z`, with seconds where it has some.
pub(super) fn moment(time: Timestamp) -> String {
    let form = if time.as_second() % 60 == 0 {
        "%Y-%m-%dT%H:%MZ"
    } else {
        "%Y-%m-%dT%H:%M:%SZ"
    };
    time.strftime(form).to_string()
}

/// A speed in tenths of a metre a second, rounded up.
pub(super) fn up(speed: Speed) -> String {
    let tenths = (speed.get() * 10.0 - 1e-6).ceil().max(0.0);
    Speed::metres_per_second(tenths / 10.0).to_string()
}
