//! Words beside the signs, what matters most first. A name that has no room stands below the map, and a
//! letter in its place.

use svg::Node as _;

use super::super::clip::{self, Place};
use super::super::labels::{Labels, Placed};
use super::super::style::{self, SMALL, TEXT, cut, line, text, width_of};
use super::signs::MOST_STOPS;
use super::{Drawn, MOST_THINGS, RunOnMap, Sheet, marks};
use crate::picture::{At, Comes};
use crate::source::printable_line;

/// Longest name of anything on the map, in units of the drawing.
const LONGEST: f64 = 140.0;
/// Legs that words keep off, from the first.
const LEGS_KEPT_OFF: usize = 200;
/// Names below the map, at most.
const MOST_LETTERS: usize = 40;
/// Places of a form that are looked at for where it can be named.
const MOST_SAMPLES: usize = 400;

struct Names<'a, 'b> {
    sheet: &'a Sheet<'a>,
    group: &'b mut style::Group,
    labels: &'b mut Labels,
    drawn: &'b mut Drawn,
}

pub(super) fn draw(
    sheet: &Sheet<'_>,
    group: &mut style::Group,
    labels: &mut Labels,
    (drawn, over): (&mut Drawn, Option<RunOnMap<'_>>),
) {
    keep_off_lines(sheet, labels);
    marks::letters(sheet, group, labels);
    let mut names = Names {
        sheet,
        group,
        labels,
        drawn,
    };
    names.ends();
    for (at, words) in over.iter().flat_map(RunOnMap::named) {
        names.end(at, words, (SMALL, "small halo four"));
    }
    names.dangers();
    names.stops();
    names.nearest();
    names.beyond();
    names.areas();
    names.people();
}

fn keep_off_lines(sheet: &Sheet<'_>, labels: &mut Labels) {
    let map = sheet.map;
    for leg in map.legs.iter().take(LEGS_KEPT_OFF) {
        labels.keep_route(sheet.place(leg.from), sheet.place(leg.to));
    }
    for way in &map.return_legs {
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
}

impl Names<'_, '_> {
    fn write(&mut self, placed: Placed, sign: Place, class: &str, words: &str) {
        if let Some(end) = placed.leader {
            self.group.append(line(sign, end, "leader"));
        }
        self.group
            .append(text(placed.base, placed.anchor, class, words));
    }

    /// Words beside a place; nothing where there is no room.
    fn name(&mut self, at: At, off: f64, words: &str, (size, class): (f64, &str)) -> bool {
        let place = self.sheet.place(at);
        if !self.sheet.on(place) {
            return false;
        }
        let words = cut(&printable_line(words), size, LONGEST);
        let found = self
            .labels
            .place_clear(&[place], off, &words, taken(size, class));
        if let Some(placed) = found {
            self.write(placed, place, class, &words);
        }
        found.is_some()
    }

    /// The same, on the route where there is room nowhere else.
    fn name_anywhere(&mut self, at: At, off: f64, words: &str, (size, class): (f64, &str)) -> bool {
        let place = self.sheet.place(at);
        if !self.sheet.on(place) {
            return false;
        }
        let words = cut(&printable_line(words), size, LONGEST);
        let found = self.labels.place(&[place], off, &words, taken(size, class));
        if let Some(placed) = found {
            self.write(placed, place, class, &words);
        }
        found.is_some()
    }

    /// Words beside one of some places, or a letter that stands for them.
    fn surely(&mut self, places: &[Place], off: f64, words: &str, class: &str) {
        let Some(first) = places.first().copied() else {
            return;
        };
        let words = printable_line(words).into_owned();
        if width_of(&words, SMALL) <= LONGEST
            && let Some(placed) = self.labels.place_clear(places, off, &words, SMALL)
        {
            let distance =
                |place: &&Place| (place.0 - placed.base.0).hypot(place.1 - placed.base.1);
            let near = places
                .iter()
                .min_by(|a, b| distance(a).total_cmp(&distance(b)));
            self.write(placed, *near.unwrap_or(&first), class, &words);
            return;
        }
        if self.drawn.letters.len() >= MOST_LETTERS {
            self.drawn.unnamed += 1;
            return;
        }
        let letter = style::letter(self.drawn.letters.len());
        let placed = self
            .labels
            .place_clear(places, off, &letter, TEXT)
            .or_else(|| self.labels.place(places, off, &letter, TEXT))
            .unwrap_or_else(|| self.labels.forced(first, &letter, TEXT));
        self.write(placed, first, &format!("{class} letter"), &letter);
        self.drawn.letters.push((letter, words));
    }

    /// The name of a place that must have one.
    fn end(&mut self, at: At, words: &str, how: (f64, &str)) {
        let _ = self.name(at, 9.0, words, how) || self.name_anywhere(at, 9.0, words, how);
    }

    /// Where the route begins, ends and turns.
    fn ends(&mut self) {
        let map = self.sheet.map;
        let strong = (TEXT, "strong halo");
        let over = (TEXT, "strong halo over");
        let (a, b) = (self.sheet.place(map.launch), self.sheet.place(map.recovery));
        if (a.0 - b.0).hypot(a.1 - b.1) < 40.0 {
            self.end(map.launch, "launch, recovery", strong);
        } else {
            self.end(map.launch, "launch", strong);
            self.end(map.recovery, "recovery", strong);
        }
        if let Some(at) = map.point_of_no_return {
            self.end(at, "point of no return", over);
        }
        self.end(map.turnaround, "turnaround", over);
    }

    fn dangers(&mut self) {
        for danger in self.sheet.map.dangers.iter().take(MOST_THINGS) {
            let keep = danger.clearance.get() * self.sheet.scale;
            let places = visible(self.sheet, &danger.form, danger.closed, keep);
            self.drawn.danger |= !places.is_empty();
            self.surely(&places, 7.0, &danger.title, "small halo danger");
        }
    }

    fn stops(&mut self) {
        let stops = &self.sheet.map.stops;
        let last = stops.len().saturating_sub(1);
        let plain = (TEXT, "halo");
        for stop in stops.iter().take(last).take(MOST_STOPS) {
            let number = stop.number.to_string();
            let begins = stop.lines.filter(|lines| lines.count > 1);
            if let Some(lines) = begins {
                let words = format!("{number} begins");
                let _ = self.name(lines.from, 6.0, &words, plain)
                    || self.name(lines.from, 6.0, &number, plain);
            }
            let ends = if begins.is_some() { " ends" } else { "" };
            let _ = self.name(stop.at, 6.0, &format!("{number} {}{ends}", stop.id), plain)
                || self.name(stop.at, 6.0, &format!("{number}{ends}"), plain)
                || self.name(stop.at, 6.0, &number, plain)
                || self.name_anywhere(stop.at, 6.0, &number, plain);
        }
    }

    fn nearest(&mut self) {
        for near in &self.sheet.map.nearest {
            let keep = near
                .keep
                .map_or_else(String::new, |keep| format!(" (keep {keep})"));
            let off = format!("{} off {}{keep}", near.distance, near.what);
            let words = match (near.by, near.crosses) {
                (Comes::Return, true) => format!("return crosses {}", near.what),
                (Comes::Return, false) => format!("return {off}"),
                (Comes::Route, true) => format!("route crosses {}", near.what),
                (Comes::Run, true) => format!("run crossed {}", near.what),
                (Comes::Route | Comes::Run, false) => off,
            };
            let place = self.sheet.place(near.at);
            if self.sheet.on(place) {
                self.surely(&[place], 8.0, &words, "small halo danger");
            }
        }
    }

    /// What lies past the edge, at an arrow that points to it.
    fn beyond(&mut self) {
        for one in self.sheet.map.beyond.iter().take(MOST_THINGS) {
            let place = marks::pointer(self.sheet, self.group, one.at);
            self.labels.keep(place, 7.0);
            let name = style::cut(&printable_line(&one.name), SMALL, LONGEST);
            let words = format!("{name}: {}, {} from the launch", one.away, one.bearing);
            self.surely(&[place], 9.0, &words, "small halo danger");
        }
    }

    fn areas(&mut self) {
        for area in self.sheet.map.areas.iter().take(MOST_THINGS) {
            let places = visible(self.sheet, &area.outline, true, 0.0);
            self.drawn.closed |= area.closed && !places.is_empty();
            self.drawn.open |= !area.closed && !places.is_empty();
            self.surely(&places, 5.0, &area.title, "small halo over");
        }
    }

    /// Who and what stands by: each with its name, or a letter in its place.
    fn people(&mut self) {
        let map = self.sheet.map;
        let stations = map
            .stations
            .iter()
            .take(20)
            .map(|station| match station.beam {
                Some((bearing, _)) => (station.at, format!("{}, {bearing}", station.name)),
                None => (station.at, station.name.clone()),
            });
        let operator = map.operator.map(|at| (at, "operator".to_owned()));
        let boat = map.safety_boat.map(|at| (at, "safety boat".to_owned()));
        for (at, words) in stations.chain(operator).chain(boat) {
            let place = self.sheet.place(at);
            if self.sheet.on(place) {
                self.surely(&[place], 8.0, &words, "small halo soft");
            }
        }
    }
}

/// The size of letters as broad as those of a class: bold ones are broader.
fn taken(size: f64, class: &str) -> f64 {
    if class.contains("strong") {
        1.15 * size
    } else {
        size
    }
}

/// Places on the sheet at which something can be named, the best first; none where it is not on it.
fn visible(sheet: &Sheet<'_>, form: &[At], closed: bool, keep: f64) -> Vec<Place> {
    let mut line = sheet.places(form);
    if closed {
        line.extend(line.first().copied());
    }
    let all = sampled(&line);
    let on: Vec<Place> = all.iter().copied().filter(|at| sheet.on(*at)).collect();
    let share = |of: usize, parts: usize| on.get(on.len() * of / parts).copied();
    if !on.is_empty() {
        return [(1, 2), (1, 4), (3, 4), (0, 1)]
            .into_iter()
            .filter_map(|(of, parts)| share(of, parts))
            .collect();
    }
    let inside = |at: &Place| (at.0.clamp(0.0, sheet.size.0), at.1.clamp(0.0, sheet.size.1));
    let off = |at: &Place| {
        let on = inside(at);
        (at.0 - on.0).hypot(at.1 - on.1)
    };
    let nearest = all.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    let reaching = nearest.filter(|at| off(at) < keep).map(inside);
    // An area that holds the whole sheet has no edge on it.
    let around = closed && clip::ring(&sheet.places(form), (0.0, 0.0), sheet.size).len() > 2;
    let middle = around.then_some((0.5 * sheet.size.0, 0.5 * sheet.size.1));
    reaching.or(middle).into_iter().collect()
}

/// Places along a line, a few units apart.
fn sampled(line: &[Place]) -> Vec<Place> {
    let mut all = Vec::new();
    let length = |pair: &[Place]| (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1);
    let whole: f64 = line.windows(2).map(length).sum();
    let apart = (whole / MOST_SAMPLES as f64).max(5.0);
    for pair in line.windows(2) {
        let pieces = (length(pair) / apart).ceil().max(1.0) as usize;
        all.extend((0..pieces).map(|piece| {
            let share = piece as f64 / pieces as f64;
            (
                pair[0].0 + share * (pair[1].0 - pair[0].0),
                pair[0].1 + share * (pair[1].1 - pair[0].1),
            )
        }));
    }
    all.extend(line.last());
    all
}
