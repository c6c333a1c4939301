//! The vessel profile, typed.

mod calibration;
mod read;
mod seaway;
mod sonar;
mod together;

use super::lights::Carried;
use super::radio::{Link, Radio};
pub(crate) use calibration::Calibration;
pub(crate) use read::parse;
pub use read::vessel;
pub(crate) use seaway::{Limits, Roll};
pub(super) use sonar::depth_range;
pub(crate) use sonar::{DepthRange, Sonar};

use crate::models::battery::Chemistry;
use crate::models::constants::Water;
use crate::models::lights::SLOW;
use crate::models::resistance::{CalmWater, HullModel, TrialTable};
use crate::schema::Stated;
use crate::units::{
    Area, Charge, Energy, Length, Mass, Power, Ratio, Resistance, Speed, Time, Voltage,
};

/// A boat.
#[derive(Clone, Debug)]
pub struct Vessel {
    /// Its id.
    pub id: Stated<String>,
    /// Which boat it is, where stated.
    pub boat: Option<Stated<String>>,
    /// What people call it, where stated.
    pub title: Option<String>,
    /// Hull.
    pub hull: Hull,
    /// What the wind presses on.
    pub windage: Windage,
    /// Motors and propellers.
    pub propulsion: Propulsion,
    /// Propulsion battery.
    pub battery: Battery,
    /// Power of everything but propulsion.
    pub hotel_load: Stated<Power>,
    /// Radios aboard.
    pub radios: Vec<Radio>,
    /// The echo sounder, where stated.
    pub sonar: Option<Sonar>,
    /// How well the boat knows and keeps its position.
    pub navigation: Navigation,
    /// What it may be out in.
    pub limits: Limits,
    /// Lights aboard.
    pub lights: Stated<Vec<Carried>>,
    /// Where its figures come from, where they were fitted to runs.
    pub calibration: Option<Calibration>,
}

/// Dimensions of the hull.
#[derive(Clone, Debug)]
pub struct Hull {
    /// Length overall.
    pub length_overall: Stated<Length>,
    /// Waterline length.
    pub waterline_length: Stated<Length>,
    /// Greatest beam.
    pub beam: Stated<Length>,
    /// Draft.
    pub draft: Stated<Length>,
    /// Mass with all aboard.
    pub displacement: Stated<Mass>,
    /// Wetted surface, where stated.
    pub wetted_surface: Option<Stated<Area>>,
    /// Length from the bow to 95 % of the beam.
    pub bow_length: Stated<Length>,
    /// How it rolls, where stated.
    pub roll: Option<Stated<Roll>>,
}

/// What the wind presses on.
#[derive(Clone, Debug)]
pub struct Windage {
    /// Area seen from ahead.
    pub frontal_area: Stated<Area>,
    /// Its drag coefficient.
    pub drag_coefficient: Stated<f64>,
    /// Height of its middle.
    pub height: Stated<Length>,
    /// Drift of the disabled boat as a share of the wind at 10 m.
    pub leeway: Stated<Ratio>,
}

/// Motors and propellers.
#[derive(Clone, Debug)]
pub struct Propulsion {
    /// Greatest electrical power.
    pub maximum_power: Stated<Power>,
    /// Thrust power per shaft power.
    pub propulsive_efficiency: Stated<Ratio>,
    /// Shaft power per electrical power.
    pub motor_efficiency: Stated<Ratio>,
    /// Least speed at which the boat steers.
    pub minimum_steerageway: Stated<Speed>,
    /// Distance to a stop, where tried.
    pub stopping_distance: Option<Stated<Length>>,
    /// Speed that the distance to a stop was tried from, where stated.
    pub stopping_speed: Option<Stated<Speed>>,
    /// Power in calm water.
    pub calm: Stated<CalmForm>,
    /// Day of the trial, where stated.
    pub tried: Option<Stated<jiff::civil::Date>>,
}

/// How power in calm water is known.
#[derive(Clone, Debug)]
pub enum CalmForm {
    /// A trial table.
    Trial(TrialTable),
    /// A resistance model: form factor and residuary coefficient.
    Model {
        /// Form factor on the friction line.
        form_factor: f64,
        /// Residuary resistance coefficient.
        residuary: f64,
    },
}

