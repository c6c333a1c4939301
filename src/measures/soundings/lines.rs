//! Sounding lines: their spacing against the beam, the survey order and the boat's turns.

use super::{SHARE, depths, entry, narrowest_footprint};
use crate::measures::assumed;
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Measured, Measurement, NotMeasured, Scope};
use crate::models::sounding::{
    Order, greatest_gap, greatest_line_spacing, line_spacing, spacing_for_coverage, widest_gap,
};
use crate::passage::Passage;
use crate::plan::soundings::{Block, Soundings, order_name};
use crate::units::Ratio;

pub(in crate::measures) const COVERAGE: Entry = entry(
    "survey.coverage",
    Scope::Survey,
    SHARE,
    "Share of the gap between two lines that their beams cover, where full coverage is claimed",
    "The beam's swath on the bed at the least depth expected, less the overlap, over the widest \
     gap between two neighbouring lines: the spacing and the cross-track errors of both. Halved \
     for the exclusive order, which requires double coverage. No reading where the order allows \
     gaps between lines.",
    &[
        "vessel's sonar: beam_angle",
        "hull: draft",
        "navigation: cross_track_error",
        "mission's soundings: survey_order or coverage",
        "mission's soundings: depths",
        "mission's soundings: overlap",
        "survey: spacing",
    ],
    |passage| {
        of_blocks(passage, |passage, claim, block| {
            (claim.times_covered() > 0).then(|| coverage(passage, claim, block))
        })
    },
);

pub(in crate::measures) const LINE_SPACING: Entry = entry(
    "survey.spacing_share",
    Scope::Survey,
    SHARE,
    "Spacing of the lines as a share of the greatest that an order without full coverage allows",
    "The spacing over the greatest that the order allows (IHO S-44, edition 6): the beam covers 5 % \
     of the bed at the least depth expected, and depths are no farther apart than three times that \
     depth or 25 m, whichever is greater. No reading where the mission claims full coverage or no \
     order.",
    &[
        "vessel's sonar: beam_angle",
        "hull: draft",
        "mission's soundings: survey_order",
        "mission's soundings: depths",
        "survey: spacing",
    ],
    |passage| {
        of_blocks(passage, |passage, claim, block| {
            let order = claim
                .survey_order
                .value
                .filter(|_| claim.times_covered() == 0)?;
            Some(spacing(passage, claim, order, block))
        })
    },
);

pub(in crate::measures) const TURN: Entry = entry(
    "survey.turn_share",
    Scope::Survey,
    SHARE,
    "Width of a turn as a share of the spacing of the lines",
    "Twice the turning radius over the spacing. Above 100 % the boat cannot turn from one line \
     into the next in a half circle, and comes onto the line from outside. A block of one line has \
     no turn.",
    &["navigation: turning_radius", "survey: spacing"],
    turns,
);

/// One reading a survey block that a claim bears on.
fn of_blocks(
    passage: &Passage<'_>,
    read: fn(&Passage<'_>, &Soundings, &Block) -> Option<Result<Measured, NotMeasured>>,
) -> Vec<Measurement> {
    let mission = &passage.plan.mission;
    let Some(claim) = &mission.soundings else {
        return Vec::new();
    };
    let blocks = mission.blocks.iter();
    blocks
        .filter_map(|block| Some(reading(block, read(passage, claim, block)?)))
        .collect()
}

fn reading(block: &Block, outcome: Result<Measured, NotMeasured>) -> Measurement {
    Measurement {
        subject: format!("survey {}", block.id.value),
        outcome,
    }
}

fn coverage(
    passage: &Passage<'_>,
    claim: &Soundings,
    block: &Block,
) -> Result<Measured, NotMeasured> {
    let (footprint, lines, step) = narrowest_footprint(passage, claim)?;
    let kept = &passage.plan.vessel.navigation.cross_track_error;
    let gap = widest_gap(block.spacing.value, kept.value);
    let overlap = &claim.overlap;
    let covered = line_spacing(footprint, overlap.value);
    let times = f64::from(claim.times_covered());
    let share = covered / gap / times;
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(share)),
        format!("the coverage between the lines of {}", block.id.value),
        spacing_line(block),
    );
    known.because = lines;
    known.because.push(evidence::label(
        kept.span(),
        format!("cross-track error {}", kept.value),
    ));
    known.because.push(evidence::label(
        claim.survey_order.span(),
        full_coverage_words(claim),
    ));
    known.steps = vec![
        step,
        format!("less {} of overlap: {covered}", overlap.value),
        format!(
            "two lines may be {} + √2 × {} = {gap} apart",
            block.spacing.value, kept.value
        ),
        if claim.times_covered() > 1 {
            format!(
                "{covered} / {gap} / {times}, for {times}-fold coverage: {}",
                evidence::share(share)
            )
        } else {
            format!("{covered} / {gap} = {}", evidence::share(share))
        },
    ];
    known.assumptions = assumed::of_soundings(passage.plan);
    Ok(known)
}

