//! What is read at the water, put in place of what was planned.

use std::collections::BTreeSet;

use jiff::Timestamp;
use jiff::tz::TimeZone;

use crate::envelope::planned_wind::gustiness;
use crate::models::battery::Chemistry;
use crate::models::wind::BY_HAND;
use crate::plan::calendar::shown;
use crate::plan::{Plan, Wind};
use crate::schema::Stated;
use crate::units::{FromDirection, Length, Ratio, Speed, Typed as _, Voltage};

/// How what was read is marked among assumptions.
const READ: &str = "read at the water";

/// The wind as an anemometer shows it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct WindRead {
    /// Where it comes from.
    pub from: FromDirection,
    /// Its mean.
    pub mean: Speed,
    /// The strongest gust, where it was read.
    pub gust: Option<Speed>,
    /// Height of the anemometer over the water, where stated.
    pub height: Option<Length>,
}

/// The battery as instruments show it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct BatteryRead {
    /// Voltage of the pack at rest, and what half of its last digit is worth.
    pub resting: Option<(Voltage, Voltage)>,
    /// State of charge of a counter.
    pub charge: Option<Ratio>,
}

/// Everything that is said at the water.
#[derive(Clone, PartialEq, Debug)]
pub struct Readings {
    /// When the boat is to be launched.
    pub at: Timestamp,
    /// When it is decided: by the computer's clock, or as it was said.
    pub clock: Timestamp,
    /// What the computer's clock shows, where another time was said.
    pub computer: Option<Timestamp>,
    /// When the instruments were read, the earliest of them.
    pub read: Timestamp,
    /// Who decides, by role.
    pub by: String,
    /// The wind.
    pub wind: WindRead,
    /// The battery.
    pub battery: BatteryRead,
    /// Items of the checklist that were just seen to.
    pub ticked: Vec<String>,
    /// Why the last go about this launch was not used, where it was not.
    pub again: Option<String>,
    /// What was decided and run that the tree does not hold.
    pub elsewhere: Elsewhere,
    /// The digest of the plan on paper, or aboard, where it was read off.
    pub digest: Option<String>,
}

/// What is known of decisions and runs beside what the tree holds.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Elsewhere {
    /// Files of decisions and of runs that other commits hold: where, and the text.
    pub files: Vec<(String, String)>,
    /// Digests of goes that were not used, as decisions say that the tree does not hold: those that were
    /// made before this one and committed after it.
    pub unused: Vec<String>,
    /// Whether the clone lacks the beginning of its history, so that there may be more of them.
    pub shallow: bool,
}

/// How far a launch may be from when it is decided, and from when the instruments were read, s.
pub(super) const APART: i64 = 3600;
/// How far the time that is said may be from the computer's without being reported, s.
const TOLD: i64 = 60;

/// How many times the voltage of a full pack no overcharged one of as many cells rests at.
const ANOTHER_PACK: f64 = 1.3;

/// By how much more than a full pack, as a share, a sound one may be read: what a usual meter is off
/// by, 0.5 % (common practice, no source). Cells whose voltage settles for hours after a charge are read
/// higher than they rest at, 3 % (likewise).
fn over_full(chemistry: Chemistry) -> f64 {
    match chemistry {
        Chemistry::Nmc | Chemistry::Nca => 0.005,
        Chemistry::Lfp | Chemistry::LeadAcid => 0.03,
    }
}

/// Whether the voltage of the pack at rest tells how much it is charged.
#[must_use]
pub(crate) fn tells_charge(plan: &Plan) -> bool {
    plan.vessel.battery.chemistry.value != Chemistry::Lfp
}

/// Whether what was read of the battery can be the plan's.
///
/// # Errors
/// Why it cannot, in a sentence.
pub(crate) fn counts_charge(plan: &Plan, read: &BatteryRead) -> Result<(), String> {
    charge(plan, read).map(|_| ())
}

