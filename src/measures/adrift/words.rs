//! A disabled boat in words: what it drifts onto, how, and who fetches it.

use crate::finding::Label;
use crate::measures::evidence;
use crate::passage::Passage;
use crate::passage::adrift::{Adrift, Meeting, OnTo, marked};
use crate::units::Ratio;

/// Id of the hazard or area that a boat drifts onto.
pub(super) fn danger(passage: &Passage<'_>, on_to: OnTo) -> Option<String> {
    let site = &passage.plan.site;
    match on_to {
        OnTo::Land | OnTo::Open(_) => None,
        OnTo::Hazard(index) => Some(site.hazards[index].id.value.clone()),
        OnTo::KeepOut(index) => Some(site.keep_out[index].id.value.clone()),
    }
}

/// What a boat drifts onto, in words, and its line.
pub(super) fn name(passage: &Passage<'_>, on_to: OnTo) -> (String, Label) {
    let site = &passage.plan.site;
    match on_to {
        OnTo::Land => (
            "land".to_owned(),
            evidence::label(site.shore_span, "this shoreline"),
        ),
        OnTo::Hazard(index) => {
            let hazard = &site.hazards[index];
            let text = format!("{}: keep {} away", hazard.title, hazard.clearance.value);
            (
                format!("the hazard `{}`", hazard.id.value),
                evidence::label(hazard.clearance.span(), text),
            )
        }
        OnTo::Open(index) => {
            let edge = &site.edges.open[index];
            let text = if edge.fetch.value.get().is_finite() {
                format!("this edge is open, for {}", edge.fetch.value)
            } else {
                "this edge is open, without limit".to_owned()
            };
            ("open water".to_owned(), evidence::label(edge.span, text))
        }
        OnTo::KeepOut(index) => {
            let area = &site.keep_out[index];
            (
                format!("the keep-out area `{}`", area.id.value),
                evidence::label(area.id.span(), format!("{}: not to be entered", area.title)),
            )
        }
    }
}

/// The lines that a meeting rests on.
pub(super) fn because(passage: &Passage<'_>, meeting: &Meeting) -> Vec<Label> {
    let plan = passage.plan;
    let leeway = &plan.vessel.windage.leeway;
    let mut because = vec![name(passage, meeting.on_to).1];
    because.extend(evidence::gust_line(plan));
    because.push(evidence::label(
        leeway.span(),
        format!("leeway {} of the wind", leeway.value),
    ));
    if let Some(craft) = &plan.mission.safety_boat {
        because.push(evidence::label(
            craft.speed.span(),
            format!("safety boat at {}", craft.speed.value),
        ));
        because.push(evidence::label(
            craft.ready_within.span(),
            format!("under way within {}", craft.ready_within.value),
        ));
    }
    because
}

/// The drift, as a step.
pub(super) fn drift_step(passage: &Passage<'_>, meeting: &Meeting) -> String {
    let off = meeting.off.to_degrees();
    let side = if off > 0.5 {
        format!("{off:.0}° to the right of downwind")
    } else if off < -0.5 {
        format!("{:.0}° to the left of downwind", -off)
    } else {
        "straight downwind".to_owned()
    };
    let with = passage
        .scenarios()
        .ok()
        .and_then(|scenarios| scenarios.all.get(meeting.scenario))
        .filter(|scenario| scenario.current)
        .map_or("", |_| ", with the current");
    format!(
        "leeway {} of a wind of {} at 10 m, {side}{with}: {} in {}",
        passage.plan.vessel.windage.leeway.value, meeting.wind, meeting.distance, meeting.time
    )
}

/// What fetches the boat and when, as a step.
pub(super) fn fetch_step(passage: &Passage<'_>, meeting: &Meeting) -> Option<String> {
    let craft = passage.plan.mission.safety_boat.as_ref()?;
    let fetched = meeting.fetched.as_ref()?;
    let how = if fetched.straight {
        "straight"
    } else {
        "by way of where the power was lost"
    };
    let calculated = craft.calculated();
    let capped = if calculated < craft.speed.value {
        format!(" (the most that counts; {} stated)", craft.speed.value)
    } else {
        String::new()
    };
    Some(format!(
        "the safety boat arrives after {} to react + {} to get under way + {} / \
         {calculated}{capped}, {how}: {}",
        passage.plan.mission.reaction_time(),
        craft.ready_within.value,
        fetched.way,
        fetched.time
    ))
}

/// The stretch of the route that is marked, in words.
pub(super) fn stretch_step(passage: &Passage<'_>, marks: &[bool], does: &str) -> Option<String> {
    let (length, longest) = marked(passage, marks);
    let (from, to) = longest?;
    let whole = passage.track.length();
    let share = Ratio::fraction(if whole > 0.0 { length / whole } else { 0.0 });
    let spots = [from, to].map(|sample| evidence::spot(&evidence::at_sample(passage, sample)));
    Some(format!(
        "from {share} of the route it {does}; the longest stretch is from {} to {}",
        spots[0], spots[1]
    ))
}

/// Where a disabled boat comes ashore as one would wish.
pub(super) fn good_news(passage: &Passage<'_>, adrift: &Adrift) -> Option<String> {
    let does = "comes ashore where people can reach it, in every wind planned for";
    stretch_step(passage, &adrift.to_launch_site, does)
}

/// The wind that drives the boat, in words.
pub(super) fn describe_scenario(passage: &Passage<'_>, meeting: &Meeting) -> Option<String> {
    let scenarios = passage.scenarios().ok()?;
    Some(scenarios.describe(meeting.scenario, true))
}
