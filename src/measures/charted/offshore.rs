//! Whether the soundings get deeper away from the shore, as water does.

use super::soundings;
use crate::measures::evidence;
use crate::measures::reading::{Measured, Measurement};
use crate::passage::Passage;
use crate::units::Length;

/// Fewer soundings tell nothing of it. Our own choice.
const FEWEST: usize = 12;
/// Most soundings that are looked at, evenly among all. Numerical: bounds the work.
const MOST: usize = 4000;

pub(super) fn deepens(passage: &Passage<'_>) -> Vec<Measurement> {
    let site = &passage.plan.site;
    let Some(soundings) = soundings(passage) else {
        return Vec::new();
    };
    let count = soundings.bed.every_sounding().count();
    if count < FEWEST {
        return Vec::new();
    }
    let mut all: Vec<(f64, f64)> = soundings
        .bed
        .every_sounding()
        .step_by(count.div_ceil(MOST))
        .map(|one| (site.shore.distance(one.at), one.depth.get()))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let quarter = all.len() / 4;
    let mean = |some: &[(f64, f64)]| {
        #[expect(clippy::cast_precision_loss, reason = "far below 2^53")]
        let count = some.len() as f64;
        Length::metres(some.iter().map(|(_, depth)| depth).sum::<f64>() / count)
    };
    let (near, far) = (mean(&all[..quarter]), mean(&all[all.len() - quarter..]));
    let deeper = far - near;
    let mut known = Measured::new(
        evidence::value(deeper),
        "the depth by the soundings far from the shore, beyond that near it,",
        evidence::label(soundings.file.span(), "the soundings"),
    );
    known.because = vec![evidence::label(site.shore_span, "the shoreline")];
    known.steps = vec![
        format!("the {quarter} soundings nearest to a shore: {near} on average"),
        format!("the {quarter} farthest from any: {far}"),
        format!("{far} − {near} = {deeper}"),
    ];
    evidence::of_mission(Ok(known))
}
