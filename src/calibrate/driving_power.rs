//! What drove the boat on steady stretches: the watts drawn, and what each unknown has to do with them.

use super::air::{Met, air_watts, apparent};
use super::figure::Figure;
use super::squares::{Fit, NoFit, least_squares};
use super::stretch::{Stretch, water};
use crate::models::OutsideValidity;
use crate::models::resistance::CalmWater;
use crate::plan::site::Site;
use crate::plan::vessel::{CalmForm, Vessel};

/// Fewest stretches, and fewest legs, that anything is fitted to.
pub(super) const STRETCHES: usize = 12;
/// See [`STRETCHES`].
pub(super) const LEGS: usize = 6;
/// Condition number from which on the unknowns are not told apart (Belsley, Kuh & Welsch 1980).
pub(super) const CONDITION: f64 = 30.0;

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
