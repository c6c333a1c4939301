//! Energy left along the route against the energy that the return leg takes.

use super::axis::Axis;
use super::chart::Chart;
use super::style::Figure;
use super::{marks, points, stations};
use crate::picture::Picture;
use crate::units::Energy;

const JOULES: f64 = 3600.0;

/// The chart; `None` where no energy can be determined anywhere.
#[must_use]
pub(super) fn battery(picture: &Picture) -> Option<Figure> {
    let along = &picture.along;
    let hours = |energy: &Option<Energy>| energy.map(|energy| energy.get() / JOULES);
    let left: Vec<_> = along.left.iter().map(hours).collect();
    let home: Vec<_> = along.home.iter().map(hours).collect();
    left.iter().flatten().next()?;
    let reserve = match (along.reserve, along.usable) {
        (Some(share), Some(usable)) => share.get() * usable.get() / JOULES,
        _ => 0.0,
    };
    let wanted: Vec<_> = home
        .iter()
        .map(|home| home.map(|wh| wh + reserve))
        .collect();
    let values = left.iter().chain(&home).chain(&wanted).flatten().copied();
    let x = super::distance_axis(along);
    let y = Axis::around("energy above empty, Wh", values, 0.0);
    let mut chart = Chart::new("battery", "Battery against distance", (x, y), 1);
    stations(&mut chart, along);
    if reserve > 0.0 {
        let name = format!("and {} in reserve", along.reserve.unwrap_or_default());
        chart.line(&points(along, &wanted), "three", &name);
    }
    chart.line(&points(along, &home), "two", "to get home");
    chart.line(&points(along, &left), "one", "left");
    marks(&mut chart, along);
    Some(chart.finish(&describe(picture, &left, &home)))
}

fn describe(picture: &Picture, left: &[Option<f64>], home: &[Option<f64>]) -> String {
    let along = &picture.along;
    let both = left.iter().zip(home).enumerate();
    let over = both.filter_map(|(index, (left, home))| Some((index, (*left)? - (*home)?)));
    let least = over.min_by(|a, b| a.1.total_cmp(&b.1));
    let end = left.iter().flatten().last();
    let mut words = match (least, left.first().copied().flatten()) {
        (Some((index, least)), Some(first)) => format!(
            "{first:.1} Wh above empty at the launch. The return leg leaves least, {least:.1} Wh, from \
             {} along the route.",
            along.distance[index]
        ),
        _ => "Where a line ends, the energy is unknown beyond it.".to_owned(),
    };
    if let Some(end) = end {
        words.push_str(&format!(" At the end of the line {end:.1} Wh are left."));
    }
    words.push_str(&match along.point_of_no_return {
        Some(at) => format!(" The point of no return is {at} along the route."),
        None => " There is no point of no return on the route.".to_owned(),
    });
    words
}
