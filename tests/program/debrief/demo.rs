//! The track of the demo: made here, and told in four forms.

use std::path::Path;

use super::made::{Making, csv, run};
use super::{MISSION, debrief, found, number, told};

const TRACK: &str = "plans/tracks/dam-to-bay-transects-20270622.csv";

/// What the demo's run was made with: the wind went round, and the return leg took more.
fn making() -> Making {
    Making {
        speed: 0.98,
        power: (46.0, 69.5),
        turn: 5,
        offset: 0.4,
        noise: 0.45,
        late: 360.0,
        ..Making::default()
    }
}

/// The demo's track, with half a minute that the recorder missed and a row that it wrote twice.
fn track() -> String {
    let mut rows = run(&making());
    rows.drain(150..155);
    let twice = rows[300].clone();
    rows.insert(301, twice);
    csv(&rows)
}

#[test]
fn the_track_of_the_demo_is_the_one_that_is_made_here() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(TRACK);
    let made = track();
    assert!(made.lines().count() <= 600);
    if std::env::var_os("OFFING_UPDATE_DOCS").is_some() {
        std::fs::write(&path, &made).unwrap();
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap(), made);
}

#[test]
fn its_way_home_took_more_than_planned() {
    let (status, json) = told(&track());
    assert_eq!(status, 1);
    // The plan asks for less on the return leg, before the wind, than was taken there in any of its winds;
    // the way out took less than planned, and so did the whole run.
    let home = |name: &str| number(&json, &format!("/return_leg/energy/{name}"));
    assert!((0.25..0.35).contains(&home("off")), "{json}");
    assert!(home("actual/value") > 1.25 * home("planned_most/value"));
    let whole = number(&json, "/whole/energy/off");
    assert!((-0.25..-0.15).contains(&whole), "{whole}");
    assert!(found(&json).contains(&"debrief-energy"));
    assert!(!found(&json).contains(&"debrief-not-judged"), "{json}");
    assert_eq!(json["mission"], MISSION);
    let cleaned = json["track"]["cleaned"].to_string();
    assert!(
        cleaned.contains("recorded twice") && cleaned.contains("a gap in the fixes"),
        "{cleaned}"
    );
}

#[test]
#[ignore = "slow"]
fn it_is_told_in_four_forms() {
    let track = Path::new(TRACK);
    for (form, due) in [
        ("terminal", "  the whole run"),
        ("json", "\"format\": \"offing-debrief\""),
        ("markdown", "| the whole run |"),
        ("html", "<figcaption>Battery against distance</figcaption>"),
    ] {
        let came = debrief(track, &["--format", form]);
        assert_eq!(came.status, 1, "{form}: {}", came.err);
        assert!(came.out.contains(due), "{form}: {}", came.out);
        assert!(
            came.out.contains("the return leg from the turnaround"),
            "{form}"
        );
        // The same every time.
        assert_eq!(debrief(track, &["--format", form]).out, came.out, "{form}");
    }
    let folder = crate::shared::scratch::folder().unwrap();
    let page = folder.path().join("debrief.html");
    let came = debrief(track, &["--format", "html", "-o", page.to_str().unwrap()]);
    assert_eq!((came.status, came.out.as_str()), (1, ""));
    assert_eq!(
        std::fs::read_to_string(page).unwrap(),
        debrief(track, &["--format", "html"]).out
    );
}
