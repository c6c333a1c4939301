//! A disabled boat, from anywhere on the route: what it drifts onto, and who fetches it.

mod words;

use super::assumed;
use super::entry::{Entry, entry};
use super::evidence;
use super::reading::{Change, Lack, Measured, Measurement, NotMeasured, Type};
use super::unmeasured;
use crate::finding::Place;
use crate::passage::Passage;
use crate::passage::adrift::{Adrift, Meeting, Peril, marked, threatens};
use crate::plan::Plan;
use crate::units::{Dimension, Ratio, Time};
use words::{
    because, danger, describe_scenario, drift_step, fetch_step, good_news, name, stretch_step,
};

const NEEDS: &[&str] = &[
    "wind",
    "gust",
    "leeway",
    "currents",
    "route",
    "shoreline",
    "hazards and their kind",
    "keep-out areas",
    "launch sites",
    "safety boat",
];

/// Nobody waits longer than this for a boat to drift onto something. Our own choice.
const A_DAY: Time = Time::seconds(86_400.0);

const fn adrift(
    name: &'static str,
    of: Dimension,
    title: &'static str,
    meaning: &'static str,
    levers: &'static [Change],
    read: fn(&Passage<'_>) -> Vec<Measurement>,
) -> Entry {
    entry(name, Type::Quantity(of), title, meaning, NEEDS, read).solved_by(levers)
}

pub(super) const WEIR_TIME: Entry = adrift(
    "mission.drift_time_in_hand_weir",
    Dimension::TIME,
    "Time left once the safety boat is there, before a disabled boat drifts onto a weir or an \
     intake",
    "From every sample of the route the boat drifts with its leeway under the gust, downwind and \
     30° to either side, with and without currents. The drift ends within the stand-off of a weir, \
     an intake or a hazard of unknown kind. Subtracted are the operator's reaction time, the time \
     until the safety boat is under way, and its passage over water to where the boat would drift \
     onto the hazard. The least over all winds and samples; a day where it drifts onto none.",
    &[Change::Wind],
    |passage| evidence::of_mission(in_hand(passage, &WEIR)),
);

pub(super) const WEIR_SHARE: Entry = adrift(
    "mission.drift_share_weir",
    Dimension::RATIO,
    "Share of the route from which a disabled boat drifts onto a weir or an intake",
    "In any of the winds, whether or not the safety boat fetches it first.",
    &[],
    |passage| evidence::of_mission(share(passage, &WEIR, false)),
);

pub(super) const CLOSED_TIME: Entry = adrift(
    "mission.drift_time_in_hand_keep_out",
    Dimension::TIME,
    "Time left once the safety boat is there, before a disabled boat drifts into a keep-out area \
     or among swimmers",
    "As for weirs, but for swimming areas and for keep-out areas that are closed at any moment \
     from the launch until the boat would drift into them.",
    &[Change::Wind],
    |passage| evidence::of_mission(in_hand(passage, &CLOSED)),
);

pub(super) const SHORE_SHARE: Entry = adrift(
    "mission.drift_share_ashore",
    Dimension::RATIO,
    "Share of the route from which a disabled boat strikes a shore that nobody reaches, or a \
     hazard, before it is fetched",
    "As for weirs, but for rocks, moorings, and land outside the zones of the mission's own launch \
     and recovery and of launch sites that are accessible. The length of the steps from which the \
     boat strikes one in any of the winds, over the length of the route.",
    &[],
    |passage| evidence::of_mission(share(passage, &SHORE, true)),
);

pub(super) const OPEN_TIME: Entry = adrift(
    "mission.drift_time_in_hand_open",
    Dimension::TIME,
    "Time left once the safety boat is there, before a disabled boat drifts into open water",
    "As for weirs, but for edges of the shoreline that the site's `open_edges` mark: past one of \
     them the boat is gone.",
    &[Change::Wind],
    |passage| evidence::of_mission(in_hand(passage, &OPEN)),
);

pub(super) const OPEN_SHARE: Entry = adrift(
    "mission.drift_share_open",
    Dimension::RATIO,
    "Share of the route from which a disabled boat drifts into open water",
    "In any of the winds, whether or not the safety boat fetches it first.",
    &[],
    |passage| evidence::of_mission(share(passage, &OPEN, false)),
);

/// One kind of thing to drift onto, in words.
struct Subject {
    peril: Peril,
    comes: &'static str,
    any: &'static str,
}

const WEIR: Subject = Subject {
    peril: Peril::Weir,
    comes: "drifts onto",
    any: "drifts onto any weir or intake",
};
const CLOSED: Subject = Subject {
    peril: Peril::Closed,
    comes: "drifts into",
    any: "drifts into any keep-out area or among swimmers",
};
const SHORE: Subject = Subject {
    peril: Peril::Shore,
    comes: "strikes",
    any: "strikes a hazard or a shore that nobody reaches",
};

const OPEN: Subject = Subject {
    peril: Peril::Open,
    comes: "drifts into",
    any: "drifts into open water",
};

fn get<'a>(passage: &'a Passage<'_>, subject: &Subject) -> Result<&'a Adrift, NotMeasured> {
    passage
        .adrift(subject.peril)
        .map_err(|why| unmeasured::no_passage(passage.plan, why))
}

/// What is missing to tell how soon a boat is fetched.
fn unfetched(
    passage: &Passage<'_>,
    adrift: &Adrift,
    meeting: &Meeting,
    comes: &str,
) -> Option<NotMeasured> {
    let plan = passage.plan;
    let what = name(passage, meeting.on_to).0;
    let spot = evidence::spot(&evidence::at_sample(passage, meeting.sample));
    let drifts = format!(
        "a disabled boat from {spot} {comes} {what} after {}",
        meeting.time
    );
    let (reason, remedy, span) = match &plan.mission.safety_boat {
        None => (
            format!("{drifts}, and the plan states no safety boat to fetch it"),
            "add `safety_boat:` with `place` or `at`, `speed` and `ready_within`",
            plan.mission.id.span(),
        ),
        Some(craft) if !adrift.craft_reaches => (
            format!("{drifts}, and the safety boat has no passage over water to the route"),
            "state in `safety_boat:` where it puts out on the water of the route",
            craft.at.span(),
        ),
        Some(_) => return None,
    };
    Some(NotMeasured {
        lack: Lack::Statement,
        because: because(passage, meeting),
        ..unmeasured::lacking(plan, span, &reason, remedy)
    })
}

/// A site that says nothing of its hazards may have a weir.
pub(super) fn hazards_said(plan: &Plan) -> Result<(), NotMeasured> {
    if plan.site.hazards_stated {
        return Ok(());
    }
    Err(unmeasured::lacking(
        plan,
        plan.site.id.span(),
        "the site does not say whether there is a weir, an intake or another hazard",
        "add `hazards` to the site, `[]` where there are none",
    ))
}

fn in_hand(passage: &Passage<'_>, subject: &Subject) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    if let Err(why) = passage.scenarios() {
        return Err(unmeasured::no_passage(plan, why));
    }
    hazards_said(plan)?;
    // Nobody need be followed on to what is not there.
    if !threatens(&plan.site, subject.peril) {
        return Err(none_met(plan, subject, "this site states none"));
    }
    let adrift = get(passage, subject)?;
    let met = &adrift.met;
    let Some(meeting) = &met.worst else {
        return Err(none_met(
            plan,
            subject,
            "none lies where it drifts to within a day",
        ));
    };
    if let Some(unknown) = unfetched(passage, adrift, meeting, subject.comes) {
        return Err(unknown);
    }
    let left = meeting.in_hand().unwrap_or(Time::ZERO - A_DAY);
    if let Some(alone) = evidence::value_alone(passage, evidence::value(left)) {
        return Ok(alone);
    }
    let place = evidence::at_sample(passage, meeting.sample);
    let what = name(passage, meeting.on_to).0;
    let sentence = format!(
        "the time left once the safety boat is there, before a disabled boat from {} {} {what},",
        evidence::spot(&place),
        subject.comes
    );
    let mut steps = vec![drift_step(passage, meeting)];
    steps.extend(fetch_step(passage, meeting));
    steps.push(format!("time left: {left}"));
    let does = format!("{} in at least one wind planned for", subject.any);
    steps.extend(stretch_step(passage, &met.meets, &does));
    steps.extend(good_news(passage, adrift));
    Ok(Measured {
        value: evidence::value(left),
        sentence,
        primary: evidence::label(
            evidence::leg_span(passage, meeting.sample),
            "power lost on the way here",
        ),
        because: because(passage, meeting),
        place: Some(Place {
            danger: danger(passage, meeting.on_to),
            ..place
        }),
        scenario: describe_scenario(passage, meeting),
        steps,
        assumptions: assumed::of_plan(plan),
    })
}

