//! The power model fitted: hotel load, calm water and windage out of what steady stretches drew.

use super::air::{Change, Met, air_watts, at_hull, of_stretch};
use super::driving_power::{CONDITION, DrivingPower};
use super::estimate::{Estimate, Kept};
use super::figure::Figure;
use super::held_out::{HeldOut, held_out};
use super::squares::Fit;
use super::stretch::{Stretch, water};
use super::turned::{self, Turned};
use super::wind::Wind;
use crate::models::OutsideValidity;
use crate::plan::site::Site;
use crate::plan::vessel::Vessel;
use crate::units::Power;

/// Widest interval that is worth writing: half of it as a share of the estimate.
pub(super) const WIDEST: f64 = 0.3;

/// What a vessel's figures give for a stretch, wind from behind counted as it pushes.
///
/// # Errors
/// A speed past the calm-water figures.
pub(super) fn predicted(
    stretch: &Stretch,
    winds: &[Wind],
    (vessel, site): (&Vessel, &Site),
) -> Result<Power, OutsideValidity> {
    let calm = vessel.calm_water(water(site)).power(stretch.speed)?;
    let wind = of_stretch(stretch, winds, vessel, &Change::NONE)?;
    let air = air_watts(stretch, wind, vessel) * vessel.windage.drag_coefficient.value;
    Ok(vessel.hotel_load.value + calm + Power::watts(air))
}

/// What was fitted.
pub(super) struct Powers {
    /// The figures, in order.
    pub estimates: Vec<Estimate>,
    /// Those that are not told.
    pub kept: Vec<Kept>,
    /// Which winds seem to have been turned round, and how much better the runs then fit.
    pub turned: Option<Turned>,
    /// The wind that the boat met on each stretch.
    pub met: Vec<Met>,
    /// The fit; none where nothing could be determined.
    pub fit: Option<Fit>,
    /// How well it predicts what it has not seen; none where that cannot be determined.
    pub held_out: Option<HeldOut>,
}

/// Fits what the stretches support. A figure that is not told is as the vessel states it.
///
/// # Errors
/// A calm-water model outside its validity.
pub(super) fn fit(
    stretches: &[Stretch],
    winds: &[Wind],
    boat: (&Vessel, &Site),
) -> Result<Powers, OutsideValidity> {
    let vessel = boat.0;
    let blown = |change: &Change<'_>| at_hull(stretches, winds, vessel, change);
    let asked = DrivingPower::from_stretches(stretches, &blown(&Change::NONE)?, boat)?;
    let turned = turned::round(stretches, winds, boat)?;
    let met = asked.apparent.clone();
    let (mut unknown, mut kept) = asked.supported();
    while !unknown.is_empty() {
        let (figure, why, run) = match asked.fit(&unknown, vessel, |_| true) {
            Ok(fit) => match weakest(&unknown, &fit) {
                Some(found) => found,
                None => {
                    let (lighter, stronger) = (
                        DrivingPower::from_stretches(stretches, &blown(&Change::by(0.9))?, boat)?,
                        DrivingPower::from_stretches(stretches, &blown(&Change::by(1.1))?, boat)?,
                    );
                    let varied = [&lighter, &stronger].map(|asked| {
                        let fit = asked.fit(&unknown, vessel, |_| true).ok();
                        fit.filter(|fit| fit.condition <= CONDITION)
                    });
                    let estimates = unknown.iter().enumerate();
                    let estimates = estimates.map(|(index, figure)| {
                        let (low, high) = fit.interval(index);
                        let moved = |fit: &Option<Fit>| Some(fit.as_ref()?.estimates[index]);
                        Estimate {
                            figure: *figure,
                            stated: figure.stated(vessel),
                            value: fit.estimates[index],
                            low,
                            high,
                            by_wind: moved(&varied[0]).zip(moved(&varied[1])),
                        }
                    });
                    return Ok(Powers {
                        estimates: estimates.collect(),
                        kept,
                        turned,
                        met,
                        held_out: held_out(&asked, &unknown, vessel, stretches),
                        fit: Some(fit),
                    });
                }
            },
            Err(_) => (
                unknown[0],
                "the stretches do not separate it from the other figures".to_owned(),
                super::LEGS_EACH_WAY,
            ),
        };
        unknown.retain(|one| *one != figure);
        kept.push(Kept { figure, why, run });
    }
    Ok(Powers {
        estimates: Vec::new(),
        kept,
        turned,
        met,
        fit: None,
        held_out: None,
    })
}

/// The figure to be given up first, if any is.
fn weakest(unknown: &[Figure], fit: &Fit) -> Option<(Figure, String, &'static str)> {
    if fit.condition > CONDITION {
        let why = format!(
            "the stretches do not separate the figures: condition number {:.0} (limit: at most \
             {CONDITION})",
            fit.condition
        );
        return Some((unknown[0], why, super::LEGS_EACH_WAY));
    }
    let half = |index: usize| {
        let estimate = fit.estimates[index];
        if estimate > 0.0 {
            fit.reach * fit.errors[index] / estimate
        } else {
            f64::INFINITY
        }
    };
    let widest = (0..unknown.len()).max_by(|a, b| half(*a).total_cmp(&half(*b)))?;
    let share = half(widest);
    if share <= WIDEST {
        return None;
    }
    let run = match unknown[widest] {
        Figure::Drag => super::INTO_THE_WIND,
        Figure::HotelLoad => super::SLOWLY,
        _ => super::LEGS_EACH_WAY,
    };
    let why = if share.is_finite() {
        format!(
            "its interval is ± {:.0} % of it (limit: at most ± {:.0} %)",
            100.0 * share,
            100.0 * WIDEST
        )
    } else {
        "it comes out at zero or less, which no boat has".to_owned()
    };
    Some((unknown[widest], why, run))
}
