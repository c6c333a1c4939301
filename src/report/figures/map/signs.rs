//! Signs that stand for places, their room kept free of words.

use svg::Node as _;
use svg::node::element::Circle;

use super::super::clip::Place;
use super::super::labels::Labels;
use super::super::style::{self, line, n, path};
use super::{Drawn, Sheet};

/// Waypoints that are drawn, at most.
pub(super) const MOST_STOPS: usize = 60;

pub(super) fn draw(
    sheet: &Sheet<'_>,
    group: &mut style::Group,
    labels: &mut Labels,
    drawn: &mut Drawn,
) {
    let map = sheet.map;
    for station in &map.stations {
        let (x, y) = sheet.place(station.at);
        if let Some((bearing, beam)) = station.beam {
            for side in [-0.5, 0.5] {
                let turn = bearing.angle().get() + side * beam.get();
                let end = (x + 60.0 * turn.sin(), y - 60.0 * turn.cos());
                group.append(line((x, y), end, "beam"));
                drawn.beam |= sheet.crossed(&[(x, y), end]);
            }
        }
        let data = format!("M{} {}l5 9h-10z", n(x), n(y - 6.0));
        group.append(path(data, "mast"));
        labels.keep((x, y), 6.0);
    }
    for danger in &map.dangers {
        if let [at] = danger.form.as_slice() {
            labels.keep(sheet.place(*at), 5.0);
        }
    }
    if let Some(at) = map.operator {
        let (x, y) = sheet.place(at);
        group.append(dot((x, y), 3.0, "operator"));
        labels.keep((x, y), 4.0);
    }
    if let Some(at) = map.safety_boat {
        let (x, y) = sheet.place(at);
        // A hull seen from the side.
        let hull = format!("M{} {}h13l-3 5h-7z", n(x - 6.5), n(y - 2.0));
        group.append(path(hull, "safety-boat"));
        labels.keep((x, y), 6.0);
    }
    for stop in map.stops.iter().take(MOST_STOPS) {
        let begins = stop.lines.filter(|lines| lines.count > 1);
        let begins = begins.map(|lines| lines.from);
        for at in begins.into_iter().chain([stop.at]) {
            let at = sheet.place(at);
            group.append(dot(at, 3.2, "stop"));
            labels.keep(at, 4.0);
        }
    }
    for near in &map.nearest {
        let at = sheet.place(near.at);
        if sheet.on(at) {
            drawn.near.push(near.by);
        }
        group.append(dot(at, 5.5, "near"));
        labels.keep(at, 6.0);
    }
    let (x, y) = sheet.place(map.turnaround);
    group.append(path(
        format!("M{} {}l6 6l-6 6l-6 -6z", n(x), n(y - 6.0)),
        "turn",
    ));
    labels.keep((x, y), 7.0);
    if let Some(at) = map.point_of_no_return {
        let (x, y) = sheet.place(at);
        group.append(path(
            format!("M{} {}l10 10m0 -10l-10 10", n(x - 5.0), n(y - 5.0)),
            "no-return",
        ));
        labels.keep((x, y), 6.0);
    }
    for (at, class) in [(map.recovery, "recovery"), (map.launch, "launch")] {
        let (x, y) = sheet.place(at);
        let size = if class == "launch" { 7.0 } else { 11.0 };
        let corner = (x - 0.5 * size, y - 0.5 * size);
        group.append(style::rectangle(corner, (size, size), class));
        labels.keep((x, y), 6.0);
    }
}

fn dot(at: Place, radius: f64, class: &str) -> Circle {
    Circle::new()
        .set("cx", n(at.0))
        .set("cy", n(at.1))
        .set("r", n(radius))
        .set("class", class)
}
