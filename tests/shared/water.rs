//! What is typed at the water for a launch that is a go, and the track that a run leaves.

/// The items that the policy of the demo demands.
pub const TICKED: &str = "gauge-set,end-action-seen,stop-tried,logging-on";

/// The same as a checklist of a mission whose policy requires none of them.
pub const ITEMS: &str = "checklist:\n  - { item: gauge-set }\n  - { item: end-action-seen }\n  - { item: stop-tried }\n  - { item: logging-on }\n";

/// What makes the mission in the north bay a go.
pub fn go() -> Vec<(&'static str, &'static str)> {
    vec![
        ("--wind", "240° 2 m/s gust 3 m/s at 2 m"),
        ("--battery", "16.4 V"),
        ("--by", "survey lead"),
        ("--ticked", TICKED),
        ("--at", "2027-06-15T09:40"),
    ]
}

/// The same with some of it changed; what is changed to nothing is left out.
pub fn with<'a>(changes: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut all: Vec<(&'a str, &'a str)> = go();
    for (option, value) in changes {
        match all.iter_mut().find(|(known, _)| known == option) {
            Some(known) => known.1 = value,
            None => all.push((option, value)),
        }
    }
    all.retain(|(_, value)| !value.is_empty());
    all
}

/// The command that decides on a launch, when it is at hand unless another time is said.
pub fn launching(mission: &str, options: &[(&str, &str)]) -> Vec<String> {
    let mut arguments = vec!["launch".to_owned(), mission.to_owned()];
    for (option, value) in options {
        arguments.extend([(*option).to_owned(), (*value).to_owned()]);
    }
    let said = |wanted: &str| options.iter().find(|(option, _)| *option == wanted);
    if let (Some((_, at)), None) = (said("--at"), said("--now")) {
        arguments.extend(["--now".to_owned(), (*at).to_owned()]);
    }
    arguments
}

/// A track of two fixes on the way out, as GPX 1.1 has it.
pub fn track(day: &str) -> String {
    format!(
        "<gpx xmlns=\"http://www.topografix.com/GPX/1/1\" version=\"1.1\" creator=\"a test\"><trk><trkseg>\
         <trkpt lat=\"52.3958\" lon=\"-24.3104\"><time>{day}T11:41:00Z</time></trkpt>\
         <trkpt lat=\"52.3960\" lon=\"-24.3100\"><time>{day}T11:42:00Z</time></trkpt>\
         </trkseg></trk></gpx>\n"
    )
}
