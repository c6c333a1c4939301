//! Water under the keel along the route.

use super::axis::Axis;
use super::chart::Chart;
use super::style::Figure;
use super::{limit_of, marks, points, stations};
use crate::check::MissionResult;

/// The chart; `None` where nothing is known of the depth.
#[must_use]
pub(super) fn depth(checked: &MissionResult) -> Option<Figure> {
    let picture = checked.picture.as_ref()?;
    let along = &picture.along;
    let under: Vec<_> = along
        .under_keel
        .iter()
        .map(|one| one.map(|m| m.get()))
        .collect();
    let least = under.iter().copied().enumerate();
    let least = least.filter_map(|(index, value)| Some((index, value?)));
    let (at, least) = least.min_by(|a, b| a.1.total_cmp(&b.1))?;
    let limit = limit_of(checked, "under-keel-clearance").map(|limit| limit.value);
    let values = under.iter().flatten().copied().chain(limit);
    let y = Axis::around("water under the keel, m", values, 0.0);
    let x = super::distance_axis(along);
    let mut chart = Chart::new("depth", "Water under the keel", (x, y), 1);
    stations(&mut chart, along);
    let line = points(along, &under);
    let known: Vec<_> = line
        .iter()
        .copied()
        .filter(|(_, y)| y.is_finite())
        .collect();
    chart.area(&known, 0.0, "fill-one");
    chart.hatch();
    let mut unknown = 0.0;
    for (index, missing) in along.depth_unknown.iter().enumerate().skip(1) {
        if *missing {
            let (from, to) = (along.distance[index - 1].get(), along.distance[index].get());
            chart.hatched(from, to);
            unknown += to - from;
        }
    }
    let name = if unknown > 0.0 {
        "least on each step; hatched: depth unknown"
    } else {
        "least on each step"
    };
    chart.line(&line, "one", name);
    marks(&mut chart, along);
    let mut words = format!(
        "Least water under the keel on the route: {least:.2} m, {} along it.",
        along.distance[at]
    );
    if let Some(limit) = limit {
        chart.limit(limit, &format!("at least {limit} m"));
        words.push_str(&format!(" The limit is at least {limit} m."));
    }
    if unknown > 0.0 {
        words.push_str(&format!(
            " Over {unknown:.0} m of the route the depth is unknown."
        ));
    }
    Some(chart.finish(&words))
}
