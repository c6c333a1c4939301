//! From when to when a boat is out, as late as the plan allows.

use jiff::Timestamp;

use crate::finding::Label;
use crate::measures::energy::complete;
use crate::measures::evidence;
use crate::measures::reading::NotMeasured;
use crate::measures::unmeasured;
use crate::passage::Passage;
use crate::plan::Plan;
use crate::plan::calendar::{later, shown};
use crate::schema::Stated;
use crate::units::Time;

/// When a boat is out.
pub(super) struct Out {
    /// The planned launch.
    pub from: Timestamp,
    /// The latest return, or the end of the longest run after the whole delay where that is later.
    pub until: Timestamp,
    /// The lines that say so.
    pub lines: Vec<Label>,
    /// The calculating.
    pub steps: Vec<String>,
    /// The wind in which the run is longest, where the run and not the latest return is what counts.
    pub scenario: Option<String>,
}

/// The longest of all runs, and the wind that it is run in, in words for whoever wants them.
pub(super) fn longest<'p>(
    passage: &'p Passage<'_>,
) -> Result<(Time, impl Fn() -> String + use<'p>), NotMeasured> {
    let runs = complete(passage)?;
    let (duration, scenario) = runs.longest();
    Ok((duration, move || runs.scenarios.describe(scenario, false)))
}

/// The latest return; without one it cannot be determined until when the boat may be out.
pub(super) fn latest_return(plan: &Plan) -> Result<&Stated<Timestamp>, NotMeasured> {
    let launch = &plan.mission.launch;
    launch.latest_return.as_ref().ok_or_else(|| {
        unmeasured::lacking(
            plan,
            launch.time.span(),
            "the plan states no latest return",
            "add `latest_return` under `launch`",
        )
    })
}

/// When the boat is out.
pub(super) fn out(passage: &Passage<'_>) -> Result<Out, NotMeasured> {
    let plan = passage.plan;
    let launch = &plan.mission.launch;
    let back = latest_return(plan)?;
    let (duration, scenario) = longest(passage)?;
    let delay = launch.delay.value;
    let end = later(launch.time.value, delay.get() + duration.get());
    let by_run = end >= back.value;
    let (from, until) = (launch.time.value, back.value.max(end));
    if passage.is_of_values() {
        return Ok(Out {
            from,
            until,
            lines: Vec::new(),
            steps: Vec::new(),
            scenario: None,
        });
    }
    let mut steps = vec![format!(
        "launched {} with a delay of up to {delay} and a run of {duration}: back by {}",
        clock(plan, launch.time.value),
        clock(plan, end)
    )];
    if !by_run {
        steps.push(format!("latest return: {}", clock(plan, back.value)));
    }
    Ok(Out {
        from,
        until,
        lines: vec![
            evidence::label(launch.time.span(), "planned launch"),
            evidence::label(launch.delay.span(), format!("delay of up to {delay}")),
            evidence::label(back.span(), "back by this time"),
        ],
        steps,
        scenario: by_run.then(scenario),
    })
}

/// A moment in the site's own time.
pub(super) fn clock(plan: &Plan, moment: Timestamp) -> String {
    shown(moment, plan.site.time_zone.as_ref())
}

/// From one moment to another; negative where the other comes first.
pub(super) fn between(from: Timestamp, to: Timestamp) -> Time {
    Time::seconds(to.duration_since(from).as_secs_f64())
}