/// The battery gauge as set on board.
#[derive(Clone, Debug)]
pub enum Gauge {
    /// It counts charge from a capacity that it is told.
    Charge(Stated<Charge>),
    /// It reads a voltage on a linear scale, volts a cell.
    Voltage {
        /// Shown as 0 %.
        empty: Stated<Voltage>,
        /// Shown as 100 %.
        full: Stated<Voltage>,
    },
}

/// The propulsion battery.
#[derive(Clone, Debug)]
pub struct Battery {
    /// Chemistry.
    pub chemistry: Stated<Chemistry>,
    /// Cells in series.
    pub cells: Stated<u32>,
    /// Capacity as measured, or nominal times state of health; no temperature effect.
    pub capacity: Stated<Charge>,
    /// Capacity by the label.
    pub nominal: Stated<Charge>,
    /// State of health that is stated beside a measured capacity, and not calculated with.
    pub health_beside: Option<Stated<Ratio>>,
    /// Day of the last capacity test, where stated.
    pub tested: Option<Stated<jiff::civil::Date>>,
    /// Share that may be used.
    pub usable: Stated<Ratio>,
    /// Resistance of the pack.
    pub resistance: Stated<Resistance>,
    /// Pack voltage at which the electronics cut out.
    pub cut_off: Stated<Voltage>,
    /// Gauge, where stated.
    pub gauge: Option<Stated<Gauge>>,
}

impl Battery {
    /// The energy of a full pack down to nothing, in warm water.
    #[must_use]
    pub fn full_energy(&self) -> Energy {
        let chemistry = self.chemistry.value;
        let volts = chemistry.voltage_integral(1.0) - chemistry.voltage_integral(0.0);
        volts * f64::from(self.cells.value) * self.capacity.value
    }
}

/// How well the boat knows and keeps its position.
#[derive(Clone, Debug)]
pub struct Navigation {
    /// Position error at 95 %.
    pub position_error: Stated<Length>,
    /// Cross-track error at 95 %.
    pub cross_track_error: Stated<Length>,
    /// Radius of a turn.
    pub turning_radius: Stated<Length>,
    /// Time from command to turn.
    pub delay: Stated<Time>,
}

impl Vessel {
    /// What says which boat it is, where it is not the vessel's own id: what the file states, or the
    /// vessel that it was calibrated from, which may say so in turn.
    #[must_use]
    pub fn of_boat(&self) -> Option<&Stated<String>> {
        let from = self.calibration.as_ref().map(|one| &one.from);
        self.boat.as_ref().or(from)
    }

    /// The boat's power in calm water, as the models want it. `water` sets density and viscosity.
    #[must_use]
    pub fn calm_water(&self, water: Water) -> CalmWater {
        match &self.propulsion.calm.value {
            CalmForm::Trial(table) => CalmWater::Trial(table.clone()),
            CalmForm::Model {
                form_factor,
                residuary,
            } => {
                let hull = &self.hull;
                let wetted_surface = hull.wetted_surface.as_ref().map_or_else(
                    || {
                        crate::models::resistance::wetted_surface(
                            hull.waterline_length.value,
                            hull.draft.value,
                            hull.displacement.value.get() / water.density(),
                        )
                    },
                    |stated| stated.value,
                );
                CalmWater::Model(HullModel {
                    waterline_length: hull.waterline_length.value,
                    wetted_surface,
                    form_factor: *form_factor,
                    residuary: *residuary,
                    efficiency: self.efficiency(),
                    water,
                })
            }
        }
    }

    /// Whether the boat cannot exceed 7 knots at its greatest power, as far as its figures tell.
    /// Past the end of a trial the resistance is taken not to grow, which makes the boat fast.
    #[must_use]
    pub fn keeps_below_seven_knots(&self, water: Water) -> bool {
        let calm = self.calm_water(water);
        let top = calm.top_speed();
        let at = SLOW.min(top);
        let needed = calm.power(at).unwrap_or(Power::ZERO) * (SLOW / at).max(1.0);
        needed > self.propulsion.maximum_power.value
    }

    /// Thrust power per electrical power.
    #[must_use]
    pub fn efficiency(&self) -> f64 {
        self.propulsion.propulsive_efficiency.value.get()
            * self.propulsion.motor_efficiency.value.get()
    }

    /// The radio aboard that serves a link.
    #[must_use]
    pub fn radio(&self, link: Link) -> Option<&Radio> {
        self.radios.iter().find(|radio| radio.link.value == link)
    }
}
