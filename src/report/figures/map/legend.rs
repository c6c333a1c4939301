//! What stands below the map: scale, wind, north, what the lines mean; and the map in words.

use super::super::style::{
    Anchor, Figure, SMALL, arrow_head, line, path, rectangle, text, width_of,
};
use super::WIDTH;
use super::ground::SHOAL;
use crate::check::Picture;

const STRIP: f64 = 46.0;
const ROW: f64 = 16.0;

/// A sample and its words.
type Entry = (Sample, String);

#[derive(Clone, Copy)]
enum Sample {
    Line(&'static str),
    Patch(&'static str),
}

fn entries(picture: &Picture) -> Vec<Entry> {
    let map = &picture.map;
    let mut all = vec![(Sample::Line("route"), "route".to_owned())];
    let mut one = |there: bool, sample: Sample, words: String| {
        if there {
            all.push((sample, words));
        }
    };
    one(
        !map.ways_home.is_empty(),
        Sample::Line("way-home"),
        "way home".to_owned(),
    );
    one(
        !map.fans.is_empty(),
        Sample::Line("drift"),
        "drift without power".to_owned(),
    );
    let margin = picture.along.link_margin;
    let reach = margin.map_or_else(String::new, |margin| format!("control link, {margin} left"));
    one(
        !map.coverage.is_empty(),
        Sample::Line("line coverage"),
        reach,
    );
    one(
        !map.dangers.is_empty(),
        Sample::Line("danger-line"),
        "keep clear of a danger".to_owned(),
    );
    one(
        !map.areas.is_empty(),
        Sample::Line("keep-out"),
        "not to be entered".to_owned(),
    );
    let datum = map.depths.as_ref().map(|depths| depths.datum.as_str());
    one(
        datum.is_some(),
        Sample::Patch("shoal"),
        format!("shallower than {SHOAL} m"),
    );
    all
}

/// Where each entry stands, and how many rows they take.
fn laid_out(entries: Vec<Entry>) -> (Vec<(f64, usize, Entry)>, usize) {
    let (mut x, mut row) = (4.0, 0);
    let mut all = Vec::new();
    for entry in entries {
        let wide = 30.0 + width_of(&entry.1, SMALL) + 12.0;
        if x > 4.0 && x + wide > WIDTH {
            (x, row) = (4.0, row + 1);
        }
        all.push((x, row, entry));
        x += wide;
    }
    (all, row + 1)
}

/// Height of everything below the map.
pub(super) fn height(picture: &Picture) -> f64 {
    STRIP + ROW * laid_out(entries(picture)).1 as f64 + 4.0
}

pub(super) fn draw(figure: &mut Figure, picture: &Picture, top: f64, scale: f64) {
    let middle = top + 24.0;
    bar(figure, (8.0, middle), scale);
    if let Some(wind) = &picture.wind {
        let degrees = wind.from.angle().to_degrees();
        // The arrow flies with the wind.
        let (sin, cos) = wind.from.angle().get().sin_cos();
        let at = (WIDTH * 0.32, middle);
        let from = (at.0 + 15.0 * sin, at.1 - 15.0 * cos);
        let to = (at.0 - 15.0 * sin, at.1 + 15.0 * cos);
        figure.add(line(from, to, "wind"));
        figure.add(arrow_head(to, degrees + 180.0, 10.0, "wind-head"));
        let words = format!("wind from {} ± {}", wind.from, wind.spread);
        figure.add(text(
            (at.0 + 24.0, middle - 3.0),
            Anchor::Start,
            "strong",
            &words,
        ));
        let words = format!("{}, gusts {}, at 10 m", wind.sustained, wind.gust);
        figure.add(text(
            (at.0 + 24.0, middle + 12.0),
            Anchor::Start,
            "",
            &words,
        ));
    }
    let north = (WIDTH - 20.0, middle);
    figure.add(line(
        (north.0, north.1 + 16.0),
        (north.0, north.1 - 8.0),
        "axis",
    ));
    figure.add(arrow_head((north.0, north.1 - 16.0), 0.0, 12.0, "ink"));
    figure.add(text(
        (north.0 - 8.0, middle + 5.0),
        Anchor::End,
        "small strong",
        "true N",
    ));
    let top = top + STRIP;
    for (x, row, (sample, words)) in laid_out(entries(picture)).0 {
        let y = top + ROW * row as f64 + 10.0;
        match sample {
            Sample::Line(class) => figure.add(line((x, y - 4.0), (x + 24.0, y - 4.0), class)),
            Sample::Patch(class) => {
                figure.add(rectangle((x, y - 10.0), (24.0, 11.0), class));
                figure.add(rectangle((x, y - 10.0), (24.0, 11.0), "axis"));
            }
        }
        figure.add(text((x + 30.0, y), Anchor::Start, "small", &words));
    }
}

/// A scale bar of a round length.
fn bar(figure: &mut Figure, at: (f64, f64), scale: f64) {
    let room = WIDTH * 0.24;
    let lengths = [1.0, 2.0, 5.0].map(|digit| {
        let size = 10f64.powf((room / scale / digit).log10().floor());
        digit * size
    });
    let length = lengths.into_iter().fold(0.0, f64::max);
    let wide = length * scale;
    let half = (0.5 * wide, 5.0);
    figure.add(rectangle(at, half, "ink"));
    figure.add(rectangle((at.0 + half.0, at.1), half, "axis"));
    figure.add(path(
        format!("M{} {}h{}v5h-{}z", at.0, at.1, wide, wide),
        "axis",
    ));
    figure.add(text((at.0, at.1 - 5.0), Anchor::Start, "small", "0"));
    let words = if length >= 1000.0 {
        format!("{} km", length / 1000.0)
    } else {
        format!("{length} m")
    };
    let end = (at.0 + wide, at.1 - 5.0);
    figure.add(text(end, Anchor::Middle, "small", &words));
}

/// The map in words.
pub(super) fn words(picture: &Picture) -> String {
    let (map, along) = (&picture.map, &picture.along);
    let length = along.distance.last().copied().unwrap_or_default();
    let mut all = vec![format!("North is up. The route is {length} long.")];
    for stop in map.stops.iter().take(12) {
        let track = stop
            .track
            .map_or_else(String::new, |track| format!(", {track}"));
        all.push(format!(
            "{} {}: {}{track}.",
            stop.number, stop.id, stop.length
        ));
    }
    if map.stops.len() > 12 {
        all.push(format!("And {} more.", map.stops.len() - 12));
    }
    all.push(format!(
        "The turnaround is {} along the route.",
        along.distance[along.turnaround]
    ));
    if let Some(at) = along.point_of_no_return {
        all.push(format!("The point of no return is {at} along it."));
    }
    for near in &map.nearest {
        all.push(format!(
            "It comes within {} of {}.",
            near.clearance, near.what
        ));
    }
    for fan in &map.fans {
        if let Some(time) = fan.ashore {
            all.push(format!(
                "Without power from {}, a boat comes ashore after {time} at the soonest.",
                fan.why
            ));
        }
    }
    if let Some(wind) = &picture.wind {
        all.push(format!(
            "The wind is from {} ± {}, {} sustained and {} in gusts.",
            wind.from, wind.spread, wind.sustained, wind.gust
        ));
    }
    all.join(" ")
}
