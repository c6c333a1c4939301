//! Speed and power of the boat against the angle between its track and the wind, for figures.

use super::{Passage, Runs};
use crate::models::propulsion::{Blown, Command, Surroundings};
use crate::models::waves::Sea;
use crate::units::{Angle, FromDirection, Power, Speed};

/// Step between two angles, degrees; five of them make 45°.
const STEP: u32 = 9;

/// What the boat does at one angle to the wind.
#[derive(Clone, Debug, PartialEq)]
pub struct AtAngle {
    /// Angle between the track and where the wind comes from: 0 is a headwind.
    pub off_the_bow: Angle,
    /// Propulsion power at the planned speed in the sustained wind; `None` where it cannot be determined
    /// or is not to be had.
    pub power: Option<Power>,
    /// The same in the gust.
    pub power_in_gust: Option<Power>,
    /// Speed at full power in the sustained wind.
    pub full_power: Option<Speed>,
    /// The same in the gust.
    pub full_power_in_gust: Option<Speed>,
}

/// The boat against the angle of the wind, without current, in the highest sea of the route.
#[derive(Clone, Debug, PartialEq)]
pub struct WindAngles {
    /// The speed that most of the route is planned at.
    pub planned: Speed,
    /// Most that battery and motors give at the charge of the launch.
    pub most: Power,
    /// From a headwind to a following one.
    pub angles: Vec<AtAngle>,
}

/// Calculates it; `None` where the sea is not known or there is no route.
#[must_use]
pub(crate) fn wind_angles(passage: &Passage<'_>, runs: &Runs) -> Option<WindAngles> {
    let command = most_of_the_route(passage)?;
    let sea = highest(passage, runs)?;
    let first = runs.scenarios.all.first()?;
    let size = |(east, north): (f64, f64)| east.hypot(north);
    let (sustained, gust) = (
        (size(first.sustained), first.blown),
        (size(first.gust), first.blown_in_gust),
    );
    let most = runs.boat.most(runs.boat.charge);
    let north = (0.0, 1.0);
    let at = |degrees: u32| {
        let angle = Angle::degrees(f64::from(degrees));
        let from = FromDirection::new(angle);
        let (east, up) = from.towards().unit_vector();
        let around = |(speed, blown): (f64, Blown)| Surroundings {
            wind: (east * speed, up * speed),
            blown: Blown {
                water: (east * size(blown.water), up * size(blown.water)),
                boat: (east * size(blown.boat), up * size(blown.boat)),
            },
            current: (0.0, 0.0),
            sea,
            waves_from: from,
        };
        let boat = &runs.boat.propulsion;
        let power = |wind| {
            let advance = boat.advance(north, command, &around(wind), most).ok()?;
            (!advance.slowed).then_some(advance.power)
        };
        let full = |wind| boat.full_power_speed(north, &around(wind), most).ok();
        AtAngle {
            off_the_bow: angle,
            power: power(sustained),
            power_in_gust: power(gust),
            full_power: full(sustained),
            full_power_in_gust: full(gust),
        }
    };
    let planned = match command {
        Command::OverGround(speed) | Command::ThroughWater(speed) => speed,
    };
    Some(WindAngles {
        planned,
        most,
        angles: (0..=180 / STEP).map(|step| at(step * STEP)).collect(),
    })
}

/// The commanded speed of the greatest length of the route; of equal ones the first.
fn most_of_the_route(passage: &Passage<'_>) -> Option<Command> {
    let mut lengths: Vec<(Command, f64)> = Vec::new();
    for leg in &passage.plan.mission.legs {
        let command = super::boat::faster(leg.command.value, passage.variation.speed);
        match lengths.iter_mut().find(|(held, _)| *held == command) {
            Some((_, length)) => *length += leg.length(),
            None => lengths.push((command, leg.length())),
        }
    }
    let mut longest: Option<(Command, f64)> = None;
    for (command, length) in lengths {
        if longest.is_none_or(|(_, held)| length > held) {
            longest = Some((command, length));
        }
    }
    longest.map(|(command, _)| command)
}

/// The highest sea on the route in any wind.
fn highest(passage: &Passage<'_>, runs: &Runs) -> Option<Sea> {
    let field = runs.sea.as_ref()?;
    let mut highest = Sea::CALM;
    for step in &passage.track.steps {
        for direction in 0..runs.scenarios.directions.len() {
            let sea = field.highest(direction, step.middle()).sea;
            if sea.height > highest.height {
                highest = sea;
            }
        }
    }
    Some(highest)
}
