//! The lights that the boat carries.

use super::entry;
use crate::measures::assumed;
use crate::measures::entry::Entry;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured, Type, Value};
use crate::measures::unmeasured;
use crate::models::lights::{Light, enough};
use crate::passage::Passage;

pub(in crate::measures) const CARRIES: Entry = entry(
    "mission.carries_lights",
    Type::Truth,
    "Whether the boat carries lights at all",
    "False where the vessel states none of any kind.",
    &["lights"],
    |passage| evidence::of_mission(Ok(carries(passage))),
);

pub(in crate::measures) const ENOUGH: Entry = entry(
    "mission.lights_enough",
    Type::Truth,
    "Whether the lights aboard are those of a small power-driven vessel",
    "True where lights with the arc and the range of their kind make up those of a vessel under \
     way: masthead light, sidelights and sternlight; all-round white light and sidelights; or, on \
     a boat of less than 7 m that cannot exceed 7 knots at its maximum power, an all-round white \
     light.",
    &["lights", "length overall", "propulsion"],
    |passage| evidence::of_mission(are_enough(passage)),
);

fn carries(passage: &Passage<'_>) -> Measured {
    let lights = &passage.plan.vessel.lights;
    let any = !lights.value.is_empty();
    let text = if any {
        "the boat carries lights"
    } else {
        "the boat carries no lights"
    };
    Measured {
        value: Value::Truth(any),
        sentence: text.to_owned(),
        primary: evidence::label(lights.span(), text),
        because: Vec::new(),
        place: None,
        scenario: None,
        steps: Vec::new(),
        assumptions: lights.assumption().map(str::to_owned).into_iter().collect(),
    }
}

fn are_enough(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let (vessel, water) = (&plan.vessel, plan.site.water.value);
    let lights = &vessel.lights;
    let slow = vessel.keeps_below_seven_knots(water);
    let mut good: Vec<Light> = Vec::new();
    let mut because = vec![evidence::label(
        vessel.hull.length_overall.span(),
        format!("length overall {}", vessel.hull.length_overall.value),
    )];
    let mut steps = Vec::new();
    for light in &lights.value {
        let kind = light.kind.value;
        let (arc, range) = (light.arc.value, light.range.value);
        let met = kind.is_met_by(arc, range);
        let verdict = if met { "as required" } else { "not enough" };
        steps.push(format!(
            "{} over {arc}, visible from {range} (required: {} and {}): {verdict}",
            kind.name(),
            kind.arc(),
            kind.range()
        ));
        because.push(evidence::label(
            light.kind.span(),
            format!("{}: {verdict}", kind.name()),
        ));
        if met {
            good.push(kind);
        }
    }
    let length = vessel.hull.length_overall.value;
    let enough = enough(&good, length, slow).map_err(|why| {
        unmeasured::lacking(
            plan,
            vessel.hull.length_overall.span(),
            &why.to_string(),
            "have somebody who knows the regulations for its size look at its lights",
        )
    })?;
    let speed = if slow {
        "cannot exceed 7 kn"
    } else {
        "may exceed 7 kn"
    };
    steps.push(format!("the boat is {length} long and {speed}"));
    let sentence = if enough {
        "the lights aboard are enough"
    } else if lights.value.is_empty() {
        "the boat needs lights and carries none"
    } else {
        "the boat needs lights and those aboard are not enough"
    };
    Ok(Measured {
        value: Value::Truth(enough),
        sentence: sentence.to_owned(),
        primary: evidence::label(lights.span(), sentence),
        because,
        place: None,
        scenario: None,
        steps,
        assumptions: assumed::of_plan(plan),
    })
}
