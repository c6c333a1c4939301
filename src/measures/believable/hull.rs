//! Power and speed of the trial against the hull.

use crate::measures::assumed;
use crate::measures::evidence;
use crate::measures::reading::{Measured, NotMeasured};
use crate::measures::unmeasured;
use crate::models::believable::{friction as on_plate, hull_speed, least_wetted_surface};
use crate::models::constants::G;
use crate::models::resistance::wetted_surface;
use crate::passage::Passage;
use crate::plan::vessel::CalmForm;
use crate::units::{Area, Force, Ratio, Speed};

/// Above this Froude number a hull begins to lift, so that less of it is wetted than at rest. Planing hulls gain from
/// 0.4 on, and at about 1 lift carries nearly all of the weight (Radojčić, Zgradić, Kalajdžić and Šimić 2014, Polish
/// Maritime Research 21 (2), 9-26); the number between the two: our own choice.
const LIFTS: f64 = 0.6;
/// Speeds at which a model is looked at, as parts of its range. Numerical: where a smooth curve is looked
/// at.
const PARTS: [f64; 4] = [0.25, 0.5, 0.75, 1.0];

/// Power over the thrust that friction alone asks for, at its least.
pub(super) fn friction(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let vessel = &plan.vessel;
    let (hull, propulsion) = (&vessel.hull, &vessel.propulsion);
    let water = plan.site.water.value;
    let length = hull.waterline_length.value;
    let volume = hull.displacement.value.get() / water.density();
    let by_form = wetted_surface(length, hull.draft.value, volume);
    let stated = hull.wetted_surface.as_ref().map_or(by_form, |s| s.value);
    let least = least_wetted_surface(length, volume);
    let wetted: Area = stated.max(least);
    let calm = vessel.calm_water(water);
    let efficiency = vessel.efficiency();
    let speeds: Vec<Speed> = match &propulsion.calm.value {
        CalmForm::Trial(table) => table.points().map(|(speed, _)| speed).collect(),
        CalmForm::Model { .. } => PARTS.map(|part| calm.top_speed() * part).to_vec(),
    };
    let lifts = Speed::metres_per_second(LIFTS * (G * length.get()).sqrt());
    // The first speed is looked at in any case: a boat whose trial begins with it planing is recognised by that.
    let looked_at = speeds
        .iter()
        .enumerate()
        .filter(|(index, speed)| *index == 0 || **speed <= lifts);
    let mut worst: Option<(f64, Speed, Force, Force)> = None;
    for (_, speed) in looked_at {
        let Ok(resistance) = calm.resistance(*speed, efficiency) else {
            continue;
        };
        let plate = on_plate(*speed, length, wetted, water);
        let share = resistance / plate;
        if worst.is_none_or(|(held, ..)| share < held) {
            worst = Some((share, *speed, resistance, plate));
        }
    }
    let Some((share, speed, resistance, plate)) = worst else {
        return Err(unmeasured::lacking(
            plan,
            propulsion.calm.span(),
            "the power in calm water is known at no speed",
            "state a `trial` with speeds and powers",
        ));
    };
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(share)),
        format!(
            "the resistance at {speed} in calm water, as a share of the friction on the hull alone,"
        ),
        evidence::label(
            propulsion.calm.span(),
            format!("{resistance} of thrust at {speed}"),
        ),
    );
    known.because = vec![
        evidence::label(
            propulsion.propulsive_efficiency.span(),
            format!(
                "propulsive efficiency {}",
                propulsion.propulsive_efficiency.value
            ),
        ),
        evidence::label(
            propulsion.motor_efficiency.span(),
            format!("motor efficiency {}", propulsion.motor_efficiency.value),
        ),
        evidence::label(hull.waterline_length.span(), format!("{length} long")),
        evidence::label(
            hull.displacement.span(),
            format!("displaces {}", hull.displacement.value),
        ),
    ];
    let surface = match &hull.wetted_surface {
        Some(stated) => {
            known.because.push(evidence::label(
                stated.span(),
                format!("wetted surface {}", stated.value),
            ));
            "stated"
        }
        None => "by the hull's form",
    };
    known.steps = vec![
        format!(
            "wetted surface: {stated} {surface}; at least {least} for its length and volume: \
             {wetted} used"
        ),
        format!("friction at {speed} by the ITTC 1957 line: {plate}"),
        format!(
            "thrust: power × {} / {speed} = {resistance}",
            evidence::share(efficiency)
        ),
        format!("{resistance} / {plate} = {}", evidence::share(share)),
    ];
    known.assumptions = assumed::of_plan(plan);
    Ok(known)
}

pub(super) fn speed(passage: &Passage<'_>) -> Measured {
    let vessel = &passage.plan.vessel;
    let length = &vessel.hull.waterline_length;
    let top = vessel.calm_water(passage.plan.site.water.value).top_speed();
    let own = hull_speed(length.value);
    let share = top / own;
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(share)),
        "the greatest speed with a stated power, as a share of the hull speed,",
        evidence::label(vessel.propulsion.calm.span(), format!("up to {top}")),
    );
    known.because = vec![evidence::label(
        length.span(),
        format!("waterline {}", length.value),
    )];
    let froude = top.get() / (G * length.value.get()).sqrt();
    known.steps = vec![
        format!("hull speed: √(g × {} / 2π) = {own}", length.value),
        format!(
            "{top} / {own} = {}, a Froude number of {froude:.2}",
            evidence::share(share)
        ),
    ];
    known
}

pub(super) fn efficiency(passage: &Passage<'_>) -> Measured {
    let vessel = &passage.plan.vessel;
    let (propeller, motor) = (
        &vessel.propulsion.propulsive_efficiency,
        &vessel.propulsion.motor_efficiency,
    );
    let whole = vessel.efficiency();
    let mut known = Measured::new(
        evidence::value(Ratio::fraction(whole)),
        "the thrust power per electrical power",
        evidence::label(
            propeller.span(),
            format!("propulsive efficiency {}", propeller.value),
        ),
    );
    known.because = vec![evidence::label(
        motor.span(),
        format!("motor efficiency {}", motor.value),
    )];
    known.steps = vec![format!(
        "{} × {} = {}",
        propeller.value,
        motor.value,
        evidence::share(whole)
    )];
    known.assumptions = [propeller, motor]
        .into_iter()
        .filter_map(|stated| stated.assumption().map(str::to_owned))
        .collect();
    known
}
