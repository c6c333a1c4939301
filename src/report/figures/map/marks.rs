//! What helps to read the map: meridians and parallels, letters that tell lines apart where there is no
//! colour, arrows to what lies past the edge.

use svg::Node as _;

use super::super::clip::Place;
use super::super::labels::Labels;
use super::super::style::{self, Anchor, SMALL, arrow_head, line, n, text, width_of};
use super::super::thin::thinned;
use super::{MOST_DRIFTS, MOST_THINGS, Sheet};
use crate::picture::At;

/// Letters of the lines that have one: return leg, drift, control link.
pub(super) const RETURN: &str = "r";
pub(super) const DRIFT: &str = "d";
pub(super) const LINK: &str = "c";
/// Where along a line its letter is tried.
const SHARES: [f64; 7] = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.85];

/// Meridians and parallels.
pub(super) fn graticule(sheet: &Sheet<'_>, group: &mut style::Group) {
    for one in &sheet.map.graticule {
        let (from, to) = (sheet.place(one.ends.0), sheet.place(one.ends.1));
        group.append(line(from, to, "graticule"));
    }
}

/// Where along a meridian or parallel its name stands, the best first: at the edges, and between them.
const ALONG: [f64; 15] = [
    0.0, 1.0, 0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.15, 0.85, 0.25, 0.75, 0.35, 0.65,
];
/// How far aside of its line the middle of a name may be, in halves of its length or height: it still touches it.
const ASIDE: [f64; 5] = [0.0, 0.5, -0.5, 0.9, -0.9];
/// Room that a name of a line has across it, with the height of its letters.
const ACROSS: f64 = 14.0;

/// The name of each meridian and parallel where nothing else is; none where there is no such place, since
/// the others of its kind tell its degrees too.
pub(super) fn graticule_names(sheet: &Sheet<'_>, group: &mut style::Group, labels: &mut Labels) {
    keep_off_ground(sheet, labels);
    for one in &sheet.map.graticule {
        let (from, to) = (sheet.place(one.ends.0), sheet.place(one.ends.1));
        let half = 0.5 * width_of(&one.words, SMALL) + 2.0;
        // Up along the left and right edges, level everywhere else.
        let turned = |share: f64| !one.meridian && (share <= 0.0 || share >= 1.0);
        let middle = |share: f64, aside: f64| {
            let (wide, tall) = match turned(share) {
                true => (0.5 * ACROSS, half),
                false => (half, 0.5 * ACROSS),
            };
            // A meridian begins at the lower edge, and its name stands rather at the upper one.
            let share = if one.meridian { 1.0 - share } else { share };
            let at = |low: f64, high: f64| low + share * (high - low);
            let (x, y) = (at(from.0, to.0), at(from.1, to.1));
            let (x, y) = match one.meridian {
                true => (x + aside * wide, y),
                false => (x, y + aside * tall),
            };
            // Clear of the corners, where the names of others may be.
            let corner = if turned(share) { ACROSS } else { 0.0 };
            let inside = |value: f64, half: f64, most: f64| {
                value.clamp(half.min(0.5 * most), (most - half).max(0.5 * most))
            };
            let x = inside(x, wide, sheet.size.0);
            let y = inside(y, tall + corner, sheet.size.1);
            ((x, y), (wide, tall))
        };
        let mut taken = |aside: f64| {
            let boxes = ALONG.map(|share| {
                let ((x, y), (wide, tall)) = middle(share, aside);
                ((x - wide, y - tall), (x + wide, y + tall))
            });
            let index = labels.take_box(&boxes)?;
            Some((ALONG[index], aside))
        };
        let Some((share, aside)) = ASIDE.into_iter().find_map(&mut taken) else {
            continue;
        };
        let ((x, y), _) = middle(share, aside);
        let class = "small halo soft graticule-name";
        if turned(share) {
            let words = text((0.0, 0.0), Anchor::Middle, class, &one.words);
            let turn = format!("translate({} {}) rotate(-90)", n(x + 4.0), n(y));
            group.append(words.set("transform", turn));
        } else {
            group.append(text((x, y + 4.0), Anchor::Middle, class, &one.words));
        }
    }
}

/// How far off a line of the ground may be for the names that keep off it.
const GROUND: f64 = 2.0;

/// Keeps shores, dangers, areas and the reach of the link free of the names of meridians and parallels.
fn keep_off_ground(sheet: &Sheet<'_>, labels: &mut Labels) {
    let map = sheet.map;
    let mut keep = |line: &[Place]| {
        for pair in thinned(line, GROUND).windows(2) {
            labels.keep_ground(pair[0], pair[1]);
        }
    };
    let mut around = |ring: &[Place]| {
        let mut line = ring.to_vec();
        line.extend(ring.first());
        keep(&line);
    };
    for danger in map.dangers.iter().take(MOST_THINGS) {
        match danger.form.as_slice() {
            [at] => {
                let (x, y) = sheet.place(*at);
                let half = danger.clearance.get() * sheet.scale;
                let corners = [(-half, -half), (half, -half), (half, half), (-half, half)];
                around(&corners.map(|(right, down)| (x + right, y + down)));
            }
            form if danger.closed => around(&sheet.ring(form)),
            // There and back: a line has no other side.
            form => around(&sheet.places(form)),
        }
    }
    for area in map.areas.iter().take(MOST_THINGS) {
        around(&sheet.ring(&area.outline));
    }
    for coverage in &map.coverage {
        around(&sheet.places(&coverage.outline));
    }
    for ring in &map.shore {
        around(&sheet.ring(ring));
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
