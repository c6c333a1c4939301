//! One type a quantity, so that a speed cannot be handed over where a length is due.

use std::fmt;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use super::dimension::Dimension;
use super::quantity::Quantity;

/// What every quantity type offers: its dimension and its value in the stored unit.
pub(crate) trait Typed: Copy + Sized {
    /// What this type is a quantity of.
    const DIMENSION: Dimension;

    /// From a value in the stored unit (SI; radians, °C, dB, dBm and bits beside it).
    fn from_stored(value: f64) -> Self;

    /// The value in the stored unit.
    fn stored(self) -> f64;

    /// The same quantity with its dimension known at run time.
    fn quantity(self) -> Quantity {
        Quantity::new(self.stored(), Self::DIMENSION)
    }
}

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident: $dimension:ident, $(#[$make_doc:meta])* $make:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, PartialOrd, Debug, Default)]
        pub struct $name(f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            $(#[$make_doc])*
            #[must_use]
            pub const fn $make(value: f64) -> Self {
                Self(value)
            }

            /// The value in the stored unit.
            #[must_use]
            pub const fn get(self) -> f64 {
                self.0
            }

            /// The smaller of two.
            #[must_use]
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The larger of two.
            #[must_use]
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// The size without the sign.
            #[must_use]
            pub fn abs(self) -> Self {
                Self(self.0.abs())
            }
        }

        impl Typed for $name {
            const DIMENSION: Dimension = Dimension::$dimension;
            fn from_stored(value: f64) -> Self {
                Self(value)
            }
            fn stored(self) -> f64 {
                self.0
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, by: f64) -> Self {
                Self(self.0 * by)
            }
        }

        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, by: f64) -> Self {
                Self(self.0 / by)
            }
        }

        impl Div for $name {
            type Output = f64;
            fn div(self, by: Self) -> f64 {
                self.0 / by.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.quantity().fmt(f)
            }
        }
    )*};
}

quantities! {
    /// A share of something.
    Ratio: RATIO, /// From a fraction; 0.3 is 30 %.
    fraction;
    /// A length or a distance.
    Length: LENGTH, /// From metres.
    metres;
    /// An area.
    Area: AREA, /// From square metres.
    square_metres;
    /// A mass.
    Mass: MASS, /// From kilograms.
    kilograms;
    /// A duration.
    Time: TIME, /// From seconds.
    seconds;
    /// A speed.
    Speed: SPEED, /// From metres a second.
    metres_per_second;
    /// A force.
    Force: FORCE, /// From newtons.
    newtons;
    /// A power.
    Power: POWER, /// From watts.
    watts;
    /// An energy.
    Energy: ENERGY, /// From joules.
    joules;
    /// A voltage.
    Voltage: VOLTAGE, /// From volts.
    volts;
    /// A current.
    Current: CURRENT, /// From amperes.
    amperes;
    /// An electric charge.
    Charge: CHARGE, /// From coulombs.
    coulombs;
    /// An electric resistance.
    Resistance: RESISTANCE, /// From ohms.
    ohms;
    /// A temperature on the Celsius scale.
    Temperature: TEMPERATURE, /// From degrees Celsius.
    celsius;
    /// A plane angle.
    Angle: ANGLE, /// From radians.
    radians;
    /// A rate of turn.
    TurnRate: TURN_RATE, /// From radians a second.
    radians_per_second;
    /// A gain, a loss or a margin.
    Level: LEVEL, /// From decibels.
    decibels;
    /// An absolute power level.
    PowerLevel: POWER_LEVEL, /// From decibels over one milliwatt.
    dbm;
    /// A frequency.
    Frequency: FREQUENCY, /// From hertz.
    hertz;
}

macro_rules! products {
    ($($left:ident * $right:ident = $product:ident;)*) => {$(
        impl Mul<$right> for $left {
            type Output = $product;
            fn mul(self, other: $right) -> $product {
                $product(self.0 * other.0)
            }
        }
        impl Div<$right> for $product {
            type Output = $left;
            fn div(self, by: $right) -> $left {
                $left(self.0 / by.0)
            }
        }
    )*};
}

products! {
    Speed * Time = Length;
    Power * Time = Energy;
    Force * Speed = Power;
    Current * Time = Charge;
    Voltage * Current = Power;
    Voltage * Charge = Energy;
    Resistance * Current = Voltage;
    TurnRate * Time = Angle;
}

impl Div<Speed> for Length {
    type Output = Time;
    fn div(self, by: Speed) -> Time {
        Time(self.0 / by.0)
    }
}

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area(self.0 * other.0)
    }
}

impl Angle {
    /// From degrees.
    #[must_use]
    pub fn degrees(value: f64) -> Self {
        Self(value.to_radians())
    }

    /// The value in degrees.
    #[must_use]
    pub fn to_degrees(self) -> f64 {
        self.0.to_degrees()
    }

    /// The same direction within −180° to 180°.
    #[must_use]
    pub fn wrapped(self) -> Self {
        let turn = std::f64::consts::TAU;
        let turned = self.0.rem_euclid(turn);
        Self(if turned > turn / 2.0 {
            turned - turn
        } else {
            turned
        })
    }
}

impl Energy {
    /// From watt-hours.
    #[must_use]
    pub const fn watt_hours(value: f64) -> Self {
        Self(value * 3600.0)
    }
}

impl Charge {
    /// From ampere-hours.
    #[must_use]
    pub const fn ampere_hours(value: f64) -> Self {
        Self(value * 3600.0)
    }
}

impl Frequency {
    /// From megahertz.
    #[must_use]
    pub const fn megahertz(value: f64) -> Self {
        Self(value * 1e6)
    }
}
