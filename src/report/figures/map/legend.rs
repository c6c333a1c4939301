//! What stands below the map: scale, wind, north, what the lines mean.

use svg::Node;
use svg::node::element::Circle;

use super::super::style::{
    Anchor, Figure, SMALL, arrow_head, line, n, path, rectangle, text, width_of, wrapped,
};
use super::ground::SHOAL;
use super::marks::{DRIFT, LINK, RETURN};
use super::{Drawn, WIDTH};
use crate::finding::PHYSICAL;
use crate::picture::BY_HAND;
use crate::picture::Comes;
use crate::picture::Picture;
use crate::units::Angle;

/// Height of what stands right below the map: scale, wind, north.
pub(super) const STRIP: f64 = 40.0;
const ROW: f64 = 16.0;

/// Words of the legend, at most this wide in a row and in so many rows.
const LONGEST: f64 = WIDTH - 44.0;
const MOST_LINES: usize = 2;

/// A sample and its words.
pub(super) type Entry = (Sample, String);

#[derive(Clone, Copy)]
pub(super) enum Sample {
    Line(&'static str),
    /// A line with its letter, and the class of that.
    Lettered(&'static str, &'static str, &'static str),
    /// Land, hatched.
    Land,
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
    one(
        drawn.return_legs,
        Sample::Lettered("way-home", RETURN, "two"),
        "return leg",
    );
    let drift = if drawn.drift_cut {
        "drift of a disabled boat, past the edge too"
    } else {
        "drift of a disabled boat"
    };
    one(drawn.drift, Sample::Lettered("drift", DRIFT, "over"), drift);
    let margin = picture.along.link_margin;
    let reach = margin.map_or_else(
        || "reach of the control link".to_owned(),
        |margin| format!("control link, {margin} left"),
    );
    one(
        drawn.coverage,
        Sample::Lettered("line coverage", LINK, "three"),
        &reach,
    );
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
    one(drawn.land, Sample::Land, "land");
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
    if let Some(words) = unnamed(drawn) {
        row += 1;
        all.push((4.0, row, (Sample::Letter, words)));
    }
    (all, row + 1)
}

/// What has no room anywhere; nothing where all has.
pub(super) fn unnamed(drawn: &Drawn) -> Option<String> {
    let count = drawn.unnamed;
    (count > 0).then(|| format!("and {count} more dangers, in the site's file"))
}

/// What people need to have read before anybody launches, in lines.
fn cautions() -> Vec<String> {
    let each = PHYSICAL.iter();
    each.flat_map(|text| wrapped(text, SMALL, WIDTH - 8.0))
        .collect()
}

/// Room for a sample.
fn before(sample: Sample) -> f64 {
    match sample {
        Sample::Letter => 2.0,
        _ => 30.0,
    }
}

/// Height of the legend and the cautions below it.
pub(super) fn height(entries: &[Entry], drawn: &Drawn) -> f64 {
    let rows = laid_out(entries, drawn).1 + cautions().len();
    ROW * rows as f64 + 12.0
}

/// Draws scale, wind and north below a map.
pub(super) fn strip(figure: &mut Figure, picture: &Picture, (top, scale): (f64, f64)) {
    let middle = top + 21.0;
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
            (at.0 + 22.0, middle - 3.0),
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
            (at.0 + 22.0, middle + 12.0),
            Anchor::Start,
            "",
            &words,
        ));
    }
    north(figure, (WIDTH - 16.0, middle), picture.map.declination);
}

/// Which way north is: true, and as a compass has it where the site states how far off that is.
fn north(figure: &mut Figure, (x, y): (f64, f64), declination: Option<Angle>) {
    figure.add(line((x, y + 16.0), (x, y - 8.0), "axis"));
    figure.add(arrow_head((x, y - 16.0), 0.0, 12.0, "ink"));
    let words = (x - 12.0, y - 4.0);
    figure.add(text(words, Anchor::End, "small strong", "true N"));
    let Some(declination) = declination else {
        return;
    };
    let (sin, cos) = declination.get().sin_cos();
    let tip = (x + 32.0 * sin, y + 16.0 - 32.0 * cos);
    figure.add(line((x, y + 16.0), tip, "magnetic"));
    let degrees = declination.to_degrees();
    let side = if degrees < 0.0 { "W" } else { "E" };
    let words = format!("magnetic {:.1}° {side}", degrees.abs());
    let at = (x - 12.0, y + 12.0);
    figure.add(text(at, Anchor::End, "small", &words));
}

/// Draws the legend below a map, and the cautions below that.
pub(super) fn draw(figure: &mut Figure, top: f64, entries: &[Entry], drawn: &Drawn) {
    let (all, rows) = laid_out(entries, drawn);
    for (x, row, (sample, words)) in all {
        let y = top + ROW * row as f64 + 10.0;
        for part in sample_parts(figure, sample, (x, y)) {
            figure.add(part);
        }
        let at = (x + before(sample), y);
        figure.add(text(at, Anchor::Start, "small", &words));
    }
    for (index, words) in cautions().iter().enumerate() {
        let y = top + ROW * (rows + index) as f64 + 16.0;
        figure.add(text((4.0, y), Anchor::Start, "small strong", words));
    }
}

/// What a sample looks like, its words' base line at a place.
pub(super) fn sample_parts(
    figure: &Figure,
    sample: Sample,
    (x, y): (f64, f64),
) -> Vec<Box<dyn Node>> {
    let patch = |class: &str| rectangle((x, y - 10.0), (24.0, 11.0), class);
    let hatched = |of: &str| {
        let fill = format!("url(#{})", figure.name(of));
        patch("").set("fill", fill)
    };
    let stroke = |class: &str| line((x, y - 4.0), (x + 24.0, y - 4.0), class);
    match sample {
        Sample::Line(class) => vec![stroke(class).into()],
        Sample::Lettered(class, letter, colour) => {
            let class_of = format!("small strong halo {colour}");
            let at = (x + 12.0, y);
            let letter = text(at, Anchor::Middle, &class_of, letter);
            vec![stroke(class).into(), letter.into()]
        }
        Sample::Patch(class) => vec![patch(class).into(), patch("axis").into()],
        Sample::Land => vec![patch("land").into(), hatched("land").into()],
        Sample::Hatched(class) => vec![hatched("hatch").into(), patch(class).into()],
        Sample::Ring(class) => {
            let ring = Circle::new()
                .set("cx", n(x + 12.0))
                .set("cy", n(y - 4.0))
                .set("r", "5")
                .set("class", class);
            vec![ring.into()]
        }
        Sample::Figures(words) => {
            let at = (x + 12.0, y);
            vec![text(at, Anchor::Middle, "small sounding", words).into()]
        }
        Sample::Letter => Vec::new(),
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
