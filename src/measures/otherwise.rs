//! What a plan would be if a figure that it assumes were the best that it may be.

use std::sync::Arc;

use crate::plan::Plan;
use crate::plan::vessel::Vessel;
use crate::schema::Stated;
use crate::units::{Angle, Length, Ratio, Temperature, Time};

/// A plan with one assumed figure at the far end of what it may be.
pub(crate) struct Otherwise {
    /// The assumption, as it is told of the plan.
    pub assumption: String,
    /// The figure in its place.
    pub with: String,
    /// The plan with it.
    pub plan: Plan,
}

/// The least drag coefficient that a file may state.
const LEAST_DRAG: f64 = 0.5;
/// The least leeway that a file may state, as a share of the wind.
const LEAST_LEEWAY: f64 = 0.01;
/// Water of a summer's day, °C. Our own choice.
const WARM: f64 = 20.0;

/// A plan for each figure that it assumes and that a statement could better, with that figure at its best.
#[must_use]
pub(crate) fn otherwise(plan: &Plan) -> Vec<Otherwise> {
    let mut all = Vec::new();
    let mut put = |assumption: Option<&str>, with: String, set: &dyn Fn(&mut Plan)| {
        if let Some(assumption) = assumption {
            let mut plan = plan.clone();
            set(&mut plan);
            all.push(Otherwise {
                assumption: assumption.to_owned(),
                with,
                plan,
            });
        }
    };
    let (mission, vessel, site) = (&plan.mission, &plan.vessel, &plan.site);
    if let Some(wind) = &mission.wind {
        let narrow = Angle::degrees(0.0);
        put(wind.spread.assumption(), narrow.to_string(), &|plan| {
            if let Some(wind) = &mut plan.mission.wind {
                become_value(&mut wind.spread, narrow);
            }
        });
        let steady = wind.mean.value;
        put(wind.gust.assumption(), steady.to_string(), &|plan| {
            if let Some(wind) = &mut plan.mission.wind {
                become_value(&mut wind.gust, steady);
            }
        });
        let usual = Length::metres(10.0);
        put(wind.height.assumption(), usual.to_string(), &|plan| {
            if let Some(wind) = &mut plan.mission.wind {
                become_value(&mut wind.height, usual);
            }
        });
    }
    let warm = Temperature::celsius(WARM);
    let water = mission.water_temperature.assumption();
    put(water, warm.to_string(), &|plan| {
        become_value(&mut plan.mission.water_temperature, warm);
    });
    let at_once = Time::seconds(0.0);
    let delay = mission.launch.delay.assumption();
    put(delay, at_once.to_string(), &|plan| {
        become_value(&mut plan.mission.launch.delay, at_once);
    });
    let drag = vessel.windage.drag_coefficient.assumption();
    put(drag, LEAST_DRAG.to_string(), &|plan| {
        become_value(&mut boat(plan).windage.drag_coefficient, LEAST_DRAG);
    });
    let low = Length::metres(0.1);
    put(
        vessel.windage.height.assumption(),
        low.to_string(),
        &|plan| {
            become_value(&mut boat(plan).windage.height, low);
        },
    );
    let little = Ratio::fraction(LEAST_LEEWAY);
    put(
        vessel.windage.leeway.assumption(),
        little.to_string(),
        &|plan| {
            become_value(&mut boat(plan).windage.leeway, little);
        },
    );
    let whole = Ratio::fraction(1.0);
    let propeller = vessel.propulsion.propulsive_efficiency.assumption();
    put(propeller, whole.to_string(), &|plan| {
        become_value(&mut boat(plan).propulsion.propulsive_efficiency, whole);
    });
    let motor = vessel.propulsion.motor_efficiency.assumption();
    put(motor, whole.to_string(), &|plan| {
        become_value(&mut boat(plan).propulsion.motor_efficiency, whole);
    });
    put(
        vessel.battery.usable.assumption(),
        whole.to_string(),
        &|plan| {
            become_value(&mut boat(plan).battery.usable, whole);
        },
    );
    let nominal = vessel.battery.nominal.value;
    let capacity = vessel.battery.capacity.assumption();
    put(capacity, nominal.to_string(), &|plan| {
        become_value(&mut boat(plan).battery.capacity, nominal);
    });
    put(
        vessel.navigation.delay.assumption(),
        at_once.to_string(),
        &|plan| {
            become_value(&mut boat(plan).navigation.delay, at_once);
        },
    );
    let flat = Length::metres(0.0);
    put(site.land_height.assumption(), flat.to_string(), &|plan| {
        become_value(&mut Arc::make_mut(&mut plan.site).land_height, flat);
    });
    all
}

fn boat(plan: &mut Plan) -> &mut Vessel {
    Arc::make_mut(&mut plan.vessel)
}

fn become_value<T: Clone>(stated: &mut Stated<T>, value: T) {
    *stated = stated.clone().map(|_| value);
}
