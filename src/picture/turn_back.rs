//! When to turn back, in figures that can be read off an instrument.

use super::Demands;
use super::along::{Station, waypoints};
use crate::models::battery::{Chemistry, Pack};
use crate::passage::Passage;
use crate::passage::abort::turn_back;
use crate::plan::vessel::Gauge;
use crate::units::{Charge, Energy, Power, Ratio, Voltage};

/// Rows at most: on a long route, neighbouring waypoints share the strictest figure of them.
pub(crate) const MOST_ROWS: usize = 8;
/// A volt has so many steps that a reading is given in.
const STEPS_OF_A_VOLT: f64 = 10.0;

/// When to turn back, all along the route.
#[derive(Clone, PartialEq, Debug)]
pub struct TurnBacks {
    /// The energy that is to be left at home, as a share of the usable energy.
    pub kept: Ratio,
    /// Whether the policy asks for it; without, the boat would come home empty.
    pub asked: bool,
    /// The charge at the launch that what was used is counted from.
    pub launched_with: Ratio,
    /// What a launch with one per cent less takes off every figure of what was used, at most; nothing where the
    /// passage cannot be resolved.
    pub per_cent: Option<(Charge, Energy)>,
    /// Why the voltage does not tell the charge, where it does not.
    pub no_voltage: Option<&'static str>,
    /// One row a waypoint, or a few neighbouring ones.
    pub rows: Vec<TurnBack>,
}

/// When to turn back on the way to a waypoint.
#[derive(Clone, PartialEq, Debug)]
pub struct TurnBack {
    /// The waypoint that the boat is on the way to; with several, the first and the last of them.
    pub before: (String, String),
    /// Their numbers on the map.
    pub numbers: (usize, usize),
    /// What to go by; nothing where it cannot be determined or not even a full battery would do.
    pub limit: Option<Reading>,
    /// Where the plan itself, in the wind of its band that is worst, stands against that.
    pub planned: Planned,
}

impl TurnBack {
    /// On the way to one waypoint or a few, from a sample on.
    fn on(
        passage: &Passage<'_>,
        (first, last): (&Station, &Station),
        from: usize,
        kept: Ratio,
    ) -> Self {
        let stretch = (from, last.sample);
        let limit = reading(passage, stretch, kept);
        Self {
            before: (first.id.clone(), last.id.clone()),
            numbers: (first.number, last.number),
            planned: limit.map_or(Planned::Within, |limit| {
                planned(passage, stretch, kept, limit)
            }),
            limit,
        }
    }

    /// Whether as planned the boat does not go on to there, by a threshold that can be used.
    #[must_use]
    pub fn is_past(&self) -> bool {
        self.planned == Planned::PassedBefore
            && self.limit.is_some_and(|limit| !limit.before_the_launch())
    }
}

/// Where a plan stands against the threshold on the way to a waypoint.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Planned {
    /// It comes to the waypoint without passing it.
    Within,
    /// It passes it on the way there, so that the boat would be turned back.
    PassesOnTheWay,
    /// It has passed it when it sets off to there: as planned the boat does not go on.
    PassedBefore,
}

/// A threshold.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Reading {
    /// State of charge.
    pub charge: Ratio,
    /// Pack voltage under the draw of the way there, rounded up to a tenth of a volt; nothing where
    /// voltage tells nothing of the charge.
    pub voltage: Option<Voltage>,
    /// The least draw on the way there, which the voltage holds for, all that the pack gives.
    pub draw: Power,
    /// The greatest draw on the way there.
    pub greatest_draw: Power,
    /// Charge taken out since the launch; negative where the boat is not to go so far at all.
    pub used: Charge,
    /// Energy taken out since the launch.
    pub used_energy: Energy,
    /// What the boat's own gauge shows then, where it counts charge.
    pub gauge: Option<Ratio>,
}

impl Reading {
    /// Whether the boat is launched with less than this already.
    #[must_use]
    pub fn before_the_launch(&self) -> bool {
        self.used.get() < 0.0
    }
}

/// The thresholds of a passage.
pub(super) fn turn_backs(passage: &Passage<'_>, asked: Demands) -> TurnBacks {
    let kept = asked.reserve.unwrap_or(Ratio::ZERO);
    let chemistry = passage.plan.vessel.battery.chemistry.value;
    let stations = waypoints(passage);
    let together = stations.len().div_ceil(MOST_ROWS).max(1);
    let mut from = 1;
    let mut rows: Vec<TurnBack> = Vec::new();
    // Where the last of them begins.
    let mut begun = from;
    for some in stations.chunks(together) {
        let (Some(first), Some(last)) = (some.first(), some.last()) else {
            continue;
        };
        let mut row = TurnBack::on(passage, (first, last), from, kept);
        // What is not gone on to is not gone beyond either: one row says so, with the strictest
        // figure of all that follow.
        match rows.last_mut() {
            Some(held) if held.is_past() && row.is_past() => {
                row = TurnBack::on(passage, (first, last), begun, kept);
                held.before.1 = row.before.1;
                held.numbers.1 = row.numbers.1;
                held.limit = row.limit;
            }
            // Nor is there a threshold for any of those from which the boat does not get home.
            Some(held) if held.limit.is_none() && row.limit.is_none() => {
                held.before.1 = row.before.1;
                held.numbers.1 = row.numbers.1;
            }
            _ => {
                begun = from;
                rows.push(row);
            }
        }
        from = last.sample + 1;
    }
    TurnBacks {
        kept,
        asked: asked.reserve.is_some(),
        launched_with: passage.plan.mission.charge_at_launch.value,
        per_cent: per_cent(passage),
        no_voltage: (chemistry == Chemistry::Lfp).then_some(
            "the voltage of an iron phosphate cell hardly changes while it empties, so it does not \
             show the charge",
        ),
        rows,
    }
}

