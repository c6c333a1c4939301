//! Constants of nature and of the waters that a plan may name.

/// Acceleration of gravity, m/s². Source: the standard value of the 3rd General Conference on Weights and Measures
/// (1901), as in NIST Special Publication 330 (2008), page 52.
pub(crate) const G: f64 = 9.806_65;

/// Density of air at 15 °C and 1013.25 hPa, kg/m³. Source: ISO 2533:1975, standard atmosphere, at sea level; by
/// arithmetic 101 325 Pa × 0.028 964 4 kg/mol / (8.314 32 J/(mol K) × 288.15 K).
pub(crate) const AIR_DENSITY: f64 = 1.225;

/// Speed of light in vacuum, m/s. Exact, by definition of the metre.
pub(crate) const SPEED_OF_LIGHT: f64 = 299_792_458.0;

/// The water that the boat floats in, at 15 °C.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Water {
    /// Lakes and rivers.
    Fresh,
    /// The sea.
    Salt,
}

impl Water {
    /// Density, kg/m³ (from memory, common in the trade).
    #[must_use]
    pub const fn density(self) -> f64 {
        match self {
            Self::Fresh => 1000.0,
            Self::Salt => 1025.0,
        }
    }

    /// Kinematic viscosity, m²/s (from memory, common in the trade).
    #[must_use]
    pub const fn kinematic_viscosity(self) -> f64 {
        match self {
            Self::Fresh => 1.139e-6,
            Self::Salt => 1.188e-6,
        }
    }
}
