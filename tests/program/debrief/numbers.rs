//! The figures of a debrief against a computation of its own: sums by hand over the rows of the CSV
//! text, distances on the ellipsoid by geographiclib.

use geographiclib_rs::{Geodesic, InverseGeodesic as _};
use jiff::Timestamp;
use offing::door::plan::Form;

use super::made::{Making, Row, csv, plan, run};
use super::{found, number, told};

/// A row as it stands in the text.
struct Read {
    time: f64,
    latitude: f64,
    longitude: f64,
    volts: f64,
    amperes: f64,
}

fn read(text: &str) -> Vec<Read> {
    let cells = |line: &str| -> Read {
        let all: Vec<&str> = line.split(',').collect();
        let number = |index: usize| all[index].parse::<f64>().unwrap();
        Read {
            time: moment(all[0]),
            latitude: number(1),
            longitude: number(2),
            volts: number(3),
            amperes: number(4),
        }
    };
    text.lines().skip(1).map(cells).collect()
}

fn moment(text: &str) -> f64 {
    text.parse::<Timestamp>().unwrap().as_millisecond() as f64 / 1000.0
}

/// Distance on the ellipsoid, m.
fn apart(a: (f64, f64), b: (f64, f64)) -> f64 {
    Geodesic::wgs84().inverse(a.0, a.1, b.0, b.1)
}

/// Energy between two moments, J: given by the pack, and taken from its store.
fn energy(rows: &[Read], from: f64, to: f64) -> (f64, f64) {
    // 60 mΩ, as the demo's boat states it.
    let powers = |row: &Read| {
        let given = row.volts * row.amperes;
        (given, given + 0.060 * row.amperes * row.amperes)
    };
    let (mut given, mut stored) = (0.0, 0.0);
    for pair in rows.windows(2) {
        let (begin, end) = (pair[0].time.max(from), pair[1].time.min(to));
        if end <= begin {
            continue;
        }
        let (a, b) = (powers(&pair[0]), powers(&pair[1]));
        given += 0.5 * (a.0 + b.0) * (end - begin);
        stored += 0.5 * (a.1 + b.1) * (end - begin);
    }
    (given, stored)
}

fn near(a: f64, b: f64, share: f64, what: &str) {
    assert!((a - b).abs() <= share * b.abs(), "{what}: {a} is not {b}");
}

#[test]
fn energy_is_the_sum_by_hand() {
    let text = csv(&run(&Making {
        power: (48.0, 70.0),
        turn: 5,
        noise: 0.4,
        ..Making::default()
    }));
    let rows = read(&text);
    let (_, json) = told(&text);
    let launched = moment(json["ends"]["launched"].as_str().unwrap());
    let arrived = moment(json["ends"]["arrived"].as_str().unwrap());
    let (given, stored) = energy(&rows, launched, arrived);
    near(number(&json, "/whole/given/value"), given, 1e-6, "given");
    near(
        number(&json, "/whole/energy/actual/value"),
        stored,
        1e-6,
        "stored",
    );
    near(
        number(&json, "/whole/time/actual/value"),
        arrived - launched,
        1e-9,
        "time",
    );
    let begins = arrived - number(&json, "/return_leg/time/actual/value");
    let (_, home) = energy(&rows, begins, arrived);
    // Within the one row that the turnaround lies in, power is taken for even.
    near(
        number(&json, "/return_leg/energy/actual/value"),
        home,
        2e-3,
        "return_leg",
    );
    // Legs make up the whole.
    let legs = json["legs"].as_array().unwrap();
    let sum: f64 = legs
        .iter()
        .map(|leg| number(leg, "/energy/actual/value"))
        .sum();
    near(sum, stored, 1e-6, "legs");
    let planned: f64 = legs
        .iter()
        .map(|leg| number(leg, "/energy/planned/value"))
        .sum();
    near(
        planned,
        number(&json, "/whole/energy/planned/value"),
        1e-6,
        "planned",
    );
}

#[test]
fn speed_is_the_length_of_a_leg_on_the_ellipsoid_over_its_time() {
    let making = Making {
        speed: 0.8,
        ..Making::default()
    };
    let rows = run(&making);
    let (status, json) = told(&csv(&rows));
    let plan = plan();
    for (index, leg) in plan.mission.legs.iter().enumerate() {
        if leg.pause.is_some() || leg.length() < 100.0 {
            continue;
        }
        let place = |point| {
            let at = plan.site.plane.to_position(point);
            (at.latitude.to_degrees(), at.longitude.to_degrees())
        };
        let length = apart(place(leg.from), place(leg.to));
        let on: Vec<&Row> = rows.iter().filter(|row| row.leg == index).collect();
        let seconds = super::made::EVERY * on.len() as f64;
        let actual = number(&json, &format!("/legs/{index}/speed/actual/value"));
        // A row more or less, of those that stand at the launch point too.
        let still = if index == 0 { 6.0 } else { 0.0 };
        let due = length / (seconds - still * super::made::EVERY);
        near(actual, due, 0.06, &leg.name);
        let off = number(&json, &format!("/legs/{index}/speed/off"));
        assert!((off + 0.2).abs() < 0.06, "{}: {off}", leg.name);
    }
    assert_eq!(status, 1);
    assert!(found(&json).contains(&"debrief-speed"));
}

