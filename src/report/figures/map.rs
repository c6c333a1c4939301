//! The map: shoreline, route, ways home, dangers, drift, link.

mod ground;
mod legend;

use svg::Node as _;
use svg::node::element::{Circle, ClipPath, Definitions};

use super::clip::{self, Place};
use super::labels::Labels;
use super::style::{
    self, Anchor, Figure, SMALL, TEXT, arrow_head, cut, line, n, path, path_data, text,
};
use super::thin::thinned;
use crate::check::Picture;
use crate::check::picture::{At, Map};

/// Width of the map in units of its drawing.
const WIDTH: f64 = 420.0;
/// Points that any one kind of line on the map has at most.
const MOST_POINTS: usize = 12_000;
/// Dangers and areas that are drawn, at most.
const MOST_THINGS: usize = 100;
/// How far off a line may be drawn.
const FINE: f64 = 0.3;
/// Longest name of anything, in units of the drawing.
const LONGEST: f64 = 140.0;
/// Legs that depths keep off, from the first.
const LEGS_KEPT_OFF: usize = 200;
/// Ways of a fan that are drawn, at most.
const MOST_DRIFTS: usize = 4;

/// The plane of the site laid on the drawing, north up.
struct Sheet<'a> {
    map: &'a Map,
    scale: f64,
    size: Place,
}

impl<'a> Sheet<'a> {
    fn of(map: &'a Map) -> Self {
        let wide = map.view.high.east - map.view.low.east;
        let tall = map.view.high.north - map.view.low.north;
        let scale = WIDTH / wide;
        Self {
            map,
            scale,
            size: (WIDTH, tall * scale),
        }
    }

    fn place(&self, at: At) -> Place {
        (
            (at.east - self.map.view.low.east) * self.scale,
            (self.map.view.high.north - at.north) * self.scale,
        )
    }

    fn places(&self, all: &[At]) -> Vec<Place> {
        all.iter().map(|at| self.place(*at)).collect()
    }

    fn on(&self, place: Place) -> bool {
        (0.0..=self.size.0).contains(&place.0) && (0.0..=self.size.1).contains(&place.1)
    }

    /// A ring as far as it is on the sheet, with no more points than can be seen.
    fn ring(&self, ring: &[At]) -> Vec<Place> {
        let edge = 20.0;
        let (low, high) = ((-edge, -edge), (self.size.0 + edge, self.size.1 + edge));
        clip::ring(&self.places(ring), low, high)
    }

    /// A circle of a radius in metres.
    fn circle(&self, at: At, metres: f64, class: &str) -> Circle {
        let (x, y) = self.place(at);
        Circle::new()
            .set("cx", n(x))
            .set("cy", n(y))
            .set("r", n(metres * self.scale))
            .set("class", class)
    }
}

/// The map of a mission.
pub(super) fn map(picture: &Picture) -> Figure {
    let map = &picture.map;
    let sheet = Sheet::of(map);
    let size = (WIDTH, sheet.size.1 + legend::height(picture));
    let mut figure = Figure::new("map", "Map of the route", size);
    let name = figure.name("clip");
    let frame = style::rectangle((0.0, 0.0), sheet.size, "");
    figure.add(Definitions::new().add(ClipPath::new().set("id", name.clone()).add(frame)));
    let hatch = figure.name("hatch");
    figure.add(style::hatching(&hatch, 6.0, 45.0, "hatch"));

    let mut on_map = style::group("");
    on_map
        .get_attributes_mut()
        .insert("clip-path".to_owned(), format!("url(#{name})").into());
    let mut labels = Labels::new((2.0, 2.0), (sheet.size.0 - 2.0, sheet.size.1 - 2.0));
    ground::draw(&sheet, &mut on_map);
    for coverage in &map.coverage {
        let outline = thinned(&sheet.places(&coverage.outline), FINE);
        on_map.append(path(path_data(&outline, true), "line coverage"));
    }
    drift(&sheet, &mut on_map);
    dangers(&sheet, &mut on_map, &hatch);
    for way in &map.ways_home {
        let places = sheet.places(&way.places);
        on_map.append(path(path_data(&places, false), "way-home"));
    }
    route(&sheet, &mut on_map);
    marks(&sheet, &mut on_map, &mut labels);
    names(&sheet, &mut on_map, &mut labels);
    figure.add(on_map);
    figure.add(style::rectangle((0.0, 0.0), sheet.size, "frame"));
    legend::draw(&mut figure, picture, sheet.size.1, sheet.scale);
    figure.description = legend::words(picture);
    figure
}

