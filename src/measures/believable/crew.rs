//! What a crew and a boat are said to do, against floors.

use crate::measures::evidence;
use crate::measures::reading::Measured;
use crate::passage::Passage;
use crate::units::Ratio;

pub(super) fn over_floor(passage: &Passage<'_>) -> Measured {
    let plan = passage.plan;
    let lowest = plan
        .floored
        .iter()
        .min_by(|a, b| a.share.total_cmp(&b.share));
    let Some(lowest) = lowest else {
        return Measured::new(
            evidence::value(Ratio::fraction(1.0)),
            "the stated figures of crew and boat, as a share of their floors,",
            evidence::label(plan.mission.id.span(), "none is below its floor"),
        );
    };
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(lowest.share)),
        format!("{}, as stated, as a share of its floor", lowest.what),
        evidence::label(lowest.span, format!("{} stated", lowest.stated)),
    );
    known.because = plan
        .floored
        .iter()
        .filter(|other| other.span != lowest.span)
        .map(|other| evidence::label(other.span, format!("{} stated", other.stated)))
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
                evidence::share(one.share),
                one.floor
            )
        })
        .collect();
    known
}
