//! The vessel as the models want it.

use super::Variation;
use crate::models::battery::{Pack, resistance_growth, temperature_factor};
use crate::models::propulsion::{Command, Propulsion};
use crate::plan::Plan;
use crate::units::{Power, Speed};

/// The vessel as the models want it.
#[derive(Clone, Debug)]
pub struct Boat {
    /// Propulsion and hull.
    pub propulsion: Propulsion,
    /// Battery, temperature taken into account.
    pub pack: Pack,
    /// Power of everything but propulsion.
    pub hotel: Power,
    /// State of charge at launch.
    pub charge: f64,
    /// Speed through the water on the return leg.
    pub home_speed: Speed,
}

impl Boat {
    /// The boat of a plan, varied.
    #[must_use]
    pub fn from_plan(plan: &Plan, variation: &Variation) -> Self {
        let (vessel, mission) = (&plan.vessel, &plan.mission);
        let water = plan.site.water.value;
        let propulsion = Propulsion {
            calm: vessel.calm_water(water).times(variation.power),
            maximum_power: vessel.propulsion.maximum_power.value,
            propulsive_efficiency: vessel.propulsion.propulsive_efficiency.value.get(),
            motor_efficiency: vessel.propulsion.motor_efficiency.value.get(),
            frontal_area: vessel.windage.frontal_area.value,
            drag_coefficient: vessel.windage.drag_coefficient.value,
            beam: vessel.hull.beam.value,
            waterline_length: vessel.hull.waterline_length.value,
            bow_length: vessel.hull.bow_length.value,
            water,
            minimum_steerageway: vessel.propulsion.minimum_steerageway.value,
        };
        let battery = &vessel.battery;
        // The pack is as cold as the water; it warms itself by its losses, which is not credited.
        let cold = mission.water_temperature.value;
        let warmth = temperature_factor(cold).get();
        let growth = resistance_growth(battery.chemistry.value, cold).get();
        let pack = Pack {
            chemistry: battery.chemistry.value,
            cells_in_series: battery.cells.value,
            capacity: battery.capacity.value * (warmth * variation.capacity),
            resistance: battery.resistance.value * growth,
            cut_off: battery.cut_off.value,
            usable: battery.usable.value,
        };
        Self {
            propulsion,
            pack,
            hotel: vessel.hotel_load.value,
            charge: mission.charge_at_launch.value.get(),
            home_speed: mission.return_leg.speed.value * variation.speed,
        }
    }

    /// Power that can be had for propulsion at a state of charge.
    #[must_use]
    pub fn available(&self, charge: f64) -> Power {
        (self.pack.available_power(charge) - self.hotel).max(Power::ZERO)
    }

    /// Most that can be had from the propulsion itself, however strong the battery.
    #[must_use]
    pub fn most(&self, charge: f64) -> Power {
        self.available(charge).min(self.propulsion.maximum_power)
    }
}

/// A command with its speed multiplied.
#[must_use]
pub(crate) fn faster(command: Command, by: f64) -> Command {
    match command {
        Command::OverGround(speed) => Command::OverGround(speed * by),
        Command::ThroughWater(speed) => Command::ThroughWater(speed * by),
    }
}
