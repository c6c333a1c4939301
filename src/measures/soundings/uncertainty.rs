//! Total uncertainty of depth and place against what the survey order allows.

use super::{
    SHARE, depths, entry, greatest_line, least_line, of_claim, range, sonar, sound, unstated,
};
use crate::finding::Label;
use crate::measures::assumed;
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured, Scope};
use crate::measures::unmeasured;
use crate::models::sounding::{HorizontalErrors, Order, VerticalErrors, heave};
use crate::passage::{Passage, sounding};
use crate::plan::soundings::{Soundings, order_name};
use crate::plan::vessel::DepthRange;
use crate::units::{Length, Ratio};

pub(in crate::measures) const VERTICAL: Entry = entry(
    "soundings.vertical_share",
    Scope::Soundings,
    SHARE,
    "Total vertical uncertainty as a share of what the survey order allows",
    "Sounder, speed of sound, water level, draught and heave, each at 95 %, as root sum of \
     squares, over the limit of IHO S-44 (edition 6) at the same depth; the worse of the least and \
     the greatest depth expected. The boat follows the highest sea on its sounding lines. No \
     reading where no order is claimed.",
    &[
        "vessel's sonar: depth_error",
        "vessel's sonar: draught_error",
        "vessel's sonar: sound_speed",
        "mission's soundings: survey_order",
        "mission's soundings: depths",
        "mission's soundings: level_error",
        "wind",
        "conditions: water_temperature",
    ],
    |passage| {
        of_claim(passage, |passage, claim| {
            claim
                .survey_order
                .value
                .map(|order| vertical(passage, claim, order))
        })
    },
);

pub(in crate::measures) const HORIZONTAL: Entry = entry(
    "soundings.horizontal_share",
    Scope::Soundings,
    SHARE,
    "Total horizontal uncertainty as a share of what the survey order allows",
    "Position, the lever arm from antenna to transducer, the distance made during the latency, and \
     the tilt of the beam, each at 95 %, as root sum of squares, over the limit of IHO S-44 \
     (edition 6) at the same depth; the worse of the least and the greatest depth expected. No \
     reading where no order is claimed.",
    &[
        "navigation: position_error",
        "vessel's sonar: lever_arm",
        "vessel's sonar: latency",
        "vessel's sonar: tilt",
        "mission's soundings: survey_order",
        "mission's soundings: depths",
        "speeds",
    ],
    |passage| {
        of_claim(passage, |passage, claim| {
            claim
                .survey_order
                .value
                .map(|order| horizontal(passage, claim, order))
        })
    },
);

/// The depth of the two at which the total takes the larger share of its limit, with both.
fn worst(
    depths: &DepthRange,
    total: impl Fn(Length) -> Length,
    limit: impl Fn(Length) -> Length,
) -> (Label, Length, Length, Length) {
    let at = |depth: Length| (depth, total(depth), limit(depth));
    let (least, greatest) = (at(depths.least.value), at(depths.greatest.value));
    if least.1 / least.2 > greatest.1 / greatest.2 {
        (least_line(depths), least.0, least.1, least.2)
    } else {
        (greatest_line(depths), greatest.0, greatest.1, greatest.2)
    }
}

fn known(
    claim: &Soundings,
    order: Order,
    what: &str,
    found: (Label, Length, Length, Length),
) -> Measured {
    let (line, depth, total, limit) = found;
    let name = order_name(Some(order));
    let share = total / limit;
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(share)),
        format!("the uncertainty of {what} in {depth} of water, as a share of what {name} allows,"),
        evidence::label(claim.survey_order.span(), format!("to {name}")),
    );
    known.because.push(line);
    known.steps = vec![format!(
        "{name} allows {limit} in {depth} of water: {total} / {limit} = {}",
        evidence::share(share)
    )];
    known
}

