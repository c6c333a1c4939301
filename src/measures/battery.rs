//! The battery's own safeguards: the low-battery action in time, the gauge set right.

use super::assumed;
use super::energy::complete;
use super::entry::Entry;
use super::evidence;
use super::input;
use super::reading::{Change, Cost, Measure, Measured, NotMeasured, Scope, Type};
use super::unmeasured;
use crate::finding::Label;
use crate::models::battery::{Chemistry, gauge_voltage, linear_gauge, state_at_counter};
use crate::passage::{Passage, Runs, Stop};
use crate::plan::mission::Threshold;
use crate::plan::vessel::Gauge;
use crate::units::{Charge, Dimension, Energy, Ratio, Voltage};

pub(super) const LOW_BATTERY_MARGIN: Entry = Entry {
    measure: Measure {
        name: "mission.low_battery_margin",
        scope: Scope::Mission,
        of: Type::Quantity(Dimension::RATIO),
        title: "Energy left over when the low-battery action brings the boat home from its costliest point",
        meaning: "The stored energy at which the low-battery action fires, less the costliest \
                  return leg from any sample begun at that charge, as a share of the usable \
                  energy. A charge counter set to a wrong capacity fires early or late. A voltage \
                  counts as that at rest, the latest at which the action can fire.",
        needs: &[
            "on_low_battery",
            "battery and its gauge",
            "wind",
            "propulsion",
            "route",
        ],
        levers: &[Change::Threshold, Change::Speed, Change::Wind],
        moved_by: input::EVERYTHING,
        of_planned_wind: false,
        cost: Cost::Run,
    },
    read: |passage| evidence::of_mission(low_battery(passage)),
};

pub(super) const GAUGE_ERROR: Entry = Entry {
    measure: Measure {
        name: "mission.gauge_error",
        scope: Scope::Mission,
        of: Type::Quantity(Dimension::RATIO),
        title: "Difference between the capacity that the gauge is set to and the battery's own",
        meaning: "The size of: capacity set in the charge counter over the battery's capacity, \
                  less one. A voltage gauge has no set capacity: its error is that of its scale \
                  against the cell's curve, the greatest from empty to full.",
        needs: &["battery: gauge", "battery: capacity"],
        levers: &[],
        moved_by: input::EVERYTHING,
        of_planned_wind: false,
        cost: Cost::Run,
    },
    read: |passage| evidence::of_mission(gauge(passage)),
};

/// The state of charge at which the low-battery action fires, and how it comes about.
pub(super) fn trigger(
    passage: &Passage<'_>,
    threshold: &Threshold,
    capacity: Charge,
) -> Result<(f64, String), NotMeasured> {
    let plan = passage.plan;
    let battery = &plan.vessel.battery;
    let cells = f64::from(battery.cells.value);
    let chemistry = battery.chemistry.value;
    let launch = plan.mission.charge_at_launch.value.get();
    let at_voltage = |cell: Voltage, what: String| {
        if chemistry == Chemistry::Lfp {
            return Err(unmeasured::lacking(
                passage.plan,
                battery.chemistry.span(),
                "the voltage of an iron phosphate cell hardly changes between 40 % and 70 %, so it \
                 does not show the charge",
                "let the boat count charge, and state `below_charge`",
            ));
        }
        let state = chemistry.state_at(cell).min(launch);
        Ok((
            state,
            format!(
                "{what}: {cell} per cell at rest, {} charged",
                evidence::share(state)
            ),
        ))
    };
    match threshold {
        Threshold::Voltage(voltage) => {
            at_voltage(voltage.value / cells, format!("fires at {}", voltage.value))
        }
        Threshold::Charge(shown) => match battery.gauge.as_ref().map(|gauge| &gauge.value) {
            Some(Gauge::Charge(set)) => {
                let state =
                    state_at_counter(shown.value, launch, set.value, capacity).clamp(0.0, launch);
                Ok((
                    state,
                    format!(
                        "fires when the counter, set to {}, shows {}: the battery of {capacity} is {} charged",
                        set.value,
                        shown.value,
                        evidence::share(state)
                    ),
                ))
            }
            Some(Gauge::Voltage { empty, full }) => {
                let cell = gauge_voltage(shown.value, empty.value, full.value);
                at_voltage(cell, format!("fires when the scale shows {}", shown.value))
            }
            None => Err(unmeasured::lacking(
                passage.plan,
                shown.span(),
                "the vessel states no gauge, so the charge that the boat acts on is not known",
                "state `gauge` under the vessel's `battery`",
            )),
        },
    }
}

