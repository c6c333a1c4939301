//! Whether what a column holds can be of this boat. Another unit, a sign turned round or an empty sensor
//! makes figures that are no deviation of the run but none of it at all: they are put aside, and told.

use super::columns::{Column, Columns, Recorded};
use super::{LinkQuality, Sample, Track};
use crate::plan::site::Site;
use crate::plan::vessel::Vessel;
use crate::source::{Span, printable_line};
use crate::units::{
    Current, Dimension, Length, PowerLevel, Quantity, Ratio, Speed, Typed as _, Voltage,
    parse_quantity,
};

/// Share of a column's values that may be off before the whole of it is put aside. P.
const FEW: f64 = 0.1;
/// A pack gives no less than this share of its cut-off voltage, and no more than so many times what it
/// rests at when full: while it is charged, a little more. P.
const CUT_OFF_SHARE: f64 = 0.5;
const ABOVE_FULL: f64 = 1.15;
/// So many times the greatest power of the drive and the hotel load together, at the cut-off voltage, is
/// more current than the boat can draw. P.
const CURRENT_TIMES: f64 = 2.0;
/// And this share of the hotel load's own current, at the voltage of a full pack, is less than it draws
/// most of the time. P.
const HOTEL_SHARE: f64 = 0.05;
/// The bed is no deeper than so many times the deepest sounding of the site, and so much more. P.
const DEEPEST_TIMES: f64 = 2.0;
const DEEPER: f64 = 5.0;
/// In less water than this share of its draught a boat does not float most of the time. P.
const DRAFT_SHARE: f64 = 0.5;
/// Over ground a boat is no faster than so many times its top speed and the strongest current. P.
const SPEED_TIMES: f64 = 2.0;
/// A hurricane begins at 32.7 m/s (WMO, Beaufort scale); a wind on a lake is no faster than this, m/s. P.
const STRONGEST_WIND: f64 = 60.0;
/// No receiver tells a power as low as this from its own noise: that of a bandwidth of 1 Hz at 290 K is
/// −174 dBm (k T, Johnson 1928 and Nyquist 1928), and those that carry a link take hundreds. P.
const FAINTEST: f64 = -150.0;
/// A link with shares that are all within this of nothing was lost all along, or they are no per cent.
const ONE_PER_CENT: f64 = 0.01;

/// What a column can hold.
#[derive(Clone, Debug)]
struct Bound {
    quantity: Recorded,
    dimension: Dimension,
    /// The least and the greatest of any value, in the stored unit.
    least: f64,
    greatest: f64,
    /// Least of the middle one.
    middle: f64,
    /// What bounds it, in words.
    why: String,
    /// The line of the vessel or the site that does.
    line: Option<Span>,
}

/// What a boat on a site can record.
#[derive(Clone, Debug)]
pub(crate) struct Plausible {
    bounds: Vec<Bound>,
}

/// Values of a column that were put aside.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Aside {
    /// Of what.
    pub quantity: Recorded,
    /// Whether all of them were, and not just the few that are off.
    pub whole: bool,
    /// Values that are off.
    pub count: usize,
    /// Values that there are.
    pub of: usize,
    /// What they read as, and why that cannot be, in words without a heading.
    pub why: String,
    /// What may have been meant, as a question; `None` where nothing comes to mind.
    pub meant: Option<String>,
    /// The line of the vessel or the site by which they are off, where there is one.
    pub line: Option<Span>,
    /// Byte of the track at which the first row that is off begins.
    pub begins: u32,
}

impl Aside {
    /// A sentence without its end: what the column reads as, and what may have been meant.
    #[must_use]
    pub(crate) fn describe(&self, columns: Option<&Columns>) -> String {
        let column = columns.and_then(|columns| columns.of_quantity(self.quantity));
        let name = column.map_or_else(
            || format!("the {}", self.quantity.word()),
            |column| format!("the column `{}`", printable_line(&column.heading)),
        );
        let meant = self
            .meant
            .as_ref()
            .map_or_else(String::new, |meant| format!("; {meant}"));
        format!("{name} {}{meant}", self.why)
    }

    /// What became of a few values, as cleaning is reported.
    #[must_use]
    pub(crate) fn few(&self) -> String {
        format!(
            "{} × a {} that the boat cannot have, set aside",
            self.count,
            self.quantity.word()
        )
    }
}

