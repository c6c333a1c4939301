//! A plan in outline, for whoever compares it with another: its waypoints in order.

use std::collections::BTreeMap;

use crate::models::geodesy::{Position, inverse};
use crate::models::propulsion::Command;
use crate::plan::Plan;
use crate::units::{Length, Towards};

/// One entry of a route, the launch or the recovery point.
#[derive(Clone, PartialEq, Debug)]
pub struct Waypoint {
    /// Its id.
    pub id: String,
    /// Latitude and longitude in degrees, of a survey that of its last line's end.
    pub position: (f64, f64),
    /// Sounding lines, of a survey.
    pub lines: usize,
    /// Length of the legs that belong to it.
    pub length: Length,
    /// Commanded speed; none at the launch.
    pub speed: Option<Command>,
}

impl Waypoint {
    /// The commanded speed in words, `1.1 m/s over ground`; empty at the launch.
    #[must_use]
    pub fn speed_in_words(&self) -> String {
        match self.speed {
            Some(Command::OverGround(speed)) => format!("{speed} over ground"),
            Some(Command::ThroughWater(speed)) => format!("{speed} through the water"),
            None => String::new(),
        }
    }

    /// How far another place of it lies from this one, and whereto.
    #[must_use]
    pub fn moved_to(&self, other: &Self) -> (Length, Towards) {
        let at = |(latitude, longitude)| Position::from_degrees(latitude, longitude);
        let line = inverse(at(self.position), at(other.position));
        (line.distance, line.azimuth_start)
    }

    /// How far east and north of it a position lies, latitude and longitude in degrees.
    #[must_use]
    pub fn offset_to(&self, (latitude, longitude): (f64, f64)) -> (Length, Length) {
        let at = Position::from_degrees(self.position.0, self.position.1);
        let line = inverse(at, Position::from_degrees(latitude, longitude));
        let (east, north) = line.azimuth_start.unit_vector();
        (line.distance * east, line.distance * north)
    }
}

/// The waypoints of a plan, in the order in which they are come to.
#[must_use]
pub(super) fn outline(plan: &Plan) -> Vec<Waypoint> {
    let place = |point| {
        let position = plan.site.plane.to_position(point);
        (
            position.latitude.to_degrees(),
            position.longitude.to_degrees(),
        )
    };
    let mission = &plan.mission;
    let mut all = vec![Waypoint {
        id: "launch".to_owned(),
        position: place(mission.launch.at.value),
        lines: 0,
        length: Length::ZERO,
        speed: None,
    }];
    let mut index: BTreeMap<&str, usize> = BTreeMap::new();
    for leg in &mission.legs {
        let entry = *index.entry(&leg.id).or_insert_with(|| {
            all.push(Waypoint {
                id: leg.id.clone(),
                position: place(leg.to),
                lines: 0,
                length: Length::ZERO,
                speed: Some(leg.command.value),
            });
            all.len() - 1
        });
        let waypoint = &mut all[entry];
        waypoint.position = place(leg.to);
        waypoint.lines += usize::from(leg.sounding);
        waypoint.length += Length::metres(leg.length());
    }
    all.shrink_to_fit();
    all
}
