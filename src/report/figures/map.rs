//! The map: shoreline, route, return legs, dangers, drift, link.

mod described;
mod ground;
mod key;
mod legend;
mod marks;
mod names;
mod run;
mod signs;

pub(crate) use key::{KeyItem, MapOnPage};
pub(crate) use run::RunOnMap;

use svg::Node as _;
use svg::node::element::{Circle, ClipPath, Definitions};

use super::clip::{self, Place};
use super::labels::Labels;
use super::style::{self, Figure, arrow_head, n, path, path_data};
use super::thin::thinned;
use crate::picture::Picture;
use crate::picture::{At, Comes, Map};

/// Width of the map in units of its drawing.
const WIDTH: f64 = 400.0;
/// Points that any one kind of line on the map has at most.
const MOST_POINTS: usize = 12_000;
/// Dangers and areas that are drawn, at most.
const MOST_THINGS: usize = 100;
/// How far off a line may be drawn.
const FINE: f64 = 0.3;
/// Ways of a fan that are drawn, at most.
const MOST_DRIFTS: usize = 4;

/// The plane of the site laid on the drawing, north up.
struct Sheet<'a> {
    map: &'a Map,
    scale: f64,
    size: Place,
}

impl<'a> Sheet<'a> {
    fn from_map(map: &'a Map) -> Self {
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

    /// Whether some of a line is on the sheet.
    fn crossed(&self, line: &[Place]) -> bool {
        clip::crosses(line, (0.0, 0.0), self.size)
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

/// What was drawn of what not every map has, for the legend.
#[derive(Default)]
struct Drawn {
    /// Whether a run is laid over it.
    run: bool,
    land: bool,
    shoal: bool,
    depths: bool,
    sounding: bool,
    return_legs: bool,
    drift: bool,
    /// Whether some drift runs over the edge of the sheet.
    drift_cut: bool,
    coverage: bool,
    beam: bool,
    danger: bool,
    /// What comes near something, where a ring says so.
    near: Vec<Comes>,
    open_edge: bool,
    closed: bool,
    open: bool,
    /// Names that stand below the map for want of room, by the letter that stands on it.
    letters: Vec<(String, String)>,
    /// Names that have no room below it either.
    unnamed: usize,
}

/// The map of a mission, as a figure that holds its legend.
pub(super) fn map(picture: &Picture) -> Figure {
    let (mut figure, entries, drawn) = drawn(picture, None);
    let top = figure.size.1;
    figure.size.1 += legend::height(&entries, &drawn);
    legend::draw(&mut figure, top, &entries, &drawn);
    figure
}

/// The map of a mission for a page, which has the legend as text; with a run laid over it, where there is
/// one.
#[must_use]
pub(crate) fn map_on_page(picture: &Picture, run: Option<RunOnMap<'_>>) -> MapOnPage {
    let (figure, entries, drawn) = drawn(picture, run);
    key::on_page(figure, &entries, &drawn)
}

fn drawn(picture: &Picture, over: Option<RunOnMap<'_>>) -> (Figure, Vec<legend::Entry>, Drawn) {
    let map = &picture.map;
    let sheet = Sheet::from_map(map);
    let title = match over {
        Some(_) => "Map of the run",
        None => "Map of the route",
    };
    let mut figure = Figure::new("map", title, sheet.size);
    let name = figure.name("clip");
    let frame = style::rectangle((0.0, 0.0), sheet.size, "");
    figure.add(Definitions::new().add(ClipPath::new().set("id", name.clone()).add(frame)));
    let hatch = figure.name("hatch");
    figure.add(style::hatching(&hatch, 6.0, 45.0, "hatch"));
    let land = figure.name("land");
    figure.add(style::hatching(&land, 7.0, 135.0, "land-hatch"));

    let mut on_map = style::group("");
    on_map
        .get_attributes_mut()
        .insert("clip-path".to_owned(), format!("url(#{name})").into());
    let mut labels = Labels::new((2.0, 2.0), (sheet.size.0 - 2.0, sheet.size.1 - 2.0));
    let mut drawn = Drawn::default();
    ground::draw(&sheet, &mut on_map, &land, &mut drawn);
    marks::graticule(&sheet, &mut on_map);
    for coverage in &map.coverage {
        let outline = thinned(&sheet.places(&coverage.outline), FINE);
        let mut around = outline.clone();
        around.extend(outline.first());
        drawn.coverage |= sheet.crossed(&around);
        on_map.append(path(path_data(&outline, true), "line coverage"));
    }
    drift(&sheet, &mut on_map, &mut drawn);
    dangers(&sheet, &mut on_map, &hatch);
    for way in &map.return_legs {
        let places = sheet.places(&way.places);
        drawn.return_legs |= sheet.crossed(&places);
        on_map.append(path(path_data(&places, false), "way-home"));
    }
    route(&sheet, &mut on_map, &mut drawn);
    if let Some(over) = over {
        run::draw(&sheet, &mut on_map, &mut labels, over);
        drawn.run = true;
    }
    signs::draw(&sheet, &mut on_map, &mut labels, &mut drawn);
    names::draw(&sheet, &mut on_map, &mut labels, (&mut drawn, over));
    marks::graticule_names(&sheet, &mut on_map, &mut labels);
    drawn.depths = ground::soundings(&sheet, &mut on_map, &mut labels);
    figure.add(on_map);
    figure.add(style::rectangle((0.0, 0.0), sheet.size, "frame"));
    let entries = legend::entries(picture, &drawn);
    figure.size.1 += legend::STRIP;
    legend::strip(&mut figure, picture, (sheet.size.1, sheet.scale));
    figure.description = described::describe(picture, over.is_some());
    (figure, entries, drawn)
}

fn drift(sheet: &Sheet<'_>, group: &mut style::Group, drawn: &mut Drawn) {
    for fan in &sheet.map.fans {
        let mut area: Vec<Place> = vec![sheet.place(fan.at)];
        let every = fan.ways.len().div_ceil(MOST_DRIFTS).max(1);
        for (index, way) in fan.ways.iter().enumerate() {
            let places = sheet.places(way);
            area.extend(places.last());
            if index % every == 0 || index + 1 == fan.ways.len() {
                let line = thinned(&places, FINE);
                drawn.drift |= sheet.crossed(&line);
                drawn.drift_cut |= line.last().is_some_and(|end| !sheet.on(*end));
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

fn route(sheet: &Sheet<'_>, group: &mut style::Group, drawn: &mut Drawn) {
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
        drawn.sounding |= leg.sounding;
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
