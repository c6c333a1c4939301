//! What helps to read the map: meridians and parallels, letters that tell lines apart where there is no
//! colour, arrows to what lies past the edge.

use svg::Node as _;

use super::super::clip::Place;
use super::super::labels::Labels;
use super::super::style::{self, Anchor, SMALL, arrow_head, line, n, text, width_of};
use super::{MOST_DRIFTS, Sheet};
use crate::picture::At;

/// Letters of the lines that have one: return leg, drift, control link.
pub(super) const RETURN: &str = "r";
pub(super) const DRIFT: &str = "d";
pub(super) const LINK: &str = "c";
/// Where along a line its letter is tried.
const SHARES: [f64; 7] = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.85];

/// Meridians and parallels, each named at the edge that it begins at.
pub(super) fn graticule(sheet: &Sheet<'_>, group: &mut style::Group, labels: &mut Labels) {
    for one in &sheet.map.graticule {
        let (from, to) = (sheet.place(one.ends.0), sheet.place(one.ends.1));
        group.append(line(from, to, "graticule"));
        let half = 0.5 * width_of(&one.words, SMALL) + 2.0;
        if one.meridian {
            // Along the upper edge, and clear of the corners.
            let x = to.0.clamp(half, sheet.size.0 - half);
            group.append(text(
                (x, 11.0),
                Anchor::Middle,
                "small halo soft",
                &one.words,
            ));
            labels.keep_box((x - half, 0.0), (x + half, 14.0));
        } else {
            // Up along the left edge.
            let y = from.1.clamp(half + 14.0, sheet.size.1 - half);
            let words = text((0.0, 0.0), Anchor::Middle, "small halo soft", &one.words);
            let turned = format!("translate(11 {}) rotate(-90)", n(y));
            group.append(words.set("transform", turned));
            labels.keep_box((0.0, y - half), (14.0, y + half));
        }
    }
}

/// A letter on each return leg, on the ways of each drift and on the reach of the link.
pub(super) fn letters(sheet: &Sheet<'_>, group: &mut style::Group, labels: &mut Labels) {
    let map = sheet.map;
    let mut one = |line: &[At], letter: &str, class: &str| {
        let places = sheet.places(line);
        for share in SHARES {
            let Some(at) = at_share(&places, share).filter(|at| sheet.on(*at)) else {
                continue;
            };
            if let Some(base) = labels.on_line(at, letter, SMALL) {
                group.append(text(base, Anchor::Middle, class, letter));
                return;
            }
        }
    };
    for way in &map.return_legs {
        one(&way.places, RETURN, "small strong halo two");
    }
    for fan in &map.fans {
        // Those that are drawn, the outermost ones.
        let every = fan.ways.len().div_ceil(MOST_DRIFTS).max(1);
        if let Some(way) = fan.ways.first() {
            one(way, DRIFT, "small strong halo over");
        }
        if let Some(way) = fan.ways.last().filter(|_| fan.ways.len() > every) {
            one(way, DRIFT, "small strong halo over");
        }
    }
    for coverage in &map.coverage {
        one(&coverage.outline, LINK, "small strong halo three");
    }
}

/// The place at a share of the length of a line.
fn at_share(line: &[Place], share: f64) -> Option<Place> {
    let length = |pair: &[Place]| (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1);
    let whole: f64 = line.windows(2).map(length).sum();
    let mut left = share * whole;
    for pair in line.windows(2) {
        let this = length(pair);
        if left <= this && this > 0.0 {
            let part = left / this;
            return Some((
                pair[0].0 + part * (pair[1].0 - pair[0].0),
                pair[0].1 + part * (pair[1].1 - pair[0].1),
            ));
        }
        left -= this;
    }
    None
}

/// How far inside the frame an arrow has its tip.
const INSIDE: f64 = 16.0;

/// Draws an arrow at the edge towards a place past it, seen from the middle of the map; its place.
pub(super) fn pointer(sheet: &Sheet<'_>, group: &mut style::Group, at: At) -> Place {
    let middle = (0.5 * sheet.size.0, 0.5 * sheet.size.1);
    let to = sheet.place(at);
    let (right, down) = (to.0 - middle.0, to.1 - middle.1);
    let part = |off: f64, half: f64| {
        if off.abs() > 1e-9 {
            (half - INSIDE) / off.abs()
        } else {
            f64::INFINITY
        }
    };
    let share = part(right, middle.0).min(part(down, middle.1)).min(1.0);
    let tip = (middle.0 + share * right, middle.1 + share * down);
    let turn = right.atan2(-down).to_degrees();
    group.append(arrow_head(tip, turn, 13.0, "pointer"));
    tip
}

#[cfg(test)]
mod tests {
    use super::at_share;

    #[test]
    fn a_share_of_a_line_is_measured_along_it() {
        let line = [(0.0, 0.0), (10.0, 0.0), (10.0, 30.0)];
        assert_eq!(at_share(&line, 0.5), Some((10.0, 10.0)));
        assert_eq!(at_share(&line, 0.1), Some((4.0, 0.0)));
        assert_eq!(at_share(&[(1.0, 1.0)], 0.5), None);
    }
}
