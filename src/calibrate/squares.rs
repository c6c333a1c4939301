//! Least squares: estimates with intervals that allow for measurements which belong together.

use nalgebra::{DMatrix, DVector};
use statrs::distribution::{ContinuousCDF as _, StudentsT};

/// Most rounds of the decomposition; a handful is usual.
const ROUNDS: usize = 1000;
/// Condition from which on a decomposition is no longer worth its digits.
const SINGULAR: f64 = 1e8;

/// What least squares came to.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Fit {
    /// An estimate for each column.
    pub estimates: Vec<f64>,
    /// The standard error of each.
    pub errors: Vec<f64>,
    /// Half the width of the 95 % interval in standard errors, by Student's distribution.
    pub reach: f64,
    /// Degrees of freedom of that.
    pub freedom: f64,
    /// Greatest over least singular value of the columns, each scaled to unit length.
    pub condition: f64,
    /// By how much the groups swell the variance; 1 where they do not.
    pub design_effect: f64,
    /// What was measured less what was fitted.
    pub residuals: Vec<f64>,
}

/// Why there is no fit.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum NoFit {
    /// Too few measurements, or too few groups of them, for so many unknowns.
    TooFew,
    /// The columns do not tell the unknowns apart.
    Singular,
    /// A number is not finite.
    NotFinite,
}

impl Fit {
    /// The 95 % interval of an estimate.
    #[must_use]
    pub(super) fn interval(&self, index: usize) -> (f64, f64) {
        let reach = self.reach * self.errors[index];
        (self.estimates[index] - reach, self.estimates[index] + reach)
    }
}

/// Fits `values` as a sum of `columns`, each times an unknown, by the singular value decomposition of
/// the columns scaled to unit length. `groups` numbers for each measurement the group that it belongs
/// to: those of one leg share its gusts and its errors.
///
/// Their variance is that of independent measurements times D = 1 + (m − 1) ρ, with ρ the
/// intraclass correlation of the residuals by the analysis of variance and m the mean size of a
/// group, and they count as n/D measurements.
///
/// Sources: Belsley, Kuh & Welsch 1980 for the scaled condition number, Kish 1965 for D, Moulton 1986
/// for its place in a regression whose columns hardly vary within a group (all from memory).
///
/// # Errors
/// [`NoFit`].
pub(super) fn least_squares(
    columns: &[Vec<f64>],
    values: &[f64],
    groups: &[usize],
) -> Result<Fit, NoFit> {
    let (rows, unknowns) = (values.len(), columns.len());
    let finite = |numbers: &[f64]| numbers.iter().all(|number| number.is_finite());
    if !finite(values) || !columns.iter().all(|column| finite(column)) {
        return Err(NoFit::NotFinite);
    }
    if unknowns == 0 || rows <= unknowns {
        return Err(NoFit::TooFew);
    }
    let lengths: Vec<f64> = columns.iter().map(|column| length(column)).collect();
    if lengths.iter().any(|length| *length <= 0.0) {
        return Err(NoFit::Singular);
    }
    let scaled = DMatrix::from_fn(rows, unknowns, |row, column| {
        columns[column][row] / lengths[column]
    });
    let measured = DVector::from_column_slice(values);
    let parts = scaled
        .clone()
        .try_svd(true, true, f64::EPSILON, ROUNDS)
        .ok_or(NoFit::Singular)?;
    let condition = parts.singular_values.max() / parts.singular_values.min();
    if !condition.is_finite() || condition > SINGULAR {
        return Err(NoFit::Singular);
    }
    let solution = parts.solve(&measured, 0.0).map_err(|_| NoFit::Singular)?;
    let residuals: Vec<f64> = (&measured - &scaled * &solution).iter().copied().collect();
    let together = Together::from_residuals(&residuals, groups, unknowns).ok_or(NoFit::TooFew)?;
    let count = rows as f64;
    let freedom = count / together.effect - unknowns as f64;
    if freedom < 1.0 {
        return Err(NoFit::TooFew);
    }
    let squares: f64 = residuals.iter().map(|one| one * one).sum();
    let variance = squares / (count - unknowns as f64) * together.effect;
    let turned = parts.v_t.as_ref().ok_or(NoFit::Singular)?;
    let error = |index: usize| {
        let sum: f64 = (0..unknowns)
            .map(|k| (turned[(k, index)] / parts.singular_values[k]).powi(2))
            .sum();
        (variance * sum).sqrt() / lengths[index]
    };
    let student = StudentsT::new(0.0, 1.0, freedom).map_err(|_| NoFit::TooFew)?;
    Ok(Fit {
        estimates: (0..unknowns)
            .map(|index| solution[index] / lengths[index])
            .collect(),
        errors: (0..unknowns).map(error).collect(),
        reach: student.inverse_cdf(0.975),
        freedom,
        condition,
        design_effect: together.effect,
        residuals,
    })
}

fn length(column: &[f64]) -> f64 {
    column.iter().map(|one| one * one).sum::<f64>().sqrt()
}

/// How much the residuals of one group have in common.
struct Together {
    effect: f64,
}

