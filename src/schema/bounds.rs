//! What values of a quantity make sense.

use crate::units::{Dimension, Quantity};

/// The values that a field may hold, in the stored unit.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Bounds {
    low: f64,
    low_included: bool,
    high: f64,
    words: &'static str,
}

impl Bounds {
    /// More than nothing.
    pub const POSITIVE: Self = Self {
        low: 0.0,
        low_included: false,
        high: f64::MAX,
        words: "more than zero",
    };
    /// Nothing or more.
    pub const NOT_NEGATIVE: Self = Self {
        low: 0.0,
        low_included: true,
        high: f64::MAX,
        words: "zero or more",
    };
    /// The radius of a launch site. Inside it clearance from land is not asked for, so it must
    /// not take in a shore that has nothing to do with landing.
    pub const LAUNCH_SITE: Self = Self {
        low: 0.0,
        low_included: true,
        high: 100.0,
        words: "between 0 m and 100 m",
    };
    /// How fast a disabled boat drifts, as a share of the wind. Below the low end of what
    /// craft adrift were found to make, 1 % to 7 %, a figure is a wish; none makes twice the upper end
    /// and more.
    pub const LEEWAY: Self = Self {
        low: 0.01,
        low_included: true,
        high: 0.15,
        words: "between 1 %, the least found for craft adrift, and 15 %, twice the most",
    };
    /// Thrust power per shaft power. The propellers of small thrusters come to 30 % to 60 %; one below a
    /// quarter is fouled, or the figure is a slip (common practice, no source).
    pub const PROPELLER: Self = Self {
        low: 0.25,
        low_included: true,
        high: 1.0,
        words: "between 25 %, the least that a working propeller gives, and 100 %",
    };
    /// Shaft power per electrical power. Small motors with their controllers come to 60 % to 85 % under
    /// load; one that heats away more than a half is failing (common practice, no source).
    pub const MOTOR: Self = Self {
        low: 0.5,
        low_included: true,
        high: 1.0,
        words: "between 50 %, the least that a working motor gives, and 100 %",
    };
    /// The least speed at which a boat steers: below 5 cm/s a small hull drifts with the air and the water
    /// whichever way it points (common practice, no source).
    pub const STEERAGEWAY: Self = Self {
        low: 0.05,
        low_included: true,
        high: 10.0,
        words: "between 0.05 m/s, below which no boat steers, and 10 m/s",
    };
    /// The time until a lost position is noticed: receivers give a place once a second (common practice, no
    /// source).
    pub const NOTICED: Self = Self {
        low: 1.0,
        low_included: true,
        high: 3600.0,
        words: "between 1 s, the time from one fix to the next, and 1 h",
    };
    /// The wind that a small craft goes out in to fetch the boat. Past the beginning of a near
    /// gale no small open craft is counted on.
    pub const SMALL_CRAFT_WIND: Self = Self {
        low: 0.0,
        low_included: false,
        high: 15.0,
        words: "more than 0 m/s and at most 15 m/s, beyond which no plan may count on small craft",
    };
    /// A length of the hull. Small craft end at 24 m (ISO 8666, from memory), and nothing here is
    /// made for larger ones.
    pub const HULL: Self = Self {
        low: 0.0,
        low_included: false,
        high: 24.0,
        words: "more than 0 m and at most 24 m, the upper limit of small craft",
    };
    /// The sustained wind that a boat may be out in. A storm begins at 24.5 m/s (force 10 of the
    /// Beaufort scale, WMO-No. 306, from memory); no small boat is out in one.
    pub const WIND_LIMIT: Self = Self {
        low: 0.0,
        low_included: false,
        high: 24.5,
        words: "more than 0 m/s and at most 24.5 m/s, where a storm begins",
    };
    /// The gust that a boat may be out in: half as strong again as the sustained wind.
    pub const GUST_LIMIT: Self = Self {
        low: 0.0,
        low_included: false,
        high: 37.0,
        words: "more than 0 m/s and at most 37 m/s, the gusts of a beginning storm",
    };
    /// A transmitter's power: past 100 W no link of a small boat transmits (common practice, no
    /// source).
    pub const TRANSMIT_POWER: Self = Self {
        low: -60.0,
        low_included: true,
        high: 50.0,
        words: "between -60 dBm and 50 dBm, which is 100 W",
    };
    /// A receiver's sensitivity. The thermal noise at 290 K in a channel of 125 kHz is -123 dBm (k T B,
    /// ITU-R P.372), a good receiver adds 3 dB, and the most that spreading gains back is 20 dB (common
    /// practice, no source).
    pub const SENSITIVITY: Self = Self {
        low: -140.0,
        low_included: true,
        high: 0.0,
        words: "between -140 dBm, 20 dB below the noise of a channel of 125 kHz, and 0 dBm",
    };
    /// The height of the ground that a station stands on, above the water.
    pub const GROUND: Self = Self {
        low: 0.0,
        low_included: true,
        high: 500.0,
        words: "between 0 m and 500 m",
    };
    /// A carrier. Below 100 MHz the ground carries the wave and the antennas of a small boat are far
    /// shorter than it, above 10 GHz rain takes of it (ITU-R P.368 and P.838, from memory): the path is
    /// not the one that is computed.
    pub const CARRIER: Self = Self {
        low: 1e8,
        low_included: true,
        high: 1e10,
        words: "between 100 MHz and 10 GHz, the range of the path loss model",
    };
    /// The longest distance over which a bed is drawn from one sounding to the next (our own proposal).
    pub const BED_EDGE: Self = Self {
        low: 0.0,
        low_included: false,
        high: 2000.0,
        words: "more than 0 m and at most 2 km, beyond which nobody knows the bed in between",
    };
    /// The error of a depth or a level: 1 cm is what a staff at a gauge is read to (common practice, no
    /// source).
    pub const DEPTH_ERROR: Self = Self {
        low: 0.01,
        low_included: true,
        high: 100.0,
        words: "between 1 cm, the resolution of a staff, and 100 m",
    };
    /// The time by which a position and its depth may be apart: 1 ms where one clock stamps both (common
    /// practice, no source).
    pub const LATENCY: Self = Self {
        low: 0.001,
        low_included: true,
        high: 60.0,
        words: "between 1 ms, for one clock that stamps both, and 60 s",
    };
    /// The height of an antenna over the water, on a hill at most (common practice, no source).
    pub const ANTENNA_HEIGHT: Self = Self {
        low: 0.0,
        low_included: false,
        high: 500.0,
        words: "more than 0 m and at most 500 m",
    };
    /// The error of a position, or of a course held by it. A receiver with corrections is good for a
    /// centimetre at best (common practice, no source).
    pub const POSITION_ERROR: Self = Self {
        low: 0.01,
        low_included: true,
        high: 1000.0,
        words: "between 1 cm, the best that a receiver does, and 1 km",
    };
    /// The depth that a water has everywhere off its launch sites, which its shore is a part of
    /// (common practice, no source).
    pub const LEAST_DEPTH: Self = Self {
        low: 0.0,
        low_included: true,
        high: 100.0,
        words: "between 0 m and 100 m, more than any water has right up to its shore",
    };
    /// Any finite value.
    pub const ANY: Self = Self {
        low: f64::MIN,
        low_included: true,
        high: f64::MAX,
        words: "a finite value",
    };
    /// The speed of sound in any water.
    pub const SOUND_SPEED: Self = Self {
        low: 1300.0,
        low_included: true,
        high: 1700.0,
        words: "between 1300 m/s and 1700 m/s",
    };
    /// The opening angle of one beam that looks down, at half power. Transducers of small sounders have
    /// 5° to 60°; past a right angle the edge of the beam is told from no bottom (common practice, no
    /// source).
    pub const SOUNDER_BEAM: Self = Self {
        low: 0.0,
        low_included: false,
        high: 90.0 * std::f64::consts::PI / 180.0 + 1e-12,
        words: "more than 0° and at most 90°, the widest of a beam at half power",
    };
    /// A tilt off the vertical: nobody mounts a transducer, and no boat lies, truer than to half a degree
    /// (common practice, no source).
    pub const TILT: Self = Self {
        low: 0.5 * std::f64::consts::PI / 180.0 - 1e-12,
        low_included: true,
        high: 60.0 * std::f64::consts::PI / 180.0,
        words: "between 0.5°, the best that anybody mounts a transducer, and 60°",
    };
    /// A share that leaves something.
    pub const PART: Self = Self {
        low: 0.0,
        low_included: true,
        high: 0.95,
        words: "between 0 % and 95 %",
    };
    /// The salt of natural water, as a share of its mass.
    pub const SALINITY: Self = Self {
        low: 0.0,
        low_included: true,
        high: 0.045,
        words: "between 0 % and 4.5 %",
    };
    /// More than 0 % and at most 100 %.
    pub const SHARE: Self = Self {
        low: 0.0,
        low_included: false,
        high: 1.0,
        words: "more than 0 % and at most 100 %",
    };
    /// A margin for what is not known; past a half of a figure nothing is known of it.
    pub const MARGIN: Self = Self {
        low: 0.0,
        low_included: true,
        high: 0.5,
        words: "between 0 % and 50 %",
    };
    /// A bearing.
    pub const BEARING: Self = Self {
        low: 0.0,
        low_included: true,
        high: std::f64::consts::TAU + 1e-12,
        words: "between 0° and 360°",
    };
    /// The width of a beam.
    pub const BEAM: Self = Self {
        low: 0.0,
        low_included: false,
        high: std::f64::consts::TAU + 1e-12,
        words: "more than 0° and at most 360°",
    };
    /// Half a turn at most.
    pub const HALF_TURN: Self = Self {
        low: 0.0,
        low_included: true,
        high: std::f64::consts::PI + 1e-12,
        words: "between 0° and 180°",
    };

