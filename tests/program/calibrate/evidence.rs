//! What makes a figure better, and what does not.

use offing::door::calibrate::{About, text};
use offing::door::calibrate::{Calibration, Despite, Figure, Run, calibrate};
use offing::door::plan::{CalmForm, Vessel};
use offing::door::report::Settings;

use super::decided;
use super::runs::{BETTER, Course, QUIET, Scatter, Truth, WORSE, boat, course, run};

const FIRST: &str = "2027-06-15T09:00:00Z";
const SECOND: &str = "2027-06-16T13:00:00Z";

/// The report, its lines joined.
fn told(found: &Calibration) -> String {
    let about = About {
        vessel: "goosander",
        path: "goosander.yaml",
        site: "quenderby",
        contact: None,
        written: None,
    };
    let text = text(found, &about, &Settings::default());
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn fate(found: &Calibration, figure: Figure) -> &'static str {
    decided(found, figure).fate.name()
}

/// The hotel load is not half of what is stated and cannot be determined, so that the fit takes the stated one
/// off; what that is too much is missing in the trial, whose interval knows nothing of it.
#[test]
fn a_figure_that_is_not_told_makes_no_other_better() {
    let (vessel, site) = boat();
    let truth = Truth {
        hotel: 3.75,
        trial: 1.06,
        ..WORSE
    };
    let scatter = Scatter { leg: 2.5, ..QUIET };
    let mut seen = 0;
    for seed in 1..=8 {
        let runs = [
            run(
                &site,
                &truth,
                &scatter,
                &course(FIRST, 240.0, 4.5),
                2 * seed,
            ),
            run(
                &site,
                &truth,
                &scatter,
                &course(SECOND, 60.0, 6.0),
                2 * seed + 1,
            ),
        ];
        let found = calibrate((&vessel, &site), &runs, Despite::default()).unwrap();
        let hotel = found.kept.iter().any(|one| one.figure == Figure::HotelLoad);
        let trial = found
            .decided
            .iter()
            .find(|one| one.estimate.figure == Figure::Trial);
        let Some(trial) = trial.filter(|one| hotel && one.estimate.high < 1.0) else {
            continue;
        };
        seen += 1;
        assert!(
            trial.estimate.high < truth.trial,
            "the interval is off: {trial:?}"
        );
        assert_eq!(trial.fate.name(), "kept: another not told", "{trial:?}");
        assert!((trial.value - 1.0).abs() < 1e-12);
        let told = told(&found);
        assert!(
            told.contains("those of the power hold only where the hotel load"),
            "{told}"
        );
        assert!(
            told.contains("better than stated only if the figures not shown are as stated"),
            "{told}"
        );
    }
    assert!(seen >= 4, "{seen} of 8 boats show it");
}

/// A whole run, and of another day the beginning.
fn beginning(truth: &Truth, legs: usize) -> Vec<Run> {
    let (_, site) = boat();
    let whole = course(FIRST, 240.0, 4.5);
    let second = course(SECOND, 60.0, 6.0);
    let second = Course {
        speeds: second.speeds[..legs].to_vec(),
        ..second
    };
    vec![
        run(&site, truth, &QUIET, &whole, 3),
        run(&site, truth, &QUIET, &second, 4),
    ]
}

#[test]
fn the_beginning_of_a_second_run_makes_nothing_better() {
    let (vessel, site) = boat();
    let found = calibrate((&vessel, &site), &beginning(&BETTER, 3), Despite::default()).unwrap();
    for figure in [Figure::HotelLoad, Figure::Trial, Figure::Drag] {
        assert_eq!(fate(&found, figure), "kept: one run", "{figure:?}");
    }
    assert_eq!(fate(&found, Figure::Resistance), "kept: one run");
    // That nothing of the second run was predicted is said.
    assert!(!found.held_out.unwrap().runs);
    let told = told(&found);
    assert!(
        told.contains(
            "every fifth leg predicted by the rest, since without one of the runs the \
                       others do not show the figures"
        ),
        "{told}"
    );
    // A whole second run does.
    let found = calibrate(
        (&vessel, &site),
        &beginning(&BETTER, 12),
        Despite::default(),
    )
    .unwrap();
    for figure in [Figure::HotelLoad, Figure::Trial, Figure::Drag] {
        assert_eq!(fate(&found, figure), "better", "{figure:?}");
    }
}