fn full_coverage_words(claim: &Soundings) -> String {
    match claim.survey_order.value {
        Some(order) if order.times_covered() > 0 => {
            format!("{} requires full coverage", order_name(Some(order)))
        }
        _ => "full coverage is claimed".to_owned(),
    }
}

fn spacing_line(block: &Block) -> crate::finding::Label {
    evidence::label(
        block.spacing.span(),
        format!("lines {} apart", block.spacing.value),
    )
}

fn spacing(
    passage: &Passage<'_>,
    claim: &Soundings,
    order: Order,
    block: &Block,
) -> Result<Measured, NotMeasured> {
    let (footprint, mut because, step) = narrowest_footprint(passage, claim)?;
    let least = depths(passage, claim)?.least.value;
    let covered = spacing_for_coverage(footprint, order);
    let greatest = greatest_line_spacing(footprint, least, order);
    let share = block.spacing.value / greatest;
    let name = order_name(claim.survey_order.value);
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(share)),
        format!(
            "the spacing of the lines of {}, as a share of the greatest for {name},",
            block.id.value
        ),
        spacing_line(block),
    );
    because.push(evidence::label(
        claim.survey_order.span(),
        format!("to {name}"),
    ));
    known.because = because;
    known.steps = vec![
        step,
        format!(
            "{name} requires {} of the bed: at most {footprint} / {} = {covered} apart",
            order.coverage(),
            order.coverage()
        ),
        format!(
            "and depths at most 3 × {least} or 25 m apart, whichever is greater: {}",
            greatest_gap(least)
        ),
        format!(
            "{} / {greatest} = {}",
            block.spacing.value,
            evidence::share(share)
        ),
    ];
    known.assumptions = assumed::of_soundings(passage.plan);
    Ok(known)
}

fn turns(passage: &Passage<'_>) -> Vec<Measurement> {
    let mission = &passage.plan.mission;
    let radius = &passage.plan.vessel.navigation.turning_radius;
    let lines = |block: &Block| {
        let own = mission.legs.iter().filter(|l| l.sounding);
        own.filter(|leg| leg.id == block.id.value).count()
    };
    let blocks = mission.blocks.iter().filter(|block| lines(block) > 1);
    blocks
        .map(|block| {
            let width = radius.value * 2.0;
            let share = width / block.spacing.value;
            let mut known = Measured::new(
                evidence::value(Ratio::fraction(share)),
                format!(
                    "the width of a turn, as a share of the spacing of the lines of {},",
                    block.id.value
                ),
                spacing_line(block),
            );
            known.because = vec![evidence::label(
                radius.span(),
                format!("turns on a radius of {}", radius.value),
            )];
            known.steps = vec![format!(
                "2 × {} / {} = {}",
                radius.value,
                block.spacing.value,
                evidence::share(share)
            )];
            reading(block, Ok(known))
        })
        .collect()
}