fn vertical(
    passage: &Passage<'_>,
    claim: &Soundings,
    order: Order,
) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let sonar = sonar(passage)?;
    let own = sonar.depth_error.as_ref().ok_or_else(|| {
        unstated(
            passage,
            sonar,
            "the sounder's own error of a depth",
            "depth_error",
        )
    })?;
    let level = claim.level_error.as_ref().ok_or_else(|| {
        unmeasured::lacking(
            plan,
            claim.span,
            "the plan states no error of the water level",
            "add `level_error` to `soundings`, at 95 % against the datum of the depths",
        )
    })?;
    let depths = depths(passage, claim)?;
    let sound = sound::error(passage, claim)?;
    let runs = passage
        .runs()
        .map_err(|why| unmeasured::no_passage(plan, why))?;
    let legs = sounding::legs(passage);
    let (sea, scenario) = sounding::highest_sea(passage, runs, &legs).ok_or_else(|| {
        unmeasured::lacking(
            plan,
            plan.mission.route_span,
            "the route covers more water than the sea can be calculated for",
            "split the mission",
        )
    })?;
    let errors = VerticalErrors {
        sounder: own.value,
        sound_speed: sound.share,
        water_level: level.value,
        draught: sonar.draught_error.value,
        motion: heave(sea),
    };
    let found = worst(
        depths,
        |depth| errors.total(depth),
        |depth| order.vertical_limit(depth),
    );
    let (depth, total) = (found.1, found.2);
    let mut known = known(claim, order, "the depths", found);
    known.because.extend([
        evidence::label(own.span(), format!("sounder {}", own.value)),
        evidence::label(level.span(), format!("water level {}", level.value)),
        sound.primary,
    ]);
    known.because.extend(sound.because);
    known.because.extend(evidence::wind_lines(plan));
    known.scenario = Some(runs.scenarios.describe(scenario, false));
    known.steps = [
        sound.step,
        format!(
            "waves of {sea} lift the boat by {}, 1.96 standard deviations of their surface",
            errors.motion
        ),
        format!(
            "sounder {}, speed of sound {} of {depth}, water level {}, draught {}, heave {}: root of \
             the sum of squares {total}",
            errors.sounder, errors.sound_speed, errors.water_level, errors.draught, errors.motion
        ),
    ]
    .into_iter()
    .chain(known.steps)
    .collect();
    known.assumptions = assumptions(passage);
    Ok(known)
}

fn horizontal(
    passage: &Passage<'_>,
    claim: &Soundings,
    order: Order,
) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let sonar = sonar(passage)?;
    let depths = depths(passage, claim)?;
    let fastest = range::fastest(passage)?;
    let position = &plan.vessel.navigation.position_error;
    let errors = HorizontalErrors {
        position: position.value,
        lever_arm: sonar.lever_arm.value,
        latency: sonar.latency.value,
        tilt: sonar.tilt.value,
    };
    let found = worst(
        depths,
        |depth| errors.total(depth, fastest.speed),
        |depth| order.horizontal_limit(depth),
    );
    let (depth, total) = (found.1, found.2);
    let mut known = known(claim, order, "the depths' positions", found);
    known.because.push(evidence::label(
        position.span(),
        format!("position {}", position.value),
    ));
    for (span, text) in [
        (
            sonar.lever_arm.span(),
            format!("lever arm {}", errors.lever_arm),
        ),
        (sonar.latency.span(), format!("latency {}", errors.latency)),
        (sonar.tilt.span(), format!("tilt {}", errors.tilt)),
    ] {
        known.because.push(evidence::label(span, text));
    }
    known.steps = [
        format!(
            "latency: {} × {} = {}; tilt: {depth} × tan({}) = {}",
            fastest.speed,
            errors.latency,
            fastest.speed * errors.latency,
            errors.tilt,
            depth * errors.tilt.get().tan()
        ),
        format!(
            "with position {} and lever arm {}: root of the sum of squares {total}",
            errors.position, errors.lever_arm
        ),
    ]
    .into_iter()
    .chain(known.steps)
    .collect();
    known.assumptions = assumptions(passage);
    Ok(known)
}

/// What is assumed of the sounder, and of the plan.
fn assumptions(passage: &Passage<'_>) -> Vec<String> {
    let mut all = assumed::of_plan(passage.plan);
    all.extend(assumed::of_soundings(passage.plan));
    all
}
