//! Power and speed against the angle between track and wind.

use super::chart::{Axis, Chart};
use super::style::Figure;
use crate::check::Picture;

fn axis() -> Axis {
    Axis {
        label: "wind off the bow: 0° ahead, 180° astern".to_owned(),
        from: 0.0,
        to: 180.0,
    }
}

type Line = Vec<(f64, f64)>;

/// Power at the planned speed; `None` where it cannot be told at any angle.
#[must_use]
pub fn power(picture: &Picture) -> Option<Figure> {
    let angles = picture.angles.as_ref()?;
    let line = |gust: bool| -> Line {
        let each = angles.angles.iter();
        each.map(|at| {
            let power = if gust { at.power_in_gust } else { at.power };
            (
                at.off_the_bow.to_degrees(),
                power.map_or(f64::NAN, |power| power.get()),
            )
        })
        .collect()
    };
    let (sustained, gust) = (line(false), line(true));
    let most = angles.most.get();
    let values = sustained.iter().chain(&gust).map(|(_, y)| *y);
    let greatest = values.clone().fold(f64::NAN, f64::max);
    if !greatest.is_finite() {
        return None;
    }
    let shown = if most < 2.5 * greatest {
        Some(most)
    } else {
        None
    };
    let y = Axis::around("propulsion power, W", values.chain(shown), 0.0);
    let mut chart = Chart::new("power", "Power at the planned speed", (axis(), y), 1);
    chart.line(&gust, "two", "in the gust");
    chart.line(
        &sustained,
        "one",
        &format!("sustained, at {}", angles.planned),
    );
    let most = format!("{most:.0} W is all there is");
    if let Some(level) = shown {
        chart.limit(level, &most);
    }
    let at = |line: &Line, index: usize| {
        line.get(index).filter(|(_, y)| y.is_finite()).map_or_else(
            || "more than there is".to_owned(),
            |(_, y)| format!("{y:.0} W"),
        )
    };
    let last = sustained.len().saturating_sub(1);
    Some(chart.finish(&format!(
        "At {} the boat takes {} against the sustained wind and {} before it; against the gust {}. \
         {most}. In the highest waves of the route, without current.",
        angles.planned,
        at(&sustained, 0),
        at(&sustained, last),
        at(&gust, 0)
    )))
}

/// Speed at full power; `None` where it cannot be told at any angle.
#[must_use]
pub fn speed(picture: &Picture) -> Option<Figure> {
    let angles = picture.angles.as_ref()?;
    let line = |gust: bool| -> Line {
        let each = angles.angles.iter();
        each.map(|at| {
            let speed = if gust {
                at.full_power_in_gust
            } else {
                at.full_power
            };
            (
                at.off_the_bow.to_degrees(),
                speed.map_or(f64::NAN, |speed| speed.get()),
            )
        })
        .collect()
    };
    let (sustained, gust) = (line(false), line(true));
    let planned = angles.planned.get();
    let values = sustained.iter().chain(&gust).map(|(_, y)| *y);
    if !values.clone().any(f64::is_finite) {
        return None;
    }
    let y = Axis::around("speed over ground, m/s", values.chain([planned]), 0.0);
    let mut chart = Chart::new("speed", "Speed at full power", (axis(), y), 1);
    chart.line(&gust, "two", "in the gust");
    chart.line(&sustained, "one", "sustained");
    chart.limit(planned, &format!("planned: {}", angles.planned));
    let at = |line: &Line| {
        line.first().filter(|(_, y)| y.is_finite()).map_or_else(
            || "an unknown speed".to_owned(),
            |(_, y)| format!("{y:.2} m/s"),
        )
    };
    Some(chart.finish(&format!(
        "At full power the boat makes {} against the sustained wind and {} against the gust; {} is \
         planned. In the highest waves of the route, without current.",
        at(&sustained),
        at(&gust),
        angles.planned
    )))
}