/// No time is left before what never comes.
fn none_met(plan: &Plan, subject: &Subject, why: &str) -> NotMeasured {
    unmeasured::no_subject(
        plan.mission.route_span,
        format!("a disabled boat never {}", subject.any),
        evidence::label(plan.site.id.span(), why),
    )
}

/// No share of the route.
fn none_of_it(passage: &Passage<'_>, adrift: &Adrift, subject: &Subject) -> Measured {
    let plan = passage.plan;
    if let Some(alone) = evidence::value_alone(passage, evidence::value(Ratio::ZERO)) {
        return alone;
    }
    Measured {
        value: evidence::value(Ratio::ZERO),
        sentence: format!(
            "the share of the route from which a disabled boat {}",
            subject.any
        ),
        primary: evidence::label(plan.mission.route_span, "from all of this route"),
        because: evidence::gust_line(plan),
        place: None,
        scenario: None,
        steps: std::iter::once("it drifts onto none within a day".to_owned())
            .chain(good_news(passage, adrift))
            .collect(),
        assumptions: assumed::of_plan(plan),
    }
}

fn share(
    passage: &Passage<'_>,
    subject: &Subject,
    unless_fetched: bool,
) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let adrift = get(passage, subject)?;
    hazards_said(plan)?;
    let met = &adrift.met;
    let Some(meeting) = &met.worst else {
        return Ok(none_of_it(passage, adrift, subject));
    };
    let marks = if unless_fetched {
        if let Some(unknown) = unfetched(passage, adrift, meeting, subject.comes) {
            return Err(unknown);
        }
        &met.before_fetched
    } else {
        &met.meets
    };
    let (length, longest) = marked(passage, marks);
    let whole = passage.track.length();
    let value = Ratio::fraction(if whole > 0.0 { length / whole } else { 0.0 });
    if let Some(alone) = evidence::value_alone(passage, evidence::value(value)) {
        return Ok(alone);
    }
    let fetched = if unless_fetched {
        " before it is fetched"
    } else {
        ""
    };
    let mut steps = vec![format!(
        "the worst place is {}:",
        evidence::spot(&evidence::at_sample(passage, meeting.sample))
    )];
    steps.push(drift_step(passage, meeting));
    steps.extend(fetch_step(passage, meeting));
    let does = format!("{}{fetched}, in at least one wind planned for", subject.any);
    steps.extend(stretch_step(passage, marks, &does));
    steps.push(format!(
        "{} of {}: {value}",
        evidence::metres(length),
        evidence::metres(whole)
    ));
    steps.extend(good_news(passage, adrift));
    let begins = longest.map_or(meeting.sample, |(from, _)| from);
    Ok(Measured {
        value: evidence::value(value),
        sentence: format!(
            "the share of the route from which a disabled boat {}{fetched},",
            subject.any
        ),
        primary: evidence::label(
            evidence::leg_span(passage, begins),
            "the longest stretch begins here",
        ),
        because: because(passage, meeting),
        place: Some(evidence::at_sample(passage, begins)),
        scenario: describe_scenario(passage, meeting),
        steps,
        assumptions: assumed::of_plan(plan),
    })
}
