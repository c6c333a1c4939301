//! Runs that were left, broken off in the track, or only half recorded.

use super::made::{Making, csv, run};
use super::{debrief, found, number, told};

#[test]
fn a_run_that_was_left_is_told_with_its_own_way_home() {
    let rows = run(&Making {
        leave: Some(3),
        power: (50.0, 80.0),
        turn: 0,
        ..Making::default()
    });
    let (status, json) = told(&csv(&rows));
    assert_eq!(json["return_leg"]["what"], "broken off");
    let left = &json["ends"]["left"];
    assert!(
        left["leg"].as_str().unwrap().contains("second-south"),
        "{left}"
    );
    let legs = json["legs"].as_array().unwrap();
    let before: f64 = legs[..3]
        .iter()
        .map(|leg| number(leg, "/length/value"))
        .sum();
    let half = 0.5 * number(&legs[3], "/length/value");
    assert!(
        (number(left, "/along/value") - before - half).abs() < 12.0,
        "{left}"
    );
    assert!(
        found(&json).contains(&"debrief-left") && status == 1,
        "{status} {json}"
    );
    // 80 W at the planned speed of 1.1 m/s.
    let home = number(&json, "/return_leg/path/value");
    let energy = number(&json, "/return_leg/given/value");
    assert!(
        (energy / (80.0 * home / 1.1) - 1.0).abs() < 0.05,
        "{energy} J on {home} m"
    );
    assert!(number(&json, "/return_leg/energy/off") > 0.15);
    // Legs that were not run are not judged, and those before are.
    for (index, leg) in legs.iter().enumerate() {
        assert_eq!(leg["not_judged"].is_null(), index < 3, "{leg}");
    }
}

#[test]
fn a_boat_that_turns_back_along_its_route_has_left_it_there() {
    let mut rows = run(&Making {
        leave: Some(2),
        ..Making::default()
    });
    // Back over the same places, then in to the recovery point.
    let turn = rows.iter().rposition(|row| row.leg == 1).unwrap();
    let until = rows[turn].time;
    rows.truncate(turn + 1);
    let back: Vec<_> = rows.iter().rev().skip(1).cloned().collect();
    for (index, row) in back.into_iter().enumerate() {
        let seconds = jiff::SignedDuration::from_secs(5 * (index as i64 + 1));
        rows.push(super::made::Row {
            time: until + seconds,
            ..row
        });
    }
    let (_, json) = told(&csv(&rows));
    let left = &json["ends"]["left"];
    let legs = json["legs"].as_array().unwrap();
    let before: f64 = legs[..2]
        .iter()
        .map(|leg| number(leg, "/length/value"))
        .sum();
    assert!(
        (number(left, "/along/value") - before).abs() < 20.0,
        "{left}"
    );
    assert!(legs[1]["not_judged"].is_null() && !legs[2]["not_judged"].is_null());
}

#[test]
fn a_leg_that_was_cut_short_is_left_out_and_the_rest_judged() {
    let mut rows = run(&Making::default());
    let shift = {
        let on: Vec<usize> = (0..rows.len())
            .filter(|index| rows[*index].leg == 2)
            .collect();
        let (first, last) = (on[0], on[on.len() - 1]);
        rows.drain(first + 2..last - 1);
        (last - first - 3) as i64
    };
    // The clock goes on as if nothing had been: the boat jumps.
    let from = rows.iter().rposition(|row| row.leg == 2).unwrap() - 1;
    for row in &mut rows[from..] {
        row.time -= jiff::SignedDuration::from_secs(5 * shift);
    }
    let (status, json) = told(&csv(&rows));
    assert!(json["ends"]["left"].is_null(), "{}", json["ends"]);
    let legs = json["legs"].as_array().unwrap();
    assert!(
        !legs[2]["not_judged"].is_null() && legs[5]["not_judged"].is_null(),
        "{legs:?}"
    );
    assert!(found(&json).contains(&"debrief-left"));
    assert_ne!(status, 0);
}

