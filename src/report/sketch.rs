//! A sketch of a route in characters, north up, for a comment on a change: a page that strips
//! drawings out still shows it. Names stand in the legend only.

use super::inert::escaped;
use super::tally::counted;
use crate::check::Waypoint;
use crate::finding::Finding;

/// Widest and highest sketch, in characters.
const COLUMNS: usize = 60;
const ROWS: usize = 24;
/// Columns kept free on the right, for a number of three figures and its sign.
const ROOM: usize = 4;
/// Waypoints that are numbered; the others are dots.
const MOST: usize = 40;
/// Places of findings that are told of.
const MOST_PLACES: usize = 12;

/// What is drawn.
pub(crate) struct Sketch<'a> {
    /// The mission.
    pub mission: &'a str,
    /// Its waypoints in order.
    pub waypoints: &'a [Waypoint],
    /// Waypoints that were elsewhere before: id, latitude and longitude in degrees.
    pub before: Vec<(&'a str, (f64, f64))>,
    /// Findings, of which those of this mission are marked.
    pub findings: &'a [Finding],
}

/// Which character stands where. A row is twice as high as a column is wide, as characters are.
struct Canvas {
    cells: Vec<Vec<char>>,
    /// East of the first column and north of the first row, m.
    corner: (f64, f64),
    /// Width of a column, m.
    step: f64,
}

impl Canvas {
    /// Room for places, each as metres east and north.
    fn around(places: &[(f64, f64)]) -> Option<Self> {
        let fold = |pick: fn(&(f64, f64)) -> f64, by: fn(f64, f64) -> f64| {
            places.iter().map(pick).reduce(by)
        };
        let (west, east) = (fold(|p| p.0, f64::min)?, fold(|p| p.0, f64::max)?);
        let (south, north) = (fold(|p| p.1, f64::min)?, fold(|p| p.1, f64::max)?);
        let (width, height) = (east - west, north - south);
        if !(width.is_finite() && height.is_finite()) {
            return None;
        }
        let across = width / (COLUMNS - 1 - ROOM) as f64;
        let down = height / (2 * (ROWS - 1)) as f64;
        let step = round_up(across.max(down));
        let columns = (width / step).round() as usize + 1 + ROOM;
        let rows = (height / (2.0 * step)).round() as usize + 1;
        Some(Self {
            cells: vec![vec![' '; columns.min(COLUMNS)]; rows.min(ROWS)],
            corner: (west, north),
            step,
        })
    }

    /// Row and column of a place, where it lies on the sketch.
    fn cell(&self, (east, north): (f64, f64)) -> Option<(usize, usize)> {
        let column = ((east - self.corner.0) / self.step).round();
        let row = ((self.corner.1 - north) / (2.0 * self.step)).round();
        // A comparison with what is not a number is false.
        let inside = column >= 0.0 && row >= 0.0;
        let cell = inside.then_some((row as usize, column as usize))?;
        (cell.0 < self.cells.len() && cell.1 < self.cells.first()?.len()).then_some(cell)
    }

    /// Writes a mark where nothing but a leg is.
    fn put(&mut self, (row, column): (usize, usize), mark: &str) -> bool {
        let end = column + mark.len();
        let Some(cells) = self.cells.get_mut(row).and_then(|r| r.get_mut(column..end)) else {
            return false;
        };
        let free = cells.iter().all(|cell| matches!(cell, ' ' | '.'));
        if free {
            for (cell, character) in cells.iter_mut().zip(mark.chars()) {
                *cell = character;
            }
        }
        free
    }

    /// A leg, dotted.
    fn dots(&mut self, from: (f64, f64), to: (f64, f64)) {
        let parts = COLUMNS + ROWS;
        for part in 0..=parts {
            let share = part as f64 / parts as f64;
            let between = |a: f64, b: f64| a + (b - a) * share;
            if let Some((row, column)) = self.cell((between(from.0, to.0), between(from.1, to.1))) {
                self.cells[row][column] = '.';
            }
        }
    }

    fn text(&self) -> String {
        let lines = self.cells.iter().map(|row| {
            let line: String = row.iter().collect();
            format!("{}\n", line.trim_end())
        });
        lines.collect()
    }
}

/// The least of 1, 2, 5, 10, 20 … that is no less than a number.
fn round_up(number: f64) -> f64 {
    let steps = (0..8).flat_map(|power| [1.0, 2.0, 5.0].map(|one| one * 10_f64.powi(power)));
    let mut steps = steps;
    steps.find(|step| *step >= number).unwrap_or(1e8)
}

/// A mark on the sketch and what it stands for, in the order of the route.
struct Entry {
    mark: String,
    words: String,
}

