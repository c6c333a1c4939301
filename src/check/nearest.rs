//! Which limit a mission comes nearest to.

use super::outcome::RuleResult;
use crate::finding::Side;
use crate::rules::Verdict;
use crate::units::Dimension;

/// How near a value is to its limit, as a share of the larger of the two: negative past it.
/// `None` where there is nothing to compare.
pub(super) fn nearness(judged: &RuleResult) -> Option<f64> {
    if judged.verdict == Verdict::NotApplicable {
        return None;
    }
    let (measured, limit) = (judged.measured?, judged.limit?);
    let margin = match judged.side? {
        Side::AtMost => limit.minus(measured)?,
        Side::AtLeast => measured.minus(limit)?,
    };
    // People come whole: as many as are requested are enough, and no near thing.
    if limit.dimension == Dimension::PEOPLE && margin.value >= 0.0 {
        return None;
    }
    let scale = measured.value.abs().max(limit.value.abs());
    // Nothing at all where nothing is allowed is as far from the limit as can be.
    let share = margin.value / scale;
    share.is_finite().then_some(share)
}

/// The judgement with the least margin; the first of equals.
pub(crate) fn nearest(judged: &[RuleResult]) -> Option<&RuleResult> {
    let mut least: Option<(f64, &RuleResult)> = None;
    for one in judged {
        if let Some(share) = nearness(one)
            && least.is_none_or(|(so_far, _)| share < so_far)
        {
            least = Some((share, one));
        }
    }
    least.map(|(_, one)| one)
}