fn low_battery(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let Some(low) = &plan.mission.on_low_battery else {
        return Err(unmeasured::lacking(
            passage.plan,
            plan.mission.id.span(),
            "the plan does not say what the boat does on a low battery",
            "add `on_low_battery:` with an `action` and `below_charge` or `below_voltage`",
        ));
    };
    let (threshold_span, threshold_text) = match &low.threshold {
        Threshold::Charge(shown) => (shown.span(), format!("acts below {}", shown.value)),
        Threshold::Voltage(voltage) => (voltage.span(), format!("acts below {}", voltage.value)),
    };
    let runs = complete(passage)?;
    let pack = &runs.boat.pack;
    let (state, how) = trigger(passage, &low.threshold, pack.capacity)?;
    let left = pack.energy_above_empty(state);
    let (home, scenario, sample, begun) = match costliest(passage, runs, state) {
        Ok((home, scenario, sample)) => (home, scenario, sample, "begun at that charge"),
        // A charge that the boat does not get home with is no unknown where it gets home with more: the
        // return leg takes more than that charge holds.
        Err((scenario, stop)) => {
            let charge = plan.mission.charge_at_launch.value.get();
            let (home, scenario, sample) = costliest(passage, runs, charge)
                .map_err(|_| unmeasured::stopped(passage, runs, scenario, &stop))?;
            let begun =
                "begun with the charge at launch, since the boat does not get home at that charge";
            (home, scenario, sample, begun)
        }
    };
    let usable = pack.usable_energy();
    let value = evidence::value(Ratio::fraction((left - home) / usable));
    if let Some(alone) = evidence::value_alone(passage, value) {
        return Ok(alone);
    }
    let place = evidence::at_sample(passage, sample);
    let mut because = evidence::battery_lines(plan);
    because.extend(evidence::wind_lines(plan));
    because.push(evidence::home_line(plan));
    if let Some(gauge) = &battery_gauge(passage) {
        because.push(gauge.clone());
    }
    Ok(Measured {
        value,
        sentence: format!(
            "the energy left over when the low-battery action brings the boat home, from {},",
            evidence::spot(&place)
        ),
        primary: evidence::label(threshold_span, threshold_text),
        because,
        place: Some(place),
        scenario: Some(runs.scenarios.describe(scenario, false)),
        steps: vec![
            evidence::usable_step(runs),
            how,
            format!("that is {left} above empty"),
            format!("costliest return leg, {begun}: {home}"),
            format!(
                "left over: {left} − {home} = {}, {} of the usable energy",
                left - home,
                evidence::share((left - home) / usable)
            ),
        ],
        assumptions: assumed::of_plan(plan),
    })
}

/// The energy of the costliest return leg of all that are begun at a charge, with its scenario and its sample;
/// otherwise why one of them stops, with its scenario.
fn costliest(
    passage: &Passage<'_>,
    runs: &Runs,
    charge: f64,
) -> Result<(Energy, usize, usize), (usize, Stop)> {
    let mut costliest = (Energy::ZERO, 0, 0);
    for scenario in 0..runs.runs.len() {
        let (sample, cost) = passage
            .costliest_return_leg(runs, scenario, charge)
            .map_err(|stop| (scenario, stop))?;
        if scenario == 0 || cost.energy > costliest.0 {
            costliest = (cost.energy, scenario, sample);
        }
    }
    Ok(costliest)
}

fn battery_gauge(passage: &Passage<'_>) -> Option<Label> {
    let gauge = passage.plan.vessel.battery.gauge.as_ref()?;
    Some(match &gauge.value {
        Gauge::Charge(set) => evidence::label(set.span(), format!("counter set to {}", set.value)),
        Gauge::Voltage { empty, full } => evidence::label(
            full.span(),
            format!("scale from {} to {} a cell", empty.value, full.value),
        ),
    })
}

