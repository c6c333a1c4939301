//! Between when a mission has its boat out, told from what it says of its launch before anything is made of it.
//!
//! Two missions whose times are apart by more than clocks can differ have no boat out at once, whatever else
//! they say. What is not written plainly has no such time, and may be at any.

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use memchr::memchr_iter;

use super::Plan;
use super::plain_line::{is_comment, keyed, without_comment};
use crate::document::Node;
use crate::units::{Dimension, parse_quantity};

/// How long a boat is taken to be out of which no plan says by when it is back, s: a whole day.
pub(crate) const UNTIL_SAID: f64 = 24.0 * 3600.0;

/// How far a local time may be from UTC, s; offsets that can be written end before 26 hours.
const CLOCKS: i64 = 26 * 3600;
/// The longest delay that is followed, s.
const LONGEST_DELAY: f64 = 1e9;

/// By which clock times are told.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Clock {
    /// With their offsets.
    Utc,
    /// By that of the site.
    Site,
    /// One so, and one so.
    Untold,
}

/// From when to when, in seconds of its clock.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Out {
    from: i64,
    to: i64,
    clock: Clock,
}

impl Out {
    /// Whether the two may have a boat out at the same time.
    #[must_use]
    pub(crate) fn may_meet(&self, other: &Self) -> bool {
        let unknown = match (self.clock, other.clock) {
            (Clock::Utc, Clock::Utc) => 0,
            _ => 2 * CLOCKS,
        };
        let apart = |from: i64, to: i64| from.saturating_sub(to) > unknown;
        !apart(self.from, other.to) && !apart(other.from, self.to)
    }

    /// The same with the time zone of its site, where that is known.
    #[must_use]
    pub(crate) fn in_zone(self, zone: Option<&TimeZone>) -> Self {
        let placed = |seconds: i64, later: bool| {
            let civil = TimeZone::UTC.to_datetime(Timestamp::from_second(seconds).ok()?);
            let either = zone?.to_ambiguous_timestamp(civil);
            let time = if later {
                either.later()
            } else {
                either.earlier()
            };
            Some(time.ok()?.as_second())
        };
        let both = placed(self.from, false).zip(placed(self.to, true));
        match (self.clock, both) {
            (Clock::Site, Some((from, to))) => Self {
                from,
                // A delay passes by no clock that is put forward or back.
                to: to.max(from.saturating_add(self.to.saturating_sub(self.from))),
                clock: Clock::Utc,
            },
            _ => self,
        }
    }

    /// How long that is at most, whatever the clocks, s.
    #[must_use]
    pub(super) fn longest(&self) -> i64 {
        self.to.saturating_sub(self.from).saturating_add(2 * CLOCKS)
    }

    /// Of a plan, whose clock is known.
    #[must_use]
    pub(crate) fn from_plan(plan: &Plan) -> Self {
        Self {
            from: plan.mission.launch.time.value.as_second(),
            // One more for what a second that is cut off leaves.
            to: plan.back_by().as_second().saturating_add(1),
            clock: Clock::Utc,
        }
    }

    /// By the launch of a mission that was parsed; `None` where that does not tell.
    #[must_use]
    pub(super) fn from_node(launch: &Node) -> Option<Self> {
        let text = |key: &str| launch.get(key).map(Node::as_text);
        match (text("time"), text("delay"), text("latest_return")) {
            // Something stated that is no text is not understood.
            (_, Some(None), _) | (_, _, Some(None)) => None,
            (time, delay, back) => Self::stated(time??, delay.flatten(), back.flatten()),
        }
    }

    /// By what stands behind `launch:` and the lines below it, comments and blank lines left out; `None`
    /// where it is written in any but the plainest way, or leaves the delay to `orders`.
    #[must_use]
    pub(super) fn from_lines(value: &str, lines: &[&str], orders: bool) -> Option<Self> {
        let value = without_comment(value).trim_matches(' ');
        let entries = match (value, lines) {
            ("", lines) => in_lines(lines)?,
            (value, []) => in_braces(value)?,
            _ => return None,
        };
        let mut found = [None; 3];
        let mut seen: Vec<&str> = Vec::new();
        for (key, value) in entries {
            if seen.contains(&key) {
                return None;
            }
            seen.push(key);
            if let Some(at) = ["time", "delay", "latest_return"]
                .iter()
                .position(|one| *one == key)
            {
                found[at] = Some(value);
            }
        }
        let [time, delay, back] = found;
        if orders && delay.is_none() {
            return None;
        }
        Self::stated(time?, delay, back)
    }

