//! The demo's runs, calibrated here and by `tests/reference/calibrate.py`, whose least squares are
//! numpy's and whose distribution is scipy's.

use offing::door::calibrate::{Despite, Figure, Run, Wind, calibrate};
use offing::door::track::{Columns, read_csv};
use offing::door::units::{Angle, FromDirection, Length, Speed};
use serde_json::Value as Json;

use super::decided;
use super::runs::boat;

pub fn demo() -> Vec<Run> {
    let text = |name: &str| std::fs::read_to_string(format!("plans/tracks/{name}")).unwrap();
    let columns = Columns::parse(&text("legs-columns.yaml")).unwrap();
    [("legs-1.csv", 240.0, 4.5), ("legs-2.csv", 75.0, 6.0)]
        .map(|(name, from, mean)| Run {
            file: name.to_owned(),
            sha256: offing::door::check::sha256(&text(name)),
            track: read_csv(&text(name), &columns).unwrap(),
            aside: Vec::new(),
            wind: Wind {
                from: FromDirection::new(Angle::degrees(from)),
                mean: Speed::metres_per_second(mean),
                height: Length::metres(2.0),
            },
            known: "as given".to_owned(),
            anemometer: None,
        })
        .to_vec()
}

#[test]
fn the_demos_runs_come_to_what_numpy_makes_of_them() {
    let record = std::fs::read_to_string("tests/reference/calibrate.json").unwrap();
    let record: Json = serde_json::from_str(&record).unwrap();
    let (vessel, site) = boat();
    let found = calibrate((&vessel, &site), &demo(), Despite::default()).unwrap();
    let near = |value: f64, due: &Json, by: f64| {
        let due = due.as_f64().unwrap();
        assert!(
            (value - due).abs() <= by * due.abs(),
            "{value}, and {due} is recorded"
        );
    };
    let count = |key: &str| usize::try_from(record[key].as_u64().unwrap()).unwrap();
    assert_eq!(found.stretches.len(), count("stretches"));
    let legs: usize = found.runs.iter().map(|run| run.legs).sum();
    assert_eq!(legs, count("legs"));
    // What differs between the two is the plane's origin, and the order of sums.
    let figures = [Figure::HotelLoad, Figure::Trial, Figure::Drag];
    for (index, figure) in figures.into_iter().enumerate() {
        let of = &decided(&found, figure).estimate;
        near(of.value, &record["power"]["estimates"][index], 1e-4);
        near(of.low, &record["power"]["low"][index], 1e-4);
        near(of.high, &record["power"]["high"][index], 1e-4);
    }
    near(
        found.condition.unwrap(),
        &record["power"]["condition"],
        1e-4,
    );
    near(
        found.design_effect.unwrap(),
        &record["power"]["design_effect"],
        1e-3,
    );
    near(
        found.fitted.unwrap().error.get(),
        &record["power"]["rms"],
        1e-4,
    );
    let held = found.held_out.unwrap();
    assert!(held.runs);
    near(held.error.get(), &record["held_out"]["error"], 1e-4);
    let bias = record["held_out"]["bias"].as_f64().unwrap();
    assert!((held.bias.get() - bias).abs() < 1e-3);
    let of = &decided(&found, Figure::Resistance).estimate;
    near(of.value, &record["resistance"]["estimates"], 1e-6);
    near(of.low, &record["resistance"]["low"], 1e-6);
    near(of.high, &record["resistance"]["high"], 1e-6);
}