impl Plausible {
    /// What this boat can record on this site.
    #[must_use]
    pub(crate) fn for_vessel(vessel: &Vessel, site: &Site) -> Self {
        let battery = &vessel.battery;
        let cells = f64::from(battery.cells.value);
        let full = battery.chemistry.value.open_circuit_voltage(1.0) * cells;
        let cut_off = battery.cut_off.value;
        let (low, high) = (cut_off * CUT_OFF_SHARE, full * ABOVE_FULL);
        let greatest = vessel.propulsion.maximum_power.value + vessel.hotel_load.value;
        let most = Current::amperes(CURRENT_TIMES * greatest.get() / cut_off.get());
        let idle = Current::amperes(HOTEL_SHARE * vessel.hotel_load.value.get() / full.get());
        let top = vessel.calm_water(site.water.value).top_speed();
        let drift = site.currents.iter().map(|one| one.drift.value);
        let fastest = (top + drift.fold(Speed::ZERO, Speed::max)) * SPEED_TIMES;
        let sent = vessel.radios.iter().map(|one| one.transmit_power.value);
        let strongest = sent.map(PowerLevel::get).fold(0.0, f64::max);
        let soundings = site.depths.soundings.as_ref();
        let charted = soundings.map(|soundings| {
            let level = site.depths.level.as_ref();
            let level = level.map_or(Length::ZERO, |level| level.above_datum.value);
            (soundings.bed.deepest() + level) * DEEPEST_TIMES + Length::metres(DEEPER)
        });
        let deepest = charted.map_or(f64::INFINITY, Length::get);
        let draft = vessel.hull.draft.value;
        let of = |quantity, dimension, (least, greatest, middle), why: String, line| Bound {
            quantity,
            dimension,
            least,
            greatest,
            middle,
            why,
            line,
        };
        let bounds = vec![
            of(
                Recorded::Speed,
                Speed::DIMENSION,
                (0.0, fastest.get(), 0.0),
                format!("the boat makes no more than {fastest} over ground"),
                Some(vessel.propulsion.calm.span()),
            ),
            of(
                Recorded::Voltage,
                Voltage::DIMENSION,
                (low.get(), high.get(), low.get()),
                format!(
                    "the vessel's pack of {} cells gives {low} to {high}",
                    battery.cells.value
                ),
                Some(battery.cells.span()),
            ),
            of(
                Recorded::Current,
                Current::DIMENSION,
                (-most.get(), most.get(), idle.get()),
                format!(
                    "the boat draws {idle} at least most of the time, and never more than {most}"
                ),
                Some(vessel.propulsion.maximum_power.span()),
            ),
            of(
                Recorded::Depth,
                Length::DIMENSION,
                (0.0, deepest, draft.get() * DRAFT_SHARE),
                match charted {
                    Some(deepest) => format!(
                        "by the site's soundings there is no water deeper than {deepest}, and the boat draws {draft}"
                    ),
                    None => format!("the boat draws {draft}"),
                },
                soundings.map(|soundings| soundings.file.span()),
            ),
            of(
                Recorded::Wind,
                Speed::DIMENSION,
                (0.0, STRONGEST_WIND, 0.0),
                format!(
                    "no wind is faster than {}",
                    Speed::metres_per_second(STRONGEST_WIND)
                ),
                None,
            ),
            of(
                Recorded::Link,
                Ratio::DIMENSION,
                (0.0, 1.0 + 1e-9, 0.0),
                "no more than all of it can come through".to_owned(),
                None,
            ),
            of(
                Recorded::Link,
                PowerLevel::DIMENSION,
                (FAINTEST, strongest, FAINTEST),
                format!(
                    "no receiver aboard or ashore is given more than {}",
                    PowerLevel::from_stored(strongest)
                ),
                vessel.radios.first().map(|one| one.transmit_power.span()),
            ),
        ];
        Self { bounds }
    }
}

/// Puts aside what this boat cannot have recorded: the values that are off where they are few, and else
/// all of the column. What was put aside is not there any more.
pub(crate) fn set_aside(
    track: &mut Track,
    columns: Option<&Columns>,
    plausible: &Plausible,
) -> Vec<Aside> {
    let mut all = Vec::new();
    for bound in &plausible.bounds {
        let column = columns.and_then(|columns| columns.of_quantity(bound.quantity));
        all.extend(bound.set_aside(&mut track.samples, column));
    }
    all
}

impl Bound {
    /// What a sample holds of it; a depth of 0 is none.
    fn value(&self, sample: &Sample) -> Option<f64> {
        let link = |sample: &Sample| match sample.link? {
            LinkQuality::Share(share) => (self.dimension == Ratio::DIMENSION).then(|| share.get()),
            LinkQuality::Received(level) => {
                (self.dimension == PowerLevel::DIMENSION).then(|| level.get())
            }
        };
        let value = match self.quantity {
            Recorded::Speed => sample.speed?.get(),
            Recorded::Voltage => sample.voltage?.get(),
            Recorded::Current => sample.current?.get(),
            Recorded::Depth => sample.depth?.get(),
            Recorded::Link => link(sample)?,
            Recorded::Wind => sample.wind?.speed.get(),
        };
        let sounded = self.quantity != Recorded::Depth || value.abs() > 0.0;
        sounded.then_some(value)
    }

    fn take(&self, sample: &mut Sample) {
        match self.quantity {
            Recorded::Speed => sample.speed = None,
            Recorded::Voltage => sample.voltage = None,
            Recorded::Current => sample.current = None,
            Recorded::Depth => sample.depth = None,
            Recorded::Link => sample.link = None,
            Recorded::Wind => sample.wind = None,
        }
    }

