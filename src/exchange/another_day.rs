//! A plan begun from another one, for another day: the facts of the day are gaps, all else is as it was.

use jiff::civil::DateTime;

use crate::document::{Entry, Node};
use crate::schema::marks::gap;
use crate::source::Span;

/// A mission begun from another.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct AnotherDay {
    /// Its text.
    pub text: String,
    /// How many gaps it has.
    pub gaps: usize,
}

/// What the gap of the day of charging says.
pub(super) const CHARGED: &str = "Day on which the battery was last charged.";

/// Fields of the day, with what a gap says.
const OF_THE_DAY: &[(&str, &str)] = &[
    ("charged", CHARGED),
    (
        "conditions",
        "The wind or the forecast planned for, the water temperature, the visibility.",
    ),
];

/// The text of a mission for another launch time. `root` is what its text was parsed into.
///
/// # Errors
/// In a sentence, where the time is none or not written as the mission's own is.
pub(crate) fn another_day(
    text: &str,
    root: &Node,
    id: &str,
    time: &str,
) -> Result<AnotherDay, String> {
    let (time, back) = moved(root, time)?;
    let launch = root.get("launch");
    let stated = |key: &str| launch?.entry(key);
    // What is put in place of which bytes.
    let mut edits: Vec<(Span, String)> = Vec::new();
    let mut put = |entry: Option<&Entry>, value: String| {
        edits.extend(entry.map(|entry| (entry.value.span, value)));
    };
    put(root.entry("id"), id.to_owned());
    put(stated("time"), time);
    put(stated("latest_return"), back.unwrap_or_default());
    let mut gaps = 0;
    for (key, what) in OF_THE_DAY {
        if let Some(entry) = root.entry(key) {
            gaps += 1;
            let span = Span::new(
                entry.key_span.source,
                entry.key_span.start,
                entry.value.span.end,
            );
            edits.push((span, gap(key, what)));
        }
    }
    if let Some(entry) = root.entry("waivers") {
        let span = Span::new(
            entry.key_span.source,
            entry.key_span.start,
            entry.value.span.end,
        );
        edits.push((
            span,
            "# Waivers are for one run: those of the other plan are left out.".to_owned(),
        ));
    }
    edits.sort_by_key(|(span, _)| std::cmp::Reverse(span.start));
    let mut copy = text.to_owned();
    for (span, value) in edits {
        copy.replace_range(span.range(), &value);
    }
    Ok(AnotherDay { text: copy, gaps })
}

/// The launch time and the latest return of a mission when it is launched at another time; `None` for a latest
/// return that it does not state.
///
/// # Errors
/// In a sentence, where the time is none or not written as the mission's own is.
pub(super) fn moved(root: &Node, time: &str) -> Result<(String, Option<String>), String> {
    let launch = root.get("launch");
    let stated = |key: &str| launch?.get(key)?.as_text();
    let was = stated("time").ok_or("the mission states no time of its launch")?;
    let ((was, zone), (now, other)) = (apart(was)?, apart(time)?);
    if zone.is_empty() != other.is_empty() {
        return Err(format!(
            "`{time}` is not written as the mission's own time is: {}",
            if zone.is_empty() {
                "that one is in the site's time zone, with no offset behind it"
            } else {
                "that one has an offset behind it, such as `Z` or `-02:00`"
            }
        ));
    }
    let later = |back: &str| -> Result<String, String> {
        let (back_was, _) = apart(back)?;
        let back_now = now.checked_add(back_was - was);
        let back_now = back_now.map_err(|error| error.to_string())?;
        Ok(format!("{}{other}", back_now.strftime("%Y-%m-%dT%H:%M")))
    };
    let back = stated("latest_return").map(later).transpose()?;
    Ok((time.to_owned(), back))
}

/// A time as a day and a clock, and what stands behind them of its offset.
pub(super) fn apart(time: &str) -> Result<(DateTime, &str), String> {
    let clock = time.find('T').ok_or_else(|| unreadable(time))?;
    let ends = time[clock..].find(['Z', 'z', '+', '-']);
    let (civil, offset) = time.split_at(ends.map_or(time.len(), |ends| clock + ends));
    let civil = civil.parse().map_err(|_| unreadable(time))?;
    Ok((civil, offset))
}

fn unreadable(time: &str) -> String {
    format!("`{time}` is no time such as `2027-06-18T09:30`")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::{ParseLimits, parse};
    use crate::source::Sources;

    const PLAN: &str = "kind: mission\nid: one\nlaunch:\n  place: slip\n  time: 2027-06-15T09:30\n  \
                        latest_return: 2027-06-15T11:15\ncharged: 2027-06-14 # the evening before\nconditions:\n  \
                        wind: { from: 240°, mean: 3 m/s }\n  visibility: 5 km\nroute: []\nwaivers:\n  \
                        - rule: overrun\nlinks: {}\n";

    fn copied(text: &str, time: &str) -> Result<AnotherDay, String> {
        let mut sources = Sources::default();
        let source = sources.add("one.yaml", text.to_owned());
        let document = parse(source, text, &ParseLimits::YAML).expect("YAML");
        another_day(text, &document.root, "two", time)
    }

    #[test]
    fn the_day_is_moved_and_its_facts_are_gaps() {
        let copy = copied(PLAN, "2027-07-01T23:00").expect("a copy");
        assert_eq!(copy.gaps, 2);
        assert_eq!(
            copy.text,
            "kind: mission\nid: two\nlaunch:\n  place: slip\n  time: 2027-07-01T23:00\n  latest_return: \
             2027-07-02T00:45\ncharged: # to be filled: Day on which the battery was last charged. # the evening \
             before\nconditions: # to be filled: The wind or the forecast planned for, the water temperature, the \
             visibility.\nroute: []\n# Waivers are for one run: those of the other plan are left out.\nlinks: {}\n"
        );
    }

    #[test]
    fn an_offset_stays_one() {
        let utc = PLAN
            .replace("09:30\n", "09:30Z\n")
            .replace("11:15\n", "11:15Z\n");
        let copy = copied(&utc, "2027-07-01T10:00Z").expect("a copy");
        assert!(
            copy.text.contains("latest_return: 2027-07-01T11:45Z\n"),
            "{}",
            copy.text
        );
        assert!(copied(&utc, "2027-07-01T10:00").is_err());
        assert!(copied(PLAN, "2027-07-01T10:00Z").is_err());
        assert!(copied(PLAN, "tomorrow").is_err());
        assert!(copied(PLAN, "2027-02-30T10:00").is_err());
    }
}
