//! The frame of a chart: axes with units, a grid, lines named at their side, limits and marks.

use svg::Node as _;

mod beside;

use super::axis::{Axis, spacing, tick_text};
use super::style::{self, Anchor, Figure, SMALL, TEXT, line, n, path, path_data, text, width_of};
use super::thin::thinned;
use beside::Beside;

/// Size of a chart in units of its drawing: legible at the width of a phone.
const SIZE: (f64, f64) = (400.0, 176.0);
/// Room at the left, right and bottom of the plot.
const LEFT: f64 = 46.0;
const RIGHT: f64 = 12.0;
const BOTTOM: f64 = 38.0;
/// Height of a row of the legend.
const ROW: f64 = 16.0;

/// A chart while it is drawn.
pub(crate) struct Chart {
    figure: Figure,
    x: Axis,
    y: Axis,
    top: f64,
    bottom: f64,
    legend: Vec<Named>,
    /// Words beside lines, placed when every line is known.
    beside: Beside,
}

/// What the legend names.
struct Named {
    class: String,
    name: String,
    /// Whether it is drawn as rings, not as a line.
    rings: bool,
}

impl Chart {
    /// A chart with its axes and grid drawn. `rows` of the legend are left free above the plot.
    #[must_use]
    pub(crate) fn new(id: &'static str, title: &str, (x, y): (Axis, Axis), rows: usize) -> Self {
        let top = 32.0 + ROW * rows as f64;
        let mut chart = Self {
            figure: Figure::new(id, title, (SIZE.0, SIZE.1 + ROW * rows as f64)),
            x,
            y,
            top,
            bottom: SIZE.1 + ROW * rows as f64 - BOTTOM,
            legend: Vec::new(),
            beside: Beside::default(),
        };
        chart.axes();
        chart
    }

    /// Sideways place of a value.
    #[must_use]
    pub(crate) fn x(&self, value: f64) -> f64 {
        let share = (value - self.x.from) / (self.x.to - self.x.from);
        LEFT + share.clamp(0.0, 1.0) * (SIZE.0 - LEFT - RIGHT)
    }

    /// Upright place of a value.
    #[must_use]
    pub(crate) fn y(&self, value: f64) -> f64 {
        let share = (value - self.y.from) / (self.y.to - self.y.from);
        let bottom = self.bottom();
        bottom - share.clamp(0.0, 1.0) * (bottom - self.top)
    }

    fn bottom(&self) -> f64 {
        self.bottom
    }

    fn axes(&mut self) {
        let (left, right, top, bottom) = (LEFT, SIZE.0 - RIGHT, self.top, self.bottom());
        let label = self.y.label.clone();
        self.figure
            .add(text((4.0, 14.0), Anchor::Start, "soft", &label));
        let ticks = self.y.ticks(4);
        let step = spacing(&ticks);
        for value in ticks {
            let y = self.y(value);
            self.figure.add(line((left, y), (right, y), "grid"));
            let at = (left - 6.0, y + 4.0);
            self.figure
                .add(text(at, Anchor::End, "soft", &tick_text(value, step)));
        }
        let ticks = self.x.ticks(5);
        let step = spacing(&ticks);
        for value in ticks {
            let x = self.x(value);
            self.figure
                .add(line((x, bottom), (x, bottom + 4.0), "axis"));
            let at = (x, bottom + 16.0);
            let anchor = if x > right - 12.0 {
                Anchor::End
            } else {
                Anchor::Middle
            };
            self.figure
                .add(text(at, anchor, "soft", &tick_text(value, step)));
        }
        self.figure
            .add(line((left, bottom), (right, bottom), "axis"));
        self.figure.add(line((left, top), (left, bottom), "axis"));
        let label = self.x.label.clone();
        let at = (0.5 * (left + right), bottom + 32.0);
        self.figure.add(text(at, Anchor::Middle, "soft", &label));
    }

    /// A line through values, named in the legend where it has a name.
    pub(crate) fn line(&mut self, points: &[(f64, f64)], class: &str, name: &str) {
        for run in points.split(|(x, y)| !x.is_finite() || !y.is_finite()) {
            let places: Vec<_> = run.iter().map(|(x, y)| (self.x(*x), self.y(*y))).collect();
            let places = thinned(&places, 0.3);
            if places.len() > 1 {
                self.figure
                    .add(path(path_data(&places, false), &format!("line {class}")));
                self.beside.keep_off(places);
            }
        }
        if !name.is_empty() {
            self.named(class, name, false);
        }
    }

