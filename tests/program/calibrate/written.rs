//! The file that comes out of it.

use offing::door::calibrate::{
    Calibration, Despite, Fate, Figure, NotWritten, Written, calibrate, written,
};
use offing::door::check::sha256;
use offing::door::document::{ParseLimits, parse};
use offing::door::models::resistance::TrialTable;
use offing::door::plan::read_file;
use offing::door::plan::{CalmForm, vessel};
use offing::door::source::{SourceId, Sources};
use offing::door::units::Speed;

use super::runs::{BETTER, Course, QUIET, WORSE, boat, course, run};
use super::{decided, two_days};

fn old() -> String {
    std::fs::read_to_string("plans/vessels/goosander.yaml").unwrap()
}

fn made(old: &str, found: &Calibration) -> Result<Written, NotWritten> {
    let mut sources = Sources::new();
    let source = sources.add("vessel", old);
    let files = read_file(source, &sources).files;
    let vessel = vessel(files.first().unwrap()).unwrap();
    let document = parse(SourceId(0), old, &ParseLimits::YAML).unwrap();
    written(
        (old, &document.root, &sha256(old)),
        &vessel,
        found,
        ("goosander-2", "quenderby"),
    )
}

#[test]
fn only_the_lines_of_figures_differ_and_every_comment_stays() {
    let (old, found) = (old(), two_days(&WORSE, &QUIET, 3));
    let new = made(&old, &found).unwrap();
    let (before, mut after): (Vec<&str>, Vec<&str>) =
        (old.lines().collect(), new.text.lines().collect());
    // The one line that is new says which boat it is, above the new id.
    let id = before.iter().position(|line| line.starts_with("id: "));
    assert_eq!(after.remove(id.unwrap()), "boat: \"goosander\"");
    let differ: Vec<(&str, &str)> = before
        .iter()
        .zip(&after)
        .filter(|(one, other)| one != other)
        .map(|(one, other)| (one.trim(), other.trim()))
        .collect();
    // The id, the drag, the trial's evidence and eight powers, the resistance and the hotel load.
    assert_eq!(differ.len(), 13, "{differ:#?}");
    for (one, other) in &differ {
        let key = |line: &str| line.split(": ").next().unwrap().to_owned();
        assert_eq!(key(one), key(other));
        let comment = |line: &str| line.split_once('#').map(|(_, rest)| rest.to_owned());
        assert_eq!(comment(one), comment(other));
    }
    let due = "evidence: \"calibrated with run-6.csv, run-7.csv at 0.60 to 1.20 m/s; before it: trial log 7, kept in the team's \
               workshop of 2027-04-22\"";
    assert!(new.text.contains(due), "{}", new.text);
    // Powers of speeds that nobody ran are multiplied, and were not tried again.
    assert!(new.text.contains("\n    date: 2027-04-22\n"));
    assert!(new.text.contains("hotel_load: 10.") && new.text.contains("W # computer, radios"));
    let rest = after[before.len()..].join("\n");
    assert!(
        rest.contains("\ncalibration:\n  date: 2027-06-16\n"),
        "{rest}"
    );
    assert!(rest.contains(&sha256(&old)));
    assert!(rest.contains("better_on_one_run: false"));
    assert_eq!(new.vessel.id.value, "goosander-2");
    let hotel = new.vessel.hotel_load.value.get();
    assert!((hotel - decided(&found, Figure::HotelLoad).value).abs() < 1e-9);
    let provenance = new.vessel.calibration.unwrap();
    assert_eq!(provenance.from.value, "goosander");
    assert_eq!(provenance.date.value, found.day);
}

