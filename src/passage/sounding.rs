//! Where and in what sea soundings are taken.

use super::acting::Acting;
use super::{Passage, Runs};
use crate::units::Length;

/// The legs that soundings are taken on, in order: the sounding lines, or every leg where the
/// route has none.
#[must_use]
pub(crate) fn legs(passage: &Passage<'_>) -> Vec<usize> {
    let all = &passage.plan.mission.legs;
    let lines: Vec<usize> = (0..all.len()).filter(|leg| all[*leg].sounding).collect();
    if lines.is_empty() {
        (0..all.len()).collect()
    } else {
        lines
    }
}

/// The greatest significant wave height on some legs over all winds, with the index of its
/// scenario; `None` where the sea is not known.
#[must_use]
pub(crate) fn highest_sea(
    passage: &Passage<'_>,
    runs: &Runs,
    legs: &[usize],
) -> Option<(Length, usize)> {
    let sea = runs.sea.as_ref()?;
    let mut highest: Option<(Length, usize)> = None;
    for step in &passage.track.steps {
        if legs.binary_search(&step.leg).is_err() {
            continue;
        }
        for (index, scenario) in runs.scenarios.all.iter().enumerate() {
            let acting = Acting {
                passage,
                scenario,
                sea,
            };
            let height = acting.sustained(step.middle()).sea.height;
            if highest.is_none_or(|(held, _)| height > held) {
                highest = Some((height, index));
            }
        }
    }
    highest
}
