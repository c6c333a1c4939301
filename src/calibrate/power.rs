//! The power model fitted: hotel load, calm water and windage out of what steady stretches drew.

use super::air::{Change, Met, Wind, air_watts, apparent, at_hull, of_stretch};
use super::figure::Figure;
use super::held_out::{HeldOut, held_out};
use super::squares::{Fit, NoFit, least_squares};
use super::stretch::{Stretch, water};
use super::turned::{self, Turned};
use super::{Estimate, Kept};
use crate::models::OutsideValidity;
use crate::models::resistance::CalmWater;
use crate::plan::site::Site;
use crate::plan::vessel::{CalmForm, Vessel};
use crate::units::Power;

/// Fewest stretches, and fewest legs, that anything is fitted to.
pub(super) const STRETCHES: usize = 12;
/// See [`STRETCHES`].
pub(super) const LEGS: usize = 6;
/// Condition number from which on the unknowns are not told apart (Belsley, Kuh & Welsch 1980).
pub(super) const CONDITION: f64 = 30.0;
/// Widest interval that is worth writing: half of it as a share of the estimate.
pub(super) const WIDEST: f64 = 0.3;

/// What stretches drew, with what each unknown has to do with it.
pub(super) struct DrivingPower {
    /// The unknowns, each with its column.
    pub columns: Vec<(Figure, Vec<f64>)>,
    /// Watts that no unknown has to do with.
    pub fixed: Vec<f64>,
    /// Watts drawn.
    pub measured: Vec<f64>,
    /// Leg of each.
    pub legs: Vec<usize>,
    /// Share of the wind that is ahead, and the wind at the hull in m/s.
    pub(super) ahead: Vec<(f64, f64)>,
    /// The wind that the boat meets: how far off its bow, and how fast.
    pub apparent: Vec<Met>,
    pub(super) speeds: Vec<f64>,
}

impl DrivingPower {
    /// Puts the equation to the stretches, each in its wind at the hull.
    ///
    /// # Errors
    /// A calm-water model outside its validity.
    pub(super) fn from_stretches(
        stretches: &[Stretch],
        winds: &[(f64, f64)],
        (vessel, site): (&Vessel, &Site),
    ) -> Result<Self, OutsideValidity> {
        let hull = Hull::from_vessel(vessel, site);
        let mut asked = Self {
            columns: Vec::new(),
            fixed: Vec::new(),
            measured: Vec::new(),
            legs: Vec::new(),
            ahead: Vec::new(),
            apparent: Vec::new(),
            speeds: Vec::new(),
        };
        let (mut of_hull, mut of_air) = (Vec::new(), Vec::new());
        for (stretch, wind) in stretches.iter().zip(winds.iter().copied()) {
            let (fixed, column) = hull.watts(stretch)?;
            asked.fixed.push(fixed);
            of_hull.push(column);
            of_air.push(air_watts(stretch, wind, vessel));
            asked.measured.push(stretch.power.get());
            asked.legs.push(stretch.leg);
            asked.speeds.push(stretch.speed.get());
            let size = wind.0.hypot(wind.1);
            let along = -(wind.0 * stretch.heading.0 + wind.1 * stretch.heading.1);
            let share = if size > 0.0 { along / size } else { 0.0 };
            asked.ahead.push((share, size));
            asked.apparent.push(apparent(stretch, wind));
        }
        asked.columns = vec![
            (Figure::HotelLoad, vec![1.0; stretches.len()]),
            (hull.figure, of_hull),
            (Figure::Drag, of_air),
        ];
        Ok(asked)
    }

    /// The columns of some unknowns, and what is left for them of the watts once the others have
    /// what the vessel states.
    fn put(&self, unknown: &[Figure], vessel: &Vessel) -> (Vec<Vec<f64>>, Vec<f64>) {
        let mut left: Vec<f64> = self
            .measured
            .iter()
            .zip(&self.fixed)
            .map(|(drawn, fixed)| drawn - fixed)
            .collect();
        let mut columns = Vec::new();
        for (figure, column) in &self.columns {
            if unknown.contains(figure) {
                columns.push(column.clone());
            } else {
                let stated = figure.stated(vessel);
                for (left, one) in left.iter_mut().zip(column) {
                    *left -= stated * one;
                }
            }
        }
        (columns, left)
    }

    /// Fits some unknowns to some of the stretches; the others are as the vessel states them.
    ///
    /// # Errors
    /// [`NoFit`].
    pub(super) fn fit(
        &self,
        unknown: &[Figure],
        vessel: &Vessel,
        of: impl Fn(usize) -> bool,
    ) -> Result<Fit, NoFit> {
        let (columns, left) = self.put(unknown, vessel);
        let rows: Vec<usize> = (0..left.len()).filter(|row| of(*row)).collect();
        let chosen = |all: &[f64]| rows.iter().map(|row| all[*row]).collect::<Vec<f64>>();
        let columns: Vec<Vec<f64>> = columns.iter().map(|column| chosen(column)).collect();
        let legs: Vec<usize> = rows.iter().map(|row| self.legs[*row]).collect();
        least_squares(&columns, &chosen(&left), &legs)
    }

    /// What figures leave unexplained of each stretch, W.
    pub(super) fn residuals(
        &self,
        unknown: &[Figure],
        vessel: &Vessel,
        estimates: &[f64],
    ) -> Vec<f64> {
        let (columns, mut left) = self.put(unknown, vessel);
        for (column, estimate) in columns.iter().zip(estimates) {
            for (left, one) in left.iter_mut().zip(column) {
                *left -= estimate * one;
            }
        }
        left
    }
}

/// The hull's part of the power.
struct Hull {
    figure: Figure,
    calm: CalmWater,
    /// The same without its residuary coefficient, where it is a model.
    without: Option<CalmWater>,
    with_one: Option<CalmWater>,
}

impl Hull {
    fn from_vessel(vessel: &Vessel, site: &Site) -> Self {
        let calm = vessel.calm_water(water(site));
        let with = |residuary: f64| match &calm {
            CalmWater::Model(hull) => {
                let mut hull = *hull;
                hull.residuary = residuary;
                Some(CalmWater::Model(hull))
            }
            CalmWater::Trial(_) => None,
        };
        Self {
            figure: match vessel.propulsion.calm.value {
                CalmForm::Trial(_) => Figure::Trial,
                CalmForm::Model { .. } => Figure::Residuary,
            },
            without: with(0.0),
            with_one: with(1.0),
            calm,
        }
    }

    /// Watts that are fixed, and watts for each unit of the unknown.
    fn watts(&self, stretch: &Stretch) -> Result<(f64, f64), OutsideValidity> {
        match (&self.without, &self.with_one) {
            (Some(without), Some(with_one)) => {
                let fixed = without.power(stretch.speed)?.get();
                Ok((fixed, with_one.power(stretch.speed)?.get() - fixed))
            }
            _ => Ok((0.0, self.calm.power(stretch.speed)?.get())),
        }
    }
}

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
    /// The fit; none where nothing could be told.
    pub fit: Option<Fit>,
    /// How well it predicts what it has not seen; none where that cannot be told.
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