#[test]
fn the_plan_beside_the_run_is_that_of_the_check() {
    let (_, json) = told(&csv(&run(&Making::default())));
    let output = super::offing(&[
        "check",
        "plans/missions/dam-to-bay-transects.yaml",
        "--format",
        "json",
    ]);
    let check: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let figures = check["missions"][0]["figures"].as_array().unwrap();
    let figure = |name: &str| {
        let one = figures.iter().find(|one| one["name"] == name).unwrap();
        number(one, "/quantity/value")
    };
    // The check tells the most of all winds and takes the policy's margins into account.
    let most = number(&json, "/whole/energy/planned_most/value");
    assert!(most <= figure("energy") * 1.0001, "{most}");
    assert!(most >= figure("energy") * 0.8, "{most}");
    near(
        number(&json, "/whole/length/value"),
        figure("length"),
        1e-9,
        "length",
    );
    let home = figure("length") - figure("turnaround");
    near(
        number(&json, "/return_leg/length/value"),
        home,
        1e-6,
        "return_leg",
    );
}

#[test]
#[ignore = "slow"]
fn the_distance_off_the_legs_is_what_was_put_in() {
    let (_, json) = told(&csv(&run(&Making {
        offset: 1.0,
        ..Making::default()
    })));
    let (most, greatest) = (
        "/whole/cross_track/most/value",
        "/whole/cross_track/greatest/value",
    );
    assert!((number(&json, most) - 1.0).abs() < 0.05, "{json}");
    assert!((number(&json, greatest) - 1.0).abs() < 0.05);
    assert!(!found(&json).contains(&"debrief-cross-track"));
    let (status, json) = told(&csv(&run(&Making {
        offset: -3.0,
        ..Making::default()
    })));
    assert!((number(&json, most) - 3.0).abs() < 0.05);
    assert!(found(&json).contains(&"debrief-cross-track") && status == 1);
    let lines: Vec<&str> = json["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|one| one["id"] == "debrief-cross-track")
        .flat_map(|one| [&one["primary"]["path"], &one["related"][0]["path"]])
        .map(|path| path.as_str().unwrap())
        .collect();
    assert_eq!(lines, ["track.csv", "plans/vessels/goosander.yaml"]);
}

/// The 95th percentile by the nearest rank: of normal errors 1.96 standard deviations.
#[test]
fn scatter_is_told_at_95_per_cent() {
    let (_, json) = told(&csv(&run(&Making {
        noise: 0.5,
        ..Making::default()
    })));
    let most = number(&json, "/whole/cross_track/most/value");
    // About 480 fixes: the standard error of that percentile is about 5 %.
    near(most, 1.96 * 0.5, 0.2, "95 %");
}

#[test]
fn the_nearest_to_a_hazard_is_that_on_the_ellipsoid() {
    let text = csv(&run(&Making::default()));
    let rows = read(&text);
    let (_, json) = told(&text);
    let plan = plan();
    let mut looked_at = 0;
    for hazard in &plan.site.hazards {
        let Form::Point(point) = hazard.form else {
            continue;
        };
        let at = plan.site.plane.to_position(point);
        let at = (at.latitude.to_degrees(), at.longitude.to_degrees());
        let begin = moment(json["ends"]["launched"].as_str().unwrap());
        let under_way: Vec<&Read> = rows.iter().filter(|row| row.time >= begin).collect();
        let mut least = f64::INFINITY;
        for pair in under_way.windows(2) {
            for step in 0..=20 {
                let share = f64::from(step) / 20.0;
                let between = |a: f64, b: f64| a + share * (b - a);
                let place = (
                    between(pair[0].latitude, pair[1].latitude),
                    between(pair[0].longitude, pair[1].longitude),
                );
                least = least.min(apart(place, at));
            }
        }
        let kept = json["clearances"].as_array().unwrap();
        let kept = kept
            .iter()
            .find(|one| one["of"] == hazard.title.as_str())
            .unwrap();
        let told = number(kept, "/distance/value");
        // The plane of the site is true to 3 mm at 10 km; a twentieth of a step is 0.3 m.
        assert!(
            (told - least).abs() < 0.3,
            "{}: {told}, not {least}",
            hazard.title
        );
        let off = number(kept, "/deducted/value");
        let errors = 2.0_f64.hypot(plan.site.shore_error.value.get()) + 0.45 / 2.0;
        near(
            off,
            errors + hazard.clearance.value.get(),
            1e-9,
            "taken off",
        );
        looked_at += 1;
    }
    assert!(looked_at > 0);
}

#[test]
#[ignore = "slow"]
fn a_bed_that_has_come_up_is_told_and_one_as_charted_is_not() {
    let (_, json) = told(&csv(&run(&Making::default())));
    assert!(number(&json, "/depths/mean_difference/value").abs() < 0.01);
    assert!(!found(&json).contains(&"debrief-depth"), "{json}");
    let (status, json) = told(&csv(&run(&Making {
        shoaler: 1.5,
        ..Making::default()
    })));
    near(number(&json, "/depths/shoal/by/value"), 1.5, 0.02, "shoal");
    assert!((number(&json, "/depths/mean_difference/value") + 1.5).abs() < 0.01);
    assert!(found(&json).contains(&"debrief-depth") && status == 1);
    // Order 1b in IHO S-44, edition 6: the square root of 0.5² + (0.013 d)².
    let sounded = number(&json, "/depths/shoal/sounded/value");
    let order = 0.5_f64.hypot(0.013 * sounded);
    let plan = plan();
    let depths = &plan.site.depths;
    let errors = [
        depths.soundings.as_ref().unwrap().error.value.get(),
        depths.level.as_ref().unwrap().error.value.get(),
        order,
    ];
    let allowed = errors.iter().map(|one| one * one).sum::<f64>().sqrt();
    near(
        number(&json, "/depths/shoal/allowed/value"),
        allowed,
        1e-6,
        "allowed",
    );
}

#[test]
#[ignore = "slow"]
fn a_launch_off_its_time_and_a_late_return_are_told() {
    for (late, due) in [
        (0.0, false),
        (840.0, false),
        (910.0, false),
        (960.0, true),
        (-30.0, false),
        (-120.0, true),
    ] {
        let (_, json) = told(&csv(&run(&Making {
            late,
            ..Making::default()
        })));
        // The boat leaves some rows later.
        assert_eq!(found(&json).contains(&"debrief-launch"), due, "{late}");
    }
    let (status, json) = told(&csv(&run(&Making {
        speed: 0.3,
        ..Making::default()
    })));
    assert!(found(&json).contains(&"debrief-return") && status == 1);
}

#[test]
#[ignore = "slow"]
fn the_link_falls_where_it_is_predicted_to_and_one_that_fades_is_told() {
    let rows = run(&Making::default());
    let (_, json) = told(&csv(&rows));
    assert!(number(&json, "/link/correlation") > 0.6, "{}", json["link"]);
    assert!(!found(&json).contains(&"debrief-link"), "{}", json["link"]);
    let count: f64 = json["link"]["rows"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| number(row, "/count"))
        .sum();
    near(count, number(&json, "/link/count"), 0.0, "rows");
    let mut faded = rows.clone();
    for row in &mut faded[200..215] {
        row.link -= 40.0;
    }
    let (status, json) = told(&csv(&faded));
    assert!(found(&json).contains(&"debrief-link") && status == 1);
    // The mean over the seven rows of half a minute.
    let mean = |from: usize| {
        let stretch = &faded[from..from + 7];
        stretch.iter().map(|row| row.link.round()).sum::<f64>() / 7.0
    };
    let least = (200..=208).map(mean).fold(f64::INFINITY, f64::min);
    assert!((number(&json, "/link/worst/mean/value") - least).abs() < 3.0);
}

/// The site's own words against a run whose bed has come up: inside the zone of the quay its depth, and
/// one that is as stated is no finding.
#[test]
#[ignore = "slow"]
fn less_water_than_is_stated_is_told() {
    let (_, json) = told(&csv(&run(&Making::default())));
    assert!(!found(&json).contains(&"debrief-stated-depth"), "{json}");
    // The quay's stated depth is 1.4 m, and the water may stand 0.4 m lower.
    let mut rows = run(&Making::default());
    let plan = plan();
    let zone = &plan.mission.recovery.zone;
    let plane = plan.site.plane;
    let at = |row: &Row| {
        plane.to_plane(offing::door::models::geodesy::Position::from_degrees(
            row.latitude,
            row.longitude,
        ))
    };
    let mut inside = 0;
    for row in &mut rows {
        if at(row).distance(zone.centre) < zone.radius.value.get() {
            row.depth = row.depth.min(0.6);
            inside += 1;
        }
    }
    assert!(inside > 5);
    let (status, json) = told(&csv(&rows));
    assert!(
        found(&json).contains(&"debrief-stated-depth") && status == 1,
        "{json}"
    );
    let findings = json["findings"].as_array().unwrap();
    let own = findings
        .iter()
        .find(|one| one["id"] == "debrief-stated-depth")
        .unwrap();
    assert_eq!(own["severity"], "error");
    // 1.4 − 0.4 − 0.6 m.
    near(number(own, "/measured/value"), 0.4, 1e-6, "less");
}
