//! What the map holds: every danger by its name, the legend of what is drawn and of nothing else.

use std::path::Path;

use offing::door::check::{CheckScope, Outcome, check_share, on_large_stacks};
use offing::door::picture::{At, Comes, View};
use offing::door::report::figures;
use offing::door::source::WorkTree;

use super::{demo, edited};
use crate::shared::demo_tree::Files;

fn outcome(mission: &str) -> Outcome {
    outcome_in(&demo(), mission)
}

fn outcome_in(plans: &Path, mission: &str) -> Outcome {
    outcome_at(plans, &format!("missions/{mission}.yaml"))
}

fn outcome_at(plans: &Path, path: &str) -> Outcome {
    let tree = WorkTree::open(plans).unwrap();
    let share = CheckScope {
        pictures: true,
        ..CheckScope::default()
    };
    on_large_stacks(|| check_share(&tree, Some(path), share).unwrap())
}

/// What is drawn of the map, without the words that stand in for it.
fn map(outcome: &Outcome) -> String {
    let map = figures(&outcome.checked[0]).remove(0).file("mission");
    map[map.find("</desc>").unwrap()..].to_owned()
}

/// The words of a drawing, one space between them.
fn words(drawn: &str) -> String {
    let texts = drawn.split("<text").skip(1);
    let texts = texts.filter_map(|text| text.split_once('>')?.1.split_once("</text>"));
    let words = texts.flat_map(|(words, _)| words.split_whitespace());
    words.collect::<Vec<_>>().join(" ")
}

fn holds(view: View, at: At) -> bool {
    (view.low.east..=view.high.east).contains(&at.east)
        && (view.low.north..=view.high.north).contains(&at.north)
}

#[test]
fn no_danger_is_without_its_name() {
    let mut named = 0;
    for mission in [
        "north-bay-lines",
        "dam-to-bay-transects",
        "careless-end",
        "past-the-island",
        "lines-across-the-wind",
    ] {
        let outcome = outcome(mission);
        let drawn = words(&map(&outcome));
        let map = &outcome.checked[0].picture.as_deref().unwrap().map;
        for danger in &map.dangers {
            if danger.form.iter().any(|at| holds(map.view, *at)) {
                assert!(drawn.contains(&danger.title), "{mission}: {}", danger.title);
                named += 1;
            }
        }
        // Everything that the boat does lies in the frame.
        for leg in &map.legs {
            assert!(
                holds(map.view, leg.from) && holds(map.view, leg.to),
                "{mission}"
            );
        }
        assert!(holds(map.view, map.turnaround), "{mission}");
    }
    assert!(named > 8, "{named}");
}

#[test]
fn a_survey_says_where_it_begins_and_ends() {
    let drawn = map(&outcome("north-bay-lines"));
    assert!(drawn.contains("2 begins") && drawn.contains("2 bay-lines ends"));
}

#[test]
fn the_legend_names_what_is_drawn_and_nothing_else() {
    let sounded = map(&outcome("north-bay-lines"));
    for words in [
        "sounding line",
        "depth in m below",
        "shallower than 2 m",
        "land",
    ] {
        assert!(sounded.contains(words), "{words}");
    }
    let soundings = "soundings: # invented too: a valley that deepens towards the dam\n  file: quenderby-soundings.geojson\n  datum: the crest of the spillway\n  surveyed: 2026-09-10\n  error: 0.2 m\n  longest_edge: 100 m\n";
    let unsounded = edited(&[
        ("site/quenderby.yaml", soundings, ""),
        ("site/quenderby.yaml", "    depth: 1.1 m\n", ""),
    ]);
    let drawn = map(&outcome_in(unsounded.path(), "long-run-downwind"));
    for words in ["shallower than", "depth in m below", "sounding line"] {
        assert!(!drawn.contains(words), "{words}");
    }
    assert!(drawn.contains("return leg"));
}

#[test]
fn an_open_edge_is_dashed_and_in_the_legend() {
    let shut = map(&outcome("north-bay-lines"));
    assert!(!shut.contains("class=\"open-edge\""));
    let shore = std::fs::read_to_string(demo().join("site/quenderby-shoreline.geojson")).unwrap();
    let shore: serde_json::Value = serde_json::from_str(&shore).unwrap();
    let ring = &shore.pointer("/features/0/geometry/coordinates/0").unwrap();
    // The edge of the shore that begins nearest to the launch of the mission.
    let ring: Vec<(f64, f64)> = ring
        .as_array()
        .unwrap()
        .iter()
        .map(|at| (at[1].as_f64().unwrap(), at[0].as_f64().unwrap()))
        .collect();
    let (from, to) = ring
        .windows(2)
        .map(|pair| (pair[0], pair[1]))
        .min_by(|a, b| b.0.0.total_cmp(&a.0.0))
        .unwrap();
    let edges = format!(
        "open_edges:\n  - from: [{}, {}]\n    to: [{}, {}]\n    fetch: 2 km\ntime_zone: Etc/GMT+2",
        from.0, from.1, to.0, to.1
    );
    let open = edited(&[("site/quenderby.yaml", "time_zone: Etc/GMT+2", &edges)]);
    let drawn = outcome_in(open.path(), "north-bay-lines");
    let held = &drawn.checked[0].picture.as_deref().unwrap().map.open;
    assert_eq!(held.len(), 1);
    assert!(held[0].len() > 1);
    let drawn = map(&drawn);
    assert!(drawn.contains("class=\"open-edge\""));
}