impl Together {
    /// `None` where there are not more groups than unknowns.
    fn from_residuals(residuals: &[f64], groups: &[usize], unknowns: usize) -> Option<Self> {
        let mut sums: std::collections::BTreeMap<usize, (f64, f64)> =
            std::collections::BTreeMap::new();
        for (residual, group) in residuals.iter().zip(groups) {
            let sum = sums.entry(*group).or_default();
            *sum = (sum.0 + residual, sum.1 + 1.0);
        }
        let (count, number) = (residuals.len() as f64, sums.len() as f64);
        if sums.len() <= unknowns {
            return None;
        }
        let between: f64 = sums.values().map(|(sum, size)| sum * sum / size).sum();
        let whole: f64 = residuals.iter().map(|one| one * one).sum();
        let sizes: f64 = sums.values().map(|(_, size)| size * size).sum();
        let mean_size = (count - sizes / count) / (number - 1.0);
        let between = between / (number - unknowns as f64);
        let within = if count > number {
            (whole - between * (number - unknowns as f64)).max(0.0) / (count - number)
        } else {
            between
        };
        let both = between + (mean_size - 1.0) * within;
        let correlation = if both > 0.0 {
            ((between - within) / both).clamp(0.0, 1.0)
        } else {
            0.0
        };
        Some(Self {
            effect: 1.0 + (mean_size - 1.0).max(0.0) * correlation,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Anscombe 1973, "Graphs in statistical analysis", first of the four sets: y = 3.00 + 0.500 x, with
    /// standard errors 1.125 and 0.118, the values of the set from memory. Student's t at 97.5 % and 9
    /// degrees of freedom is 2.262 (handbook tables).
    #[test]
    fn a_line_through_a_published_set_is_found_with_its_errors() {
        let x = [10.0, 8.0, 13.0, 9.0, 11.0, 14.0, 6.0, 4.0, 12.0, 7.0, 5.0];
        let y = [
            8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68,
        ];
        let alone: Vec<usize> = (0..11).collect();
        let fit = least_squares(&[vec![1.0; 11], x.to_vec()], &y, &alone).unwrap();
        let near =
            |value: f64, due: f64, by: f64| assert!((value - due).abs() < by, "{value} {due}");
        near(fit.estimates[0], 3.0001, 1e-4);
        near(fit.estimates[1], 0.5001, 1e-4);
        near(fit.errors[0], 1.1247, 1e-4);
        near(fit.errors[1], 0.1179, 1e-4);
        near(fit.freedom, 9.0, 1e-9);
        near(fit.reach, 2.262, 5e-4);
        near(fit.design_effect, 1.0, 1e-12);
        let (low, high) = fit.interval(1);
        near(high - low, 2.0 * 2.262 * 0.1179, 1e-3);
    }

    /// Every measurement five times over is no more than once: the interval does not shrink.
    #[test]
    fn measurements_that_say_the_same_count_once() {
        let x = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0];
        let y = [1.2, 1.9, 3.3, 3.8, 5.3, 5.7, 7.4, 7.9];
        let alone: Vec<usize> = (0..8).collect();
        let once = least_squares(&[vec![1.0; 8], x.to_vec()], &y, &alone).unwrap();
        let five = |values: &[f64]| -> Vec<f64> {
            let each = values.iter().flat_map(|value| [*value; 5]);
            each.collect()
        };
        let groups: Vec<usize> = (0..40).map(|index| index / 5).collect();
        let often = least_squares(&[vec![1.0; 40], five(&x)], &five(&y), &groups).unwrap();
        assert!((often.design_effect - 5.0).abs() < 1e-9);
        assert!((often.freedom - once.freedom).abs() < 1e-9);
        for index in 0..2 {
            assert!((often.estimates[index] - once.estimates[index]).abs() < 1e-9);
            let wider = often.errors[index] / once.errors[index];
            // 38 in place of 40 − 10 degrees of freedom in the variance.
            assert!((wider - (30.0_f64 / 38.0).sqrt()).abs() < 1e-9, "{wider}");
        }
    }

    #[test]
    fn a_fit_without_freedom_or_without_difference_is_refused() {
        let ones = vec![1.0; 4];
        let ramp = vec![1.0, 2.0, 3.0, 4.0];
        let groups = [0, 1, 2, 3];
        let fit = |columns: &[Vec<f64>], values: &[f64]| least_squares(columns, values, &groups);
        assert_eq!(
            fit(&[ones.clone(), ones.clone()], &ramp),
            Err(NoFit::Singular)
        );
        assert_eq!(fit(&[vec![0.0; 4]], &ramp), Err(NoFit::Singular));
        assert_eq!(fit(&[], &ramp), Err(NoFit::TooFew));
        assert_eq!(
            least_squares(&[ones.clone(), ramp.clone()], &ramp[..2], &groups[..2]),
            Err(NoFit::TooFew)
        );
        assert_eq!(
            least_squares(&[ones.clone(), ramp.clone()], &ramp, &[0, 0, 1, 1]),
            Err(NoFit::TooFew)
        );
        assert_eq!(
            fit(&[ones], &[1.0, f64::NAN, 1.0, 1.0]),
            Err(NoFit::NotFinite)
        );
    }
}
