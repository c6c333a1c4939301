//! Depth as it was sounded, against what the site says, and the water under the keel.

use super::actual::ActualRun;
use super::clear::{Policy, asks};
use super::fix::Fix;
use super::stated_depth::{LessThanStated, less};
use super::thresholds::{RUNNING, UNSEEN};
use crate::measures::names;
use crate::plan::Plan;
use crate::source::Span;
use crate::units::{Length, Ratio};

/// A stretch over which the bed is shoaler than the soundings say.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Shoal {
    /// By how much at its worst.
    pub by: Length,
    /// Depth there as it was sounded.
    pub sounded: Length,
    /// Depth there by the site's soundings and level.
    pub charted: Length,
    /// What it may differ by.
    pub allowed: Length,
    /// Fixes that it is told by.
    pub fixes: usize,
    /// Index of the fix where it is worst.
    pub(super) worst: usize,
}

/// Depths of a run.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Depths {
    /// Fixes with a depth.
    pub count: usize,
    /// Fixes of the run.
    pub of: usize,
    /// Of those, over water that the site has a depth for.
    pub compared: usize,
    /// Mean of what was sounded less what was charted.
    pub mean_difference: Option<Length>,
    /// The worst stretch that is shoaler than it may be.
    pub shoal: Option<Shoal>,
    /// The worst stretch with less water than a least depth that is stated.
    pub less: Option<LessThanStated>,
    /// Why depths are not compared, where they are not.
    pub not_compared: Option<String>,
    /// Least water under the keel: what was sounded less the draught and the sounder's error.
    pub under_keel: Length,
    /// Least that the policy asks for, with its line.
    pub asked: Option<(Length, Span)>,
    /// Index of the fix at which it is least.
    pub(super) least: usize,
}

impl Depths {
    /// Share of the fixes of the run without a depth.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
    pub(crate) fn missing(&self) -> Ratio {
        Ratio::fraction(1.0 - self.count as f64 / self.of.max(1) as f64)
    }

    /// Whether too many of them are missing for the rest to tell how shoal it was.
    #[must_use]
    pub(crate) fn too_few(&self) -> bool {
        self.missing().get() >= UNSEEN
    }
}

/// The depths of a run; `None` where none was recorded.
pub(super) fn depths(plan: &Plan, policy: Policy<'_>, actual: &ActualRun) -> Option<Depths> {
    let run = actual.first()..=actual.last();
    let of = run.clone().count();
    // A sounder that finds no bottom writes nothing or 0 (common practice, no source).
    let sounded: Vec<(usize, Length)> = run
        .filter_map(|index| {
            let depth = actual.fixes[index].sample.depth?;
            (depth > Length::ZERO).then_some((index, depth))
        })
        .collect();
    let own = plan
        .vessel
        .sonar
        .as_ref()
        .and_then(|sonar| sonar.depth_error.as_ref());
    let own_error = own.map_or(Length::ZERO, |error| error.value);
    let (least, depth) = *sounded
        .iter()
        .min_by(|a, b| a.1.get().total_cmp(&b.1.get()))?;
    let mut depths = Depths {
        count: sounded.len(),
        of,
        compared: 0,
        mean_difference: None,
        shoal: None,
        less: less(plan, actual, &sounded, own_error),
        not_compared: None,
        under_keel: depth - plan.vessel.hull.draft.value - own_error,
        asked: asks(policy, names::UNDER_KEEL_CLEARANCE).map(|(_, asked)| asked),
        least,
    };
    compare(&mut depths, plan, actual, &sounded);
    Some(depths)
}

fn compare(depths: &mut Depths, plan: &Plan, actual: &ActualRun, sounded: &[(usize, Length)]) {
    let site = &plan.site.depths;
    let (Some(soundings), Some(level)) = (&site.soundings, &site.level) else {
        depths.not_compared =
            Some("the site has no soundings, or no water level above their datum".to_owned());
        return;
    };
    let order = plan
        .mission
        .soundings
        .as_ref()
        .and_then(|claim| claim.survey_order.value);
    let own = plan
        .vessel
        .sonar
        .as_ref()
        .and_then(|sonar| sonar.depth_error.as_ref());
    let own = |depth: Length| match (order, own) {
        (Some(order), _) => Some(order.vertical_limit(depth)),
        (None, Some(error)) => Some(error.value),
        (None, None) => None,
    };
    let charted = |fix: &Fix| Some(soundings.bed.depth_at(fix.at)? + level.above_datum.value);
    let (mut sum, mut stretch) = (0.0, Vec::<Shoal>::new());
    // Depths that follow each other, and the most of them.
    let (mut last, mut running, mut most) = (None, 0, 0);
    for (index, depth) in sounded {
        if !last.is_some_and(|last| actual.follows(last, *index)) {
            running = 0;
            stretch.clear();
        }
        last = Some(*index);
        let Some(own) = own(*depth) else {
            depths.not_compared =
                Some("neither a survey order nor the sounder's `depth_error` is stated".to_owned());
            return;
        };
        let Some(charted) = charted(&actual.fixes[*index]) else {
            stretch.clear();
            running = 0;
            continue;
        };
        depths.compared += 1;
        running += 1;
        most = most.max(running);
        sum += (*depth - charted).get();
        let errors = [soundings.error.value, level.error.value, own];
        let allowed = Length::metres(
            errors
                .iter()
                .map(|error| error.get().powi(2))
                .sum::<f64>()
                .sqrt(),
        );
        if charted - *depth <= allowed {
            stretch.clear();
            continue;
        }
        stretch.push(Shoal {
            by: charted - *depth,
            sounded: *depth,
            charted,
            allowed,
            fixes: 1,
            worst: *index,
        });
        if stretch.len() >= RUNNING {
            let worst = stretch
                .iter()
                .max_by(|a, b| a.by.get().total_cmp(&b.by.get()));
            let worst = worst.map(|worst| Shoal {
                fixes: stretch.len(),
                ..*worst
            });
            let more = |held: Shoal, one: Shoal| {
                one.by > held.by || (one.worst == held.worst && one.fixes > held.fixes)
            };
            if worst.is_some_and(|one| depths.shoal.is_none_or(|held| more(held, one))) {
                depths.shoal = worst;
            }
        }
    }
    if depths.compared > 0 && most < RUNNING {
        depths.not_compared = Some(format!(
            "no {RUNNING} consecutive depths lie within {}",
            actual.cleaning.gap
        ));
    }
    if depths.compared > 0 {
        #[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
        let count = depths.compared as f64;
        depths.mean_difference = Some(Length::metres(sum / count));
    } else {
        depths.not_compared = Some("no fix with a depth lies over the site's soundings".to_owned());
    }
}
