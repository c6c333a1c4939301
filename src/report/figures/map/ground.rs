//! Land, water and depths.

use svg::Node as _;

use super::super::clip::Place;
use super::super::labels::Labels;
use super::super::style::{self, Anchor, SMALL, n, path, path_data, text};
use super::super::thin::thinned;
use super::{Drawn, FINE, MOST_POINTS, Sheet};
use crate::picture::Depths;

/// Water shallower than this is tinted, m. Charts choose such a depth by the ships that use them;
/// for small boats our own proposal.
pub(super) const SHOAL: f64 = 2.0;
/// Soundings in figures across the map.
const ACROSS: usize = 9;

/// Draws the ground; land is hatched with the pattern of a name, so that it is told from water in grey.
pub(super) fn draw(sheet: &Sheet<'_>, group: &mut style::Group, hatch: &str, drawn: &mut Drawn) {
    group.append(style::rectangle((0.0, 0.0), sheet.size, "deep"));
    if let Some(depths) = &sheet.map.depths {
        let shoal = shoal(sheet, depths);
        drawn.shoal = !shoal.is_empty();
        group.append(path(shoal, "shoal"));
    }
    let edge = 20.0;
    let mut rings: Vec<Vec<Place>> = sheet
        .map
        .shore
        .iter()
        .map(|ring| sheet.ring(ring))
        .collect();
    rings.retain(|ring| ring.len() > 2);
    let mut fine = FINE;
    // Coarser until it is no more than a page can bear.
    let shown = loop {
        let thin: Vec<Vec<Place>> = rings
            .iter()
            .map(|ring| closed(ring, fine))
            .filter(|ring| ring.len() > 3)
            .collect();
        let points: usize = thin.iter().map(Vec::len).sum();
        if points <= MOST_POINTS || fine > 50.0 {
            break thin;
        }
        fine *= 2.0;
    };
    let (right, bottom) = (sheet.size.0 + edge, sheet.size.1 + edge);
    let mut data = format!("M-{edge} -{edge}H{}V{}H-{edge}Z", n(right), n(bottom));
    let mut points = 0;
    for ring in &shown {
        points += ring.len();
        if points > MOST_POINTS {
            break;
        }
        data.push_str(&path_data(ring, true));
        drawn.land |= sheet.crossed(ring);
    }
    group.append(path(data.clone(), "land").set("fill-rule", "evenodd"));
    let hatched = path(data, "").set("fill-rule", "evenodd");
    group.append(hatched.set("fill", format!("url(#{hatch})")));
    for row in &sheet.map.open {
        let row = thinned(&sheet.places(row), FINE);
        drawn.open_edge |= sheet.crossed(&row);
        // The line of a shore gives way to that of an open edge.
        group.append(path(path_data(&row, false), "no-shore"));
        group.append(path(path_data(&row, false), "open-edge"));
    }
}

fn closed(ring: &[Place], fine: f64) -> Vec<Place> {
    let mut line = ring.to_vec();
    line.extend(ring.first());
    thinned(&line, fine)
}

/// The area shallower than [`SHOAL`], cell by cell of the lattice.
fn shoal(sheet: &Sheet<'_>, depths: &Depths) -> String {
    let (columns, rows) = (depths.columns, depths.rows);
    let node = |column: usize, row: usize| -> Option<(Place, f64)> {
        let depth = (*depths.nodes.get(row * columns + column)?)?;
        let share = |index: usize, count: usize| index as f64 / (count - 1).max(1) as f64;
        let x = share(column, columns) * sheet.size.0;
        let y = (1.0 - share(row, rows)) * sheet.size.1;
        Some(((x, y), depth))
    };
    let mut data = String::new();
    for row in 0..rows.saturating_sub(1) {
        let mut column = 0;
        while column + 1 < columns {
            let whole = |column: usize| {
                let corners = [(0, 0), (1, 0), (1, 1), (0, 1)];
                corners
                    .iter()
                    .all(|(c, r)| node(column + c, row + r).is_some_and(|(_, depth)| depth < SHOAL))
            };
            let from = column;
            while column + 1 < columns && whole(column) {
                column += 1;
            }
            if column > from
                && let (Some((a, _)), Some((b, _))) = (node(from, row), node(column, row + 1))
            {
                let box_of = [a, (b.0, a.1), b, (a.0, b.1)];
                data.push_str(&path_data(&box_of, true));
                continue;
            }
            let corners: Option<Vec<_>> = [(0, 0), (1, 0), (1, 1), (0, 1)]
                .iter()
                .map(|(c, r)| node(column + c, row + r))
                .collect();
            if let Some(corners) = corners {
                let part = shallow_part(&corners);
                if part.len() > 2 {
                    data.push_str(&path_data(&part, true));
                }
            }
            column += 1;
        }
    }
    data
}

/// The part of a cell that is shallower, with straight lines between its corners.
fn shallow_part(corners: &[(Place, f64)]) -> Vec<Place> {
    let mut part = Vec::new();
    let mut before = corners[corners.len() - 1];
    for here in corners {
        let (a, b) = (before.1 - SHOAL, here.1 - SHOAL);
        if (a < 0.0) != (b < 0.0) {
            let share = a / (a - b);
            let between = |a: f64, b: f64| a + share * (b - a);
            part.push((between(before.0.0, here.0.0), between(before.0.1, here.0.1)));
        }
        if b < 0.0 {
            part.push(here.0);
        }
        before = *here;
    }
    part
}

/// Some depths in figures, where there is room between everything else; whether there was any.
pub(super) fn soundings(sheet: &Sheet<'_>, group: &mut style::Group, labels: &mut Labels) -> bool {
    let Some(depths) = &sheet.map.depths else {
        return false;
    };
    let mut any = false;
    let every = (depths.columns / ACROSS).max(1);
    for row in (every / 2..depths.rows).step_by(every) {
        for column in (every / 2..depths.columns).step_by(every) {
            let Some(Some(depth)) = depths.nodes.get(row * depths.columns + column) else {
                continue;
            };
            let x = column as f64 / (depths.columns - 1) as f64 * sheet.size.0;
            let y = (1.0 - row as f64 / (depths.rows - 1) as f64) * sheet.size.1;
            let words = format!("{depth:.1}").replace('-', "−");
            if let Some(base) = labels.centred((x, y), &words, SMALL) {
                group.append(text(base, Anchor::Middle, "small halo sounding", &words));
                any = true;
            }
        }
    }
    any
}