fn gauge(passage: &Passage<'_>) -> Result<Measured, NotMeasured> {
    let plan = passage.plan;
    let battery = &plan.vessel.battery;
    let Some(gauge) = &battery.gauge else {
        return Err(unmeasured::lacking(
            passage.plan,
            battery.capacity.span(),
            "the vessel does not state the setting of its battery gauge",
            "state `gauge` under the vessel's `battery`",
        ));
    };
    let (error, primary, steps) = match &gauge.value {
        Gauge::Charge(set) => {
            let error = set.value / battery.capacity.value - 1.0;
            let steps = vec![format!(
                "{} set, {} in the battery: {} / {} − 1 = {}",
                set.value,
                battery.capacity.value,
                set.value,
                battery.capacity.value,
                evidence::share(error)
            )];
            (
                error.abs(),
                evidence::label(set.span(), format!("set to {}", set.value)),
                steps,
            )
        }
        Gauge::Voltage { empty, full } => {
            let (error, state, shown) =
                scale_error(&at_rest(battery.chemistry.value), empty.value, full.value);
            let steps = vec![
                format!(
                    "at {} charged the scale from {} to {} per cell shows {}",
                    evidence::share(state),
                    empty.value,
                    full.value,
                    evidence::share(shown)
                ),
                nearest_scale(battery.chemistry.value),
            ];
            let text = format!("scale from {} to {}", empty.value, full.value);
            (error, evidence::label(full.span(), text), steps)
        }
    };
    Ok(Measured {
        value: evidence::value(Ratio::fraction(error)),
        sentence: "the battery gauge's difference from the battery".to_owned(),
        primary,
        because: vec![evidence::label(
            battery.capacity.span(),
            format!("capacity {}", battery.capacity.value),
        )],
        place: None,
        scenario: None,
        steps,
        assumptions: battery
            .capacity
            .assumption()
            .map(str::to_owned)
            .into_iter()
            .collect(),
    })
}

/// A cell at rest from empty to full, in hundredths: its charge with its voltage.
fn at_rest(chemistry: Chemistry) -> [(f64, Voltage); 101] {
    std::array::from_fn(|percent| {
        let state = percent as f64 / 100.0;
        (state, chemistry.open_circuit_voltage(state))
    })
}

/// Greatest difference between what a voltage scale shows of a cell at rest and the charge, with both.
fn scale_error(cell: &[(f64, Voltage)], empty: Voltage, full: Voltage) -> (f64, f64, f64) {
    cell.iter()
        .map(|&(state, voltage)| {
            let shown = linear_gauge(voltage, empty, full).get().clamp(0.0, 1.0);
            ((shown - state).abs(), state, shown)
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap_or((f64::INFINITY, 0.0, 0.0))
}

/// How far the ends of a scale are sought from the voltages of an empty and of a full cell, in hundredths
/// of a volt. Our own choice: it bounds what the sentence proposes, and no figure.
const SOUGHT: i32 = 15;

/// The scale that comes nearest to a cell at rest, in a sentence: what a gauge of this kind is best set to.
fn nearest_scale(chemistry: Chemistry) -> String {
    let cell = at_rest(chemistry);
    let hundredths = |at: usize| (cell[at].1 * 100.0).get().round() as i32;
    let around = |end: i32| end - SOUGHT..=end + SOUGHT;
    let ends = around(hundredths(0))
        .flat_map(|empty| around(hundredths(100)).map(move |full| (empty, full)));
    let scales = ends.map(|(empty, full)| {
        let volts = |hundredths: i32| Voltage::volts(f64::from(hundredths) / 100.0);
        let (empty, full) = (volts(empty), volts(full));
        (scale_error(&cell, empty, full).0, empty, full)
    });
    let best = scales.min_by(|a, b| a.0.total_cmp(&b.0));
    let (error, empty, full) = best.expect("some scales are compared");
    format!(
        "the scale that comes nearest to a cell at rest goes from {empty} to {full} and differs by {}",
        evidence::share(error)
    )
}
