//! The wind of stretches, and the watts that it asks for.

use super::stretch::Stretch;
use super::wind::Wind;
use crate::models::OutsideValidity;
use crate::models::resistance::air_force_either_way;
use crate::models::wind::{at_height, log_law, to_ten_metres};
use crate::plan::vessel::Vessel;
use crate::units::{Angle, FromDirection, Speed};

/// The mean of a wind over the ground of stretches.
pub(super) fn mean(stretches: &[Stretch]) -> Option<Wind> {
    let (mut east, mut north, mut count) = (0.0, 0.0, 0.0);
    let mut height = None;
    for blown in stretches.iter().filter_map(|one| one.wind) {
        east += blown.movement.0;
        north += blown.movement.1;
        count += 1.0;
        height = Some(blown.height);
    }
    let (east, north): (f64, f64) = (east / count, north / count);
    height.map(|height| Wind {
        from: FromDirection::new(Angle::radians((-east).atan2(-north))),
        mean: Speed::metres_per_second(east.hypot(north)),
        height,
    })
}

/// What is made of the winds as they were given.
pub(super) struct Change<'a> {
    factor: f64,
    /// Whether the wind of a run is turned round.
    turned: &'a dyn Fn(usize) -> bool,
}

impl Change<'_> {
    /// Nothing.
    pub(super) const NONE: Change<'static> = Change::by(1.0);

    /// Every wind so many times as strong.
    pub(super) const fn by(factor: f64) -> Change<'static> {
        Change {
            factor,
            turned: &|_| false,
        }
    }

    /// The winds of some runs turned round.
    pub(super) fn turning(turned: &dyn Fn(usize) -> bool) -> Change<'_> {
        Change {
            factor: 1.0,
            turned,
        }
    }
}

/// The wind of each stretch at the height of the hull as a movement (east, north), m/s.
///
/// # Errors
/// A wind or a height outside what the laws of the wind hold for.
pub(super) fn at_hull(
    stretches: &[Stretch],
    winds: &[Wind],
    vessel: &Vessel,
    change: &Change<'_>,
) -> Result<Vec<(f64, f64)>, OutsideValidity> {
    let each = stretches.iter();
    each.map(|stretch| of_stretch(stretch, winds, vessel, change))
        .collect()
}

/// The wind of one stretch likewise. The logarithmic law is taken from the height that it was read at: a
/// plan takes the law that gives more wind, which here would make the boat catch less of it.
///
/// # Errors
/// See [`at_hull`].
pub(super) fn of_stretch(
    stretch: &Stretch,
    winds: &[Wind],
    vessel: &Vessel,
    change: &Change<'_>,
) -> Result<(f64, f64), OutsideValidity> {
    let turned = (change.turned)(stretch.run);
    let ((east, north), height) = match (stretch.wind, turned) {
        (Some(blown), true) => (blown.turned, blown.height),
        (Some(blown), false) => (blown.movement, blown.height),
        (None, turned) => {
            let wind = &winds[stretch.run];
            let (east, north) = wind.from.towards().unit_vector();
            let speed = wind.mean.get() * if turned { -1.0 } else { 1.0 };
            ((speed * east, speed * north), wind.height)
        }
    };
    let speed = Speed::metres_per_second(east.hypot(north));
    // Where a plan knows no wind, a fit knows none either.
    at_height(speed, vessel.windage.height.value)?;
    to_ten_metres(speed, height)?;
    let share = log_law(height, vessel.windage.height.value).get() * change.factor;
    Ok((east * share, north * share))
}

/// The wind that a boat meets.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Met {
    /// How far off its bow it comes from, 0° to 180°.
    pub angle: Angle,
    /// How fast it is, at the height of the hull.
    pub speed: Speed,
}

/// The air past the boat (east, north), m/s.
fn past(stretch: &Stretch, wind: (f64, f64)) -> (f64, f64) {
    let v = stretch.speed.get();
    (
        wind.0 - v * stretch.heading.0,
        wind.1 - v * stretch.heading.1,
    )
}

/// The wind that the boat meets on a stretch.
pub(super) fn apparent(stretch: &Stretch, wind: (f64, f64)) -> Met {
    let (east, north) = past(stretch, wind);
    let (x, y) = stretch.heading;
    let (ahead, across) = (-(east * x + north * y), east * y - north * x);
    Met {
        angle: Angle::radians(across.abs().atan2(ahead)),
        speed: Speed::metres_per_second(east.hypot(north)),
    }
}

/// Electrical watts for each unit of the drag coefficient. A wind from behind counts as it pushes,
/// which a plan does not credit: what was measured has it in it.
pub(super) fn air_watts(stretch: &Stretch, wind: (f64, f64), vessel: &Vessel) -> f64 {
    let area = vessel.windage.frontal_area.value;
    let force = air_force_either_way(past(stretch, wind), stretch.heading, area, 1.0);
    force.get() * stretch.speed.get() / vessel.efficiency()
}
