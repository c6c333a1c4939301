//! What the record of a decision or of a run is about, told from its lines without parsing it, where that is
//! certain: of a history of thousands of runs few bear on a launch.

use jiff::Timestamp;

use super::heading::Margin;

/// What a record states at its top level.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct RecordHeading {
    /// Id of the mission.
    pub mission: String,
    /// When the boat was launched, or was to be.
    pub from: Timestamp,
    /// When it was back; `None` of a decision.
    pub to: Option<Timestamp>,
    /// When it was decided, or recorded.
    pub made: Timestamp,
}

impl RecordHeading {
    /// The heading of a text, where it is certain that it is a record that states these, or cannot be read
    /// as one.
    #[must_use]
    pub(super) fn parse(text: &str) -> Option<Self> {
        let Margin { found, .. } = Margin::read(text, FIELDS, value)?;
        let [kind, mission, at, decided, launched, ended, recorded] = found;
        let time = |text: Option<&str>| text?.parse::<Timestamp>().ok();
        let (from, to, made) = match kind? {
            "launch" => (at, None, decided),
            "run" => (launched, Some(ended), recorded),
            _ => return None,
        };
        Some(Self {
            mission: mission?.to_owned(),
            from: time(from)?,
            to: match to {
                Some(to) => Some(time(to)?),
                None => None,
            },
            made: time(made)?,
        })
    }
}

/// What is looked for.
const FIELDS: [&str; 7] = [
    "kind", "mission", "at", "decided", "launched", "ended", "recorded",
];

/// One text, bare or in quotes, with nothing but a comment behind it.
fn value(written: &str) -> Option<&str> {
    let written = written.trim_matches(' ');
    let (value, rest) = match written.strip_prefix('"') {
        Some(quoted) => quoted.split_once('"')?,
        None => written.split_once(' ').unwrap_or((written, "")),
    };
    let rest = rest.trim_matches(' ');
    let plain = |b: u8| b.is_ascii_alphanumeric() || b"-_.:+".contains(&b);
    let begins = value.starts_with(|c: char| c.is_ascii_alphanumeric());
    let ends = value.ends_with(|c: char| c.is_ascii_alphanumeric());
    let alone = rest.is_empty() || rest.starts_with('#');
    (alone && begins && ends && value.bytes().all(plain)).then_some(value)
}

#[cfg(test)]
mod tests {
    use super::RecordHeading;

    const DECISION: &str = "kind: launch\nformat: 1\nid: \"lines-1\"\nmission: \"lines\"\nat: \
                            \"2027-06-15T11:35:00Z\"\ndecided: 2027-06-15T11:30:00Z # by hand\n\
                            readings:\n  wind: \"240\u{b0} 2 m/s\"\n";

    #[test]
    fn a_record_as_the_program_writes_it_has_a_heading() {
        let heading = RecordHeading::parse(DECISION);
        assert!(heading.is_some_and(|one| {
            one.mission == "lines"
                && one.to.is_none()
                && one.from.to_string() == "2027-06-15T11:35:00Z"
                && one.made.to_string() == "2027-06-15T11:30:00Z"
        }));
        let run = DECISION
            .replace("kind: launch", "kind: run")
            .replace("\nat: ", "\nlaunched: ")
            .replace("\ndecided: ", "\nended: 2027-06-15T12:35:00Z\nrecorded: ");
        let heading = RecordHeading::parse(&run);
        assert!(heading.is_some_and(|one| one.to.is_some()));
    }

    #[test]
    fn a_record_that_states_something_in_another_way_has_none() {
        for (from, to) in [
            ("kind: launch", "kind: mission"),
            ("kind: launch", "kind: \"launch"),
            ("mission: \"lines\"", "mission: \"li\\x6ees\""),
            ("mission: \"lines\"", "mission: 'lines'"),
            ("mission: \"lines\"", "mission: lines\n  more"),
            ("mission: \"lines\"", "mission: lines\nmission: others"),
            ("mission: \"lines\"\n", ""),
            ("11:35:00Z", "11:35"),
            ("readings:", "\"readings\":"),
            ("decided: ", "decided: &a "),
        ] {
            let text = DECISION.replace(from, to);
            assert_ne!(text, DECISION);
            assert_eq!(RecordHeading::parse(&text), None, "{text}");
        }
    }
}
