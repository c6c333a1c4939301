//! The wind limits of a plan around the compass: true north up, each wind where it comes from.

mod beside;
mod words;

use std::f64::consts::PI;

use svg::node::element::{Circle, Path};

use super::labels::Labels;
use super::style::{
    Anchor, Figure, SMALL, TEXT, hatching, letter, line, n, path, text, width_of, wrapped,
};
use crate::envelope::{BandWind, Limits, Sector};
use crate::report::limits::limited_by;
use crate::units::FromDirection;
use words::{described, notes};

/// Width of the drawing, and the middle and the radius of its outermost ring.
const WIDE: f64 = 320.0;
const MIDDLE: (f64, f64) = (160.0, 172.0);
const RADIUS: f64 = 110.0;
/// Below the rings.
const BELOW: f64 = MIDDLE.1 + RADIUS + 38.0;
/// Height of a row of the legend.
const ROW: f64 = 15.0;
/// Where the words of a rule begin.
const RULE: f64 = 60.0;
/// Rings at most.
const RINGS: usize = 6;
/// Kinds of line that tell one rule from another; the letters beside them tell the rest.
const CLASSES: [&str; 4] = ["one", "two", "three", "four"];
/// Least angle between two letters.
const APART: f64 = 12.0;

/// The drawing of wind limits.
struct Polar {
    figure: Figure,
    /// Speed of the outermost ring, m/s.
    most: f64,
    /// What no word may lie on: the limits, where they are read, and other words.
    labels: Labels,
}

/// The wind limits of a plan as a figure, `limits`.
#[must_use]
pub fn limits_polar(limits: &Limits) -> Figure {
    let rules = rules(limits);
    let notes = noted(limits);
    let rows = 1
        + rules
            .iter()
            .map(|rule| rule_lines(rule).len())
            .sum::<usize>()
        + notes.len();
    let title = format!("Wind limits of {}", limits.mission);
    let size = (WIDE, BELOW + ROW * rows as f64 + 10.0);
    let mut polar = Polar {
        figure: Figure::new("limits", &title, size),
        most: outermost(limits),
        labels: Labels::new((2.0, 34.0), (WIDE - 2.0, BELOW - ROW)),
    };
    let above = [
        format!("strongest sustained wind at {}, m/s,", limits.height),
        "by where it comes from, true north up".to_owned(),
    ];
    for (words, y) in above.iter().zip([14.0, 29.0]) {
        let line = text((8.0, y), Anchor::Start, "small soft", words);
        polar.figure.add(line);
    }
    let name = polar.figure.name("hatching");
    polar.figure.add(hatching(&name, 6.0, 45.0, "hatch"));
    polar.areas(limits);
    polar.rings();
    polar.edges(limits, &rules, &name);
    // Today's is the planned one where no other is given.
    let today = limits.today.iter().filter(|wind| !wind.planned);
    let winds = limits.planned.iter().chain(today);
    for wind in winds.clone() {
        polar.wind(wind, &name);
    }
    polar.letters(limits, &rules);
    for wind in winds {
        polar.name_of_wind(wind);
    }
    polar.speeds();
    polar.legend(&notes, &rules);
    polar.figure.description = described(limits);
    polar.figure
}

/// What has to be said below, in lines.
fn noted(limits: &Limits) -> Vec<(&'static str, String)> {
    let each = notes(limits).into_iter();
    each.flat_map(|(class, words)| {
        // Bold letters are broader.
        let size = if class.contains("strong") {
            1.15 * TEXT
        } else {
            SMALL
        };
        let lines = wrapped(&words, size, WIDE - 16.0).into_iter();
        lines.map(move |line| (class, line))
    })
    .collect()
}

/// The words of what bars, in lines.
fn rule_lines(words: &str) -> Vec<String> {
    wrapped(words, TEXT, WIDE - RULE - 8.0)
}

/// What bars, each once, in the order of the compass.
fn rules(limits: &Limits) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for sector in &limits.sectors {
        let words = limited_by(sector);
        if !found.contains(&words) {
            found.push(words);
        }
    }
    found
}