    /// Why a quantity is out of these bounds or implausible for anything offing is about.
    pub(super) fn refusal(self, quantity: Quantity) -> Option<String> {
        let value = quantity.value;
        let above_low = if self.low_included {
            value >= self.low
        } else {
            value > self.low
        };
        if !(above_low && value <= self.high) {
            return Some(format!("it must be {}", self.words));
        }
        // What has an upper end of its own needs none for slips.
        if self.high < f64::MAX {
            return None;
        }
        let limit = plausible(quantity.dimension);
        (value.abs() > limit).then(|| {
            let shown = Quantity::new(limit, quantity.dimension);
            format!("no {} here is past {shown}", quantity.dimension)
        })
    }
}

/// A size beyond which no small boat's figure lies; it keeps slips of the decimal point, and
/// figures made to upset the arithmetic, from entering it.
fn plausible(dimension: Dimension) -> f64 {
    match dimension {
        Dimension::LENGTH => 1e6,
        Dimension::SPEED => 100.0,
        Dimension::TIME => 30.0 * 86_400.0,
        Dimension::TEMPERATURE => 60.0,
        Dimension::LEVEL | Dimension::POWER_LEVEL => 300.0,
        Dimension::ANGLE => 4.0 * std::f64::consts::PI,
        Dimension::RATIO => 100.0,
        Dimension::POWER => 1e5,
        Dimension::ENERGY => 1e10,
        Dimension::CHARGE => 1e8,
        Dimension::VOLTAGE => 2000.0,
        Dimension::RESISTANCE => 1e3,
        Dimension::MASS => 1e5,
        Dimension::AREA => 1e9,
        _ => 1e13,
    }
}