/// Where every speed of the trial was run, its day is that of the runs.
#[test]
fn a_trial_that_was_run_anew_at_all_its_speeds_has_a_new_day() {
    let old: Vec<String> = old()
        .lines()
        .filter(|line| {
            let speed = line.trim().strip_prefix("- { speed: ");
            let speed = speed.and_then(|rest| rest.split(' ').next());
            let speed = speed.map(|speed| speed.parse::<f64>().unwrap());
            speed.is_none_or(|speed| (0.6..=1.2).contains(&speed))
        })
        .map(str::to_owned)
        .collect();
    let old = old.join("\n") + "\n";
    let mut found = two_days(&WORSE, &QUIET, 3);
    // The slowest and the fastest stretch are off their speed by what positions are.
    let speed = Speed::metres_per_second;
    found.speeds = Some((speed(0.6), speed(1.2)));
    let mut vessel = (*boat().0).clone();
    let CalmForm::Trial(table) = &vessel.propulsion.calm.value else {
        panic!()
    };
    let points = table.points();
    let points = points.filter(|(speed, _)| (0.6..=1.2).contains(&speed.get()));
    vessel.propulsion.calm.value = CalmForm::Trial(TrialTable::new(points.collect()).unwrap());
    let document = parse(SourceId(0), &old, &ParseLimits::YAML).unwrap();
    let new = written(
        (&old, &document.root, &sha256(&old)),
        &vessel,
        &found,
        ("goosander-2", "quenderby"),
    )
    .unwrap();
    assert!(new.text.contains("\n    date: 2027-06-16\n"));
    assert!(new.text.contains("run-7.csv; before it"), "{}", new.text);
}

#[test]
fn powers_of_speeds_that_nobody_ran_are_not_made_less() {
    let (old, found) = (old(), two_days(&BETTER, &QUIET, 3));
    let new = made(&old, &found).unwrap();
    let left: Vec<f64> = new.left_alone.iter().map(|speed| speed.get()).collect();
    assert_eq!(left, [0.4, 1.4, 1.6, 1.8]);
    assert!(new.text.contains("{ speed: 1.8 m/s, power: 222 W }"));
    assert!(!new.text.contains("{ speed: 1.0 m/s, power: 30 W }"));
    // Powers that stay are as old as they were.
    assert!(new.text.contains("\n    date: 2027-04-22\n"));
    assert!(new.text.contains("evidence: \"calibrated with run-6.csv"));
}

#[test]
fn a_file_says_on_what_its_intervals_depend() {
    let (vessel, site) = boat();
    let across = Course {
        across: 90.0,
        ..course("2027-06-15T09:00:00Z", 240.0, 3.0)
    };
    let runs = [run(&site, &WORSE, &QUIET, &across, 1)];
    let found = calibrate((&vessel, &site), &runs, Despite::default()).unwrap();
    let new = made(&old(), &found).unwrap();
    let due =
        "  # Intervals of the power hold only if `windage.drag_coefficient`, which the runs do";
    assert!(new.text.contains(due), "{}", new.text);
    let whole = made(&old(), &two_days(&WORSE, &QUIET, 3)).unwrap();
    assert!(!whole.text.contains("hold only if"));
}

#[test]
fn a_drag_that_was_not_stated_is_stated_in_its_mapping() {
    let found = two_days(&WORSE, &QUIET, 3);
    for (from, to) in [
        ("  drag_coefficient: 0.9\n", ""),
        (
            "windage:\n  frontal_area: 0.08 m2\n  drag_coefficient: 0.9\n  height: 0.3 m\n  leeway: 4 % # adrift with the motors off, tried in a breeze; rounded up\n",
            "windage: { frontal_area: 0.08 m2, height: 0.3 m }\n",
        ),
    ] {
        assert!(old().contains(from));
        let new = made(&old().replace(from, to), &found).unwrap();
        let drag = new.vessel.windage.drag_coefficient;
        assert!(drag.assumption().is_none());
        assert!((drag.value - decided(&found, Figure::Drag).value).abs() < 1e-9);
    }
}