#[test]
#[ignore = "slow"]
fn what_was_not_recorded_is_not_judged() {
    let mut rows = run(&Making::default());
    rows.drain(100..180);
    let (status, json) = told(&csv(&rows));
    assert_eq!(status, 2, "{json}");
    assert!(found(&json).contains(&"debrief-not-judged"));
    assert!(json["whole"]["time"]["actual"].is_null());
    assert!(json["whole"]["energy"]["actual"].is_null());
    // The return leg was recorded whole.
    assert!(json["return_leg"]["not_judged"].is_null());
    // Voltage and current for a part only.
    let text = csv(&run(&Making::default()));
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for line in &mut lines[100..180] {
        let cells: Vec<&str> = line.split(',').collect();
        *line = format!(
            "{},{},{},,,{},{}",
            cells[0], cells[1], cells[2], cells[5], cells[6]
        );
    }
    let (status, json) = told(&(lines.join("\n") + "\n"));
    assert_eq!(status, 2);
    assert!(
        json["whole"]["energy"]["actual"].is_null() && !json["whole"]["time"]["actual"].is_null()
    );
}

#[test]
#[ignore = "slow"]
fn a_track_that_ends_on_the_way_ends_in_no_good_place() {
    let mut rows = run(&Making::default());
    rows.truncate(300);
    let (status, json) = told(&csv(&rows));
    assert_eq!(status, 2);
    assert!(found(&json).contains(&"debrief-end"));
    assert!(json["ends"]["arrived"].is_null());
    let mut rows = run(&Making::default());
    rows.drain(..60);
    let (status, json) = told(&csv(&rows));
    assert_eq!(status, 2);
    assert!(json["ends"]["launched"].is_null() && json["whole"]["time"]["actual"].is_null());
}

#[test]
#[ignore = "slow"]
fn a_clock_that_was_set_is_no_time() {
    for seconds in [-7200, 7200 * 12] {
        let mut rows = run(&Making::default());
        for row in &mut rows[250..] {
            row.time += jiff::SignedDuration::from_secs(seconds);
        }
        let (status, json) = told(&csv(&rows));
        assert_eq!(status, 2, "{seconds}");
        assert!(
            json["whole"]["not_judged"]
                .as_str()
                .unwrap()
                .contains("clock was set"),
            "{json}"
        );
        // Nor is any time that it shows held against the plan.
        assert_eq!(json["ends"]["clock_set"], true);
        for id in ["debrief-launch", "debrief-return"] {
            let natures: Vec<&str> = json["findings"]
                .as_array()
                .unwrap()
                .iter()
                .filter(|one| one["id"] == id)
                .map(|one| one["nature"].as_str().unwrap())
                .collect();
            assert_eq!(natures, ["not evaluated"], "{seconds} {id}");
        }
    }
}