/// The charge that the readings come to, with how it was told; the lower of two. `Err` says why it
/// cannot be determined.
pub(super) fn charge(plan: &Plan, read: &BatteryRead) -> Result<(Ratio, Vec<String>), String> {
    let mut told = Vec::new();
    let mut least: Option<f64> = None;
    if let Some((resting, half_digit)) = read.resting {
        let battery = &plan.vessel.battery;
        let cells = f64::from(battery.cells.value);
        let chemistry = battery.chemistry.value;
        let full = chemistry.open_circuit_voltage(1.0).get() * cells;
        // One cell's reading for the pack's is the usual slip.
        let empty = chemistry.least_voltage().get() * cells;
        if resting.get() < empty * 0.8 {
            return Err(format!(
                "a pack of {cells} cells that rests at {resting} is far below empty, {}; was one cell \
                 measured?",
                Voltage::volts(empty)
            ));
        }
        if resting.get() > full * ANOTHER_PACK {
            return Err(format!(
                "no pack of {cells} cells rests at {resting}; a full one rests at {}",
                Voltage::volts(full)
            ));
        }
        if resting.get() > full * (1.0 + over_full(chemistry)) + half_digit.get() {
            return Err(format!(
                "{resting} on {cells} cells is more than a full pack, {}: a wrong meter, another \
                 pack, or an overcharged one, which may burn: do not launch, and isolate it \
                 outdoors",
                Voltage::volts(full)
            ));
        }
        if !tells_charge(plan) && read.charge.is_none() {
            return Err(
                "the voltage of this chemistry hardly changes with the charge; read the charge off a \
                 counter, and give it with `--charge`"
                    .to_owned(),
            );
        }
        if tells_charge(plan) {
            // The last digit may have been rounded up.
            let cell = Voltage::volts((resting.get() - half_digit.get()) / cells);
            let state = chemistry.state_at(cell);
            told.push(format!(
                "{resting} at rest means a charge of at least {}",
                Ratio::fraction(state)
            ));
            least = Some(state);
        }
    }
    if let Some(counted) = read.charge {
        told.push(format!("the counter shows {counted}"));
        least = Some(least.map_or(counted.get(), |state| state.min(counted.get())));
    }
    least
        .map(|state| (Ratio::fraction(state), told))
        .ok_or_else(|| "nobody read the pack's voltage or its charge".to_owned())
}

impl Readings {
    /// That the time was said and is not the computer's, and how old the readings are; where it is so.
    pub(super) fn of_the_clock(&self, zone: Option<&TimeZone>) -> Vec<String> {
        let apart = |computer: &Timestamp| {
            let apart = computer.duration_since(self.clock).as_secs().abs();
            apart > TOLD
        };
        let mut told = Vec::new();
        if let Some(computer) = self.computer.filter(apart) {
            told.push(format!(
                "the stated time is {}, and this computer's clock shows {}: the record holds both",
                shown(self.clock, zone),
                shown(computer, zone)
            ));
        }
        if self.clock.duration_since(self.read).as_secs() > TOLD {
            told.push(format!(
                "the instruments were read at {}",
                shown(self.read, zone)
            ));
        }
        told
    }

    /// The plan with what was read in place of what was planned; the charge is never taken for more
    /// than was planned. What was taken, in words, comes with it.
    pub(super) fn with_readings(&self, plan: &Plan) -> Result<(Plan, Vec<String>), String> {
        let mut told = Vec::new();
        let mut read = plan.clone();
        let Some(planned) = &plan.mission.wind else {
            return Err("the plan states no wind to compare the reading with".to_owned());
        };
        let near = planned.mean.span();
        let height = self.wind.height.unwrap_or(BY_HAND);
        if self.wind.height.is_none() {
            told.push(format!(
                "anemometer height {BY_HAND} over the water (none stated)"
            ));
        }
        // A short look may miss the gusts that the plan allows for.
        let usual = gustiness(Some(planned));
        let expected = self.wind.mean * usual.factor;
        let as_many = if usual.own {
            "the planned multiple of the mean"
        } else {
            "the usual multiple of the mean, as the plan is for nearly no wind"
        };
        let gust = match self.wind.gust {
            Some(gust) if gust >= expected => gust,
            seen => {
                let seen =
                    seen.map_or_else(String::new, |gust| format!(" in place of the {gust} seen"));
                told.push(format!("gusts count as {expected}{seen}: {as_many}"));
                expected
            }
        };
        let at_the_water = |what: String| format!("{READ}: {what}");
        let from = self.wind.from;
        let mean = self.wind.mean;
        read.mission.wind = Some(Wind {
            from: Stated::assumed(from, near, at_the_water(format!("wind from {from}"))),
            spread: planned.spread.clone(),
            mean: Stated::assumed(mean, near, at_the_water(format!("mean wind {mean}"))),
            gust: Stated::assumed(gust, near, at_the_water(format!("gusts {gust}"))),
            stated_gust: gust,
            height: Stated::assumed(
                height,
                near,
                at_the_water(format!("{height} over the water")),
            ),
            duration: planned.duration.clone(),
        });
        let (charge, how) = charge(plan, &self.battery)?;
        told.extend(how);
        let stated = plan.mission.charge_at_launch.value;
        let taken = if charge.get() < stated.get() {
            charge
        } else {
            told.push(format!(
                "{stated} counts, as planned; the reading shows no less"
            ));
            stated
        };
        let span = plan.mission.charge_at_launch.span();
        read.mission.charge_at_launch = Stated::assumed(
            taken,
            span,
            at_the_water(format!("{} charged", taken.quantity())),
        );
        Ok((read, told))
    }
}

/// What a plan with readings says of those values that were read, in the words that it has for assumptions.
pub(super) fn replaced(plan: &Plan) -> BTreeSet<String> {
    let mission = &plan.mission;
    let of_wind = mission.wind.iter().flat_map(|wind| {
        [
            wind.from.assumption(),
            wind.mean.assumption(),
            wind.gust.assumption(),
            wind.height.assumption(),
        ]
    });
    let all = of_wind.chain([mission.charge_at_launch.assumption()]);
    all.flatten().map(str::to_owned).collect()
}
