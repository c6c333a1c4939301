//! Figures: what a check came to, drawn as SVG for a page or as files of their own.
//!
//! Nothing here computes: a figure shows series that the check hands over. Their look follows a
//! printed nautical chart (land buff, shoal water blue, deep water white, true north up, wind named
//! by where it comes from), and nothing is told by colour alone.

pub(crate) mod axis;
mod battery;
pub(crate) mod chart;
mod clip;
mod depth;
mod labels;
mod lettering;
mod link_margin;
mod links;
mod map;
pub(crate) mod polar;
pub(crate) mod style;
mod thin;
mod wind_angle;

pub(crate) use links::figure_links;
pub(crate) use map::{KeyItem, MapOnPage, RunOnMap, map_on_page};

pub(crate) use axis::Axis;
use chart::Chart;
use style::Figure;

use crate::check::MissionResult;
use crate::picture::AlongRoute;
use crate::units::Quantity;

/// The ids of all figures of a mission.
pub(crate) const IDS: &[&str] = &["map", "battery", "link-margin", "depth", "wind-angle"];

/// Every figure of a mission, the map first; none where its picture was not asked for.
#[must_use]
pub fn figures(checked: &MissionResult) -> Vec<Figure> {
    let Some(picture) = &checked.picture else {
        return Vec::new();
    };
    let mut all = vec![map::map(picture)];
    all.extend(charts(checked));
    all
}

/// Every figure of a mission but the map.
#[must_use]
pub(crate) fn charts(checked: &MissionResult) -> Vec<Figure> {
    let Some(picture) = &checked.picture else {
        return Vec::new();
    };
    let mut all = Vec::new();
    all.extend(battery::battery(picture));
    all.extend(link_margin::link_margin(picture));
    all.extend(depth::depth(checked));
    all.extend(wind_angle::wind_angle(picture));
    all
}

/// The limit that a rule holds a mission to.
fn limit_of(checked: &MissionResult, rule: &str) -> Option<Quantity> {
    let mut judged = checked.judged.iter();
    judged.find(|one| &*one.rule == rule)?.limit
}

fn distance_axis(along: &AlongRoute) -> Axis {
    Axis {
        label: "distance along the route, m".to_owned(),
        from: 0.0,
        to: along.distance.last().map_or(1.0, |end| end.get()).max(1.0),
        step: None,
    }
}

/// A series against the distance; a gap where there is no value.
fn points(along: &AlongRoute, values: &[Option<f64>]) -> Vec<(f64, f64)> {
    let each = along.distance.iter().zip(values);
    each.map(|(at, value)| (at.get(), value.unwrap_or(f64::NAN)))
        .collect()
}

/// The numbers of the waypoints above a chart.
fn stations(chart: &mut Chart, along: &AlongRoute) {
    let each = along.waypoints.iter();
    let stations: Vec<_> = each
        .map(|station| (along.distance[station.sample].get(), station.number))
        .collect();
    chart.waypoints(&stations);
}

/// The turnaround and the point of no return on a chart.
fn marks(chart: &mut Chart, along: &AlongRoute) {
    chart.mark(along.distance[along.turnaround].get(), "turnaround", 0);
    if let Some(at) = along.point_of_no_return {
        chart.mark(at.get(), "no return from here", 1);
    }
}
