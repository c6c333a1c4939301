//! What one file states is not typed again in another: a station's radio that is the one aboard, a station at a
//! launch site, a gauge that is told by what is set in it, a boat that was in no waves yet.

use crate::shared::demo_tree::{Files, SITE, VESSEL, mission, places, told};

const TRANSECTS: &str = "dam-to-bay-transects";
/// The control radio of the mast on the quay, which the mission uses.
const OWN: &str = "        frequency: 868 MHz
        transmit_power: 14 dBm
        sensitivity: -103 dBm
        losses: 1 dB
        antenna: { gain: 2 dBi, height: 6 m, polarisation: vertical }
";
/// The same as the one aboard, whose figures are the same.
const ALIKE: &str = "        as: goosander
        losses: 1 dB
        antenna_height: 6 m
";

/// The figures of the passage, and what every rule came to.
fn judged(files: &Files) -> (Vec<String>, Vec<String>) {
    let outcome = files.check();
    let [mission] = &outcome.checked[..] else {
        panic!("{:?} {:?}", outcome.not_checked, outcome.findings);
    };
    let figures = mission.figures.iter();
    let judged = mission.judged.iter();
    (
        figures.map(|one| format!("{one:?}")).collect(),
        judged.map(|one| format!("{one:?}")).collect(),
    )
}

fn with(edits: &[(&str, &str, &str)]) -> Files {
    let mut files = Files::demo(&[TRANSECTS]);
    for (path, from, to) in edits {
        files.edit(path, from, to);
    }
    files
}

/// The demo with a radio of the quay in other words.
fn radio(words: &str) -> Files {
    with(&[(SITE, OWN, words)])
}

#[test]
#[ignore = "slow"]
fn a_radio_that_is_the_one_aboard_counts_as_if_its_figures_were_stated() {
    assert_eq!(judged(&radio(ALIKE)), judged(&radio(OWN)));
    // The antenna may be another one.
    let antenna = "        as: goosander
        losses: 1 dB
        antenna: { gain: 2 dBi, height: 6 m, polarisation: vertical }
";
    assert_eq!(judged(&radio(antenna)), judged(&radio(OWN)));
    // Its height and its cable are its own: neither is that aboard.
    let lower = ALIKE.replace("6 m", "2 m");
    let own = OWN.replace("height: 6 m", "height: 2 m");
    assert_eq!(judged(&radio(&lower)), judged(&radio(&own)));
    let (unstated, own) = (
        ALIKE.replace("        losses: 1 dB\n", ""),
        OWN.replace("        losses: 1 dB\n", ""),
    );
    assert_eq!(judged(&radio(&unstated)), judged(&radio(&own)));
    assert_ne!(judged(&radio(&unstated)), judged(&radio(ALIKE)));
}

#[test]
fn a_figure_of_such_a_radio_is_found_on_the_line_of_the_boat_that_states_it() {
    let mut files = radio(ALIKE);
    let text = files.text(VESSEL).replacen("14 dBm", "45 dBm", 1);
    files.write(VESSEL, text);
    let outcome = files.check();
    let mut found = outcome.findings.iter();
    let power = found.find(|one| one.rule == "radiated-power");
    let power = power.unwrap_or_else(|| panic!("{:?}", outcome.findings));
    let labels = std::iter::once(&power.primary).chain(&power.related);
    let at: Vec<(String, &str)> = labels
        .map(|label| {
            let path = outcome.sources.path(label.span.source);
            (path.to_owned(), outcome.sources.slice(label.span))
        })
        .collect();
    assert!(at.contains(&(VESSEL.to_owned(), "45 dBm")), "{at:?}");
}

#[test]
fn the_radio_of_another_boat_serves_nobody_and_is_refused_where_it_is_used() {
    let mut files = radio(&ALIKE.replace("goosander", "heron"));
    files.edit(
        &mission(TRANSECTS),
        "vessel: goosander",
        "vessel: §goosander",
    );
    let outcome = files.check();
    assert_eq!(places(&outcome), files.marks(), "{}", told(&outcome));
    let message = &outcome.findings[0].message;
    assert!(
        message.contains("is the one aboard `heron`, and this mission's boat is `goosander`"),
        "{message}"
    );
    assert!(outcome.checked.is_empty());
    // A mission that does not use the station does not mind whose radio it is.
    let mut files = Files::demo(&["north-bay-lines"]);
    let before = judged(&files);
    files.edit(SITE, OWN, &ALIKE.replace("goosander", "heron"));
    assert_eq!(judged(&files), before);
    // A boat under another file's name is the same boat.
    let mut files = radio(&ALIKE.replace("goosander", "the-survey-boat"));
    files.edit(
        VESSEL,
        "\nid: goosander\n",
        "\nid: goosander\nboat: the-survey-boat\n",
    );
    assert_eq!(judged(&files), judged(&radio(OWN)));
    // It has to have a radio for the link.
    let mut files = radio(ALIKE);
    files.edit(
        &mission(TRANSECTS),
        "vessel: goosander",
        "vessel: §goosander",
    );
    let text = files
        .text(VESSEL)
        .replacen("  - link: control\n", "  - link: telemetry\n", 1);
    let text = text.replacen(
        "  - link: telemetry\n    frequency: 2.4",
        "  - link: control\n    frequency: 2.4",
        1,
    );
    assert!(text.contains("  - link: control\n"));
    let begin = text.find("  - link: control\n").expect("a radio");
    let end = begin + text[begin..].find("  - link: sonar-data").expect("another");
    files.write(VESSEL, format!("{}{}", &text[..begin], &text[end..]));
    let outcome = files.check();
    assert!(
        places(&outcome).contains(&files.marks()[0]),
        "{}",
        told(&outcome)
    );
}

