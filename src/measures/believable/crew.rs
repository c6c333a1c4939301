//! What a crew and a boat are said to do, against floors.

use crate::measures::reading::Known;
use crate::measures::tell;
use crate::passage::Passage;
use crate::units::Ratio;

pub(super) fn over_floor(passage: &Passage<'_>) -> Known {
    let plan = passage.plan;
    let lowest = plan
        .floored
        .iter()
        .min_by(|a, b| a.share.total_cmp(&b.share));
    let Some(lowest) = lowest else {
        return Known::of(
            tell::value(Ratio::fraction(1.0)),
            "the figures of crew and boat, as a share of their floors,",
            tell::label(plan.mission.id.span(), "none is below its floor"),
        );
    };
    let mut known = Known::of(
        tell::value(Ratio::fraction(lowest.share)),
        format!("{}, as stated, as a share of its floor", lowest.what),
        tell::label(lowest.span, format!("{} stated", lowest.stated)),
    );
    known.because = plan
        .floored
        .iter()
        .filter(|other| other.span != lowest.span)
        .map(|other| tell::label(other.span, format!("{} stated", other.stated)))
        .collect();
    known.steps = plan
        .floored
        .iter()
        .map(|one| {
            format!(
                "{}: {} stated / {}, its floor = {}; calculated with {}",
                one.what,
                one.stated,
                one.floor,
                tell::share(one.share),
                one.floor
            )
        })
        .collect();
    known
}