/// A speed that the outermost ring stands for: the least round one that holds all that is drawn.
fn outermost(limits: &Limits) -> f64 {
    let strongest = limits.sectors.iter().filter_map(|one| one.strongest);
    let again = limits.sectors.iter().flat_map(|one| &one.again);
    let winds = [&limits.planned, &limits.today].into_iter().flatten();
    let all = strongest
        .map(|steady| steady.mean)
        .chain(again.map(|again| again.to))
        .chain(winds.map(|wind| wind.mean));
    let most = all.fold(2.0, |most: f64, speed| most.max(speed.get()));
    let step = ring_step(most);
    (most / step - 1e-9).ceil() * step
}

fn ring_step(most: f64) -> f64 {
    let steps = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0];
    let enough = |step: &f64| most / step <= RINGS as f64 + 1e-9;
    steps.into_iter().find(enough).unwrap_or(50.0)
}

impl Polar {
    /// The place of a wind.
    fn at(&self, degrees: f64, speed: f64) -> (f64, f64) {
        around(degrees, RADIUS * (speed / self.most).clamp(0.0, 1.0))
    }

    /// The area between two bearings and two speeds.
    fn area(&self, (left, right): (f64, f64), (inner, outer): (f64, f64)) -> String {
        let radius = |speed: f64| RADIUS * (speed / self.most).clamp(0.0, 1.0);
        let large = u8::from(right - left > 180.0);
        let corner = |degrees: f64, speed: f64| {
            let (x, y) = self.at(degrees, speed);
            format!("{} {}", n(x), n(y))
        };
        let (in_, out) = (n(radius(inner)), n(radius(outer)));
        if right - left >= 359.999 {
            let middle = left + 180.0;
            return format!(
                "M{0}A{out} {out} 0 0 1 {1}A{out} {out} 0 0 1 {0}Z",
                corner(left, outer),
                corner(middle, outer)
            );
        }
        format!(
            "M{}L{}A{out} {out} 0 {large} 1 {}L{}A{in_} {in_} 0 {large} 0 {}Z",
            corner(left, inner),
            corner(left, outer),
            corner(right, outer),
            corner(right, inner),
            corner(left, inner)
        )
    }

    fn arc(&self, (left, right): (f64, f64), speed: f64) -> String {
        let out = n(RADIUS * (speed / self.most).clamp(0.0, 1.0));
        let (from, to) = (self.at(left, speed), self.at(right, speed));
        format!(
            "M{} {}A{out} {out} 0 0 1 {} {}",
            n(from.0),
            n(from.1),
            n(to.0),
            n(to.1)
        )
    }

    /// The bearings that a direction stands for.
    fn span(limits: &Limits, sector: &Sector) -> (f64, f64) {
        let half = limits.step.to_degrees() / 2.0;
        let degrees = degrees(sector.from);
        (degrees - half, degrees + half)
    }

    fn areas(&mut self, limits: &Limits) {
        let fill = if limits.regardless.is_empty() {
            "fill-one"
        } else {
            "fill-bad"
        };
        for sector in &limits.sectors {
            if let Some(steady) = sector.strongest {
                let area = self.area(Self::span(limits, sector), (0.0, steady.mean.get()));
                self.figure.add(path(area, fill));
            }
        }
    }

    fn edges(&mut self, limits: &Limits, rules: &[String], hatch: &str) {
        for sector in &limits.sectors {
            let span = Self::span(limits, sector);
            if let Some(steady) = sector.strongest {
                let class = format!("line {}", class_of(sector, rules));
                let edge = path(self.arc(span, steady.mean.get()), &class);
                self.figure.add(edge);
                self.keep_clear(span, steady.mean.get());
            }
            for again in &sector.again {
                let area = self.area(span, (again.from.get(), again.to.get()));
                let island: Path = path(area, "axis").set("style", format!("fill:url(#{hatch})"));
                self.figure.add(island);
            }
        }
    }

