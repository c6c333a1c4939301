//! The map and the charts of a debrief: the plan in a whole line, the run in a broken one.

use super::Told;
use crate::debrief::{Kept, LAND};
use crate::picture::{Comes, Near};
use crate::report::figures::chart::Chart;
use crate::report::figures::style::Figure;
use crate::report::figures::{Axis, MapOnPage, RunOnMap, map_on_page};
use crate::units::Length;

/// Class of what was planned, and of what came to be; they differ by dash too.
const PLANNED: &str = "one";
const ACTUAL: &str = "four";
const JOULES: f64 = 3600.0;

/// The map, where there is a picture of the plan.
pub(super) fn map(told: &Told) -> Option<MapOnPage> {
    let series = &told.found.series;
    let mut picture = told.picture()?.clone();
    picture.map.nearest = nearest(&told.found.kept);
    let run = RunOnMap {
        pieces: &series.pieces,
        left: series.left,
        end: series.end,
    };
    Some(map_on_page(&picture, Some(run)))
}

/// Every chart.
pub(super) fn charts(told: &Told) -> Vec<Figure> {
    let series = &told.found.series;
    let mut all = Vec::new();
    let hours = |line: &[(f64, f64)]| -> Vec<(f64, f64)> {
        line.iter()
            .map(|(at, joules)| (*at, joules / JOULES))
            .collect()
    };
    all.extend(
        Lines {
            id: "battery",
            title: "Battery against distance",
            axis: "energy above empty, Wh",
            planned: &hours(&series.left_planned),
            actual: &hours(&series.left_actual),
            limits: &[],
            names: ("left as planned", "left, as run"),
            unit: "Wh",
        }
        .drawn(told),
    );
    all.extend(
        Lines {
            id: "speed",
            title: "Speed over ground",
            axis: "speed over ground, m/s",
            planned: &series.speed_planned,
            actual: &series.speed_actual,
            limits: &[],
            names: ("as planned", "as it was"),
            unit: "m/s",
        }
        .drawn(told),
    );
    let stated = told.found.cross_track_error.get();
    all.extend(
        Lines {
            id: "cross-track",
            title: "Cross-track distance",
            axis: "cross-track distance, m (right is positive)",
            planned: &[],
            actual: &series.cross,
            limits: &[stated, -stated],
            names: ("", "as it was"),
            unit: "m",
        }
        .drawn(told),
    );
    let (axis, unit) = if series.link_is_share {
        ("share that came through, %", "%")
    } else {
        ("power received, dBm", "dBm")
    };
    all.extend(
        Lines {
            id: "link",
            title: "Link along the route",
            axis,
            planned: &series.link_predicted,
            actual: &series.link_actual,
            limits: &[],
            names: ("as predicted", "as it was"),
            unit,
        }
        .drawn(told),
    );
    all.extend(
        Lines {
            id: "depth",
            title: "Depth along the route",
            axis: "depth, m",
            planned: &series.depth_charted,
            actual: &series.depth_sounded,
            limits: &[],
            names: ("by the site's soundings", "sounded"),
            unit: "m",
        }
        .drawn(told),
    );
    all
}

/// Where the run came nearest: to land, to the danger that was kept least clear of, and to whatever was
/// kept less clear of than is required.
fn nearest(kept: &[Kept]) -> Vec<Near> {
    let least = |one: &Kept| one.clearance().get();
    let (land, others): (Vec<&Kept>, Vec<&Kept>) = kept.iter().partition(|one| one.of == LAND);
    let worst = others
        .iter()
        .min_by(|a, b| least(a).total_cmp(&least(b)))
        .map(|one| one.of.as_str());
    let shown = others
        .iter()
        .filter(|one| one.too_near() || Some(one.of.as_str()) == worst);
    land.iter()
        .chain(shown)
        .map(|one| Near {
            what: one.of.split(',').next().unwrap_or_default().to_owned(),
            at: one.place,
            distance: one.distance,
            keep: one.asked.map(|(asked, _)| one.deducted + asked),
            by: Comes::Run,
            crosses: one.distance <= Length::ZERO,
        })
        .collect()
}

/// Two lines of one chart.
struct Lines<'a> {
    id: &'static str,
    title: &'a str,
    axis: &'a str,
    planned: &'a [(f64, f64)],
    actual: &'a [(f64, f64)],
    limits: &'a [f64],
    names: (&'a str, &'a str),
    unit: &'a str,
}

impl Lines<'_> {
    /// The chart; nothing where the run has no line.
    fn drawn(&self, told: &Told) -> Option<Figure> {
        if !self.actual.iter().any(|(_, y)| y.is_finite()) {
            return None;
        }
        let along = &told.picture()?.along;
        let end = along.distance.last().map_or(1.0, |end| end.get()).max(1.0);
        let x = Axis {
            label: "distance along the route, m".to_owned(),
            from: 0.0,
            to: end,
            step: None,
        };
        let values = self.planned.iter().chain(self.actual).map(|(_, y)| *y);
        // Powers lie far below nothing; an axis from there would show no difference.
        let floor = if self.unit == "dBm" {
            values
                .clone()
                .filter(|y| y.is_finite())
                .fold(f64::INFINITY, f64::min)
                .floor()
        } else {
            0.0
        };
        let y = Axis::around(self.axis, values.chain(self.limits.iter().copied()), floor);
        let mut chart = Chart::new(self.id, self.title, (x, y), 1);
        let stations = along
            .waypoints
            .iter()
            .map(|one| (along.distance[one.sample].get(), one.number));
        chart.waypoints(&stations.collect::<Vec<_>>());
        if !self.planned.is_empty() {
            chart.line(self.planned, PLANNED, self.names.0);
        }
        chart.line(self.actual, ACTUAL, self.names.1);
        for (index, limit) in self.limits.iter().enumerate() {
            chart.limit(
                *limit,
                if index == 0 {
                    "stated cross-track error"
                } else {
                    ""
                },
            );
        }
        if let Some((_, left)) = &told.found.ends.left {
            chart.mark(left.get(), "route left", 0);
        }
        Some(chart.finish(&self.describe()))
    }

    fn describe(&self) -> String {
        let range = |line: &[(f64, f64)]| {
            let values = line.iter().map(|(_, y)| *y).filter(|y| y.is_finite());
            let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| {
                (low.min(y), high.max(y))
            });
            (low <= high).then(|| format!("{low:.2} to {high:.2} {}", self.unit))
        };
        let mut words = Vec::new();
        words.extend(range(self.planned).map(|range| format!("{}: {range}.", self.names.0)));
        words.extend(range(self.actual).map(|range| format!("{}: {range}.", self.names.1)));
        words.extend(
            self.limits
                .first()
                .map(|limit| format!("The vessel states {limit} {}.", self.unit)),
        );
        words.join(" ")
    }
}
