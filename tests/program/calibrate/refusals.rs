//! What runs do not tell.

use offing::door::calibrate::{Calibration, Despite, Fate, Figure, Left, Run, calibrate};
use offing::door::source::printable_line;
use offing::door::track::Track;
use offing::door::units::{Current, Voltage};

use super::decided;
use super::runs::{Course, QUIET, Scatter, WORSE, boat, course, run};

const FIRST: &str = "2027-06-15T09:00:00Z";

fn of(courses: &[Course]) -> Calibration {
    scattered(courses, &QUIET)
}

fn scattered(courses: &[Course], scatter: &Scatter) -> Calibration {
    let (_, site) = boat();
    let number = |index: usize| u64::try_from(index).unwrap();
    let runs: Vec<Run> = courses
        .iter()
        .enumerate()
        .map(|(index, course)| run(&site, &WORSE, scatter, course, number(index)))
        .collect();
    found(&runs)
}

fn found(runs: &[Run]) -> Calibration {
    let (vessel, site) = boat();
    calibrate((&vessel, &site), runs, Despite::default()).unwrap()
}

fn why(found: &Calibration, figure: Figure) -> String {
    let mut kept = found.kept.iter();
    let one = kept.find(|one| one.figure == figure);
    let one = one.unwrap_or_else(|| panic!("{figure:?} is fitted"));
    assert!(one.run.contains("minutes each"), "{}", one.run);
    one.why.clone()
}

#[test]
fn one_speed_throughout_tells_hull_and_hotel_load_not_apart() {
    let mut steady = course(FIRST, 240.0, 5.0);
    steady.speeds = vec![1.0; 12];
    let found = of(&[steady]);
    for figure in [Figure::HotelLoad, Figure::Trial] {
        assert!(why(&found, figure).contains("the speed was about the same throughout"));
    }
}

#[test]
fn no_leg_against_the_wind_tells_no_windage() {
    let across = Course {
        across: 90.0,
        ..course(FIRST, 240.0, 5.0)
    };
    assert!(why(&of(&[across]), Figure::Drag).contains("0 legs head into a wind"));
    let calm = course(FIRST, 240.0, 1.0);
    assert!(why(&of(&[calm]), Figure::Drag).contains("0 legs head into a wind"));
    // What it does tell is fitted all the same.
    let across = Course {
        across: 90.0,
        ..course(FIRST, 240.0, 3.0)
    };
    let found = of(&[across]);
    assert_eq!(decided(&found, Figure::Trial).fate, Fate::Worse);
}

#[test]
fn a_short_run_tells_nothing() {
    let short = Course {
        speeds: vec![0.6, 1.2, 0.9],
        ..course(FIRST, 240.0, 5.0)
    };
    let found = of(&[short]);
    for figure in [Figure::HotelLoad, Figure::Trial, Figure::Drag] {
        let why = why(&found, figure);
        assert!(why.contains("on 3 legs (limit: at least 12 on 6)"), "{why}");
    }
    assert_eq!(found.changes().count(), 0);
    assert!(found.fitted.is_none() && found.held_out.is_none());
}

#[test]
fn turns_are_no_stretches_and_are_counted() {
    let circling = Course {
        speeds: vec![1.0; 60],
        seconds: 40.0,
        ..course(FIRST, 240.0, 5.0)
    };
    let found = of(&[circling]);
    assert_eq!(found.stretches.len(), 0);
    let left = &found.runs[0].left;
    let turning = left.get(&Left::Turning).map_or(0.0, |time| time.get())
        + left.get(&Left::Speed).map_or(0.0, |time| time.get());
    assert!(turning > 2000.0, "{left:?}");
}

#[test]
fn a_current_that_hardly_changes_tells_no_resistance() {
    let mut steady = course(FIRST, 240.0, 0.0);
    steady.speeds = vec![1.0; 12];
    let told = why(&of(&[steady]), Figure::Resistance);
    assert!(
        told.contains("the current was about the same throughout"),
        "{told}"
    );
}

#[test]
fn a_voltage_that_hardly_changes_tells_no_resistance() {
    let (_, site) = boat();
    let mut flat = run(&site, &WORSE, &QUIET, &course(FIRST, 240.0, 5.0), 1);
    for sample in &mut flat.track.samples {
        sample.voltage = Some(Voltage::volts(15.0));
    }
    let told = why(&found(&[flat]), Figure::Resistance);
    assert!(
        told.contains("the voltage hardly changed, 15.00 to 15.00 V"),
        "{told}"
    );
}

#[test]
fn currents_that_are_not_recorded_tell_no_resistance() {
    let (_, site) = boat();
    let mut gappy = run(&site, &WORSE, &QUIET, &course(FIRST, 240.0, 5.0), 1);
    for sample in gappy.track.samples.iter_mut().step_by(10) {
        sample.current = None;
    }
    let told = found(&[gappy]);
    assert!(why(&told, Figure::Resistance).contains("recorded throughout"));
    // The power of a stretch bears one in ten.
    assert_eq!(decided(&told, Figure::Trial).fate, Fate::Worse);
}