#[test]
fn a_return_over_land_is_named_as_the_return() {
    let outcome = outcome("past-the-island");
    let near = &outcome.checked[0].picture.as_deref().unwrap().map.nearest;
    let land = near.iter().find(|one| one.what == "land").unwrap();
    let drawn = words(&map(&outcome));
    assert_eq!(land.by, Comes::Return);
    let told = match land.keep {
        Some(keep) if !land.crosses => format!("return {} off land (keep {keep})", land.distance),
        _ => "return crosses land".to_owned(),
    };
    assert!(drawn.contains(&told), "{told}: {drawn}");
    assert!(drawn.contains("return comes nearest"), "{drawn}");
}

#[test]
fn what_the_verdict_rests_on_is_on_the_map_or_pointed_to() {
    let mut pointed = 0;
    for mission in [
        "north-bay-lines",
        "adrift-above-the-weir",
        "dam-to-bay-transects",
    ] {
        let outcome = outcome(mission);
        let map = &outcome.checked[0].picture.as_deref().unwrap().map;
        let drawn = words(&self::map(&outcome));
        let carried = map.fans.iter().filter_map(|fan| fan.on_to.as_ref());
        let carried = carried.map(|one| (one.title.clone(), one.at));
        let boat = map.safety_boat.map(|at| ("safety boat".to_owned(), at));
        let stations = map.stations.iter().map(|one| (one.name.clone(), one.at));
        for (name, at) in carried.chain(boat).chain(stations) {
            let beyond = map.beyond.iter().find(|one| one.name.ends_with(&name));
            assert_eq!(beyond.is_none(), holds(map.view, at), "{mission}: {name}");
            if let Some(beyond) = beyond {
                // As far, and there, by Pythagoras on the plane of the site.
                let (east, north) = (at.east - map.launch.east, at.north - map.launch.north);
                assert!((beyond.away.get() - east.hypot(north)).abs() < 1e-6);
                let bearing = east.atan2(north).to_degrees().rem_euclid(360.0);
                let told = format!("{}, {bearing:03.0}° from the launch", beyond.away);
                assert!(drawn.contains(&told), "{mission}: {told}: {drawn}");
                pointed += 1;
            }
        }
    }
    assert!(pointed > 0);
}

#[test]
fn distances_are_those_measured_with_what_is_to_be_kept_beside_them() {
    for mission in ["north-bay-lines", "dam-to-bay-transects"] {
        let outcome = outcome(mission);
        let checked = &outcome.checked[0];
        let judged = |rule: &str| {
            checked
                .judged
                .iter()
                .find(|one| &*one.rule == rule)
                .unwrap()
        };
        let shore = judged("shoreline");
        let over = shore.measured.unwrap().value - shore.limit.unwrap().value;
        let map = &checked.picture.as_deref().unwrap().map;
        let land = map.nearest.iter().find(|one| one.what == "land").unwrap();
        let keep = land.keep.unwrap();
        assert!(
            (land.distance.get() - keep.get() - over).abs() < 1e-6,
            "{mission}"
        );
        let told = format!("{} off land (keep {keep})", land.distance);
        assert!(
            words(&self::map(&outcome)).contains(&told),
            "{mission}: {told}"
        );
    }
}

#[test]
fn lines_are_told_apart_by_letters_and_land_by_hatching() {
    let drawn = map(&outcome("north-bay-lines"));
    // On the line, and in the legend.
    for letter in [">r</text>", ">d</text>", ">c</text>"] {
        let letter = letter.replace('>', ">\n").replace('<', "\n<");
        assert!(drawn.matches(&letter).count() >= 2, "{letter}: {drawn}");
    }
    assert!(drawn.matches("url(#map-land)").count() >= 2);
    assert!(drawn.contains("true N"));
    assert!(!drawn.contains("magnetic "));
    let stated = edited(&[(
        "site/quenderby.yaml",
        "time_zone: Etc/GMT+2",
        "declination: 3.5° W\ntime_zone: Etc/GMT+2",
    )]);
    let drawn = map(&outcome_in(stated.path(), "north-bay-lines"));
    assert!(words(&drawn).contains("magnetic 3.5° W"), "{drawn}");
}