/// The boat stays the boat under each new id.
#[test]
fn a_calibrated_vessel_says_which_boat_it_is() {
    let found = two_days(&WORSE, &QUIET, 3);
    let boat = |old: &str| {
        let new = made(old, &found).unwrap();
        assert_eq!(new.text.matches("\nboat: ").count(), 1, "{}", new.text);
        new.vessel.boat.unwrap().value
    };
    assert_eq!(boat(&old()), "goosander");
    // As it is stated, as it was carried on, and as a file tells that was calibrated before any said so.
    let stated = old().replace("\nid: goosander\n", "\nid: goosander\nboat: hull-7\n");
    assert_eq!(boat(&stated), "hull-7");
    let once = made(&old(), &found).unwrap().text;
    let twice = once.replace("id: \"goosander-2\"", "id: goosander-1");
    assert_eq!(boat(&twice), "goosander");
    assert_eq!(
        boat(&twice.replace("boat: \"goosander\"\n", "")),
        "goosander"
    );
}

#[test]
fn a_calibrated_vessel_is_calibrated_again() {
    let found = two_days(&WORSE, &QUIET, 3);
    let once = made(&old(), &found).unwrap();
    let twice = made(
        &once.text.replace("id: \"goosander-2\"", "id: goosander"),
        &found,
    )
    .unwrap();
    assert_eq!(twice.text.matches("\ncalibration:").count(), 1);
    assert_eq!(twice.text.matches("# Written by").count(), 1);
    assert_eq!(once.text.lines().count(), twice.text.lines().count());
    let crlf = made(&old().replace('\n', "\r\n"), &found).unwrap();
    assert!(crlf.text.lines().count() == once.text.lines().count());
    assert!(!crlf.text.replace("\r\n", "").contains('\n'));
}

#[test]
fn what_cannot_be_exchanged_where_it_stands_is_refused() {
    let found = two_days(&WORSE, &QUIET, 3);
    let alias = old()
        .replace(
            "minimum_steerageway: 0.3 m/s",
            "minimum_steerageway: 0.3 m/s\n  # &load\n",
        )
        .replace(
            "title: Goosander, the team's 1.2 m survey boat",
            "title: &load 9 W",
        )
        .replace("hotel_load: 9 W", "hotel_load: *load");
    assert_eq!(
        made(&alias, &found).unwrap_err(),
        NotWritten::Place("hotel_load".to_owned())
    );
    // What an anchor stands for elsewhere must not change with it.
    let anchor = old()
        .replace(
            "internal_resistance: 60 mohm",
            "internal_resistance: &r 60 mohm",
        )
        .replace("title: Goosander, the team's 1.2 m survey boat", "title: x")
        .replace(
            "evidence: trial log 7, kept in the team's workshop",
            "evidence: x",
        );
    assert!(made(&anchor, &found).is_ok());
    let document = parse(SourceId(0), "{ kind: vessel }", &ParseLimits::YAML).unwrap();
    let (vessel, _) = boat();
    let refused = written(
        ("{ kind: vessel }", &document.root, ""),
        &vessel,
        &found,
        ("x", "quenderby"),
    );
    assert_eq!(refused.unwrap_err(), NotWritten::Braces);
    let document = parse(SourceId(0), &old(), &ParseLimits::YAML).unwrap();
    let long = "x".repeat(65);
    let text = old();
    let refused = written(
        (&text, &document.root, ""),
        &vessel,
        &found,
        (&long, "quenderby"),
    );
    assert_eq!(refused.unwrap_err(), NotWritten::Id(long));
}

#[test]
fn figures_that_make_no_sound_vessel_are_not_written() {
    let mut found = two_days(&WORSE, &QUIET, 3);
    for one in &mut found.decided {
        if one.estimate.figure == Figure::Drag {
            (one.fate, one.value) = (Fate::Worse, 5.0);
        }
    }
    let refused = made(&old(), &found).unwrap_err().to_string();
    assert!(refused.contains("do not make a valid vessel"), "{refused}");
}