fn drift(sheet: &Sheet<'_>, group: &mut style::Group) {
    for fan in &sheet.map.fans {
        let mut area: Vec<Place> = vec![sheet.place(fan.at)];
        let every = fan.ways.len().div_ceil(MOST_DRIFTS).max(1);
        for (index, way) in fan.ways.iter().enumerate() {
            let places = sheet.places(way);
            area.extend(places.last());
            // A way over the edge of the sheet is cut by the frame.
            if index % every == 0 || index + 1 == fan.ways.len() {
                let line = thinned(&places, FINE);
                group.append(path(path_data(&line, false), "drift"));
            }
        }
        let low = (-20.0, -20.0);
        let area = clip::ring(&area, low, (sheet.size.0 + 20.0, sheet.size.1 + 20.0));
        group.append(path(path_data(&area, true), "drift-area"));
    }
}

fn dangers(sheet: &Sheet<'_>, group: &mut style::Group, hatch: &str) {
    for area in sheet.map.areas.iter().take(MOST_THINGS) {
        let ring = thinned(&sheet.ring(&area.outline), FINE);
        let outline = path_data(&ring[..ring.len().min(MOST_POINTS / 10)], true);
        if area.closed {
            let fill = path(outline.clone(), "").set("fill", format!("url(#{hatch})"));
            group.append(fill);
        }
        group.append(path(outline, "keep-out"));
    }
    for danger in sheet.map.dangers.iter().take(MOST_THINGS) {
        let keep = danger.clearance.get();
        match danger.form.as_slice() {
            [at] => {
                group.append(sheet.circle(*at, keep, "danger-line"));
                let (x, y) = sheet.place(*at);
                group.append(path(
                    format!("M{} {}h8m-4 -4v8", n(x - 4.0), n(y)),
                    "danger-mark",
                ));
            }
            form => {
                let form = thinned(&sheet.places(form), FINE);
                let shown = form.len().min(MOST_POINTS / 10);
                let data = path_data(&form[..shown], danger.closed);
                // As wide as what is to be kept clear of on both sides.
                let wide = path(data.clone(), "danger-area")
                    .set("stroke-width", n(2.0 * keep * sheet.scale));
                group.append(wide);
                group.append(path(data, "danger-mark"));
            }
        }
    }
}

fn route(sheet: &Sheet<'_>, group: &mut style::Group) {
    let mut run: Vec<Place> = Vec::new();
    let mut arrows = Vec::new();
    let mut lines = 0;
    let mut flush = |run: &mut Vec<Place>, class: &str| {
        let places = thinned(run, FINE);
        group.append(path(path_data(&places, false), class));
        run.clear();
    };
    let class = |sounding: bool| if sounding { "route sounding" } else { "route" };
    let mut was = false;
    for leg in sheet.map.legs.iter().take(MOST_POINTS) {
        let (from, to) = (sheet.place(leg.from), sheet.place(leg.to));
        if leg.sounding != was || run.is_empty() {
            if run.len() > 1 {
                flush(&mut run, class(was));
            }
            run.clear();
            run.push(from);
            was = leg.sounding;
        }
        run.push(to);
        lines += usize::from(leg.sounding);
        let length = (to.0 - from.0).hypot(to.1 - from.1);
        // Of sounding lines the first two show which way they are run.
        if length > 26.0 && (!leg.sounding || lines <= 2) {
            let share = 0.5 + 4.0 / length;
            let tip = (
                from.0 + share * (to.0 - from.0),
                from.1 + share * (to.1 - from.1),
            );
            let turn = (to.0 - from.0).atan2(from.1 - to.1).to_degrees();
            arrows.push(arrow_head(tip, turn, 8.0, "route-arrow"));
        }
    }
    if run.len() > 1 {
        flush(&mut run, class(was));
    }
    for arrow in arrows.into_iter().take(200) {
        group.append(arrow);
    }
}

