//! Rules that are broken in every wind from every direction, with what else the winds came to that were
//! tried for it: they are not computed again.

use rayon::prelude::*;

use super::kinds::broken;
use super::solve::{Ray, Tried, along};
use super::wind::{CAP, Rose};
use crate::passage::Passage;
use crate::rules::RuleInForce;
use crate::units::Angle;

/// Of how many directions one is tried first, to find rules that hold somewhere.
const PROBED: usize = 8;

/// What came of it.
#[derive(Default)]
pub(super) struct Regardless<'r> {
    /// The rules that are broken in every wind of the grid from every direction.
    pub rules: Vec<&'r RuleInForce>,
    /// Per direction and wind of the grid, whether every other rule holds; empty where the winds were not
    /// all tried.
    passes: Vec<Vec<bool>>,
}

impl<'r> Regardless<'r> {
    /// Looks for them among suspects, rules that are broken in a calm. `windy` is every rule that is judged in
    /// every wind.
    pub(super) fn among(
        tried: Tried<'_>,
        suspects: Vec<&'r RuleInForce>,
        windy: &[&'r RuleInForce],
        rose: &Rose,
        grid: u32,
    ) -> Self {
        let left = probed(tried, suspects, rose, grid);
        if left.is_empty() {
            return Self::default();
        }
        let is_left = |rule: &RuleInForce| left.iter().any(|one| std::ptr::eq(*one, rule));
        let others: Vec<&RuleInForce> = windy
            .iter()
            .copied()
            .filter(|rule| !is_left(rule))
            .collect();
        let tables: Vec<Vec<Looked>> = (0..rose.fine())
            .into_par_iter()
            .map(|fine| {
                along(tried, rose.direction(fine), Angle::degrees(0.0), |ray| {
                    let mut order = others.clone();
                    let winds = (0..=CAP).step_by(grid as usize);
                    winds
                        .map(|tenths| look(ray, &mut order, &left, tenths))
                        .collect()
                })
            })
            .collect();
        let everywhere: Vec<bool> = (0..left.len())
            .map(|number| tables.iter().flatten().all(|looked| !looked.holds[number]))
            .collect();
        let passes = tables.iter().map(|table| {
            let of = table.iter().map(|looked| {
                let mut rest = looked.holds.iter().zip(&everywhere);
                looked.others && rest.all(|(holds, everywhere)| *holds || *everywhere)
            });
            of.collect()
        });
        Self {
            passes: passes.collect(),
            rules: left
                .into_iter()
                .zip(&everywhere)
                .filter_map(|(rule, everywhere)| everywhere.then_some(rule))
                .collect(),
        }
    }

    /// Whether every rule but these holds in a wind, where that is known.
    pub(super) fn passes(&self, fine: usize, tenths: u32, grid: u32) -> Option<bool> {
        let of = self.passes.get(fine)?;
        let on_grid = tenths.is_multiple_of(grid);
        on_grid
            .then(|| of.get((tenths / grid) as usize).copied())
            .flatten()
    }
}

/// What one wind came to.
struct Looked {
    /// Whether every rule that is no suspect holds.
    others: bool,
    /// Of each suspect, whether it holds.
    holds: Vec<bool>,
}

fn look(
    ray: &Ray<'_>,
    others: &mut Vec<&RuleInForce>,
    suspects: &[&RuleInForce],
    tenths: u32,
) -> Looked {
    let mut holds = Vec::new();
    let others = ray.passes_and(others, tenths, |passage| {
        holds = all_hold(suspects, passage);
    });
    holds.resize(suspects.len(), false);
    Looked { others, holds }
}

fn all_hold(rules: &[&RuleInForce], passage: &Passage<'_>) -> Vec<bool> {
    let holds = rules.iter().map(|rule| broken(rule, passage).is_none());
    holds.collect()
}

/// The suspects that hold in no wind of the grid from some of the directions.
fn probed<'r>(
    tried: Tried<'_>,
    suspects: Vec<&'r RuleInForce>,
    rose: &Rose,
    grid: u32,
) -> Vec<&'r RuleInForce> {
    let mut left = suspects;
    for tenths in (0..=CAP).step_by(grid as usize) {
        if left.is_empty() {
            break;
        }
        let directions = (0..rose.fine()).step_by(PROBED).collect::<Vec<_>>();
        let holds: Vec<Vec<bool>> = directions
            .into_par_iter()
            .map(|fine| {
                along(tried, rose.direction(fine), Angle::degrees(0.0), |ray| {
                    ray.at(tenths, |passage| all_hold(&left, passage))
                        .unwrap_or_default()
                })
            })
            .collect();
        let mut number = 0;
        left.retain(|_| {
            number += 1;
            holds.iter().all(|of| of.get(number - 1) != Some(&true))
        });
    }
    left
}
