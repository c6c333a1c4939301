//! Whether soundings come home: claimed, recorded, within range, memory enough.

use super::{DepthRange, Sonar};
use super::{Told, entry, greatest_line, least_line, of_claim, sonar, takes_soundings};
use crate::measures::assumed;
use crate::measures::energy::complete;
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Measured, Measurement, NotMeasured, Scope, Type, Value};
use crate::passage::Passage;
use crate::plan::mission::LinkUse;
use crate::plan::radio::Link;
use crate::plan::soundings::{Soundings, order_name};
use crate::schema::Stated;
use crate::units::Dimension;

pub(in crate::measures) const ORDER_STATED: Entry = entry(
    "soundings.order_stated",
    Scope::Soundings,
    Type::Truth,
    "Whether the plan states the survey order of its soundings",
    "True where the mission states `soundings`. The other sounding rules apply only then. A \
     mission without `soundings`, without a survey block and without a use for the sonar's link \
     takes none.",
    &["soundings", "links: sonar-data"],
    claimed,
);

pub(in crate::measures) const RECORDED: Entry = entry(
    "soundings.recorded",
    Scope::Soundings,
    Type::Truth,
    "Whether the mission can record soundings at all",
    "False where they are recorded ashore and the mission does not use the link that carries them \
     there, and where no expected depth is within the range of the sounder.",
    &[
        "vessel's sonar: records",
        "vessel's sonar: range",
        "links: sonar-data",
        "mission's soundings: depths",
    ],
    |passage| {
        if takes_soundings(passage) {
            evidence::of_mission(come_home(passage))
        } else {
            Vec::new()
        }
    },
);

pub(in crate::measures) const RECORD_TIME: Entry = entry(
    "soundings.record_time_in_hand",
    Scope::Soundings,
    Type::Quantity(Dimension::TIME),
    "Recording time left at the end of the run",
    "How long the memory lasts, less the delay of the launch, less the duration of the run in the \
     wind that makes it longest. No reading where soundings are recorded ashore.",
    &[
        "vessel's sonar: records_for",
        "launch: delay",
        "wind",
        "propulsion",
        "route",
        "speeds",
    ],
    |passage| of_claim(passage, record_time),
);

fn claimed(passage: &Passage<'_>) -> Vec<Measurement> {
    let mission = &passage.plan.mission;
    let known = match (&mission.soundings, mission.blocks.first()) {
        (Some(claim), _) => Measured::new(
            Value::Truth(true),
            "the plan states the survey order of its soundings".to_owned(),
            evidence::label(
                claim.survey_order.span(),
                format!("to {}", order_name(claim.survey_order.value)),
            ),
        ),
        (None, Some(block)) => Measured::new(
            Value::Truth(false),
            "the plan takes soundings but does not state their survey order".to_owned(),
            evidence::label(block.id.span(), "soundings are taken here"),
        ),
        // What the sonar sees is wanted, ashore or aboard.
        (None, None) => match stated_use(passage) {
            Some(usage) => Measured::new(
                Value::Truth(false),
                "the plan records soundings but does not state their survey order".to_owned(),
                evidence::label(usage.span(), "sonar data recorded"),
            ),
            None => return Vec::new(),
        },
    };
    evidence::of_mission(Ok(known))
}

/// What the plan itself says that the sonar's link is for, where it is used.
fn stated_use<'p>(passage: &'p Passage<'_>) -> Option<&'p Stated<LinkUse>> {
    let usage = passage.plan.mission.link_use(Link::SonarData)?;
    let used = usage.value != LinkUse::NotUsed && usage.assumption().is_none();
    used.then_some(usage)
}

fn come_home(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let mission = &passage.plan.mission;
    let sonar = sonar(passage)?;
    let aboard = &sonar.records_aboard;
    let usage = mission.link_use(Link::SonarData);
    if !aboard.value && usage.is_none_or(|usage| usage.value != LinkUse::Needed) {
        let mut known = Measured::new(
            Value::Truth(false),
            "the soundings are recorded ashore, but the mission does not use the link that carries \
             them there"
                .to_owned(),
            evidence::label(aboard.span(), "recorded ashore"),
        );
        known
            .because
            .extend(usage.map(|usage| evidence::label(usage.span(), "not used on this mission")));
        return Ok(known);
    }
    let expected = mission.soundings.as_ref().and_then(|c| c.depths.as_ref());
    if let (Some(depths), Some(range)) = (expected, &sonar.range)
        && out_of_range(passage, depths, range)
    {
        let mut known = Measured::new(
            Value::Truth(false),
            "no expected depth is within the range of the sounder".to_owned(),
            evidence::label(
                range.greatest.span(),
                format!("finds {} to {}", range.least.value, range.greatest.value),
            ),
        );
        known.because = vec![least_line(depths), greatest_line(depths)];
        return Ok(known);
    }
    Ok(recorded(sonar))
}

fn recorded(sonar: &Sonar) -> Measured {
    let place = if sonar.records_aboard.value {
        "aboard"
    } else {
        "ashore"
    };
    Measured::new(
        Value::Truth(true),
        format!("the soundings are recorded {place}"),
        evidence::label(sonar.records_aboard.span(), format!("recorded {place}")),
    )
}

fn out_of_range(passage: &Passage<'_>, depths: &DepthRange, range: &DepthRange) -> bool {
    let draft = passage.plan.vessel.hull.draft.value;
    depths.least.value - draft > range.greatest.value
        || depths.greatest.value - draft < range.least.value
}

fn record_time(passage: &Passage<'_>, _: &Soundings) -> Told {
    match sonar(passage) {
        Ok(sonar) => sonar.records_aboard.value.then(|| in_hand(passage, sonar)),
        Err(unknown) => Some(Err(unknown)),
    }
}

fn in_hand(passage: &Passage<'_>, sonar: &Sonar) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let lasts = sonar.records_for.as_ref().ok_or_else(|| {
        super::unstated(
            passage,
            sonar,
            "how long the recorder's memory lasts",
            "records_for",
        )
    })?;
    let runs = complete(passage)?;
    let (duration, scenario) = runs.longest();
    let delay = plan.mission.launch.delay.value;
    let left = lasts.value - delay - duration;
    let mut known = Measured::new(
        evidence::value(left),
        "the recording time left at the end of the run".to_owned(),
        evidence::label(lasts.span(), format!("records for {}", lasts.value)),
    );
    known.because = vec![
        evidence::label(plan.mission.route_span, format!("a run of {duration}")),
        evidence::label(
            plan.mission.launch.delay.span(),
            format!("delay of up to {delay}"),
        ),
    ];
    known.because.extend(evidence::wind_lines(plan));
    known.scenario = Some(runs.scenarios.describe(scenario, false));
    known.steps = vec![format!(
        "{} − {delay} of delay − {duration} of run = {left}",
        lasts.value
    )];
    known.assumptions = assumed::of_plan(plan);
    Ok(known)
}