#[test]
fn half_of_two_statements_is_refused_on_its_line() {
    for (words, says) in [
        (
            format!("{ALIKE}        frequency: §433 MHz\n"),
            "`frequency` is stated of a radio that is the one aboard `goosander`",
        ),
        (
            format!("{OWN}        antenna_height: §6 m\n"),
            "`antenna_height` says nothing of a radio with figures of its own",
        ),
        (
            format!(
                "        as: goosander\n        antenna_height: 6 m\n{}",
                "        antenna: { gain: 2 dBi, height: 6 m }\n"
            ),
            "nly one of `antenna_height` or `antenna` may be given",
        ),
        (
            "        as: goosander\n".to_owned(),
            "ne of `antenna_height` or `antenna` is needed",
        ),
        (
            OWN.replace("        sensitivity: -103 dBm\n", ""),
            "`sensitivity` is missing",
        ),
    ] {
        let files = radio(&words);
        let outcome = files.check();
        let said = outcome.findings.iter().map(|one| one.message.as_str());
        let said: Vec<&str> = said.collect();
        assert!(
            said.iter().any(|one| one.contains(says)),
            "{says}: {said:?}"
        );
        assert!(outcome.checked.is_empty(), "{says}");
        for mark in files.marks() {
            assert!(places(&outcome).contains(&mark), "{}", told(&outcome));
        }
    }
}

#[test]
fn a_station_at_a_launch_site_stands_where_that_is() {
    let own = "    at: [52.404535, -24.289721]\n";
    let at_quay = with(&[(SITE, own, "    at: [52.404486, -24.289770]\n")]);
    let place = with(&[(SITE, own, "    place: dam-quay\n")]);
    assert_eq!(judged(&place), judged(&at_quay));
    assert_ne!(judged(&place).1, judged(&with(&[])).1);
    let files = with(&[(SITE, own, "    place: §dam-key\n")]);
    let outcome = files.check();
    assert!(
        places(&outcome).contains(&files.marks()[0]),
        "{}",
        told(&outcome)
    );
    let named = told(&outcome).contains("`dam-key` is not a launch site of this site");
    assert!(named, "{}", told(&outcome));
}

#[test]
fn a_gauge_is_told_by_what_is_set_in_it() {
    let vessel = with(&[]);
    let text = vessel.text(VESSEL);
    let charge = "  gauge:\n    counts: charge\n    capacity_set: 9.0 Ah\n";
    assert!(text.contains(charge));
    let gauge = |words: &str| with(&[(VESSEL, charge, words)]);
    let told = gauge("  gauge: { capacity_set: 9.0 Ah }\n");
    assert_eq!(judged(&told), judged(&vessel));
    let stated = gauge("  gauge: { counts: voltage, empty: 3.3 V, full: 4.15 V }\n");
    let told = gauge("  gauge: { empty: 3.3 V, full: 4.15 V }\n");
    assert_eq!(judged(&told), judged(&stated));
    // A gauge of which nothing is set is refused, and half a scale is.
    for (words, says) in [
        ("  gauge: {}", "says nothing"),
        ("  gauge: { empty: 3.3 V }", "`full` is missing"),
        (
            "  gauge: { full: 4.1 V, capacity_set: 9 Ah }",
            "says nothing about a gauge that counts charge",
        ),
    ] {
        let outcome = gauge(&format!("{words}\n")).check();
        let said: Vec<&str> = outcome
            .findings
            .iter()
            .map(|one| one.message.as_str())
            .collect();
        assert!(
            said.iter().any(|one| one.contains(says)),
            "{says}: {said:?}"
        );
        assert!(outcome.checked.is_empty());
    }
}

#[test]
fn an_untried_boat_bears_a_tenth_of_its_length_and_the_check_lists_that() {
    let vessel = with(&[]);
    let text = vessel.text(VESSEL);
    let line = text
        .lines()
        .find(|line| line.contains("wave_height: "))
        .expect("a limit");
    let length = text
        .lines()
        .find_map(|line| line.trim().strip_prefix("length_overall: "))
        .expect("a length");
    let metres: f64 = length
        .split(' ')
        .next()
        .expect("a number")
        .parse()
        .expect("a number");
    let at = line.find("wave_height: ").expect("it") + "wave_height: ".len();
    let end = at + line[at..].find([',', '}', '#']).unwrap_or(line.len() - at);
    let limit = |value: &str| {
        let words = format!("{}{value}{}", &line[..at], &line[end..]);
        with(&[(VESSEL, line, &words)])
    };
    let untried = limit("untried ");
    let tenth = limit(&format!("{} m ", metres / 10.0));
    assert_eq!(judged(&untried).1, judged(&tenth).1);
    let outcome = untried.check();
    let assumed = &outcome.checked[0].assumptions;
    assert!(
        assumed
            .iter()
            .any(|one| one.contains("`wave_height: untried`")),
        "{assumed:?}"
    );
}
