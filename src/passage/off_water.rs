//! How far a thing of a site lies from the water.

use super::Passage;
use crate::models::geometry::{Polygon, Segment, Shore, point_in_polygon};
use crate::models::plane::Point;
use crate::plan::site::Form;

/// How far apart a line that is on land all along is looked at, m.
const STEP: f64 = 2.0;

/// What rounding of written positions leaves, m.
pub(crate) const ROUNDING: f64 = 0.5;

/// Soundings that lie off the water.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ashore {
    /// How far off the farthest lies, m, and where.
    pub farthest: Option<(f64, Point)>,
    /// How many lie off.
    pub count: usize,
    /// How many there are.
    pub all: usize,
}

/// The soundings of the site that lie off its water by more than rounding.
pub(super) fn soundings(passage: &Passage<'_>) -> Ashore {
    let site = &passage.plan.site;
    let mut ashore = Ashore::default();
    let soundings = site.depths.soundings.iter();
    for at in soundings.flat_map(|soundings| soundings.bed.places()) {
        ashore.all += 1;
        let away = point(&site.shore, at);
        if away > ROUNDING {
            ashore.count += 1;
            if ashore.farthest.is_none_or(|(held, _)| away > held) {
                ashore.farthest = Some((away, at));
            }
        }
    }
    ashore
}

/// Distance of a point from the water, m; nothing where it is in it.
#[must_use]
pub(crate) fn point(shore: &Shore, at: Point) -> f64 {
    // Most places are in the water, which is soon told.
    if shore.is_water(at) {
        return 0.0;
    }
    (-shore.signed_distance(at)).max(0.0)
}

/// Distance of a line from the water, m; nothing where any of it is in it. On land it is looked at
/// every 2 m, so that it is at most 1 m more than the least.
fn segment(shore: &Shore, line: &Segment) -> f64 {
    let inland: f64 = shore
        .land_intervals(*line)
        .iter()
        .map(|(from, to)| to - from)
        .sum();
    // A part of it is water, be it ever so short.
    if inland * line.length() < line.length() - 1e-6 {
        return 0.0;
    }
    let count = (line.length() / STEP).ceil().max(1.0) as usize;
    (0..=count)
        .map(|step| point(shore, line.at(step as f64 / count as f64)))
        .fold(f64::INFINITY, f64::min)
}

/// Distance of an area from the water, m; nothing where any of it is water.
#[must_use]
pub(crate) fn area(shore: &Shore, outline: &Polygon) -> f64 {
    let edges = outline.edges().map(|edge| segment(shore, &edge));
    let nearest = edges.fold(f64::INFINITY, f64::min);
    // An area on land all round may still have the whole water within it.
    let around = |edge: &Segment| point_in_polygon(edge.a, outline);
    if nearest > 0.0 && shore.edges().iter().any(around) {
        return 0.0;
    }
    nearest
}

/// Distance of a hazard's form from the water, m; nothing where any of it is in it.
#[must_use]
pub(crate) fn form(shore: &Shore, form: &Form) -> f64 {
    match form {
        Form::Point(at) => point(shore, *at),
        Form::Line(points) => points
            .windows(2)
            .map(|pair| {
                segment(
                    shore,
                    &Segment {
                        a: pair[0],
                        b: pair[1],
                    },
                )
            })
            .fold(f64::INFINITY, f64::min),
        Form::Area(outline) => area(shore, outline),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A pond of 200 m by 200 m about the origin, with an island of 40 m by 40 m in its middle.
    fn pond() -> Shore {
        let square = |half: f64| {
            [(-half, -half), (half, -half), (half, half), (-half, half)]
                .map(|(x, y)| Point::new(x, y))
                .to_vec()
        };
        let water = Polygon::new(square(100.0), vec![square(20.0)]).expect("a sound polygon");
        Shore::new(vec![water]).expect("a sound shore")
    }

    fn ring(corners: [(f64, f64); 4]) -> Polygon {
        let corners = corners.map(|(x, y)| Point::new(x, y)).to_vec();
        Polygon::new(corners, Vec::new()).expect("a sound polygon")
    }

    #[test]
    fn a_point_is_off_the_water_by_its_way_to_it() {
        let shore = pond();
        let off = |x: f64, y: f64| point(&shore, Point::new(x, y));
        assert!(off(60.0, 0.0) < 1e-9);
        assert!((off(130.0, 0.0) - 30.0).abs() < 1e-9);
        // In the middle of the island.
        assert!((off(0.0, 0.0) - 20.0).abs() < 1e-9);
    }

    #[test]
    fn a_line_counts_by_its_nearest_part() {
        let shore = pond();
        let line = |a: (f64, f64), b: (f64, f64)| {
            form(
                &shore,
                &Form::Line(vec![Point::new(a.0, a.1), Point::new(b.0, b.1)]),
            )
        };
        assert!(line((130.0, 0.0), (60.0, 0.0)) < 1e-9);
        // From land across the pond to land.
        assert!(line((-150.0, 60.0), (150.0, 60.0)) < 1e-9);
        // Nearest in its middle, which is 10 m from the corner of the pond along either axis.
        let slant = line((90.0, 130.0), (130.0, 90.0));
        assert!((slant - 200.0_f64.sqrt()).abs() < 1.0, "{slant}");
    }

    #[test]
    fn an_area_is_on_the_water_where_any_of_it_is() {
        let shore = pond();
        let inland = ring([(150.0, 0.0), (190.0, 0.0), (190.0, 40.0), (150.0, 40.0)]);
        assert!((area(&shore, &inland) - 50.0).abs() < 1e-9);
        let over_the_edge = ring([(90.0, 0.0), (190.0, 0.0), (190.0, 40.0), (90.0, 40.0)]);
        assert!(area(&shore, &over_the_edge) < 1e-9);
        let all_of_it = ring([
            (-200.0, -200.0),
            (200.0, -200.0),
            (200.0, 200.0),
            (-200.0, 200.0),
        ]);
        assert!(area(&shore, &all_of_it) < 1e-9);
        // Wholly on the island.
        let islet = ring([(-5.0, -5.0), (5.0, -5.0), (5.0, 5.0), (-5.0, 5.0)]);
        assert!((area(&shore, &islet) - 15.0).abs() < 1e-9);
    }
}