/// Two runs of one morning find the hotel load better, and outweigh the one of the next day.
#[test]
fn a_run_that_finds_a_figure_no_better_is_no_second_run() {
    let (vessel, site) = boat();
    let other = Truth {
        hotel: 9.4,
        ..BETTER
    };
    let of = |truth: &Truth, start, from, seed| {
        run(&site, truth, &QUIET, &course(start, from, 5.0), seed)
    };
    let runs = [
        of(&BETTER, FIRST, 240.0, 3),
        of(&BETTER, "2027-06-15T12:00:00Z", 60.0, 4),
        of(&other, SECOND, 60.0, 5),
    ];
    let found = calibrate((&vessel, &site), &runs, Despite::default()).unwrap();
    let cautious = decided(&found, Figure::HotelLoad).estimate.cautious();
    assert!(cautious.unwrap() < 9.0, "{cautious:?}");
    assert_eq!(fate(&found, Figure::HotelLoad), "kept: one run");
    assert_eq!(fate(&found, Figure::Trial), "better");
}

/// Two halves of a run are not the one run that is requested.
#[test]
fn one_run_that_was_asked_for_has_to_tell_the_figure_by_itself() {
    let (vessel, site) = boat();
    let half = |start, from, speeds: &[f64], seed| {
        let half = Course {
            speeds: speeds.to_vec(),
            ..course(start, from, 5.0)
        };
        run(&site, &BETTER, &QUIET, &half, seed)
    };
    let runs = [
        half(FIRST, 240.0, &[0.6, 0.6, 1.2, 1.2, 0.9], 3),
        half(SECOND, 60.0, &[0.9, 0.9, 1.2, 1.2, 0.6], 4),
    ];
    let found = calibrate(
        (&vessel, &site),
        &runs,
        Despite {
            one_run: true,
            ..Despite::default()
        },
    )
    .unwrap();
    assert_eq!(fate(&found, Figure::HotelLoad), "kept: one run");
    let told = told(&found);
    assert!(
        told.contains("better than stated, which no run shows by itself"),
        "{told}"
    );
}

fn without_a_trial(residuary: f64) -> Vessel {
    let (vessel, _) = boat();
    let mut vessel = (*vessel).clone();
    let stated = CalmForm::Model {
        form_factor: 0.3,
        residuary,
    };
    vessel.propulsion.calm = vessel.propulsion.calm.map(|_| stated);
    vessel
}

/// Waves of its own making are what a hull is held back by at speed; slow legs do not tell them.
#[test]
fn a_lower_residuary_coefficient_takes_runs_at_top_speed() {
    let (_, site) = boat();
    let vessel = without_a_trial(0.013);
    let truth = Truth {
        residuary: Some(0.010),
        ..WORSE
    };
    // Of a hull of 1.1 m the model holds to 1.64 m/s, a Froude number of 0.5.
    for (speed, due) in [(1.2, "kept: top speed not run"), (1.63, "better")] {
        let runs = [(FIRST, 240.0, 1), (SECOND, 60.0, 2)].map(|(start, from, seed)| {
            let mut course = course(start, from, 5.0);
            for one in &mut course.speeds {
                if *one > 1.0 {
                    *one = speed;
                }
            }
            run(&site, &truth, &QUIET, &course, seed)
        });
        let found = calibrate((&vessel, &site), &runs, Despite::default()).unwrap();
        assert_eq!(fate(&found, Figure::Residuary), due);
        assert_eq!(
            told(&found)
                .contains("left as it was, since no stretch is as fast as the figure is used"),
            due != "better"
        );
    }
}

/// From the second run on something else draws, so that neither run predicts the other.
#[test]
fn a_resistance_is_not_made_better_where_the_power_is_refused() {
    let (vessel, site) = boat();
    let other = Truth {
        hotel: 30.0,
        ..BETTER
    };
    let of = |truth: &Truth, start, from, seed| {
        run(&site, truth, &QUIET, &course(start, from, 5.0), seed)
    };
    let runs = [
        of(&BETTER, FIRST, 240.0, 3),
        of(&other, SECOND, 60.0, 4),
        of(&other, "2027-06-18T13:00:00Z", 240.0, 5),
        of(&BETTER, "2027-06-20T13:00:00Z", 60.0, 6),
    ];
    let found = calibrate((&vessel, &site), &runs, Despite::default()).unwrap();
    assert!(
        found.refused.is_some(),
        "{:?} {:?}",
        found.held_out,
        found.kept
    );
    assert!(decided(&found, Figure::Resistance).estimate.high < 0.06);
    assert_eq!(fate(&found, Figure::Resistance), "kept: fit refused");
}
