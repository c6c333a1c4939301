//! A team's repository: files gathered by kind, read through their schemas, made into typed
//! plans in which every value knows its line.

pub mod actions;
mod agree;
mod antennas;
pub mod baseline;
pub mod boats;
pub mod calendar;
mod claim;
mod conditions;
pub mod contingencies;
mod currents;
mod day;
pub mod decision;
pub mod depths;
pub mod floored;
mod gather;
mod heading;
pub mod lights;
mod link;
pub mod manned;
mod mislaid;
pub mod mission;
mod no_such_time;
pub mod open_edges;
mod outline;
pub mod people;
mod position;
mod radio;
pub mod route;
pub mod run;
pub mod safety_boat;
mod shoreline;
pub mod site;
pub mod soundings;
mod time;
mod together;
pub mod vessel;
pub mod waivers;

use std::sync::Arc;

pub use conditions::{Forecast, Wind};
pub use gather::{FileOfKind, Gathered, SIGNATURE, gather, is_yaml, read_file};
pub use heading::Heading;
pub use link::{Linked, NotChecked, link};
pub use time::{point_in_time, whole_day};

use crate::schema::Stated;
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
    /// Path of the mission file.
    pub path: String,
    /// Figures that were put up to a floor of the policy that judges; none as the files have it.
    pub floored: Vec<floored::Floored>,
}
