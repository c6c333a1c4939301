//! The end of the run: coming to rest, running on, drifting, being in reach of a person.

mod approach;
mod drift;
mod operator;
mod rest;

pub(crate) use approach::shore_bound;

use super::entry::Entry;
use super::evidence;
use super::reading::{Change, Cost, Measure, Measured, Measurement, Scope, Type, Value};
use crate::finding::{Label, Place};
use crate::measures::input;
use crate::passage::Passage;
use crate::passage::ending::Danger;
use crate::units::{Dimension, Length};

const fn entry(
    name: &'static str,
    of: Type,
    title: &'static str,
    meaning: &'static str,
    needs: &'static [&'static str],
    levers: &'static [Change],
    read: fn(&Passage<'_>) -> Vec<Measurement>,
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
            moved_by: input::EVERYTHING,
            of_planned_wind: false,
            cost: Cost::Run,
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
    &["at_end"],
    &[Change::AtEnd],
    |passage| evidence::of_mission(rest::comes_to_rest(passage)),
);

pub(super) const OVERRUN: Entry = entry(
    "end.overrun_clearance",
    LENGTH,
    "Clearance of the overrun past the recovery point",
    "The overrun continues the last leg by the distance made during the operator's reaction and by \
     the stopping distance. Its clearance from land and from hazards (less their stand-off), less \
     the corridor.",
    &[
        "operator",
        "last leg",
        "stopping distance",
        "shoreline",
        "hazards",
    ],
    &[Change::EndSooner, Change::Speed],
    |passage| evidence::of_mission(rest::overrun(passage)),
);

pub(super) const STAND_OFF: Entry = entry(
    "end.stand_off",
    LENGTH,
    "Distance of the recovery point from land and hazards",
    "Signed distance of the recovery point to the nearest of the shoreline and the site's hazards, \
     nothing subtracted; negative on land.",
    &["recovery point", "shoreline", "hazards"],
    &[],
    |passage| evidence::of_mission(Ok(rest::stand_off(passage))),
);

pub(super) const APPROACH_SPEED: Entry = entry(
    "end.approach_speed",
    Type::Quantity(Dimension::SPEED),
    "Speed over ground on the last leg",
    "The speed commanded on the last leg, over ground, at its greatest with and without current.",
    &["speed of the last leg", "currents"],
    &[Change::LastLeg],
    |passage| evidence::of_mission(approach::approach_speed(passage)),
);

pub(super) const OFF_WIND: Entry = entry(
    "end.approach_off_wind",
    Type::Quantity(Dimension::ANGLE),
    "Angle between the last leg's track and where the wind comes from",
    "At its greatest over all winds. Into the wind, the wind helps the boat to stop and drives it back \
     the way it came.",
    &["wind", "last leg"],
    &[],
    |passage| evidence::of_mission(approach::off_wind(passage)),
);

pub(super) const LEAST_OFF_WIND: Entry = entry(
    "end.least_approach_off_wind",
    Type::Quantity(Dimension::ANGLE),
    "Least angle to the wind of any approach that the shore leaves open",
    "Straight approaches to the recovery point as long as the last leg, 5° apart from its course on, are tried. One counts if it \
     crosses no land, and its first half stays clear of the shore by the vessel's cross-track error. Each at its \
     greatest angle over all winds; 180° where none counts.",
    &["wind", "last leg", "shoreline"],
    &[],
    |passage| evidence::of_mission(approach::least_off_wind(passage)),
);

pub(super) const STRAIGHT_LENGTH: Entry = entry(
    "end.straight_length",
    LENGTH,
    "Length of the last leg",
    "The straight approach to the recovery point, on which the operator sees whether the boat \
     comes as planned.",
    &["route", "recovery point"],
    &[],
    |passage| evidence::of_mission(Ok(approach::straight_length(passage))),
);

pub(super) const DEPTH_UNDER_KEEL: Entry = entry(
    "end.depth_under_keel",
    LENGTH,
    "Depth of water under the keel at the recovery's launch site",
    "The least depth stated for the launch site, less the draft.",
    &["depth of the launch site", "draft"],
    &[],
    |passage| evidence::of_mission(approach::depth(passage)),
);

pub(super) const OPERATOR_DISTANCE: Entry = entry(
    "end.operator_distance",
    LENGTH,
    "Distance from the remote operator to the recovery point",
    "In the plan's plane.",
    &["operator", "recovery point"],
    &[],
    |passage| evidence::of_mission(operator::operator_distance(passage)),
);

pub(super) const OPERATOR_IN_SIGHT: Entry = entry(
    "end.operator_in_sight",
    Type::Truth,
    "Whether no land lies between the remote operator and the recovery point",
    "False where the straight line crosses land, but for 50 m of it that the operator stands on.",
    &["operator", "recovery point", "shoreline"],
    &[],
    |passage| evidence::of_mission(operator::operator_in_sight(passage)),
);

pub(super) const DRIFT_TIME_ASHORE: Entry = entry(
    "end.drift_time_ashore",
    Type::Quantity(Dimension::TIME),
    "Time left to act before a disabled boat drifts onto land or a hazard, from the last leg \
     or the recovery point",
    "Leeway under the gust, the sustained wind and none, downwind and 30° to either side, plus the \
     current; the soonest over all winds, less the operator's reaction time. A boat that comes \
     ashore inside the recovery zone is where it is wanted. Nothing that is met within a day is nothing to measure.",
    &[
        "wind",
        "gust",
        "leeway",
        "currents",
        "last leg",
        "shoreline",
        "hazards",
    ],
    &[Change::Wind],
    |passage| evidence::of_mission(drift::drift(passage)),
);

fn recovery_label(passage: &Passage<'_>) -> Label {
    evidence::label(
        passage.plan.mission.recovery.at.span(),
        "the recovery point",
    )
}

fn recovery_place(passage: &Passage<'_>) -> Place {
    let at = passage.plan.mission.recovery.at.value;
    Place {
        name: "the recovery point".to_owned(),
        along: Some(Length::metres(passage.track.length())),
        position: Some(evidence::degrees(passage.plan, at)),
        ..Place::default()
    }
}

/// A value with its line and the recovery point; the rest is filled in by the measure.
fn plain(passage: &Passage<'_>, value: Value, sentence: &str, primary: Label) -> Measured {
    Measured {
        place: Some(recovery_place(passage)),
        ..Measured::new(value, sentence, primary)
    }
}

fn danger_name(passage: &Passage<'_>, danger: Danger) -> (String, Label) {
    let site = &passage.plan.site;
    match danger {
        Danger::Land => (
            "land".to_owned(),
            evidence::label(site.shore_span, "this shoreline"),
        ),
        Danger::Open(index) => (
            "open water".to_owned(),
            evidence::label(site.edges.open[index].span, "this edge is open"),
        ),
        Danger::Hazard(index) => {
            let hazard = &site.hazards[index];
            let name = format!("the hazard `{}`", hazard.id.value);
            let text = format!("{}: keep {} away", hazard.title, hazard.clearance.value);
            (name, evidence::label(hazard.clearance.span(), text))
        }
    }
}
