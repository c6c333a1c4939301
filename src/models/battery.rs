//! A battery pack: voltage, current, charge and energy by state of charge.
//!
//! A state of charge s is a plain number, 1 full and 0 empty; below 0 the pack is overdrawn, and
//! the voltage at 0 is kept so that an overdraft has a size.

use crate::units::{Charge, Current, Energy, Power, Ratio, Resistance, Temperature, Time, Voltage};

/// Points of a curve. Arithmetic: 0 to 100 % in steps of 10 %.
const POINTS: usize = 11;
/// Open-circuit voltage in steps of 10 % of the state of charge.
type Curve = [f64; POINTS];

/// Source: Chen (2020), LG M50, NMC 811 against graphite and silicon.
const NMC: Curve = [
    2.5, 3.2959, 3.4852, 3.5814, 3.6670, 3.7509, 3.8406, 3.9479, 4.0421, 4.0967, 4.2,
];
/// Source: Kim (2011), NCA against graphite.
const NCA: Curve = [
    2.7, 3.2471, 3.3721, 3.4918, 3.5978, 3.6846, 3.7678, 3.8742, 3.9803, 4.0803, 4.2,
];
/// Source: Prada (2013), lithium iron phosphate against graphite.
const LFP: Curve = [
    2.0, 2.9781, 3.1685, 3.2058, 3.2525, 3.2660, 3.2688, 3.2740, 3.3097, 3.3142, 3.6,
];
/// Source: Bode (1977), as quoted by Sulzer et al. (2019), at molalities from 2 to 6 mol/kg in steps of
/// 0.4; a test holds them against the formula.
const LEAD_ACID: Curve = [
    1.974_559_291_746_736_3,
    1.992_156_408_301_804_2,
    2.008_751_876_556_445_4,
    2.024_591_005_785_525_5,
    2.039_825_688_012_929,
    2.054_557_308_468_605,
    2.068_857_626_277_922,
    2.082_779_858_699_115,
    2.096_364_987_395_783_3,
    2.109_645_556_181_68,
    2.122_648_069_635_391_5,
];

/// The integral of a curve from 0 to each of its points.
const fn summed(curve: &Curve) -> Curve {
    let mut sums = [0.0; POINTS];
    let mut i = 1;
    while i < POINTS {
        sums[i] = sums[i - 1] + 0.05 * (curve[i - 1] + curve[i]);
        i += 1;
    }
    sums
}

const NMC_SUM: Curve = summed(&NMC);
const NCA_SUM: Curve = summed(&NCA);
const LFP_SUM: Curve = summed(&LFP);
const LEAD_ACID_SUM: Curve = summed(&LEAD_ACID);

/// The chemistry of a cell.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Chemistry {
    /// Lithium nickel manganese cobalt oxide.
    Nmc,
    /// Lithium nickel cobalt aluminium oxide.
    Nca,
    /// Lithium iron phosphate.
    Lfp,
    /// Lead and acid.
    LeadAcid,
}

/// The piece of a curve that holds s, and how far along it s lies (0 to 1).
fn piece(s: f64) -> (usize, f64) {
    let along = s.clamp(0.0, 1.0) * 10.0;
    // The cast is exact: `along` lies between 0 and 10.
    let i = (along as usize).min(POINTS - 2);
    let rest = along - i as f64;
    (i, rest)
}

impl Chemistry {
    const fn curve(self) -> (&'static Curve, &'static Curve) {
        match self {
            Self::Nmc => (&NMC, &NMC_SUM),
            Self::Nca => (&NCA, &NCA_SUM),
            Self::Lfp => (&LFP, &LFP_SUM),
            Self::LeadAcid => (&LEAD_ACID, &LEAD_ACID_SUM),
        }
    }

    /// Open-circuit voltage of one cell, straight lines between steps of 10 %; the end values are
    /// kept below 0 and above 1.
    ///
    /// Source: the parameter sets Chen 2020, Kim 2011 and Prada 2013 as shipped in PyBaMM
    /// 26.10.1.1; lead–acid by Bode (1977).
    #[must_use]
    pub fn open_circuit_voltage(self, s: f64) -> Voltage {
        let (curve, _) = self.curve();
        let (i, rest) = piece(s);
        Voltage::volts(curve[i] + (curve[i + 1] - curve[i]) * rest)
    }

    /// The integral of the open-circuit voltage of one cell from 0 to s, in volts: the energy
    /// above 0 % per unit of charge. Exact for the straight lines; negative below 0.
    #[must_use]
    pub fn voltage_integral(self, s: f64) -> Voltage {
        let (curve, sums) = self.curve();
        let (i, rest) = piece(s);
        let here = curve[i] + (curve[i + 1] - curve[i]) * rest;
        let inside = sums[i] + 0.1 * rest * 0.5 * (curve[i] + here);
        let beyond = if s < 0.0 {
            s * curve[0]
        } else if s > 1.0 {
            (s - 1.0) * curve[POINTS - 1]
        } else {
            0.0
        };
        Voltage::volts(inside + beyond)
    }

