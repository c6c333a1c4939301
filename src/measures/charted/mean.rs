//! The mean depth of the site against its soundings.

use super::{apart, level, soundings};
use crate::measures::evidence;
use crate::measures::reading::{Measured, Measurement};
use crate::passage::Passage;
use crate::units::Ratio;

pub(super) fn ratio(passage: &Passage<'_>) -> Vec<Measurement> {
    let (Some(soundings), Some(stated)) = (soundings(passage), &passage.plan.site.mean_depth)
    else {
        return Vec::new();
    };
    let (above, because) = level(passage);
    let bed = soundings.bed.mean_depth();
    let charted = bed + above;
    let ratio = apart(charted, stated.value);
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(ratio)),
        format!(
            "the mean depth, {charted} by the soundings and {} stated, the greater as a share of the lesser,",
            stated.value
        ),
        evidence::label(stated.span(), format!("mean depth {}", stated.value)),
    );
    known.because = because;
    known.steps = vec![format!(
        "by the soundings: {bed} below the datum, and water {above} above it: {charted}; {} stated",
        stated.value
    )];
    evidence::of_mission(Ok(known))
}