#[test]
fn every_meridian_and_parallel_has_its_name_where_there_is_room() {
    for mission in [
        "headwind-return",
        "lines-across-the-wind",
        "long-run-downwind",
        "north-bay-lines",
    ] {
        let drawn = map(&outcome(mission));
        let lines = drawn.matches("class=\"graticule\"").count();
        let names = drawn.matches("graticule-name").count();
        assert!(lines > 2 && names == lines, "{mission}: {names} of {lines}");
    }
}

#[test]
fn a_map_as_a_file_says_what_can_hurt_people() {
    let drawn = words(&map(&outcome("north-bay-lines")));
    for told in ["People: flotation", "Weir and pack:", "licensed practice"] {
        assert!(drawn.contains(told), "{told}: {drawn}");
    }
}

/// How far a station with an antenna that points to 060° carries. By hand: 4 dBm sent, 12 and 2 dBi, 15 dB to spare above
/// -80 dBm leave 83 dB on the axis. In free space, which 10 m and 2 m above the water are here (ITU-R P.525), that
/// is (c / 868 MHz) / 4π × 10^(83/20) = 388 m; 30° off 12 × (30/40)² = 6.75 dB less, 178 m; from 52° off on 20 dB less,
/// 38.8 m.
#[test]
fn the_reach_of_a_link_lies_where_its_antenna_points() {
    let mut files = Files::wide();
    let sent = "transmit_power: 14 dBm";
    let heard = "sensitivity: -103 dBm";
    for path in ["pond.yaml", "boat.yaml"] {
        files.edit(path, sent, "transmit_power: 4 dBm");
        files.edit(path, heard, "sensitivity: -80 dBm");
    }
    files.edit(
        "pond.yaml",
        "        antenna: { gain: 2 dBi, height: 3 m, polarisation: vertical }",
        "        losses: 0 dB\n        antenna: { gain: 12 dBi, height: 10 m, azimuth: 060°, beamwidth: 40°, \
         front_to_back: 20 dB, polarisation: vertical }",
    );
    files.edit("boat.yaml", "height: 0.5 m", "height: 2 m");
    let outcome = outcome_at(files.lay_out().path(), "first-lines.yaml");
    let held = &outcome.checked[0].picture.as_deref().unwrap().map;
    let [reach] = held.coverage.as_slice() else {
        panic!("{:?}", held.coverage);
    };
    assert_eq!(reach.outline.len(), 72, "one place for every 5°");
    let station = held.stations[0].at;
    let (low, high) = (held.view.low, held.view.high);
    // It is looked for in sixty steps over the diagonal of the map.
    let step = (high.east - low.east).hypot(high.north - low.north) / 60.0;
    let drawn = map(&outcome);
    let path = &drawn[drawn.find("class=\"line coverage\"").unwrap()..];
    let (_, path) = path.split_once(" d=\"").unwrap();
    let (path, _) = path.split_once('"').unwrap();
    let numbers = path.split(|c: char| !c.is_ascii_digit() && c != '.' && c != '-');
    let numbers: Vec<f64> = numbers.filter_map(|one| one.parse().ok()).collect();
    let drawn: Vec<(f64, f64)> = numbers.chunks(2).map(|at| (at[0], at[1])).collect();
    for (bearing, due) in [
        (60_u32, 388.2),
        (30, 178.5),
        (90, 178.5),
        (0, 38.8),
        (120, 38.8),
    ] {
        let at = reach.outline[bearing as usize / 5];
        let (east, north) = (at.east - station.east, at.north - station.north);
        let (sin, cos) = f64::from(bearing).to_radians().sin_cos();
        let far = east * sin + north * cos;
        assert!((east * cos - north * sin).abs() < 1e-6, "{bearing}°");
        assert!(far <= due + 0.1 && far > due - step, "{bearing}°: {far} m");
        if bearing == 60 {
            // On the drawing, 400 wide, east is to the right and north is up.
            let scale = 400.0 / (high.east - low.east);
            let tip = (
                (at.east - low.east) * scale,
                (high.north - at.north) * scale,
            );
            let near = |place: &&(f64, f64)| (place.0 - tip.0).hypot(place.1 - tip.1) < 0.5;
            assert!(drawn.iter().any(|place| near(&place)), "{tip:?}: {drawn:?}");
        }
    }
    // Nowhere does it carry farther than on its axis.
    let far = |at: &At| (at.east - station.east).hypot(at.north - station.north);
    let axis = far(&reach.outline[12]);
    assert!(reach.outline.iter().all(|at| far(at) <= axis + 1e-6));
}