    /// An area between a line and a level.
    pub(crate) fn area(&mut self, points: &[(f64, f64)], level: f64, class: &str) {
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            return;
        };
        let mut places = vec![(self.x(first.0), self.y(level))];
        places.extend(points.iter().map(|(x, y)| (self.x(*x), self.y(*y))));
        places.push((self.x(last.0), self.y(level)));
        self.figure
            .add(path(path_data(&thinned(&places, 0.3), true), class));
    }

    /// Numbers of waypoints above the plot, those left out that would overlap.
    pub(crate) fn waypoints(&mut self, stations: &[(f64, usize)]) {
        let mut free = f64::NEG_INFINITY;
        for (distance, number) in stations {
            let x = self.x(*distance);
            self.figure
                .add(line((x, self.top), (x, self.top + 4.0), "axis"));
            let words = number.to_string();
            let half = 0.5 * width_of(&words, SMALL) + 1.0;
            if x - half > free {
                let at = (x, self.top - 3.0);
                self.figure
                    .add(text(at, Anchor::Middle, "small soft", &words));
                free = x + half;
            }
        }
    }

    /// A hatching that [`band`](Self::band) may be filled with, under the class `unknown`.
    pub(crate) fn hatch(&mut self) {
        let name = self.figure.name("hatch");
        self.figure.add(style::hatching(&name, 6.0, 45.0, "hatch"));
    }

    /// Shades a stretch with the figure's hatching.
    pub(crate) fn hatched(&mut self, from: f64, to: f64) {
        let (left, right) = (self.x(from), self.x(to));
        let size = (right - left, self.bottom() - self.top);
        let fill = format!("url(#{})", self.figure.name("hatch"));
        let shape = style::rectangle((left, self.top), size, "").set("fill", fill);
        self.figure.add(shape);
    }

    /// A level that is not to be passed, with its words at the right where no line is.
    pub(crate) fn limit(&mut self, value: f64, words: &str) {
        let (y, right) = (self.y(value), SIZE.0 - RIGHT);
        self.figure.add(line((LEFT, y), (right, y), "limit"));
        self.beside.keep_off(vec![(LEFT, y), (right, y)]);
        if !words.is_empty() {
            self.beside.limit(y, words);
        }
    }

    /// A place along the route, with its words at the top on a row of their own, or lower where a line is.
    pub(crate) fn mark(&mut self, value: f64, words: &str, row: usize) {
        let x = self.x(value);
        let (top, bottom) = (self.top, self.bottom());
        self.figure.add(line((x, top), (x, bottom), "mark"));
        self.beside.keep_off(vec![(x, top), (x, bottom)]);
        self.beside.mark(x, row, words);
    }

    /// Values as rings, named in the legend by a ring.
    pub(crate) fn rings(&mut self, points: &[(f64, f64)], class: &str, name: &str) {
        for (x, y) in points {
            self.figure.add(ring((self.x(*x), self.y(*y)), class));
        }
        self.named(class, name, true);
    }

    fn named(&mut self, class: &str, name: &str, rings: bool) {
        self.legend.push(Named {
            class: class.to_owned(),
            name: name.to_owned(),
            rings,
        });
    }

    /// A row of figures below the plot, each under its value of the x axis. Where some in a row have none, a line
    /// runs from the first to the last of these, with what that means on it.
    pub(crate) fn under(&mut self, name: &str, figures: &[(f64, Option<String>)], without: &str) {
        self.figure.size.1 += ROW;
        let y = self.figure.size.1 - 4.0;
        let at = (LEFT - 6.0, y);
        self.figure.add(text(at, Anchor::End, "small soft", name));
        for run in figures.chunk_by(|(_, one), (_, next)| one.is_none() && next.is_none()) {
            let (Some((first, words)), Some((last, _))) = (run.first(), run.last()) else {
                continue;
            };
            let words = words.as_deref().unwrap_or(without);
            let (from, to) = (self.x(*first), self.x(*last));
            let x = 0.5 * (from + to);
            if run.len() > 1 {
                let half = 0.5 * width_of(words, SMALL) + 3.0;
                for (end, word) in [(from, x - half), (to, x + half)] {
                    self.figure
                        .add(line((end, y - 4.0), (word, y - 4.0), "axis"));
                }
            }
            let (anchor, x) = if x > SIZE.0 - RIGHT - 12.0 {
                (Anchor::End, SIZE.0 - RIGHT)
            } else if x < LEFT + 12.0 {
                (Anchor::Start, x)
            } else {
                (Anchor::Middle, x)
            };
            self.figure.add(text((x, y), anchor, "small", words));
        }
    }

    /// The figure, with its legend and the words that stand in for it.
    #[must_use]
    pub(crate) fn finish(mut self, description: &str) -> Figure {
        let mut at = (LEFT, 32.0);
        // What is drawn last, on top, is named first.
        for Named { class, name, rings } in std::mem::take(&mut self.legend).into_iter().rev() {
            let wide = 30.0 + width_of(&name, TEXT) + 14.0;
            if at.0 > LEFT && at.0 + wide > SIZE.0 {
                at = (LEFT, at.1 + ROW);
            }
            let mut sample = style::group("");
            let (from, to) = ((at.0, at.1 - 4.0), (at.0 + 24.0, at.1 - 4.0));
            if rings {
                sample.append(ring((at.0 + 12.0, at.1 - 4.0), &class));
            } else {
                sample.append(line(from, to, &format!("line {class}")));
            }
            self.figure.add(sample);
            self.figure
                .add(text((at.0 + 30.0, at.1), Anchor::Start, "", &name));
            at.0 += wide;
        }
        for placed in self.beside.placed((self.top, self.bottom)) {
            let class = format!("small halo {}", placed.class);
            self.figure
                .add(text(placed.at, placed.anchor, &class, &placed.words));
        }
        description.clone_into(&mut self.figure.description);
        self.figure
    }
}

fn ring(at: (f64, f64), class: &str) -> svg::node::element::Circle {
    svg::node::element::Circle::new()
        .set("cx", n(at.0))
        .set("cy", n(at.1))
        .set("r", "3.5")
        .set("class", format!("line {class}"))
}