    /// The voltage below which one cell is not to be drawn.
    ///
    /// Source: the lower end of the parameter sets Chen 2020, Kim 2011 and Prada 2013; for
    /// lead–acid, whose rest at 0 % lies above what it may fall to under load, 1.75 V (common
    /// practice, no source).
    #[must_use]
    pub fn least_voltage(self) -> Voltage {
        match self {
            Self::LeadAcid => Voltage::volts(1.75),
            Self::Nmc | Self::Nca | Self::Lfp => self.open_circuit_voltage(0.0),
        }
    }

    /// The state of charge at which one cell rests at a voltage, 0 to 1.
    #[must_use]
    pub fn state_at(self, resting: Voltage) -> f64 {
        let (curve, _) = self.curve();
        let u = resting.get();
        // Every curve rises all the way, so the first point at or above `u` ends its piece.
        let Some(end) = curve.iter().position(|&point| point >= u) else {
            return if u.is_nan() { f64::NAN } else { 1.0 };
        };
        if end == 0 {
            return 0.0;
        }
        let (low, high) = (curve[end - 1], curve[end]);
        let start = (end - 1) as f64;
        (start + (u - low) / (high - low)) / 10.0
    }
}

/// The share of a capacity that is left at a temperature: 1 from 27 °C up, 0.8 at 0 °C, 0.5 at
/// −18 °C and below, straight lines between.
///
/// Source: makers' tables for lead and acid, a fifth less at 0 °C and half at −18 °C (common practice, no one
/// source), taken for lithium cells too, our own proposal; a cell's own data override it.
#[must_use]
pub(crate) fn temperature_factor(temperature: Temperature) -> Ratio {
    let t = temperature.get();
    Ratio::fraction(if t >= 27.0 {
        1.0
    } else if t >= 0.0 {
        0.8 + 0.2 * t / 27.0
    } else {
        // Written so that a NaN gives the least.
        let below = if t > -18.0 { t } else { -18.0 };
        0.8 + 0.3 * below / 18.0
    })
}

/// The temperature at which an internal resistance is taken to be stated.
///
/// Source: the temperature of data sheets, common practice, no source.
pub(crate) const RESISTANCE_STATED_AT: Temperature = Temperature::celsius(25.0);

/// Molar gas constant, J/(mol K).
///
/// Source: exact in the SI since 2019, rounded (from memory).
const GAS: f64 = 8.314_462_618;

/// The internal resistance at a temperature over that at 25 °C; 1 from there up.
///
/// Source: exp(E/R (1/T − 1/T0)), Arrhenius's law. E is 30 kJ/mol for lithium cells, our own
/// choice: on the safe side of the middle of what the parameter set Chen 2020 gives the reactions
/// at the NMC and the graphite electrode, 17.8 and 35 kJ/mol (read in `Chen2020.py` of PyBaMM), and
/// taken for NCA and LFP too; 15 kJ/mol for lead and acid (from memory, of the conductivity of its
/// acid).
#[must_use]
pub(crate) fn resistance_growth(chemistry: Chemistry, temperature: Temperature) -> Ratio {
    let activation = match chemistry {
        Chemistry::Nmc | Chemistry::Nca | Chemistry::Lfp => 30_000.0,
        Chemistry::LeadAcid => 15_000.0,
    };
    let kelvin = |t: Temperature| t.get() + 273.15;
    let colder = 1.0 / kelvin(temperature) - 1.0 / kelvin(RESISTANCE_STATED_AT);
    // Written so that a NaN stays one, and makes nothing better.
    let growth = (activation / GAS * colder).exp();
    Ratio::fraction(if growth < 1.0 { 1.0 } else { growth })
}

/// The share that a gauge shows which reads a cell's voltage on a straight scale. Not limited to
/// 0 to 1.
#[must_use]
pub(crate) fn linear_gauge(cell: Voltage, empty: Voltage, full: Voltage) -> Ratio {
    Ratio::fraction((cell - empty) / (full - empty))
}

/// The cell voltage at which such a gauge shows a share: the inverse of [`linear_gauge`].
#[must_use]
pub(crate) fn gauge_voltage(shown: Ratio, empty: Voltage, full: Voltage) -> Voltage {
    empty + (full - empty) * shown.get()
}

/// The state of charge at which a charge counter shows a share, where the counter is set to
/// `counter` and was right at `launch`.
#[must_use]
pub(crate) fn state_at_counter(
    shown: Ratio,
    launch: f64,
    counter: Charge,
    capacity: Charge,
) -> f64 {
    launch - (launch - shown.get()) * (counter / capacity)
}

