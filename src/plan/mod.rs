//! A team's repository: files gathered by kind, read through their schemas, made into typed
//! plans in which every value knows its line.

pub(crate) mod actions;
mod agree;
pub(crate) mod alike;
mod antennas;
pub(crate) mod baseline;
mod bearing;
pub(crate) mod boats;
pub(crate) mod calendar;
mod claim;
mod conditions;
pub(crate) mod contingencies;
pub(crate) mod currents;
mod day;
pub(crate) mod decision;
pub(crate) mod depths;
mod fitted;
pub(crate) mod floored;
mod gather;
mod gathered;
mod geodata;
mod heading;
pub(crate) mod laid;
mod laid_out;
pub(crate) mod lights;
mod link;
mod listed;
pub(crate) mod manned;
mod mislaid;
pub(crate) mod mission;
mod no_such_time;
mod offset;
pub(crate) mod open_edges;
pub(crate) mod operator;
pub(crate) mod orders;
pub(crate) mod out;
mod outline;
pub(crate) mod people;
pub(crate) mod places;
mod plain_line;
mod position;
mod quoted;
pub(crate) mod radio;
pub(crate) mod record_heading;
mod repeats;
pub(crate) mod return_leg;
pub(crate) mod route;
pub(crate) mod run;
pub(crate) mod safety_boat;
mod shoreline;
pub(crate) mod site;
mod site_people;
mod sorted;
mod sounded;
pub(crate) mod soundings;
#[cfg(test)]
mod tests_orders;
mod time;
mod together;
pub(crate) mod vessel;
pub(crate) mod waivers;

use std::sync::Arc;

pub(crate) use conditions::{Forecast, Wind};
pub use gather::read_file;
pub(crate) use gather::{About, Reader, gather};
pub(crate) use gathered::{FileOfKind, Gathered, SIGNATURE, is_yaml};
pub use heading::Heading;
pub(crate) use link::{Linked, NotChecked, link};
pub(crate) use listed::yaml_size;
pub(crate) use offset::offset_shown;
pub(crate) use out::Out;
pub(crate) use position::position_degrees;
pub(crate) use time::{moment_as_written, point_in_time, whole_day};

use jiff::Timestamp;

use crate::schema::Stated;
use calendar::later;
use mission::Mission;
use site::Site;
use vessel::Vessel;

/// A mission with the vessel and the site that it names.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The mission.
    pub mission: Mission,
    /// Its vessel.
    pub vessel: Arc<Vessel>,
    /// Its site.
    pub site: Arc<Site>,
    /// The policy that it names, where it names one.
    pub policy: Option<Stated<String>>,
    /// The orders that are laid under it, where it names any.
    pub orders: Option<laid::Laid>,
    /// The mission that it repeats on another day, where it names one.
    pub repeats: Option<laid::Laid>,
    /// Path of the mission file.
    pub path: String,
    /// Figures that were put up to a floor of the policy that judges; none as the files have it.
    pub floored: Vec<floored::Floored>,
}

impl Plan {
    /// The plan with another time of launch and all else as stated, the latest return too. A
    /// forecast is followed from the new time on; `None` where it does not reach back that far.
    #[must_use]
    pub fn launched_at(&self, time: Timestamp) -> Option<Self> {
        let mut plan = self.clone();
        let Mission {
            launch, day, wind, ..
        } = &mut plan.mission;
        launch.time.value = time;
        if let Some(forecast) = &day.forecast {
            if time < forecast.issued.value {
                return None;
            }
            let back = launch.latest_return.as_ref()?.value;
            *wind = Some(forecast.wind(time, later(back, launch.delay.value.get()))?);
        }
        Some(plan)
    }
}