/// Charge and energy of one per cent of the pack, the most that any per cent below the launch holds.
fn per_cent(passage: &Passage<'_>) -> Option<(Charge, Energy)> {
    let boat = &passage.runs().ok()?.boat;
    let pack = &boat.pack;
    let above = |charge: f64| pack.energy_above_empty(charge.max(0.0)).get();
    let steps = (0..100).map(|step| boat.charge - f64::from(step) * 0.01);
    let energy = steps
        .filter(|charge| *charge > 0.0)
        .map(|charge| above(charge) - above(charge - 0.01));
    let energy = energy.fold(0.0, f64::max);
    Some((pack.capacity * 0.01, Energy::joules(energy)))
}

fn reading(passage: &Passage<'_>, (from, to): (usize, usize), kept: Ratio) -> Option<Reading> {
    let runs = passage.runs().ok()?;
    let pack = &runs.boat.pack;
    let kept = pack.usable_energy() * kept.get();
    let found = turn_back(passage, runs, from..=to, kept)?;
    let launch = runs.boat.charge;
    let gauge = match passage.plan.vessel.battery.gauge.as_ref().map(|g| &g.value) {
        // The inverse of how a counter runs: it takes from what it showed at the launch.
        Some(Gauge::Charge(set)) => {
            let shown = launch - (launch - found.charge) * (pack.capacity / set.value);
            Some(Ratio::fraction(shown))
        }
        Some(Gauge::Voltage { .. }) | None => None,
    };
    Some(Reading {
        charge: Ratio::fraction(found.charge),
        voltage: under_load(pack, found.charge, found.least_draw),
        draw: found.least_draw,
        greatest_draw: found.greatest_draw,
        used: pack.capacity * (launch - found.charge),
        used_energy: pack.energy_above_empty(launch) - pack.energy_above_empty(found.charge),
        gauge,
    })
}

/// Energies nearer together than this are one, J.
const SAME: f64 = 1.0;

fn planned(
    passage: &Passage<'_>,
    (from, to): (usize, usize),
    kept: Ratio,
    limit: Reading,
) -> Planned {
    let Ok(runs) = passage.runs() else {
        return Planned::Within;
    };
    let kept = runs.boat.pack.usable_energy() * kept.get();
    let before = from.saturating_sub(1);
    let passed = runs.runs.iter().any(|run| {
        let used = run.samples.first().zip(run.samples.get(before));
        used.is_some_and(|(launch, here)| {
            (launch.left - here.left - limit.used_energy).get() > SAME
        })
    });
    let short = runs.runs.iter().any(|run| {
        let on_the_way = run.samples.get(from..=to).unwrap_or_default().iter();
        let mut home = on_the_way.filter_map(|here| Some((here, here.home.as_ref().ok()?)));
        home.any(|(here, home)| (kept + home.energy - here.left).get() > SAME)
    });
    match (passed, short) {
        (true, _) => Planned::PassedBefore,
        (false, true) => Planned::PassesOnTheWay,
        (false, false) => Planned::Within,
    }
}

/// The voltage at the terminals, rounded up.
fn under_load(pack: &Pack, charge: f64, draw: Power) -> Option<Voltage> {
    if pack.chemistry == Chemistry::Lfp {
        return None;
    }
    let current = pack.current(draw, charge)?;
    let drop = pack.resistance.get() * current.get();
    let volts = pack.open_circuit_voltage(charge).get() - drop;
    let up = (volts * STEPS_OF_A_VOLT - 1e-9).ceil() / STEPS_OF_A_VOLT;
    Some(Voltage::volts(up))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Charge, Resistance};

    #[test]
    fn a_loaded_pack_shows_its_rest_less_what_its_resistance_takes() {
        let pack = Pack {
            chemistry: Chemistry::Nmc,
            cells_in_series: 4,
            capacity: Charge::coulombs(9.3 * 3600.0),
            resistance: Resistance::ohms(0.06),
            cut_off: Voltage::volts(12.8),
            usable: Ratio::fraction(0.8),
        };
        // By hand: at 50 % a cell rests at 3.7509 V, the pack at 15.0036 V. At 45 W the current is
        // the smaller root of 45 = (15.0036 − 0.06 I) I, 3.036 A, which takes 0.182 V: 14.821 V.
        let shown = under_load(&pack, 0.5, Power::watts(45.0)).map(Voltage::get);
        assert!(
            shown.is_some_and(|volts| (volts - 14.9).abs() < 1e-9),
            "{shown:?}"
        );
        let flat = Pack {
            chemistry: Chemistry::Lfp,
            ..pack
        };
        assert_eq!(under_load(&flat, 0.5, Power::watts(45.0)), None);
    }
}