/// The law by which a lead–acid battery gives less at a high current.
///
/// Source: Peukert (1897), t = H (C / I H)^k.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Peukert {
    /// Capacity at the rated time.
    pub capacity: Charge,
    /// The rated time H.
    pub rated_time: Time,
    /// The exponent k, 1 for none.
    pub exponent: f64,
}

impl Peukert {
    /// Exponent and rated time of a lead–acid battery: 1.1 to 1.3 is typical (in secondary literature), and the
    /// middle our own choice; 20 h are the trade's rating.
    #[must_use]
    pub(crate) const fn lead_acid(capacity: Charge) -> Self {
        Self {
            capacity,
            rated_time: Time::seconds(20.0 * 3600.0),
            exponent: 1.2,
        }
    }

    /// The charge counted for each coulomb drawn at a current; 1 up to the rated current.
    #[must_use]
    pub(crate) fn factor(self, current: Current) -> f64 {
        let over = current / (self.capacity / self.rated_time);
        if over > 1.0 {
            over.powf(self.exponent - 1.0)
        } else {
            1.0
        }
    }
}

/// A battery pack.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Pack {
    /// Chemistry of its cells.
    pub chemistry: Chemistry,
    /// Cells in series.
    pub cells_in_series: u32,
    /// Effective capacity: what is left of it by age and temperature.
    pub capacity: Charge,
    /// Internal resistance of the pack.
    pub resistance: Resistance,
    /// Voltage of the pack at which it cuts off.
    pub cut_off: Voltage,
    /// The share of the charge that may be used.
    pub usable: Ratio,
}

impl Pack {
    fn cells(&self) -> f64 {
        f64::from(self.cells_in_series)
    }

    /// Open-circuit voltage of the pack.
    #[must_use]
    pub fn open_circuit_voltage(&self, s: f64) -> Voltage {
        self.chemistry.open_circuit_voltage(s) * self.cells()
    }

    /// The current that gives an electrical power, or `None` where no current does: a brown-out.
    ///
    /// Source: P = (U − I R) I, the smaller root. No power, or a negative one, takes no current.
    #[must_use]
    pub fn current(&self, power: Power, s: f64) -> Option<Current> {
        let p = power.get();
        if p <= 0.0 {
            return Some(Current::ZERO);
        }
        let u = self.open_circuit_voltage(s).get();
        let rest = u * u - 4.0 * self.resistance.get() * p;
        // A NaN power is no power that can be had.
        if rest >= 0.0 {
            // The same root as (U − √rest) / 2R, without its cancellation.
            Some(Current::amperes(2.0 * p / (u + rest.sqrt())))
        } else {
            None
        }
    }

    /// The greatest power that can be had with the terminals at or above the cut-off voltage:
    /// infinite for a pack without resistance, zero for one that rests below its cut-off.
    #[must_use]
    pub fn available_power(&self, s: f64) -> Power {
        let u = self.open_circuit_voltage(s).get();
        // Power is greatest with the terminals at half the open-circuit voltage.
        let terminal = self.cut_off.get().max(u / 2.0);
        let drop = u - terminal;
        Power::watts(if drop <= 0.0 {
            0.0
        } else if self.resistance.get() > 0.0 {
            drop / self.resistance.get() * terminal
        } else {
            f64::INFINITY
        })
    }

    /// The state of charge after a power was drawn for a time, taken at the voltage with which
    /// the time begins; `None` where the power cannot be had.
    #[must_use]
    pub fn draw(&self, s: f64, power: Power, time: Time) -> Option<f64> {
        let current = self.current(power, s)?;
        let mut drawn = current * time / self.capacity;
        if self.chemistry == Chemistry::LeadAcid {
            drawn *= Peukert::lead_acid(self.capacity).factor(current);
        }
        Some(s - drawn)
    }

    /// The energy stored above the state of charge that counts as empty; negative below it.
    #[must_use]
    pub fn energy_above_empty(&self, s: f64) -> Energy {
        let empty = 1.0 - self.usable.get();
        let volts = self.chemistry.voltage_integral(s) - self.chemistry.voltage_integral(empty);
        volts * self.cells() * self.capacity
    }

    /// The energy of a full pack above empty.
    #[must_use]
    pub fn usable_energy(&self) -> Energy {
        self.energy_above_empty(1.0)
    }

    /// The state of charge at which the pack rests at a voltage, 0 to 1.
    #[must_use]
    pub fn state_at_voltage(&self, resting: Voltage) -> f64 {
        self.chemistry.state_at(resting / self.cells())
    }
}

#[cfg(test)]
mod tests;