    /// Keeps words off a limit over some bearings.
    fn keep_clear(&mut self, (left, right): (f64, f64), speed: f64) {
        let pieces = ((right - left) / 2.0).ceil().max(1.0);
        let mut share = 0.0;
        while share <= 1.0 {
            let at = self.at(left + share * (right - left), speed);
            self.labels.keep(at, 2.5);
            share += 1.0 / pieces;
        }
    }

    fn rings(&mut self) {
        let step = ring_step(self.most);
        let rings = (self.most / step).round() as usize;
        for ring in 1..=rings {
            let speed = ring as f64 * step;
            let circle = Circle::new()
                .set("cx", n(MIDDLE.0))
                .set("cy", n(MIDDLE.1))
                .set("r", n(RADIUS * speed / self.most))
                .set("class", if ring == rings { "axis" } else { "grid" });
            self.figure.add(circle);
        }
        for spoke in 0..12 {
            let bearing = f64::from(spoke) * 30.0;
            let end = self.at(bearing, self.most);
            self.figure.add(line(MIDDLE, end, "grid"));
            let (x, y) = around(bearing, RADIUS + 15.0);
            let words = match spoke {
                0 => "N".to_owned(),
                _ => format!("{bearing:03.0}°"),
            };
            let class = if spoke == 0 { "strong" } else { "small soft" };
            let half = 0.5 * width_of(&words, SMALL);
            self.labels
                .keep_box((x - half, y - 7.0), (x + half, y + 7.0));
            self.figure
                .add(text((x, y + 4.0), Anchor::Middle, class, &words));
        }
    }

    /// A wind that was judged: its band, up to its mean.
    fn wind(&mut self, wind: &BandWind, hatch: &str) {
        let (middle, spread) = (degrees(wind.from), wind.spread.to_degrees());
        let speed = wind.mean.get();
        let span = (middle - spread, middle + spread);
        let area: Path = path(self.area(span, (0.0, speed)), "mark");
        let area = if wind.planned {
            area.set("style", format!("fill:url(#{hatch})"))
        } else {
            area
        };
        self.figure.add(area);
        let (x, y) = self.at(middle, speed);
        let dot = Circle::new()
            .set("cx", n(x))
            .set("cy", n(y))
            .set("r", "3")
            .set("class", "ink");
        self.figure.add(dot);
        self.labels.keep((x, y), 4.0);
        self.keep_clear(span, speed);
        let steps = 24;
        for side in [span.0, span.1] {
            for step in 1..=steps {
                let at = self.at(side, speed * f64::from(step) / f64::from(steps));
                self.labels.keep(at, 1.5);
            }
        }
    }

    fn legend(&mut self, notes: &[(&str, String)], rules: &[String]) {
        let mut y = BELOW;
        self.figure
            .add(text((10.0, y), Anchor::Start, "small soft", "limited by:"));
        y += ROW;
        for (number, words) in rules.iter().enumerate() {
            let class = format!("line {}", CLASSES[number % CLASSES.len()]);
            self.figure
                .add(line((10.0, y - 4.0), (38.0, y - 4.0), &class));
            self.figure
                .add(text((44.0, y), Anchor::Start, "strong", &letter(number)));
            for words in rule_lines(words) {
                self.figure.add(text((RULE, y), Anchor::Start, "", &words));
                y += ROW;
            }
        }
        for (class, words) in notes {
            self.figure
                .add(text((10.0, y), Anchor::Start, class, words));
            y += ROW;
        }
    }
}

fn number_of(sector: &Sector, rules: &[String]) -> usize {
    let words = limited_by(sector);
    rules.iter().position(|rule| *rule == words).unwrap_or(0)
}

fn class_of(sector: &Sector, rules: &[String]) -> &'static str {
    CLASSES[number_of(sector, rules) % CLASSES.len()]
}

fn degrees(from: FromDirection) -> f64 {
    from.angle().to_degrees().rem_euclid(360.0)
}

/// A place around the middle.
fn around(degrees: f64, radius: f64) -> (f64, f64) {
    let (sin, cos) = (degrees * PI / 180.0).sin_cos();
    (MIDDLE.0 + radius * sin, MIDDLE.1 - radius * cos)
}
