//! Water under the keel along the route and the return legs, and how old what is known of it is.

use super::assumed;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::entry::{Entry, entry};
use super::evidence;
use super::reading::{Measured, NotMeasured, Type, Value};
use super::unmeasured;
use crate::finding::{Label, Place};
use crate::passage::Passage;
use crate::passage::depth::{By, Least, Over, UnderKeel};
use crate::plan::Plan;
use crate::schema::Stated;
use crate::source::Span;
use crate::units::{Dimension, Length, Time};

const OLD: &[&str] = &["soundings", "water level", "launch: time"];

pub(super) const KNOWN: Entry = entry(
    "mission.depth_known",
    Type::Truth,
    "Whether the depth off the launch sites is known",
    "True where the site states soundings or a least depth.",
    &["soundings or least depth"],
    |passage| {
        let depths = &passage.plan.site.depths;
        let known = depths.soundings.is_some() || depths.least.is_some();
        let truth = || truth(passage, true, "the site states its depth");
        let lacking = || {
            unmeasured::lacking(
                passage.plan,
                passage.plan.site.id.span(),
                "the site states no depth",
                "add `soundings:` and `water_level:`, or a `least_depth`, to the site",
            )
        };
        evidence::of_mission(known.then(truth).ok_or_else(lacking))
    },
);

pub(super) const SOUNDED: Entry = entry(
    "mission.has_soundings",
    Type::Truth,
    "Whether the site has soundings",
    "True where it names a file of them.",
    &["soundings"],
    |passage| {
        let there = passage.plan.site.depths.soundings.is_some();
        evidence::of_mission(Ok(truth(
            passage,
            there,
            "the site names a file of soundings",
        )))
    },
);

pub(super) const UNDER_KEEL: Entry = entry(
    "mission.under_keel_clearance",
    Type::Quantity(Dimension::LENGTH),
    "Least water under the keel along the route and the return legs off it, where the depth is \
     known",
    "The least depth in the corridor by the soundings at the water level, less the errors of both, \
     or the least depth stated for the site; inside the zones of launch and recovery the depth \
     stated for them. Less the draft and half the height of the highest of a thousand waves.",
    &[
        "soundings with the water level or least depth",
        "draft",
        "navigation",
        "wind",
    ],
    |passage| evidence::of_mission(under_keel(passage)),
);

pub(super) const UNKNOWN: Entry = entry(
    "mission.depth_unknown",
    Type::Quantity(Dimension::RATIO),
    "Share of the route, or of the return legs off it where that is more, whose depth is unknown",
    "By area of the corridor, without extrapolation. The depth is unknown where no three soundings \
     within the longest edge of one another enclose the place, except in launch sites with a \
     stated depth and on a site with a least depth.",
    &["soundings or least depth", "route"],
    |passage| evidence::of_mission(unknown(passage)),
);

pub(super) const SOUNDINGS_AGE: Entry = entry(
    "mission.soundings_age",
    Type::Quantity(Dimension::TIME),
    "Time from the survey of the soundings to the day of the launch",
    "In whole days.",
    OLD,
    |passage| evidence::of_mission(soundings_age(passage)),
);

pub(super) const LEVEL_AGE: Entry = entry(
    "mission.water_level_age",
    Type::Quantity(Dimension::TIME),
    "Time from the reading of the water level to the day of the launch",
    "In whole days.",
    OLD,
    |passage| evidence::of_mission(level_age(passage)),
);

fn truth(passage: &Passage<'_>, value: bool, what: &str) -> Measured {
    let site = &passage.plan.site;
    let span = match (&site.depths.soundings, &site.depths.least) {
        (Some(soundings), _) => soundings.file.span(),
        (None, Some(least)) => least.span(),
        (None, None) => site.id.span(),
    };
    Measured {
        value: Value::Truth(value),
        sentence: what.to_owned(),
        primary: evidence::label(span, what),
        because: Vec::new(),
        place: None,
        scenario: None,
        steps: Vec::new(),
        assumptions: Vec::new(),
    }
}

fn get<'a>(passage: &'a Passage<'_>) -> Result<&'a UnderKeel, NotMeasured> {
    passage
        .under_keel()
        .map_err(|why| unmeasured::no_passage(passage.plan, why))
}