/// Seven hours forward within one step in which the boat goes five metres: it lay still for so long, or
/// the clock was set. A boat that went on meanwhile is late.
#[test]
fn a_time_without_a_fix_leaves_the_return_in_doubt_where_the_boat_hardly_moved() {
    let mut rows = run(&Making::default());
    for row in &mut rows[250..] {
        row.time += jiff::SignedDuration::from_hours(7);
    }
    let (status, json) = told(&csv(&rows));
    assert_eq!(status, 2);
    let returns: Vec<&serde_json::Value> = json["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|one| one["id"] == "debrief-return")
        .collect();
    assert_eq!(returns.len(), 1, "{returns:?}");
    assert_eq!(returns[0]["nature"], "not evaluated");
    assert!(
        returns[0]["message"]
            .as_str()
            .unwrap()
            .contains("or the clock was set"),
        "{returns:?}"
    );
}

/// Two hours behind up to such a step: the launch is in the same doubt.
#[test]
fn a_time_without_a_fix_leaves_the_launch_in_doubt_where_the_boat_hardly_moved() {
    let mut rows = run(&Making::default());
    for row in &mut rows[..250] {
        row.time -= jiff::SignedDuration::from_hours(2);
    }
    let (status, json) = told(&csv(&rows));
    assert_eq!(status, 2);
    let all = json["findings"].as_array().unwrap().iter();
    let launches: Vec<_> = all.filter(|one| one["id"] == "debrief-launch").collect();
    assert_eq!(launches.len(), 1, "{launches:?}");
    assert_eq!(launches[0]["nature"], "not evaluated");
    let message = launches[0]["message"].as_str().unwrap();
    assert!(message.contains("or the clock was set"), "{message}");
}

#[test]
fn a_gpx_track_has_no_energy_and_says_so() {
    let mut gpx = String::from(
        "<gpx version=\"1.1\" creator=\"made here\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>\n",
    );
    for row in run(&Making::default()) {
        gpx.push_str(&format!(
            "<trkpt lat=\"{:.7}\" lon=\"{:.7}\"><time>{}</time></trkpt>\n",
            row.latitude, row.longitude, row.time
        ));
    }
    gpx.push_str("</trkseg></trk></gpx>\n");
    let folder = crate::shared::scratch::folder().unwrap();
    let file = folder.path().join("track.gpx");
    std::fs::write(&file, gpx).unwrap();
    let came = debrief(&file, &["--format", "json"]);
    let json: serde_json::Value = serde_json::from_str(&came.out).unwrap();
    assert_eq!(came.status, 2, "{}", came.out);
    assert!(
        json["whole"]["no_energy"]
            .as_str()
            .unwrap()
            .contains("no voltage")
    );
    assert!(json["whole"]["energy"]["actual"].is_null());
    // Nor depths, nor the link.
    assert_eq!(found(&json), ["debrief-not-judged"; 3]);
    // Lines of the track are reported: the first point that is under way.
    let line = number(&json, "/whole/track/line");
    assert!((6.0..=10.0).contains(&line), "{line}");
}

/// The recorder was left on: carried ashore, or taken out again.
#[test]
#[ignore = "slow"]
fn a_track_that_goes_on_after_the_boat_was_back_ends_with_the_run() {
    // With the power that the plan allows for, against the wind and home before it.
    let run = run(&Making {
        power: (78.0, 54.0),
        turn: 5,
        ..Making::default()
    });
    let (_, whole) = told(&csv(&run));
    assert_eq!(found(&whole), Vec::<&str>::new(), "{}", whole["findings"]);
    let last = run.last().unwrap();
    let back: Vec<(f64, f64)> = run[..run.len() - 6]
        .iter()
        .rev()
        .take(60)
        .map(|row| (row.latitude, row.longitude))
        .collect();
    let ashore = |bearing: f64| -> Vec<(f64, f64)> {
        let (north, east) = (bearing.to_radians().cos(), bearing.to_radians().sin());
        (1..=60)
            .map(|step| 4.5e-5 * f64::from(step))
            .map(|way| {
                (
                    last.latitude + north * way,
                    last.longitude + 1.6 * east * way,
                )
            })
            .collect()
    };
    let bearings = [0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0];
    for places in bearings.map(ashore).into_iter().chain([back]) {
        let mut rows = run.clone();
        for (index, (latitude, longitude)) in places.into_iter().enumerate() {
            let seconds = jiff::SignedDuration::from_secs(5 * (index as i64 + 1));
            rows.push(super::made::Row {
                time: last.time + seconds,
                latitude,
                longitude,
                ..last.clone()
            });
        }
        let (status, json) = told(&csv(&rows));
        assert!(json["ends"]["left"].is_null(), "{}", json["ends"]);
        assert_eq!(json["ends"]["at_recovery"], true);
        assert_eq!(json["ends"]["arrived"], whole["ends"]["arrived"]);
        assert_eq!((status, found(&json)), (0, vec![]), "{}", json["findings"]);
        // The clearance that was kept is that of the run.
        assert_eq!(json["clearances"], whole["clearances"]);
    }
}

#[test]
#[ignore = "slow"]
fn the_longest_time_without_a_fix_stands_beside_the_clearances() {
    let rows = run(&Making::default());
    assert!(told(&csv(&rows)).1["unseen"].is_null());
    let mut broken = rows.clone();
    broken.drain(300..302);
    broken.drain(150..155);
    let (status, json) = told(&csv(&broken));
    assert_eq!(status, 0, "{}", json["findings"]);
    assert!((number(&json, "/unseen/time/value") - 30.0).abs() < 1e-9);
    assert!(number(&json, "/unseen/apart/value") > 5.0);
    let folder = crate::shared::scratch::folder().unwrap();
    let file = folder.path().join("track.csv");
    std::fs::write(&file, csv(&broken)).unwrap();
    for form in ["terminal", "markdown", "html"] {
        let out = debrief(&file, &["--format", form]).out;
        let out = out.replace('\u{a0}', " ");
        assert!(
            out.contains("In its gaps nothing is known") && out.contains("30 s"),
            "{form}: {out}"
        );
    }
}
