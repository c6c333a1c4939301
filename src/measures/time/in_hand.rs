//! Time in hand before the latest return.

use super::out::{latest_return, longest};
use crate::measures::assumed;
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::input;
use crate::measures::reading::{Change, Cost, Measure, Measured, NotMeasured, Scope, Type};
use crate::passage::Passage;
use crate::units::{Dimension, Time};

pub(in crate::measures) const IN_HAND: Entry = Entry {
    measure: Measure {
        name: "mission.time_in_hand",
        scope: Scope::Mission,
        of: Type::Quantity(Dimension::TIME),
        title: "Least time left between the end of the run and the latest return",
        meaning: "The latest return, less the planned launch with its whole delay, less the \
                  duration of the run in the sustained wind that makes it longest. Negative where \
                  the boat is still out at the latest return, which is as far as the check reads a \
                  forecast.",
        needs: super::NEEDS_OUT,
        levers: &[Change::Wind],
        moved_by: input::EVERYTHING,
        of_planned_wind: false,
        cost: Cost::Run,
    },
    read: |passage| evidence::of_mission(in_hand(passage)),
};

fn in_hand(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let launch = &plan.mission.launch;
    let back = latest_return(plan)?;
    let (duration, scenario) = longest(passage)?;
    let window = back.value.duration_since(launch.time.value).as_secs_f64();
    let delay = launch.delay.value;
    let left = Time::seconds(window) - delay - duration;
    if let Some(alone) = evidence::value_alone(passage, evidence::value(left)) {
        return Ok(alone);
    }
    let mut because = vec![
        evidence::label(launch.time.span(), "planned launch"),
        evidence::label(launch.delay.span(), format!("delay of up to {delay}")),
    ];
    because.extend(evidence::wind_lines(plan));
    Ok(Measured {
        value: evidence::value(left),
        sentence: "the time left between the end of the run and the latest return".to_owned(),
        primary: evidence::label(back.span(), "back by this time"),
        because,
        place: None,
        scenario: Some(scenario()),
        steps: vec![
            format!(
                "from the planned launch to the latest return: {}",
                Time::seconds(window)
            ),
            format!("less a delay of up to {delay} and a run of {duration}: {left}"),
        ],
        assumptions: assumed::of_plan(plan),
    })
}
