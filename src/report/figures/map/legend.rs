//! What stands below the map: scale, wind, north, what the lines mean; and the map in words.

use svg::node::element::Circle;

use super::super::style::{
    Anchor, Figure, SMALL, arrow_head, line, n, path, rectangle, text, width_of, wrapped,
};
use super::ground::SHOAL;
use super::{Drawn, WIDTH};
use crate::picture::BY_HAND;
use crate::picture::Comes;
use crate::picture::Picture;

const STRIP: f64 = 46.0;
const ROW: f64 = 16.0;

/// Words of the legend, at most this wide in a row and in so many rows.
const LONGEST: f64 = WIDTH - 44.0;
const MOST_LINES: usize = 2;

/// A sample and its words.
pub(super) type Entry = (Sample, String);

#[derive(Clone, Copy)]
pub(super) enum Sample {
    Line(&'static str),
    Patch(&'static str),
    /// The figure's own hatching in an outline.
    Hatched(&'static str),
    Ring(&'static str),
    Figures(&'static str),
    Letter,
}

/// What was drawn, in words.
pub(super) fn entries(picture: &Picture, drawn: &Drawn) -> Vec<Entry> {
    let route = if drawn.run {
        "route as planned"
    } else {
        "route"
    };
    let mut all = vec![(Sample::Line("route"), route.to_owned())];
    let mut one = |there: bool, sample: Sample, words: &str| {
        if there {
            all.push((sample, words.to_owned()));
        }
    };
    one(drawn.run, Sample::Line("line four"), "as it was run");
    one(
        drawn.sounding,
        Sample::Line("route sounding"),
        "sounding line",
    );
    one(drawn.ways_home, Sample::Line("way-home"), "return leg");
    let drift = if drawn.drift_cut {
        "drift of a disabled boat, past the edge too"
    } else {
        "drift of a disabled boat"
    };
    one(drawn.drift, Sample::Line("drift"), drift);
    let margin = picture.along.link_margin;
    let reach = margin.map_or_else(
        || "reach of the control link".to_owned(),
        |margin| format!("control link, {margin} left"),
    );
    one(drawn.coverage, Sample::Line("line coverage"), &reach);
    one(
        drawn.beam,
        Sample::Line("beam"),
        "edge of an antenna's beam",
    );
    one(
        drawn.danger,
        Sample::Line("danger-line"),
        "keep clear of a danger",
    );
    if let Some(words) = nearest(&drawn.near) {
        one(true, Sample::Ring("near"), words);
    }
    one(
        drawn.closed,
        Sample::Hatched("keep-out"),
        "not to be entered",
    );
    one(
        drawn.open,
        Sample::Line("keep-out"),
        "closed at other times",
    );
    one(drawn.land, Sample::Patch("land"), "land");
    one(
        drawn.open_edge,
        Sample::Line("open-edge"),
        "open edge: water goes on past it",
    );
    let shoal = format!("shallower than {SHOAL} m");
    one(drawn.shoal, Sample::Patch("shoal"), &shoal);
    if let Some(depths) = &picture.map.depths {
        let words = format!("depth in m below {}", depths.datum);
        one(drawn.depths, Sample::Figures("1.2"), &words);
    }
    all
}

/// What the rings mean, by what comes near; none where there is no ring.
fn nearest(near: &[Comes]) -> Option<&'static str> {
    let is = |by: Comes| near.contains(&by);
    match (is(Comes::Run), is(Comes::Route), is(Comes::Return)) {
        (true, _, _) => Some("run came nearest"),
        (_, true, true) => Some("closest point of the route or return"),
        (_, true, false) => Some("route comes nearest"),
        (_, false, true) => Some("return comes nearest"),
        _ => None,
    }
}

/// Where each entry stands, and how many rows they take.
fn laid_out(entries: &[Entry], drawn: &Drawn) -> (Vec<(f64, usize, Entry)>, usize) {
    let letters = drawn.letters.iter();
    let letters: Vec<Entry> = letters
        .map(|(letter, words)| (Sample::Letter, format!("{letter}  {words}")))
        .collect();
    let (mut x, mut row) = (4.0, 0);
    let mut all = Vec::new();
    for (index, (sample, words)) in entries.iter().chain(&letters).enumerate() {
        let mut lines = wrapped(words, SMALL, LONGEST);
        if lines.len() > MOST_LINES {
            lines.truncate(MOST_LINES);
            lines[MOST_LINES - 1].push('…');
        }
        let mut lines = lines.into_iter();
        let words = lines.next().unwrap_or_default();
        let wide = before(*sample) + width_of(&words, SMALL) + 12.0;
        if x > 4.0 && (x + wide > WIDTH || index == entries.len()) {
            (x, row) = (4.0, row + 1);
        }
        all.push((x, row, (*sample, words)));
        x += wide;
        // What goes on in a row of its own leaves nothing beside it.
        for words in lines {
            row += 1;
            all.push((4.0 + before(*sample) + 10.0, row, (Sample::Letter, words)));
            x = WIDTH;
        }
    }
    if drawn.unnamed > 0 {
        let words = format!("and {} more dangers, in the site's file", drawn.unnamed);
        row += 1;
        all.push((4.0, row, (Sample::Letter, words)));
    }
    (all, row + 1)
}

/// Room for a sample.
fn before(sample: Sample) -> f64 {
    match sample {
        Sample::Letter => 2.0,
        _ => 30.0,
    }
}

/// Height of everything below the map.
pub(super) fn height(entries: &[Entry], drawn: &Drawn) -> f64 {
    STRIP + ROW * laid_out(entries, drawn).1 as f64 + 4.0
}

pub(super) fn draw(
    figure: &mut Figure,
    picture: &Picture,
    (top, scale): (f64, f64),
    (entries, drawn): (&[Entry], &Drawn),
) {
    let middle = top + 24.0;
    bar(figure, (8.0, middle), scale);
    if let Some(wind) = &picture.wind {
        let degrees = wind.from.angle().to_degrees();
        // The arrow flies with the wind.
        let (sin, cos) = wind.from.angle().get().sin_cos();
        let at = (WIDTH * 0.3, middle);
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
        // As whoever stands at the water reads it.
        let words = match wind.by_hand {
            Some(read) => format!("{}, gusts {}, at {BY_HAND}", read.mean, read.gust),
            None => format!("{}, gusts {}, at 10 m", wind.sustained, wind.gust),
        };
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
    for (x, row, (sample, words)) in laid_out(entries, drawn).0 {
        let y = top + ROW * row as f64 + 10.0;
        match sample {
            Sample::Line(class) => figure.add(line((x, y - 4.0), (x + 24.0, y - 4.0), class)),
            Sample::Patch(class) => {
                figure.add(rectangle((x, y - 10.0), (24.0, 11.0), class));
                figure.add(rectangle((x, y - 10.0), (24.0, 11.0), "axis"));
            }
            Sample::Hatched(class) => {
                let fill = format!("url(#{})", figure.name("hatch"));
                let patch = rectangle((x, y - 10.0), (24.0, 11.0), "").set("fill", fill);
                figure.add(patch);
                figure.add(rectangle((x, y - 10.0), (24.0, 11.0), class));
            }
            Sample::Ring(class) => {
                let ring = Circle::new()
                    .set("cx", n(x + 12.0))
                    .set("cy", n(y - 4.0))
                    .set("r", "5")
                    .set("class", class);
                figure.add(ring);
            }
            Sample::Figures(words) => {
                figure.add(text((x + 12.0, y), Anchor::Middle, "small sounding", words));
            }
            Sample::Letter => {}
        }
        let at = (x + before(sample), y);
        figure.add(text(at, Anchor::Start, "small", &words));
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
pub(super) fn describe(picture: &Picture, of_run: bool) -> String {
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
        let who = match near.by {
            Comes::Run => "run",
            Comes::Route => "route",
            Comes::Return => "return",
        };
        all.push(match (near.crosses, of_run) {
            (true, true) => format!("The {who} crossed {}.", near.what),
            (true, false) => format!("The {who} crosses {}.", near.what),
            (false, true) => format!("The {who} came within {} of {}.", near.clearance, near.what),
            (false, false) => format!(
                "The {who} comes within {} of {}.",
                near.clearance, near.what
            ),
        });
    }
    for fan in &map.fans {
        if let Some(on_to) = &fan.on_to {
            all.push(format!(
                "Disabled at {}, a boat is carried onto {} after {} ({}).",
                fan.place(),
                on_to.title,
                on_to.after,
                on_to.driven.describe()
            ));
        }
        if let Some(one) = &fan.ashore {
            all.push(format!(
                "Disabled at {}, a boat comes ashore after {} at the soonest ({}).",
                fan.place(),
                one.after,
                one.driven.describe()
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
