//! Time with waves on the beam.

use super::{calm, course, length_line, met, spot, too_low};
use crate::measures::assumed;
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::input;
use crate::measures::reading::{Change, Cost, Measure, Measured, NotMeasured, Scope, Type};
use crate::passage::Passage;
use crate::units::{Dimension, Time};

pub(in crate::measures) const ON_THE_BEAM: Entry = Entry {
    measure: Measure {
        name: "mission.beam_sea_time",
        scope: Scope::Mission,
        of: Type::Quantity(Dimension::TIME),
        title: "Time with waves on the beam that are high enough to matter; a screening",
        meaning: "Time under way with waves on the beam: on the route up to any sample and on the \
                  return leg from there, pauses excluded. Waves count in full from a tenth of the \
                  boat's length in height and within 30° of abeam. They do not count below a \
                  twentieth or past 40° from abeam; a minute among waves between these counts in \
                  part. The greatest over all samples and winds.",
        needs: &["wind", "route", "return leg", "speeds", "hull"],
        levers: &[Change::Wind],
        moved_by: input::EVERYTHING,
        of_planned_wind: false,
        cost: Cost::Run,
    },
    read: |passage| evidence::of_mission(on_the_beam(passage)),
};

fn on_the_beam(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let (runs, seaway) = met(passage)?;
    let plan = passage.plan;
    let Some(beam) = &seaway.beam else {
        return Ok(calm(
            passage,
            evidence::value(Time::ZERO),
            "the time with waves on the beam",
            &too_low(passage, "on the beam"),
        ));
    };
    if let Some(alone) = evidence::value_alone(passage, evidence::value(beam.time)) {
        return Ok(alone);
    }
    let first = spot(passage, &beam.first);
    let until = evidence::spot(&evidence::at_sample(passage, beam.sample));
    let mut because = evidence::wind_lines(plan);
    because.push(length_line(passage));
    let met = &beam.first;
    Ok(Measured {
        value: evidence::value(beam.time),
        sentence: format!("the time with waves on the beam, first {},", first.words),
        primary: evidence::label(
            evidence::leg_span(passage, met.sample + usize::from(!met.home)),
            "first here",
        ),
        because,
        place: Some(first.place),
        scenario: Some(runs.scenarios.describe(beam.scenario, false)),
        steps: vec![
            format!("first: waves of {}, {}", met.sea.height, course(met)),
            format!(
                "weighted, on the route up to {until}: {}; on the return leg from there: {}",
                beam.on_route,
                beam.time - beam.on_route
            ),
        ],
        assumptions: assumed::of_plan(plan),
    })
}