#[test]
fn a_pack_that_is_drawn_far_down_is_no_parabola() {
    let long = Course {
        speeds: [0.6, 0.6, 1.2, 1.2].repeat(12),
        ..course(FIRST, 240.0, 6.0)
    };
    let told = why(&of(&[long]), Figure::Resistance);
    assert!(told.contains("more than 40 % of the capacity"), "{told}");
}

#[test]
fn a_current_of_the_wrong_sign_draws_no_power() {
    let (_, site) = boat();
    let mut turned = run(&site, &WORSE, &QUIET, &course(FIRST, 240.0, 5.0), 1);
    for sample in &mut turned.track.samples {
        sample.current = sample
            .current
            .map(|current| Current::amperes(-current.get()));
    }
    let told = found(&[turned]);
    assert!(told.stretches.is_empty());
    assert!(told.runs[0].left[&Left::NotDrawing].get() > 2000.0);
}

#[test]
fn a_fit_that_predicts_badly_is_not_written() {
    let wild = Scatter { leg: 12.0, ..QUIET };
    let courses = [
        course(FIRST, 240.0, 4.5),
        course("2027-06-16T13:00:00Z", 60.0, 6.0),
        course("2027-06-18T13:00:00Z", 60.0, 6.0),
        course("2027-06-20T13:00:00Z", 240.0, 5.0),
    ];
    let found = scattered(&courses, &wild);
    let power = |figure: Figure| figure != Figure::Resistance;
    assert!(found.changes().all(|one| !power(one.estimate.figure)));
    let refused = found.refused.is_some();
    let wide = found
        .kept
        .iter()
        .any(|one| one.why.contains("its interval is"));
    assert!(refused || wide, "{:?}", found.kept);
}

#[test]
fn a_run_that_is_there_twice_is_refused() {
    let (vessel, site) = boat();
    let one = run(&site, &WORSE, &QUIET, &course(FIRST, 240.0, 5.0), 1);
    let told = |runs: &[Run]| {
        calibrate((&vessel, &site), runs, Despite::default())
            .unwrap_err()
            .to_string()
    };
    assert!(told(&[one.clone(), one.clone()]).contains("the same as run-1.csv"));
    let mut other = one.clone();
    other.sha256 = "0".repeat(64);
    assert!(told(&[one.clone(), other]).contains("covers the same time as run-1.csv"));
    let mut empty = one.clone();
    empty.track = Track::default();
    assert!(told(&[empty]).contains("no fix with a time"));
    assert!(told(&[]).contains("there is no run"));
}

#[test]
fn a_run_on_another_water_or_ashore_is_refused() {
    let (vessel, site) = boat();
    let mut far = run(&site, &WORSE, &QUIET, &course(FIRST, 240.0, 5.0), 1);
    for sample in &mut far.track.samples {
        sample.position.latitude += offing::door::units::Angle::degrees(3.0);
    }
    let told = calibrate((&vessel, &site), &[far], Despite::default()).unwrap_err();
    assert!(told.to_string().contains("not on the site"), "{told}");
    let mut swapped = run(&site, &WORSE, &QUIET, &course(FIRST, 240.0, 5.0), 1);
    for sample in &mut swapped.track.samples {
        let at = &mut sample.position;
        std::mem::swap(&mut at.latitude, &mut at.longitude);
    }
    let told = calibrate((&vessel, &site), &[swapped], Despite::default()).unwrap_err();
    assert!(
        told.to_string().contains("latitude and longitude swapped"),
        "{told}"
    );
    let mut ashore = run(&site, &WORSE, &QUIET, &course(FIRST, 240.0, 5.0), 1);
    for sample in &mut ashore.track.samples {
        sample.position.latitude += offing::door::units::Angle::degrees(0.02);
    }
    let found = found(&[ashore]);
    assert!(found.stretches.is_empty());
    assert!(found.runs[0].left.contains_key(&Left::Ashore));
}

#[test]
fn a_wind_at_a_height_that_no_law_reaches_is_refused() {
    let (vessel, site) = boat();
    let mut one = run(&site, &WORSE, &QUIET, &course(FIRST, 240.0, 5.0), 1);
    one.wind.height = offing::door::units::Length::metres(60.0);
    let told = calibrate((&vessel, &site), &[one], Despite::default()).unwrap_err();
    assert!(told.to_string().contains("from 1 m to 30 m"), "{told}");
}

#[test]
fn a_run_in_a_stated_current_is_left_out() {
    let (vessel, site) = boat();
    let mut site = (*site).clone();
    // The whole water runs.
    let outline = offing::door::models::geometry::Polygon::new(
        [
            (-3000.0, -3000.0),
            (3000.0, -3000.0),
            (3000.0, 3000.0),
            (-3000.0, 3000.0),
        ]
        .map(|(x, y)| offing::door::models::plane::Point::new(x, y))
        .to_vec(),
        Vec::new(),
    )
    .unwrap();
    site.currents[0].outline = outline;
    let one = run(&site, &WORSE, &QUIET, &course(FIRST, 240.0, 5.0), 1);
    let found = calibrate((&vessel, &site), &[one], Despite::default()).unwrap();
    assert!(found.stretches.is_empty());
    assert!(found.runs[0].left[&Left::InCurrent].get() > 2000.0);
    let told = printable_line(&found.assumptions[0]);
    assert!(told.contains("no current outside the areas"), "{told}");
}