/// Signs that stand for places, their room kept free of words.
fn marks(sheet: &Sheet<'_>, group: &mut style::Group, labels: &mut Labels) {
    let map = sheet.map;
    for station in &map.stations {
        let (x, y) = sheet.place(station.at);
        if let Some((bearing, beam)) = station.beam {
            for side in [-0.5, 0.5] {
                let turn = bearing.angle().get() + side * beam.get();
                let end = (x + 60.0 * turn.sin(), y - 60.0 * turn.cos());
                group.append(line((x, y), end, "beam"));
            }
        }
        let data = format!("M{} {}l5 9h-10z", n(x), n(y - 6.0));
        group.append(path(data, "mast"));
        labels.keep((x, y), 6.0);
    }
    for danger in &map.dangers {
        if let Some(at) = danger.form.first() {
            labels.keep(sheet.place(*at), 5.0);
        }
    }
    if let Some(at) = map.operator {
        let (x, y) = sheet.place(at);
        group.append(dot((x, y), 3.0, "operator"));
        labels.keep((x, y), 4.0);
    }
    for stop in map.stops.iter().take(60) {
        let at = sheet.place(stop.at);
        group.append(dot(at, 3.2, "stop"));
        labels.keep(at, 4.0);
    }
    for near in &map.nearest {
        let at = sheet.place(near.at);
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

/// Words beside the signs, what matters most first.
fn names(sheet: &Sheet<'_>, group: &mut style::Group, labels: &mut Labels) {
    let map = sheet.map;
    let mut name = |at: At, off: f64, words: &str, size: f64, class: &str| {
        let place = sheet.place(at);
        if !sheet.on(place) {
            return false;
        }
        let words = cut(&crate::source::printable_line(words), size, LONGEST);
        let found = labels.place(place, off, &words, size);
        if let Some((base, anchor)) = found {
            group.append(text(base, anchor, class, &words));
        }
        found.is_some()
    };
    let together = {
        let (a, b) = (sheet.place(map.launch), sheet.place(map.recovery));
        (a.0 - b.0).hypot(a.1 - b.1) < 40.0
    };
    if together {
        name(map.launch, 9.0, "launch, recovery", TEXT, "strong halo");
    } else {
        name(map.launch, 9.0, "launch", TEXT, "strong halo");
        name(map.recovery, 9.0, "recovery", TEXT, "strong halo");
    }
    if let Some(at) = map.point_of_no_return {
        name(at, 9.0, "point of no return", TEXT, "strong halo over");
    }
    name(map.turnaround, 9.0, "turnaround", TEXT, "strong halo over");
    for stop in map
        .stops
        .iter()
        .take(map.stops.len().saturating_sub(1))
        .take(60)
    {
        let words = format!("{} {}", stop.number, stop.id);
        if !name(stop.at, 6.0, &words, TEXT, "halo") {
            name(stop.at, 6.0, &stop.number.to_string(), TEXT, "halo");
        }
    }
    for near in &map.nearest {
        let words = format!("{} off {}", near.clearance, near.what);
        name(near.at, 8.0, &words, SMALL, "small halo danger");
    }
    for danger in map.dangers.iter().take(30) {
        let middle = danger.form.get(danger.form.len() / 2);
        if let Some(at) = middle {
            name(*at, 7.0, &danger.title, SMALL, "small halo danger");
        }
    }
    for area in map.areas.iter().take(20) {
        if let Some(at) = area.outline.first() {
            name(*at, 5.0, &area.title, SMALL, "small halo over");
        }
    }
    for station in map.stations.iter().take(20) {
        let words = match station.beam {
            Some((bearing, _)) => format!("{}, {bearing}", station.name),
            None => station.name.clone(),
        };
        name(station.at, 9.0, &words, SMALL, "small halo soft");
    }
    if let Some(at) = map.operator {
        name(at, 7.0, "operator", SMALL, "small halo soft");
    }
    // Only depths keep off the lines.
    for leg in map.legs.iter().take(LEGS_KEPT_OFF) {
        labels.keep_line(sheet.place(leg.from), sheet.place(leg.to));
    }
    for way in &map.ways_home {
        for pair in way.places.windows(2) {
            labels.keep_line(sheet.place(pair[0]), sheet.place(pair[1]));
        }
    }
    for fan in &map.fans {
        for way in &fan.ways {
            if let (Some(from), Some(to)) = (way.first(), way.last()) {
                labels.keep_line(sheet.place(*from), sheet.place(*to));
            }
        }
    }
    ground::soundings(sheet, group, labels);
}

/// Text with a halo at a place.
fn sounding(at: Place, words: &str) -> svg::node::element::Text {
    text(at, Anchor::Middle, "small sounding", words)
}
