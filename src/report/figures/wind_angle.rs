//! Speed and power against the angle between track and wind.

use super::axis::Axis;
use super::chart::Chart;
use super::style::Figure;
use crate::picture::Picture;
use crate::units::{Power, Speed};

/// Angles between the figures below the chart, degrees.
const EVERY: f64 = 45.0;
/// What is written where the planned speed takes more power than there is.
const TOO_MUCH: &str = "too much";

/// The chart: speed at full power, and below it the power at the planned speed in figures; `None`
/// where no speed can be determined at any angle.
#[must_use]
pub(super) fn wind_angle(picture: &Picture) -> Option<Figure> {
    let angles = picture.angles.as_ref()?;
    let line = |speeds: Vec<Option<Speed>>| -> Vec<(f64, f64)> {
        let each = angles.angles.iter().zip(speeds);
        each.map(|(at, speed)| {
            let speed = speed.map_or(f64::NAN, Speed::get);
            (at.off_the_bow.to_degrees(), speed)
        })
        .collect()
    };
    let sustained = line(angles.angles.iter().map(|at| at.full_power).collect());
    let gust = line(
        angles
            .angles
            .iter()
            .map(|at| at.full_power_in_gust)
            .collect(),
    );
    let planned = angles.planned;
    let values = sustained.iter().chain(&gust).map(|(_, speed)| *speed);
    if !values.clone().any(f64::is_finite) {
        return None;
    }
    let x = Axis {
        label: "wind off the bow: 0° ahead, 180° astern".to_owned(),
        from: 0.0,
        to: 180.0,
        step: Some(EVERY),
    };
    let y = Axis::around("speed over ground, m/s", values.chain([planned.get()]), 0.0);
    let title = "Speed at full power, and power at the planned speed";
    let mut chart = Chart::new("wind-angle", title, (x, y), 1);
    chart.line(&gust, "two", "in the gust");
    chart.line(&sustained, "one", "sustained");
    chart.limit(planned.get(), &format!("planned: {planned}"));
    let some = || {
        let each = angles.angles.iter();
        each.filter(|at| {
            let turns = at.off_the_bow.to_degrees() / EVERY;
            (turns - turns.round()).abs() < 1e-6
        })
    };
    let row = |power: &dyn Fn(&crate::picture::AtAngle) -> Option<Power>| {
        some()
            .map(|at| (at.off_the_bow.to_degrees(), power(at).map(in_watts)))
            .collect::<Vec<_>>()
    };
    chart.under("power", &row(&|at| at.power), TOO_MUCH);
    chart.under("in gust", &row(&|at| at.power_in_gust), TOO_MUCH);
    let speed = |line: &[(f64, f64)]| match line.first() {
        Some((_, speed)) if speed.is_finite() => format!("{speed:.2} m/s"),
        _ => "an unknown speed".to_owned(),
    };
    let first = angles.angles.first();
    let last = angles.angles.last();
    Some(chart.finish(&format!(
        "At full power the boat makes {} against the sustained wind and {} against the gust; the \
         plan is {planned}. At that speed it takes {} against the sustained wind, {} before it and \
         {} against the gust, of {} available. In the highest waves of the route, without \
         current.",
        speed(&sustained),
        speed(&gust),
        watts(first.and_then(|at| at.power)),
        watts(last.and_then(|at| at.power)),
        watts(first.and_then(|at| at.power_in_gust)),
        angles.most
    )))
}

fn watts(power: Option<Power>) -> String {
    power.map_or_else(|| TOO_MUCH.to_owned(), in_watts)
}

fn in_watts(power: Power) -> String {
    format!("{:.0} W", power.get())
}