    fn holds(&self, value: f64) -> bool {
        value >= self.least && value <= self.greatest
    }

    /// Whether values, each times a factor, are those of a column that holds what it says.
    fn fits(&self, sorted: &[f64], factor: f64) -> bool {
        let off = sorted.iter().filter(|value| !self.holds(*value * factor));
        let few = off.count() as f64 <= FEW * sorted.len() as f64;
        few && middle(sorted) * factor >= self.middle && !self.is_share_of_one(sorted, factor)
    }

    /// Whether shares that are called per cent are all between nothing and one of them.
    fn is_share_of_one(&self, sorted: &[f64], factor: f64) -> bool {
        let greatest = sorted.last().copied().unwrap_or(0.0) * factor;
        self.dimension == Ratio::DIMENSION && greatest > 0.0 && greatest <= ONE_PER_CENT
    }

    fn set_aside(&self, samples: &mut [Sample], column: Option<&Column>) -> Option<Aside> {
        let mut sorted: Vec<f64> = samples.iter().filter_map(|one| self.value(one)).collect();
        if sorted.is_empty() {
            return None;
        }
        sorted.sort_by(f64::total_cmp);
        let whole = !self.fits(&sorted, 1.0);
        let off = |sample: &Sample| self.value(sample).is_some_and(|value| !self.holds(value));
        let count = samples.iter().filter(|one| off(one)).count();
        if !whole && count == 0 {
            return None;
        }
        let first = samples
            .iter()
            .find(|one| off(one))
            .or_else(|| samples.iter().find(|one| self.value(one).is_some()));
        let begins = first.map_or(0, |sample| sample.begins);
        for sample in samples.iter_mut() {
            if whole || off(sample) {
                self.take(sample);
            }
        }
        let read = Quantity::new(middle(&sorted), self.dimension);
        Some(Aside {
            quantity: self.quantity,
            whole,
            count,
            of: sorted.len(),
            why: if self.is_share_of_one(&sorted, 1.0) {
                format!("its median reads as {read}, and it never exceeds 1 %")
            } else {
                format!("its median reads as {read}, and {}", self.why)
            },
            meant: self.meant(&sorted, column),
            line: self.line,
            begins,
        })
    }

    /// What may have been meant by values that do not fit.
    fn meant(&self, sorted: &[f64], column: Option<&Column>) -> Option<String> {
        if middle(sorted).abs() <= 0.0 {
            return Some("is the sensor connected?".to_owned());
        }
        let column = column?;
        if self.is_share_of_one(sorted, 1.0) {
            return Some("is it a share of 1, not a percentage?".to_owned());
        }
        let units: Vec<(&str, f64)> = units(self.quantity)
            .iter()
            .filter(|unit| **unit != column.unit)
            .filter_map(|unit| {
                let one = parse_quantity(&format!("1 {unit}"), self.dimension).ok()?;
                Some((*unit, one.value / column.factor.abs()))
            })
            .collect();
        let fitting = |sign: f64| -> Vec<String> {
            let fit = units.iter().filter(|(_, by)| self.fits(sorted, sign * by));
            fit.map(|(unit, _)| format!("`{unit}`")).collect()
        };
        let plain = fitting(1.0);
        if !plain.is_empty() {
            return Some(format!("did you mean {}?", plain.join(" or ")));
        }
        match self.quantity {
            Recorded::Current if self.fits(sorted, -1.0) => {
                Some("is positive current into the pack? Then say `flow: into the pack`".to_owned())
            }
            Recorded::Current => {
                let turned = fitting(-1.0);
                (!turned.is_empty()).then(|| {
                    format!(
                        "did you mean {}, positive into the pack (`flow: into the pack`)?",
                        turned.join(" or ")
                    )
                })
            }
            Recorded::Link if self.fits(sorted, -1.0) => {
                Some("did the recorder leave out the sign, or did you mean `%`?".to_owned())
            }
            Recorded::Depth if self.fits(sorted, -1.0) => {
                Some("is it positive upwards? A depth is positive".to_owned())
            }
            Recorded::Voltage => {
                let cells = 2..=64;
                let of_one = cells
                    .into_iter()
                    .any(|cells| self.fits(sorted, f64::from(cells)));
                of_one.then(|| "is it the voltage of one cell, not of the pack?".to_owned())
            }
            _ => None,
        }
    }
}

/// The units that a column may be stated in.
fn units(quantity: Recorded) -> &'static [&'static str] {
    match quantity {
        Recorded::Speed | Recorded::Wind => &["m/s", "km/h", "kn", "cm/s"],
        Recorded::Voltage => &["V", "mV"],
        Recorded::Current => &["A", "mA"],
        Recorded::Depth => &["m", "cm", "mm", "ft"],
        Recorded::Link => &[],
    }
}

/// The middle of sorted values.
fn middle(sorted: &[f64]) -> f64 {
    sorted.get(sorted.len() / 2).copied().unwrap_or(0.0)
}