/// Where the boat is, for a sentence, with the line that leads it there.
fn spot(passage: &Passage<'_>, over: Over) -> (String, Place, Span) {
    match over {
        Over::Step(step) => {
            let place = evidence::at_sample(passage, step + 1);
            let line = evidence::leg_span(passage, step + 1);
            (evidence::spot(&place), place, line)
        }
        Over::Home(sample) => {
            let begins = evidence::at_sample(passage, sample);
            let straight = passage.plan.mission.return_leg.via().is_empty();
            let leg = if straight {
                "straight return leg"
            } else {
                "return leg"
            };
            let text = format!("on the {leg} from {}", evidence::spot(&begins));
            let name = format!("the return leg from {}", begins.name);
            let place = Place { name, ..begins };
            (text, place, evidence::leg_span(passage, sample))
        }
        Over::Onward(index) => {
            let via = &passage.plan.mission.return_leg.via()[index];
            let name = format!("the return leg from its waypoint {} on", via.id);
            let text = format!("on {name}");
            let position = Some(evidence::degrees(passage.plan, via.at.value));
            let place = Place {
                name,
                position,
                ..Place::default()
            };
            (text, place, via.at.span())
        }
    }
}

fn no_level(plan: &Plan) -> Option<NotMeasured> {
    let depths = &plan.site.depths;
    match (&depths.soundings, &depths.level) {
        (Some(soundings), None) => Some(unmeasured::lacking(
            plan,
            soundings.file.span(),
            "the site does not state the water level above the datum of its soundings",
            "add `water_level:` with `above_datum`, `read` and `error`",
        )),
        _ => None,
    }
}

fn under_keel(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    if let Some(unknown) = no_level(plan) {
        return Err(unknown);
    }
    let all = get(passage)?;
    let Some(least) = &all.least else {
        return Err(unmeasured::lacking(
            plan,
            plan.mission.route_span,
            "the depth is unknown along the whole route",
            "add `soundings:` and `water_level:`, or a `least_depth`, to the site",
        ));
    };
    if let Some(alone) = evidence::value_alone(passage, evidence::value(least.under_keel)) {
        return Ok(alone);
    }
    let (spot, place, line) = spot(passage, least.over);
    let draft = &plan.vessel.hull.draft;
    let mut because = depth_lines(plan, least.by);
    because.push(evidence::label(
        draft.span(),
        format!("draft {}", draft.value),
    ));
    because.extend(evidence::wind_lines(plan));
    Ok(Measured {
        value: evidence::value(least.under_keel),
        sentence: format!("the water under the keel, {spot},"),
        primary: evidence::label(line, "least water on the way here"),
        because,
        place: Some(Place {
            position: Some(evidence::degrees(plan, least.at)),
            ..place
        }),
        scenario: None,
        steps: steps(plan, all, least),
        assumptions: assumed::of_plan(plan),
    })
}

fn steps(plan: &Plan, all: &UnderKeel, least: &Least) -> Vec<String> {
    let depths = &plan.site.depths;
    let mut steps = Vec::new();
    let draft = plan.vessel.hull.draft.value;
    let water = match (least.by, &depths.soundings, &depths.level) {
        (By::Soundings, Some(soundings), Some(level)) => {
            steps.push(format!(
                "least depth within {} of the line: {} below {}",
                all.half_width, least.depth, soundings.datum.value
            ));
            let water = least.depth + level.above_datum.value - all.error;
            steps.push(format!(
                "water: {} + ({}) − √(({})² + ({})²) = {water}",
                least.depth, level.above_datum.value, soundings.error.value, level.error.value
            ));
            water
        }
        (By::Soundings | By::Stated, _, _) => {
            steps.push(format!("least depth stated for the site: {}", least.depth));
            lowered(plan, least.depth, &mut steps)
        }
        (By::LaunchZone | By::RecoveryZone, _, _) => {
            steps.push(format!("depth stated for the launch site: {}", least.depth));
            lowered(plan, least.depth, &mut steps)
        }
    };
    steps.push(format!(
        "waves: {} significant, the trough of the highest of 1000 lowers the boat by {}",
        all.significant, all.wave_allowance
    ));
    steps.push(format!(
        "under the keel: {water} − {draft} − {} = {}",
        all.wave_allowance, least.under_keel
    ));
    steps
}

/// A stated depth, less what the water stands below the level that it is stated for.
fn lowered(plan: &Plan, depth: Length, steps: &mut Vec<String>) -> Length {
    let by = crate::passage::depth::lowered(plan);
    if let Some(level) = &plan.site.depths.level
        && by > Length::ZERO
    {
        steps.push(format!(
            "the level may be {} + ({}) lower: {depth} − {by} = {}",
            Length::ZERO - level.above_datum.value,
            level.error.value,
            depth - by
        ));
    }
    depth - by
}

