//! The speed of sound to set in the sounder.

use std::sync::Arc;

use super::fix::{At, Fix};
use super::{Wanted, altered, value_in};
use crate::finding::Who;
use crate::passage::Passage;
use crate::units::Speed;

/// The least speed of sound of any water, m/s, as the schema of the vessel bounds it. Our own choice.
const LEAST: u32 = 1300;
/// The greatest, likewise. Our own choice.
const GREATEST: u32 = 1700;
/// The step in which speeds are gone through first, m/s. Numerical.
const COARSE: u32 = 20;

/// The whole metre a second with the least error in the water planned for, where that passes.
pub(super) fn speed_of_sound(passage: &Passage<'_>, wanted: &Wanted<'_>) -> Option<Fix> {
    let set = passage.plan.vessel.sonar.as_ref()?.sound_speed.as_ref()?;
    let error = |speed: Speed| {
        let plan = altered(passage, |plan| {
            let mut vessel = (*plan.vessel).clone();
            if let Some(sonar) = &mut vessel.sonar {
                sonar.sound_speed = Some(set.clone().map(|_| speed));
            }
            plan.vessel = Arc::new(vessel);
        });
        value_in(wanted, &Passage::varied(&plan, passage.variation.clone()))
    };
    // The error grows to both sides of its least.
    let least = |from: u32, to: u32, step: u32| {
        let speeds = (from..=to).step_by(step as usize);
        let errors = speeds.filter_map(|metres| {
            let speed = Speed::metres_per_second(f64::from(metres));
            Some((metres, error(speed)?))
        });
        errors.min_by(|(_, one), (_, other)| one.total_cmp(other))
    };
    let (near, _) = least(LEAST, GREATEST, COARSE)?;
    let (from, to) = (
        near.saturating_sub(COARSE).max(LEAST),
        (near + COARSE).min(GREATEST),
    );
    let (speed, left) = least(from, to, 1)?;
    (wanted.side.margin(left, wanted.limit.value) >= 0.0).then(|| {
        let value = format!("{speed} m/s");
        let fix = Fix::set_one(At::Stated(set.span()), value.as_str());
        Fix {
            who: Who::BoatKeeper,
            ..fix.saying(format!("Set {value} in the sounder"))
        }
    })
}