    fn stated(time: &str, delay: Option<&str>, back: Option<&str>) -> Option<Self> {
        let (from, clock) = seconds(time)?;
        let delay = match delay {
            Some(delay) => parse_quantity(delay, Dimension::TIME).ok()?.value,
            None => 0.0,
        };
        if !(0.0..LONGEST_DELAY).contains(&delay) {
            return None;
        }
        let late = |more: f64| from.saturating_add((delay + more).ceil() as i64);
        let (to, by) = match back {
            Some(back) => {
                let (back, by) = seconds(back)?;
                (back.max(late(0.0)), by)
            }
            None => (late(UNTIL_SAID), clock),
        };
        Some(Self {
            from,
            // One more for what a second that is cut off leaves.
            to: to.saturating_add(1),
            clock: if by == clock { clock } else { Clock::Untold },
        })
    }
}

/// A point in time in seconds, with the clock that tells it; one without its offset as if it were UTC.
fn seconds(text: &str) -> Option<(i64, Clock)> {
    if let Ok(time) = text.parse::<Timestamp>() {
        return Some((time.as_second(), Clock::Utc));
    }
    let civil: DateTime = text.parse().ok()?;
    let time = TimeZone::UTC.to_timestamp(civil).ok()?;
    Some((time.as_second(), Clock::Site))
}

/// A key and a value that is one plain text, or a list of such in brackets, on one line.
fn plain(entry: &str) -> Option<(&str, &str)> {
    let (key, value) = keyed(entry.trim_matches(' '))?;
    let value = value.strip_prefix(' ')?.trim_matches(' ');
    let inner = match value.strip_prefix('[') {
        Some(rest) => rest.strip_suffix(']')?,
        None => value,
    };
    let begins = inner.starts_with(|c: char| c.is_alphanumeric() || c == '-' || c == '+');
    let listed = inner.len() < value.len();
    let sign = |c: char| matches!(c, ' ' | '-' | '_' | '.' | ':' | '+' | '/' | '°');
    let mut characters = inner.chars();
    let simple = characters.all(|c| c.is_alphanumeric() || sign(c) || (listed && c == ','));
    let paired = |at: usize| matches!(inner.as_bytes().get(at + 1), None | Some(b' '));
    let pairs = inner.starts_with("- ") || memchr_iter(b':', inner.as_bytes()).any(paired);
    (begins && simple && !pairs).then_some((key, value))
}

/// The entries of a mapping in lines of one indent.
fn in_lines<'t>(lines: &[&'t str]) -> Option<Vec<(&'t str, &'t str)>> {
    let indent = |line: &str| line.len() - line.trim_start_matches(' ').len();
    let mut entries = Vec::new();
    let mut first = None;
    for line in lines {
        let line = *line;
        if is_comment(line) {
            continue;
        }
        let indent = indent(line);
        if *first.get_or_insert(indent) != indent {
            return None;
        }
        entries.push(plain(without_comment(line))?);
    }
    Some(entries)
}

/// The entries of a mapping in braces on one line.
fn in_braces(value: &str) -> Option<Vec<(&str, &str)>> {
    let inner = value.strip_prefix('{')?.strip_suffix('}')?;
    let mut entries = Vec::new();
    let (mut from, mut listed) = (0, false);
    for (at, c) in inner.char_indices() {
        match c {
            '[' => listed = true,
            ']' => listed = false,
            ',' if !listed => {
                entries.push(plain(&inner[from..at])?);
                from = at + 1;
            }
            _ => {}
        }
    }
    entries.push(plain(&inner[from..])?);
    Some(entries)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)] // a test that cannot go on ends here
mod tests {
    use super::Out;
    use jiff::tz::TimeZone;

    use crate::document::{ParseLimits, parse};
    use crate::source::{SourceId, Sources};

    fn some_source() -> SourceId {
        Sources::new().add("text", "")
    }

    fn by_lines(text: &str) -> Option<Out> {
        let (first, rest) = text.split_once('\n').unwrap_or((text, ""));
        let lines: Vec<&str> = rest.lines().collect();
        Out::from_lines(first.strip_prefix("launch:").unwrap(), &lines, false)
    }

    fn by_parsing(text: &str) -> Option<Out> {
        let document = parse(some_source(), text, &ParseLimits::YAML).ok()?;
        Out::from_node(document.root.get("launch")?)
    }

    #[test]
    fn plain_lines_tell_what_a_parser_reads() {
        for text in [
            "launch:\n  place: slip\n  at: [52.3, -24.3] # the slip\n  time: 2027-06-15T09:30\n  delay: 20 min\n  latest_return: 2027-06-15T11:30",
            "launch: # early\n    # of all\n    time: 2027-06-15T09:30Z\n    latest_return: 2027-06-15T11:30+02:00",
            "launch: { place: slip, at: [52.3, -24.3], time: 2027-06-15T09:30, delay: 10 min } # late",
            "launch: {time: 2027-06-15T09:30}",
        ] {
            let told = by_lines(text);
            assert!(told.is_some(), "{text}");
            assert_eq!(told, by_parsing(text), "{text}");
        }
    }

