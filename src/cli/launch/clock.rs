//! When it is, when the instruments were read, and when the boat is launched.

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::super::Failure;
use super::super::args::Launch;
use crate::plan::point_in_time;

/// The times of a decision.
pub(super) struct Times {
    /// When the boat is launched.
    pub at: Timestamp,
    /// When it is decided.
    pub now: Timestamp,
    /// What the computer's clock shows, where another time was said.
    pub computer: Option<Timestamp>,
    /// When the instruments were read.
    pub read: Timestamp,
}

/// The times as they were said, or by the computer's clock. `began` is when the command was called, and
/// what was said of the time held; `instruments` when answers began to be asked for, where any were.
pub(super) fn times(
    options: &Launch,
    zone: Option<&TimeZone>,
    (began, instruments): (Timestamp, Option<Timestamp>),
) -> Result<Times, Failure> {
    let said = |option: &str, text: &Option<String>| {
        let read = text.as_deref().map(|text| point_in_time(text, zone));
        let read = read.transpose();
        read.map_err(|why| Failure::Usage(format!("--{option}: {why}")))
    };
    let computer = Timestamp::now();
    let right = said("now", &options.now)?;
    // What was said was so when the command was called; answers took their time since.
    let by_watch = |then: Timestamp| match (right, instruments) {
        (None, _) => then,
        (Some(right), None) => right,
        (Some(right), Some(_)) => right
            .checked_add(then.duration_since(began))
            .unwrap_or(Timestamp::MAX),
    };
    let now = by_watch(computer);
    // What came with the command was read before it was called.
    let typed = options.wind.is_some() || options.battery.is_some() || options.charge.is_some();
    let instruments = by_watch(instruments.filter(|_| !typed).unwrap_or(began));
    let read = said("read", &options.read)?.unwrap_or(instruments);
    if read > now {
        return Err(Failure::Usage(format!(
            "--read: the instruments were read at {read}, and it is {now} now; check both clocks"
        )));
    }
    Ok(Times {
        at: said("at", &options.at)?.unwrap_or(now),
        now,
        computer: right.map(|_| computer),
        read,
    })
}
