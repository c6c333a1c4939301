//! The currents of a site, each in an area of its own.

use super::laid_out::ring;
use crate::models::geodesy::Plane;
use crate::models::geometry::{Polygon, polygon_distance};
use crate::models::plane::Point;
use crate::schema::{Fields, Problem, Stated};
use crate::units::{Speed, Towards};

/// An area with a current.
#[derive(Clone, Debug)]
pub struct Current {
    /// Its id.
    pub id: Stated<String>,
    /// What it takes in.
    pub outline: Polygon,
    /// Direction that it sets towards.
    pub set: Stated<Towards>,
    /// Its speed.
    pub drift: Stated<Speed>,
}

/// Reads a current.
pub(super) fn current(plane: &Plane, fields: Fields<'_>) -> Option<Current> {
    let id = fields.required_text("id")?;
    let outline = ring(plane, fields, "area");
    let set = fields.required_direction("set");
    let drift = fields.required("drift");
    Some(Current {
        id,
        outline: outline?,
        set: set?.map(Towards::new),
        drift: drift?,
    })
}

/// How far areas may reach into one another, m: neighbours share an edge, and both are drawn by hand.
const NEIGHBOURLY: f64 = 1.0;

/// Whether no two areas with a current overlap; of two that do, which one runs cannot be determined.
pub(super) fn apart(file: Fields<'_>, currents: &[Current]) -> bool {
    for (index, one) in currents.iter().enumerate() {
        for other in &currents[index + 1..] {
            if reaches_into(&one.outline, &other.outline)
                || reaches_into(&other.outline, &one.outline)
            {
                let text = format!(
                    "the current areas `{}` and `{}` overlap, so two currents would run there",
                    one.id.value, other.id.value
                );
                let problem =
                    Problem::value(other.id.span(), text).with(one.id.span(), "the other area");
                file.problem(problem.help("draw them side by side"));
                return false;
            }
        }
    }
    true
}

/// Whether an area, looked at every few metres along its edge, reaches into another: on its edge, and
/// as far inside it as neighbours may overlap, since two that coincide have the same edge.
fn reaches_into(one: &Polygon, other: &Polygon) -> bool {
    let inside = |at: Point, area: &Polygon| polygon_distance(at, area) < -NEIGHBOURLY;
    one.edges().any(|edge| {
        let count = (edge.length() / 5.0).ceil().max(1.0) as usize;
        let along = (edge.b - edge.a).unit().unwrap_or(Point::ZERO);
        let across = Point::new(-along.y, along.x).scale(2.0 * NEIGHBOURLY);
        (0..count).any(|step| {
            let at = edge.at((step as f64 + 0.5) / count as f64);
            // Which side of an edge is within goes by the way its ring runs round.
            let within = [at + across, at - across];
            inside(edge.at(step as f64 / count as f64), other)
                || within
                    .into_iter()
                    .any(|at| inside(at, one) && inside(at, other))
        })
    })
}