    /// Each of these is something else to a parser than its lines look like, or nothing at all.
    #[test]
    fn what_is_not_plain_tells_nothing() {
        for text in [
            "launch:",
            "launch:\n  place: slip",
            "launch: \"\n  time: 2027-06-15T09:30\n  \"",
            "launch:\n  place: \"\n  time: 2027-06-15T09:30\n  \"",
            "launch:\n  place: |\n   time: 2027-06-15T09:30",
            "launch: |\n  time: 2027-06-15T09:30",
            "launch: &a\n  time: 2027-06-15T09:30",
            "launch:\n  time: 2027-06-15T09:30\n  time: 2028-06-15T09:30",
            "launch:\n  at: [52.3,\n  time: 2027-06-15T09:30\n  ]",
            "launch:\n  time:\n    2027-06-15T09:30",
            "launch:\n  time: 2027-06-15\n    T09:30",
            "launch:\n  - time: 2027-06-15T09:30",
            "launch:\n  time: 2027-06-15T09:30\n  delay: soon",
            "launch:\n  time: 2027-06-15T09:30\n  delay: -1 h",
            "launch:\n  time: *a",
            "launch: { place: { time: 2027-06-15T09:30 } }",
            "launch: { time: 2027-06-15T09:30 }\n  more",
            "launch: { \"time\": 2027-06-15T09:30 }",
            "launch: [ time: 2027-06-15T09:30 ]",
        ] {
            assert_eq!(by_lines(text), None, "{text}");
        }
    }

    /// Orders may hold the launch up for days.
    #[test]
    fn a_delay_that_is_left_to_orders_tells_nothing() {
        let told = |value: &str| Out::from_lines(value, &[], true);
        assert_eq!(told(" { time: 2027-06-15T09:30 }"), None);
        assert!(told(" { time: 2027-06-15T09:30, delay: 0 s }").is_some());
    }

    #[test]
    fn times_meet_unless_no_clock_could_bring_them_together() {
        let out = |time: &str, back: &str| {
            let text = format!("launch: {{ time: {time}, latest_return: {back} }}");
            by_lines(&text).unwrap()
        };
        let day = out("2027-06-15T09:30", "2027-06-15T11:30");
        assert!(day.may_meet(&day));
        let two_later = out("2027-06-17T12:00", "2027-06-17T13:00");
        assert!(day.may_meet(&two_later) && two_later.may_meet(&day));
        let three_later = out("2027-06-18T09:30", "2027-06-18T11:30");
        assert!(!day.may_meet(&three_later) && !three_later.may_meet(&day));
        let long = out("2027-06-01T09:30", "2027-06-30T09:30");
        assert!(day.may_meet(&long) && long.may_meet(&day));
        let unsaid = by_lines("launch: { time: 2027-06-12T12:00 }").unwrap();
        assert!(unsaid.may_meet(&day) && day.may_meet(&unsaid));
    }

    #[test]
    fn with_their_zones_times_meet_only_where_they_do() {
        let out = |time: &str, back: &str| {
            let text = format!("launch: {{ time: {time}, latest_return: {back} }}");
            by_lines(&text).unwrap()
        };
        let zone = |name: &str| TimeZone::get(name).unwrap();
        let (west, utc) = (zone("Atlantic/Azores"), zone("Etc/UTC"));
        let day = out("2027-06-15T09:30", "2027-06-15T11:30").in_zone(Some(&west));
        let evening = out("2027-06-15T11:45", "2027-06-15T13:00");
        assert!(!day.may_meet(&evening.in_zone(Some(&west))));
        assert!(!day.may_meet(&out("2027-06-15T11:31Z", "2027-06-15T13:00Z")));
        assert!(day.may_meet(&evening), "its zone is not known");
        // Azores summer time is UTC.
        assert!(day.may_meet(&out("2027-06-15T11:29Z", "2027-06-15T13:00Z")));
        assert!(day.may_meet(&out("2027-06-15T11:29", "2027-06-15T13:00").in_zone(Some(&utc))));
        let mixed = out("2027-06-16T11:29", "2027-06-16T13:00Z").in_zone(Some(&utc));
        assert!(day.may_meet(&mixed), "told by two clocks");
    }

    /// On 31 October 2027 clocks of the Azores go from 01:00 back to 00:00 (rules of the IANA database).
    #[test]
    fn an_hour_that_comes_twice_is_taken_both_times() {
        let zone = TimeZone::get("Atlantic/Azores").unwrap();
        let out = |text: &str| by_lines(text).unwrap().in_zone(Some(&zone));
        let before = out("launch: { time: 2027-10-30T22:00, latest_return: 2027-10-31T00:30 }");
        let second = out("launch: { time: 2027-10-31T01:15Z, latest_return: 2027-10-31T01:20Z }");
        assert!(before.may_meet(&second));
        let later = out("launch: { time: 2027-10-31T01:45Z, latest_return: 2027-10-31T02:20Z }");
        assert!(!before.may_meet(&later));
    }
}