/// The sketch as a folded part of a Markdown text; nothing where there is no place to draw.
#[must_use]
pub(crate) fn sketch(of: &Sketch<'_>) -> Option<String> {
    let first = of.waypoints.first()?;
    let place = |position| {
        let (east, north) = first.offset_to(position);
        (east.get(), north.get())
    };
    let points: Vec<(f64, f64)> = of.waypoints.iter().map(|one| place(one.position)).collect();
    let before: Vec<(f64, f64)> = of.before.iter().map(|(_, at)| place(*at)).collect();
    let mut canvas = Canvas::around(&[points.as_slice(), &before].concat())?;
    for pair in points.windows(2) {
        canvas.dots(pair[0], pair[1]);
    }
    let own = of
        .findings
        .iter()
        .filter(|one| one.mission.as_deref() == Some(of.mission));
    let own: Vec<&Finding> = own.collect();
    let mut legend = numbered(&mut canvas, of, &points, &own);
    for ((number, (id, _)), at) in of.before.iter().enumerate().zip(&before) {
        // Small letters are none of the other marks, but for the last ones.
        let Some(mark) = ('a'..'x').nth(number) else {
            legend.push(Entry {
                mark: "and".to_owned(),
                words: format!("{} more that moved", of.before.len() - number),
            });
            break;
        };
        let drawn = canvas
            .cell(*at)
            .is_some_and(|cell| canvas.put(cell, &mark.to_string()));
        let hidden = if drawn { "" } else { ", beneath another mark" };
        legend.push(Entry {
            mark: mark.to_string(),
            words: format!("{id} before the change{hidden}"),
        });
    }
    let metres = canvas.step;
    let summary = escaped(of.mission);
    let mut out = format!("<details><summary>Sketch of {summary}</summary>\n\n```text\n");
    out.push_str(&canvas.text());
    out.push_str("```\n\n");
    out.push_str(&format!(
        "North is up; a column is {metres} m wide, a row {} m high. A survey is shown where its \
         last line ends.\n\n",
        2.0 * metres
    ));
    for entry in legend {
        out.push_str(&format!("- {} {}\n", entry.mark, escaped(&entry.words)));
    }
    out.push_str("\n</details>\n\n");
    Some(out)
}

/// Draws the waypoints and the places of findings, and returns what the marks stand for.
fn numbered(
    canvas: &mut Canvas,
    of: &Sketch<'_>,
    points: &[(f64, f64)],
    own: &[&Finding],
) -> Vec<Entry> {
    let Some(first) = of.waypoints.first() else {
        return Vec::new();
    };
    let cells: Vec<_> = points.iter().map(|point| canvas.cell(*point)).collect();
    // Which waypoint each finding is at: that of its name, or the one in the cell of its place.
    let mut at: Vec<Vec<&str>> = vec![Vec::new(); of.waypoints.len()];
    let mut elsewhere: Vec<(&str, (usize, usize))> = Vec::new();
    for finding in own {
        let place = finding.place.as_ref();
        let position = place.and_then(|place| place.position);
        let cell = position.and_then(|position| {
            let (east, north) = first.offset_to(position);
            canvas.cell((east.get(), north.get()))
        });
        let by_cell = cell.and_then(|cell| cells.iter().position(|one| *one == Some(cell)));
        let named = |one: &Waypoint| {
            one.id == finding.subject || place.is_some_and(|place| place.name == one.id)
        };
        let by_name = || of.waypoints.iter().position(named);
        // A place between waypoints is more than the name of the leg that it lies on.
        match (by_cell, cell) {
            (Some(index), _) => at[index].push(&finding.rule),
            (None, Some(cell)) => elsewhere.push((&finding.rule, cell)),
            (None, None) => {
                if let Some(index) = by_name() {
                    at[index].push(&finding.rule);
                }
            }
        }
    }
    let mut legend = Vec::new();
    let mut drawn: Vec<(Option<(usize, usize)>, String)> = Vec::new();
    let mut number = 0;
    for (index, waypoint) in of.waypoints.iter().enumerate() {
        let last = index + 1 == of.waypoints.len();
        let name = match waypoint.id.as_str() {
            "launch" if index == 0 => "L".to_owned(),
            "recovery" if last => "R".to_owned(),
            _ => {
                number += 1;
                number.to_string()
            }
        };
        if number > MOST && name != "R" {
            continue;
        }
        let rules = &mut at[index];
        rules.sort_unstable();
        rules.dedup();
        let sign = if rules.is_empty() { "" } else { "!" };
        let mark = format!("{name}{sign}");
        let mut words = waypoint.id.clone();
        if waypoint.lines > 0 {
            words.push_str(&format!(", {}", counted(waypoint.lines, "line", "lines")));
        }
        if !cells[index].is_some_and(|cell| canvas.put(cell, &mark)) {
            let other = drawn.iter().find(|(cell, _)| *cell == cells[index]);
            match other {
                Some((_, other)) => words.push_str(&format!(", at the place of {other}")),
                None => words.push_str(", beneath another mark"),
            }
        } else {
            drawn.push((cells[index], name.clone()));
        }
        if !rules.is_empty() {
            words.push_str(&format!(": {}", rules.join(", ")));
        }
        legend.push(Entry { mark, words });
    }
    if number > MOST {
        legend.push(Entry {
            mark: ".".to_owned(),
            words: counted(number - MOST, "more waypoint", "more waypoints"),
        });
    }
    let mut rules = Vec::new();
    for (rule, cell) in elsewhere {
        canvas.put(cell, "x");
        if !rules.contains(&rule) {
            rules.push(rule);
        }
    }
    if !rules.is_empty() {
        let more = rules.len().saturating_sub(MOST_PLACES);
        rules.truncate(MOST_PLACES);
        let more = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        legend.push(Entry {
            mark: "x".to_owned(),
            words: format!("found between waypoints: {}{more}", rules.join(", ")),
        });
    }
    legend
}
