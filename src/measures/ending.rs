//! The end of the run: coming to rest, running on, drifting, being in reach of a person.

use super::catalogue::Entry;
use super::reading::{Known, Lever, Measure, Reading, Scope, Type, Unknown, Value};
use super::tell;
use crate::finding::{Label, Place};
use crate::passage::ending::{self, Danger};
use crate::passage::{NoPassage, Passage};
use crate::plan::mission::Action;
use crate::source::Span;
use crate::units::{Dimension, Length};

const fn entry(
    name: &'static str,
    of: Type,
    title: &'static str,
    meaning: &'static str,
    needs: &'static str,
    levers: &'static [Lever],
    read: fn(&Passage<'_>) -> Vec<Reading>,
) -> Entry {
    Entry {
        measure: Measure {
            name,
            scope: Scope::End,
            of,
            title,
            meaning,
            needs,
            levers,
        },
        read,
    }
}

const LENGTH: Type = Type::Quantity(Dimension::LENGTH);

pub(super) const COMES_TO_REST: Entry = entry(
    "end.comes_to_rest",
    Type::Truth,
    "Whether the boat holds its place or stops at the recovery point",
    "True where the plan's action at the end is to hold or to stop, false where it carries on.",
    "at_end",
    &[],
    |passage| tell::of_mission(comes_to_rest(passage)),
);

pub(super) const RUN_ON: Entry = entry(
    "end.run_on_clearance",
    LENGTH,
    "Clearance of the last leg run on past the recovery point",
    "The last leg is extended by the way made during the operator's reaction and by the stopping \
     distance; its clearance from land and from hazards (less their stand-off), less the corridor.",
    "operator, last leg, stopping distance, shoreline, hazards",
    &[Lever::EndSooner, Lever::Speed],
    |passage| tell::of_mission(run_on(passage)),
);

pub(super) const STAND_OFF: Entry = entry(
    "end.stand_off",
    LENGTH,
    "Distance of the recovery point from land and hazards",
    "Signed distance of the recovery point to the nearest of the shoreline and the site's hazards, \
     nothing taken off; negative on land.",
    "recovery point, shoreline, hazards",
    &[],
    |passage| tell::of_mission(Ok(stand_off(passage))),
);

pub(super) const APPROACH_SPEED: Entry = entry(
    "end.approach_speed",
    Type::Quantity(Dimension::SPEED),
    "Speed over ground on the last leg",
    "The speed commanded on the last leg, over ground, at its greatest with and without current.",
    "speed of the last leg, currents",
    &[Lever::LastLeg],
    |passage| tell::of_mission(approach_speed(passage)),
);

pub(super) const OFF_WIND: Entry = entry(
    "end.approach_off_wind",
    Type::Quantity(Dimension::ANGLE),
    "Angle between the last leg's track and where the wind comes from",
    "At its greatest over all winds. Into the wind, the wind helps the boat to stop and drives it back \
     the way it came.",
    "wind, last leg",
    &[],
    |passage| tell::of_mission(off_wind(passage)),
);

pub(super) const STRAIGHT_LENGTH: Entry = entry(
    "end.straight_length",
    LENGTH,
    "Length of the last leg",
    "The straight way before the recovery point, on which the operator sees that the boat comes as \
     planned.",
    "route, recovery point",
    &[],
    |passage| tell::of_mission(Ok(straight_length(passage))),
);

pub(super) const DEPTH_UNDER_KEEL: Entry = entry(
    "end.depth_under_keel",
    LENGTH,
    "Depth of water under the keel at the recovery's landing place",
    "The least depth stated for the landing place, less the draft.",
    "depth of the landing place, draft",
    &[],
    |passage| tell::of_mission(depth(passage)),
);

pub(super) const OPERATOR_DISTANCE: Entry = entry(
    "end.operator_distance",
    LENGTH,
    "Distance from the remote operator to the recovery point",
    "In the plan's plane.",
    "operator, recovery point",
    &[],
    |passage| tell::of_mission(operator_distance(passage)),
);

pub(super) const OPERATOR_IN_SIGHT: Entry = entry(
    "end.operator_in_sight",
    Type::Truth,
    "Whether no land lies between the remote operator and the recovery point",
    "False where the straight line crosses land, but for 50 m of it that the operator stands on.",
    "operator, recovery point, shoreline",
    &[],
    |passage| tell::of_mission(operator_in_sight(passage)),
);

pub(super) const DRIFT_TIME_ASHORE: Entry = entry(
    "end.drift_time_ashore",
    Type::Quantity(Dimension::TIME),
    "Time in which a boat without power drifts on to land or a hazard, from the last leg or the \
     recovery point",
    "Leeway under the gust, downwind and 20° to either side, plus the current; the soonest over all \
     winds. Land inside the recovery's own landing zone does not count.",
    "wind, gust, leeway, currents, last leg, shoreline, hazards",
    &[Lever::Wind],
    |passage| tell::of_mission(drift(passage)),
);

fn lacking(passage: &Passage<'_>, span: Span, reason: &str, remedy: &str) -> Unknown {
    Unknown {
        reason: reason.to_owned(),
        remedy: remedy.to_owned(),
        primary: tell::label(span, "not enough to go on"),
        because: Vec::new(),
        assumptions: tell::assumptions(passage.plan),
    }
}

fn recovery_label(passage: &Passage<'_>) -> Label {
    tell::label(
        passage.plan.mission.recovery.at.span(),
        "the recovery point",
    )
}

fn recovery_place(passage: &Passage<'_>) -> Place {
    let at = passage.plan.mission.recovery.at.value;
    Place {
        name: "the recovery point".to_owned(),
        along: Some(Length::metres(passage.track.length())),
        position: Some(tell::degrees(passage.plan, at)),
    }
}

/// A value with its line and the recovery point; the rest is filled in by the measure.
fn plain(passage: &Passage<'_>, value: Value, sentence: &str, primary: Label) -> Known {
    Known {
        value,
        sentence: sentence.to_owned(),
        primary,
        because: Vec::new(),
        place: Some(recovery_place(passage)),
        scenario: None,
        steps: Vec::new(),
        assumptions: Vec::new(),
    }
}

fn comes_to_rest(passage: &Passage<'_>) -> Result<Known, Unknown> {
    let mission = &passage.plan.mission;
    let Some(action) = &mission.at_end else {
        return Err(lacking(
            passage,
            mission.recovery.at.span(),
            "the plan does not say what the boat does at the recovery point",
            "add `at_end: { action: hold }` or `stop`",
        ));
    };
    let rests = matches!(action.value, Action::Hold | Action::Stop);
    let primary = tell::label(
        action.span(),
        format!("at the end: {}", action.value.words()),
    );
    let sentence = if rests {
        "the boat comes to rest at the recovery point"
    } else {
        "the boat does not come to rest at the recovery point but carries on"
    };
    let mut known = plain(passage, Value::Truth(rests), sentence, primary);
    known.because.push(recovery_label(passage));
    Ok(known)
}

fn danger_name(passage: &Passage<'_>, danger: Danger) -> (String, Label) {
    let site = &passage.plan.site;
    match danger {
        Danger::Land => (
            "land".to_owned(),
            tell::label(site.shore_span, "this shoreline"),
        ),
        Danger::Hazard(index) => {
            let hazard = &site.hazards[index];
            let name = format!("the hazard `{}`", hazard.id.value);
            let text = format!("{}: keep {} away", hazard.title, hazard.clearance.value);
            (name, tell::label(hazard.clearance.span(), text))
        }
    }
}

fn run_on(passage: &Passage<'_>) -> Result<Known, Unknown> {
    let mission = &passage.plan.mission;
    let Some(operator) = &mission.operator else {
        return Err(lacking(
            passage,
            mission.recovery.at.span(),
            "the plan states no operator, so nobody's reaction can be reckoned with",
            "add `operator:` with `at` and `reaction_time`",
        ));
    };
    let run_on = ending::run_on(passage, Length::ZERO).ok_or_else(|| {
        lacking(
            passage,
            passage.plan.vessel.propulsion.calm.span(),
            "the stopping distance cannot be reckoned at this approach speed",
            "state `stopping_distance` under the vessel's `propulsion`",
        )
    })?;
    let (name, line) = danger_name(passage, run_on.from);
    let sentence =
        format!("the clearance from {name}, where the boat runs on past the recovery point,");
    let mut known = plain(
        passage,
        tell::value(run_on.clearance),
        &sentence,
        recovery_label(passage),
    );
    known.because.push(line);
    if let Some((leg, _)) = mission.approach() {
        known.because.push(tell::label(
            leg.command.span(),
            format!("approach at {}", leg.speed()),
        ));
    }
    known.because.push(tell::label(
        operator.reaction_time.span(),
        format!("reaction time {}", operator.reaction_time.value),
    ));
    known.steps = vec![
        format!(
            "runs on for {} at {}: {}",
            operator.reaction_time.value, run_on.speed, run_on.reaction
        ),
        format!(
            "stops in {}: {} in all",
            run_on.stopping,
            run_on.reaction + run_on.stopping
        ),
        format!(
            "clearance of that way from {name}, less the corridor: {}",
            run_on.clearance
        ),
    ];
    known.assumptions = tell::assumptions(passage.plan);
    Ok(known)
}

fn stand_off(passage: &Passage<'_>) -> Known {
    let (distance, danger) = ending::stand_off(passage);
    let (name, line) = danger_name(passage, danger);
    let sentence = format!("the distance of the recovery point from {name}");
    let mut known = plain(
        passage,
        tell::value(distance),
        &sentence,
        recovery_label(passage),
    );
    known.because.push(line);
    known
}

fn approach_speed(passage: &Passage<'_>) -> Result<Known, Unknown> {
    let mission = &passage.plan.mission;
    let (Some(approach), Some((leg, _))) = (ending::approach(passage), mission.approach()) else {
        return Err(lacking(
            passage,
            mission.route_span,
            "the route has no last leg",
            "add a leg",
        ));
    };
    let primary = tell::label(
        leg.command.span(),
        format!("speed of the last leg: {}", leg.speed()),
    );
    let mut known = plain(
        passage,
        tell::value(approach.over_ground),
        "the approach speed over ground",
        primary,
    );
    known.because.push(recovery_label(passage));
    Ok(known)
}

fn no_wind(passage: &Passage<'_>, why: &NoPassage) -> Unknown {
    tell::no_passage(passage.plan, why)
}

fn off_wind(passage: &Passage<'_>) -> Result<Known, Unknown> {
    let runs = passage.runs().map_err(|why| no_wind(passage, why))?;
    let Some((angle, scenario)) = ending::off_wind(passage, &runs.scenarios) else {
        let span = passage.plan.mission.route_span;
        return Err(lacking(
            passage,
            span,
            "the route has no last leg",
            "add a leg",
        ));
    };
    let sentence = "the angle between the last leg and where the wind comes from";
    let mut known = plain(
        passage,
        tell::value(angle),
        sentence,
        recovery_label(passage),
    );
    known.because.extend(tell::wind_lines(passage.plan));
    known.scenario = Some(runs.scenarios.words(scenario, false));
    if let Some(leg) = passage.plan.mission.legs.last() {
        known.steps = vec![format!(
            "the last leg runs towards {}; the wind comes from {}",
            leg.from.bearing_to(leg.to),
            runs.scenarios.all[scenario].from
        )];
    }
    Ok(known)
}

fn straight_length(passage: &Passage<'_>) -> Known {
    let length = passage
        .plan
        .mission
        .legs
        .last()
        .map_or(0.0, crate::plan::route::Leg::length);
    let sentence = "the straight way before the recovery point";
    plain(
        passage,
        tell::value(Length::metres(length)),
        sentence,
        recovery_label(passage),
    )
}

fn depth(passage: &Passage<'_>) -> Result<Known, Unknown> {
    let zone = &passage.plan.mission.recovery.zone;
    let Some(depth) = &zone.depth else {
        return Err(lacking(
            passage,
            zone.place.span(),
            "the site states no depth for this landing place",
            "add `depth` to the landing place",
        ));
    };
    let draft = &passage.plan.vessel.hull.draft;
    let under_keel = depth.value - draft.value;
    let primary = tell::label(zone.place.span(), "recovered here");
    let mut known = plain(
        passage,
        tell::value(under_keel),
        "the depth under the keel at recovery",
        primary,
    );
    known
        .because
        .push(tell::label(depth.span(), format!("depth {}", depth.value)));
    known
        .because
        .push(tell::label(draft.span(), format!("draft {}", draft.value)));
    known.steps = vec![format!("{} − {} = {under_keel}", depth.value, draft.value)];
    Ok(known)
}

fn no_operator(passage: &Passage<'_>) -> Unknown {
    lacking(
        passage,
        passage.plan.mission.recovery.at.span(),
        "the plan does not say where the remote operator stands",
        "add `operator:` with `at`",
    )
}

fn operator_distance(passage: &Passage<'_>) -> Result<Known, Unknown> {
    let mission = &passage.plan.mission;
    let operator = mission
        .operator
        .as_ref()
        .ok_or_else(|| no_operator(passage))?;
    let distance = operator.at.value.distance(mission.recovery.at.value);
    let primary = tell::label(operator.at.span(), "the operator stands here");
    let sentence = "the distance from the operator to the recovery point";
    let mut known = plain(
        passage,
        tell::value(Length::metres(distance)),
        sentence,
        primary,
    );
    known.because.push(recovery_label(passage));
    Ok(known)
}

fn operator_in_sight(passage: &Passage<'_>) -> Result<Known, Unknown> {
    let mission = &passage.plan.mission;
    let operator = mission
        .operator
        .as_ref()
        .ok_or_else(|| no_operator(passage))?;
    let clear = ending::in_sight(passage, operator.at.value);
    let primary = tell::label(operator.at.span(), "the operator stands here");
    let sentence = if clear {
        "the operator has the recovery point in sight"
    } else {
        "land lies between the operator and the recovery point"
    };
    let mut known = plain(passage, Value::Truth(clear), sentence, primary);
    known.because.push(recovery_label(passage));
    known
        .because
        .push(tell::label(passage.plan.site.shore_span, "this shoreline"));
    Ok(known)
}

fn drift(passage: &Passage<'_>) -> Result<Known, Unknown> {
    let plan = passage.plan;
    let runs = passage.runs().map_err(|why| no_wind(passage, why))?;
    let found = ending::drift(passage).map_err(|why| no_wind(passage, why))?;
    let Some(drift) = found else {
        return Err(lacking(
            passage,
            plan.mission.route_span,
            "the route has no last leg",
            "add a leg",
        ));
    };
    let leeway = &plan.vessel.windage.leeway;
    let (name, line) = match drift.on_to {
        Some(danger) => {
            let (name, line) = danger_name(passage, danger);
            (name, Some(line))
        }
        None => ("anything".to_owned(), None),
    };
    let sentence =
        format!("the time in which a boat without power on the last leg drifts on to {name}");
    let mut known = plain(
        passage,
        tell::value(drift.time),
        &sentence,
        recovery_label(passage),
    );
    known.because.extend(line);
    known.because.extend(tell::gust_line(plan));
    known.because.push(tell::label(
        leeway.span(),
        format!("leeway {} of the wind", leeway.value),
    ));
    known.place = Some(Place {
        name: "the last leg".to_owned(),
        along: None,
        position: Some(tell::degrees(plan, drift.start)),
    });
    known.scenario = Some(runs.scenarios.words(drift.scenario, true));
    known.steps = match drift.on_to {
        Some(_) => vec![
            format!(
                "leeway: {} of {} at 10 m, with the current: {} over ground",
                leeway.value, runs.scenarios.gust_u10, drift.speed
            ),
            format!("{} to {name}: {}", drift.distance, drift.time),
        ],
        None => {
            vec!["it drifts on to nothing within a day, or only on to its landing place".to_owned()]
        }
    };
    known.assumptions = tell::assumptions(plan);
    Ok(known)
}
