//! A plan's route as it goes out: positions in order, each with what the plan says of it.

use std::collections::BTreeMap;

use crate::models::geodesy::Position;
use crate::models::plane::Point;
use crate::models::propulsion::Command;
use crate::plan::Plan;
use crate::plan::calendar::shown;
use crate::plan::route::Leg;

/// What a point is to its route.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Role {
    /// Where the boat goes in.
    Launch,
    /// A waypoint of the plan.
    Waypoint,
    /// Where a sounding line begins.
    LineStart,
    /// Where a sounding line ends.
    LineEnd,
    /// Where the run ends.
    Recovery,
}

impl Role {
    /// Its name in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Launch => "launch",
            Self::Waypoint => "waypoint",
            Self::LineStart => "start of a sounding line",
            Self::LineEnd => "end of a sounding line",
            Self::Recovery => "recovery",
        }
    }
}

/// A point of a route.
#[derive(Clone, PartialEq, Debug)]
pub struct CoursePoint {
    /// Its name: the plan's id of a waypoint, `bay-lines-2-start` of a sounding line.
    pub name: String,
    /// What it is to the route.
    pub role: Role,
    /// Where it is.
    pub position: Position,
    /// What the plan says of it, in words.
    pub remark: String,
}

/// A route that goes out.
#[derive(Clone, PartialEq, Debug)]
pub struct Course {
    /// What the file is called: the mission's id, and that rules are not met where it is so.
    pub name: String,
    /// Id of the mission.
    pub mission: String,
    /// Id of the vessel.
    pub vessel: String,
    /// Id of the site.
    pub site: String,
    /// Id of the policy that judged.
    pub policy: String,
    /// Ids of the rules that are not met, with their severities.
    pub not_kept: Vec<String>,
    /// Findings that are waived: rule, sentence, by whom and why.
    pub waived: Vec<String>,
    /// Digest of the plan as a whole.
    pub digest: String,
    /// What stands above the route for people, a paragraph each.
    pub remarks: Vec<String>,
    /// Launch point to recovery point; two at least.
    pub points: Vec<CoursePoint>,
}

/// The program that writes, as files name it.
pub(super) const PROGRAM: &str = concat!("offing ", env!("CARGO_PKG_VERSION"));

/// The points of a plan's route, survey blocks expanded.
pub(super) fn points(plan: &Plan) -> Vec<CoursePoint> {
    let mission = &plan.mission;
    let place = |point: Point| plan.site.plane.to_position(point);
    let time = shown(mission.launch.time.value, plan.site.time_zone.as_ref());
    let mut points = vec![CoursePoint {
        name: "launch".to_owned(),
        role: Role::Launch,
        position: place(mission.launch.at.value),
        remark: format!(
            "launch point at {}, planned for {time}",
            mission.launch.zone.place.value
        ),
    }];
    // Sounding lines done so far, of each survey.
    let mut lines: BTreeMap<&str, usize> = BTreeMap::new();
    for (index, leg) in mission.legs.iter().enumerate() {
        let next = mission.legs.get(index + 1);
        let recovery = next.is_none();
        let to_a_line =
            !leg.sounding && next.is_some_and(|next| next.sounding && next.id == leg.id);
        let line = lines.entry(&leg.id).or_default();
        let (name, role) = if recovery {
            ("recovery".to_owned(), Role::Recovery)
        } else if leg.sounding {
            *line += 1;
            (format!("{}-{line}-end", leg.id), Role::LineEnd)
        } else if to_a_line {
            (format!("{}-{}-start", leg.id, *line + 1), Role::LineStart)
        } else {
            (leg.id.clone(), Role::Waypoint)
        };
        points.push(CoursePoint {
            name,
            role,
            position: place(leg.to),
            remark: remark(plan, leg, role),
        });
    }
    points
}

fn remark(plan: &Plan, leg: &Leg, role: Role) -> String {
    let mut text = match role {
        Role::Recovery => format!(
            "recovery point at {}, ",
            plan.mission.recovery.zone.place.value
        ),
        Role::LineEnd => "end of a sounding line, ".to_owned(),
        Role::LineStart => "start of a sounding line, ".to_owned(),
        Role::Launch | Role::Waypoint => String::new(),
    };
    text.push_str(&match leg.command.value {
        Command::OverGround(speed) => format!("approached at {speed} over ground"),
        Command::ThroughWater(speed) => format!("approached at {speed} through the water"),
    });
    if let Some(pause) = &leg.pause {
        text.push_str(&format!(", held for {}", pause.value));
    }
    if role == Role::Recovery
        && let Some(end) = &plan.mission.at_end
    {
        text.push_str(&format!("; at the end: {}", end.value.label()));
    }
    text
}