/// The lines that a depth is known by.
fn depth_lines(plan: &Plan, by: By) -> Vec<Label> {
    let depths = &plan.site.depths;
    let mission = &plan.mission;
    let stated = match by {
        By::Soundings => None,
        By::LaunchZone => mission.launch.zone.depth.as_ref(),
        By::RecoveryZone => mission.recovery.zone.depth.as_ref(),
        By::Stated => depths.least.as_ref(),
    };
    if let Some(depth) = stated {
        let mut lines = vec![evidence::label(
            depth.span(),
            format!("depth {}", depth.value),
        )];
        if let Some(level) = &depths.level
            && crate::passage::depth::lowered(plan) > Length::ZERO
        {
            let text = format!("water {} above the datum", level.above_datum.value);
            lines.push(evidence::label(level.above_datum.span(), text));
        }
        return lines;
    }
    let mut lines = Vec::new();
    if let Some(soundings) = &depths.soundings {
        lines.push(evidence::label(soundings.file.span(), "the soundings"));
        let text = format!("error of a depth {}", soundings.error.value);
        lines.push(evidence::label(soundings.error.span(), text));
    }
    if let Some(level) = &depths.level {
        let text = format!("water {} above the datum", level.above_datum.value);
        lines.push(evidence::label(level.above_datum.span(), text));
        let text = format!("error of the level {}", level.error.value);
        lines.push(evidence::label(level.error.span(), text));
    }
    lines
}

fn unknown(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let all = get(passage)?;
    let (route, home) = (all.unknown_on_route, all.unknown_on_return_legs);
    let what = if home > route {
        "return legs off the route"
    } else {
        "route"
    };
    let mut steps = vec![format!(
        "depth unknown: {route} of the corridor of the route, {home} of that of the return legs off it"
    )];
    let mut place = None;
    let mut primary = plan.mission.route_span;
    if let Some((over, at)) = all.unknown_at[usize::from(home > route)] {
        let (spot, near, line) = spot(passage, over);
        steps.push(format!("the longest piece of it begins {spot}"));
        primary = line;
        place = Some(Place {
            position: Some(evidence::degrees(plan, at)),
            ..near
        });
    }
    let because = match &plan.site.depths.soundings {
        Some(soundings) => vec![
            evidence::label(soundings.file.span(), "the soundings"),
            evidence::label(
                soundings.longest_edge.span(),
                format!(
                    "joined where at most {} apart",
                    soundings.longest_edge.value
                ),
            ),
        ],
        None => vec![evidence::label(
            plan.site.id.span(),
            "this site has no soundings",
        )],
    };
    Ok(Measured {
        value: evidence::value(route.max(home)),
        sentence: format!("the share of the {what} whose depth is unknown"),
        primary: evidence::label(primary, "unknown depth on the way here"),
        because,
        place,
        scenario: None,
        steps,
        assumptions: assumed::of_plan(plan),
    })
}

fn soundings_age(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    match &plan.site.depths.soundings {
        Some(soundings) => age(
            plan,
            &soundings.surveyed,
            ("the soundings", "are"),
            "surveyed",
        ),
        None => Err(unmeasured::lacking(
            plan,
            plan.site.id.span(),
            "the site has no soundings",
            "add `soundings:`",
        )),
    }
}

fn level_age(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    match &plan.site.depths.level {
        Some(level) => age(plan, &level.read, ("the water level", "is"), "read"),
        None => Err(no_level(plan).unwrap_or_else(|| {
            unmeasured::lacking(
                plan,
                plan.site.id.span(),
                "the site states no water level",
                "add `water_level:` with `above_datum`, `read` and `error`",
            )
        })),
    }
}

fn age(
    plan: &Plan,
    day: &Stated<Date>,
    (what, verb): (&str, &str),
    done: &str,
) -> Result<Measured, NotMeasured> {
    let zone = plan.site.time_zone.clone().unwrap_or(TimeZone::UTC);
    let time = &plan.mission.launch.time;
    let launch = zone.to_datetime(time.value).date();
    let age = Time::seconds(day.value.duration_until(launch).as_secs_f64());
    if age < Time::ZERO {
        return Err(unmeasured::lacking(
            plan,
            day.span(),
            &format!("{what} {verb} dated after the launch, {}", day.value),
            "correct that day, or the day of the launch",
        ));
    }
    Ok(Measured {
        value: evidence::value(age),
        sentence: format!("the age of {what} at launch"),
        primary: evidence::label(day.span(), format!("{done} on {}", day.value)),
        because: vec![evidence::label(time.span(), format!("launch on {launch}"))],
        place: None,
        scenario: None,
        steps: vec![format!("from {} to {launch}: {age}", day.value)],
        assumptions: Vec::new(),
    })
}
