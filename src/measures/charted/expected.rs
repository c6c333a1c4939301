//! The depths that a mission expects against the soundings that there are.

use super::{apart, level, soundings};
use crate::finding::Label;
use crate::measures::evidence;
use crate::measures::reading::{Measured, Measurement};
use crate::passage::{Passage, sounding};
use crate::units::{Length, Ratio};

/// The greatest depth of the water by the soundings where the mission takes its own, with the sample and
/// the lines; `None` where they say nothing of it.
pub(in crate::measures) fn deepest(passage: &Passage<'_>) -> Option<(Length, usize, Vec<Label>)> {
    let (_, lines) = level(passage);
    charted(passage)
        .max_by(|a, b| a.0.get().total_cmp(&b.0.get()))
        .map(|(depth, sample)| (depth, sample, lines))
}

/// The depths of the water by the soundings at the samples where the mission takes its own.
fn charted<'p>(passage: &'p Passage<'_>) -> impl Iterator<Item = (Length, usize)> + 'p {
    let legs = sounding::legs(passage);
    let track = &passage.track;
    let (above, _) = level(passage);
    let bed = soundings(passage).map(|soundings| &soundings.bed);
    (1..track.samples.len())
        .filter(move |sample| legs.binary_search(&track.leg_of_sample(*sample)).is_ok())
        .filter_map(move |sample| Some((bed?.depth_at(track.samples[sample])? + above, sample)))
}

pub(super) fn ratio(passage: &Passage<'_>) -> Vec<Measurement> {
    let claim = passage.plan.mission.soundings.as_ref();
    let Some(expected) = claim.and_then(|claim| claim.depths.as_ref()) else {
        return Vec::new();
    };
    let Some((charted, sample, because)) = deepest(passage) else {
        return Vec::new();
    };
    let greatest = &expected.greatest;
    let ratio = apart(charted, greatest.value);
    let place = evidence::at_sample(passage, sample);
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(ratio)),
        format!(
            "the greatest depth, {charted} by the soundings and {} expected, the greater as a share of the \
             lesser,",
            greatest.value
        ),
        evidence::label(
            greatest.span(),
            format!("greatest depth expected {}", greatest.value),
        ),
    );
    known.because = because;
    known.steps = vec![format!(
        "deepest by the soundings at {}: {charted}; {} expected",
        evidence::spot(&place),
        greatest.value
    )];
    known.place = Some(place);
    evidence::of_mission(Ok(known))
}

pub(super) fn least_excess(passage: &Passage<'_>) -> Vec<Measurement> {
    let claim = passage.plan.mission.soundings.as_ref();
    let (Some(expected), Some(soundings)) = (
        claim.and_then(|claim| claim.depths.as_ref()),
        soundings(passage),
    ) else {
        return Vec::new();
    };
    let Some((charted, sample)) = charted(passage).min_by(|a, b| a.0.get().total_cmp(&b.0.get()))
    else {
        return Vec::new();
    };
    let least = &expected.least;
    let error = &soundings.error;
    let excess = least.value - charted - error.value;
    let place = evidence::at_sample(passage, sample);
    let mut known = Measured::new(
        evidence::value(excess),
        "the least depth expected, beyond what the soundings show there and their error,",
        evidence::label(
            least.span(),
            format!("least depth expected {}", least.value),
        ),
    );
    let (_, lines) = level(passage);
    known.because = lines;
    known.because.push(evidence::label(
        error.span(),
        format!("error of a depth {}", error.value),
    ));
    known.steps = vec![
        format!(
            "shallowest by the soundings at {}: {charted}",
            evidence::spot(&place)
        ),
        format!("{} − {charted} − {} = {excess}", least.value, error.value),
    ];
    known.place = Some(place);
    evidence::of_mission(Ok(known))
}
