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
    /// Density, kg/m³, as the trade rounds it.
    ///
    /// Source: within 0.1 % of Millero & Poisson (1981) at 15 °C, for salt water at 35 g/kg.
    #[must_use]
    pub const fn density(self) -> f64 {
        match self {
            Self::Fresh => 1000.0,
            Self::Salt => 1025.0,
        }
    }

    /// Kinematic viscosity, m²/s.
    ///
    /// Source: within 0.1 % of Landolt-Börnstein V/3a (1986) at 15 °C; for salt water at 35 g/kg up to 0.6 % above it.
    #[must_use]
    pub const fn kinematic_viscosity(self) -> f64 {
        match self {
            Self::Fresh => 1.139e-6,
            Self::Salt => 1.188e-6,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Water;

    /// Density in kg/m³ by the international equation of state at the surface (Millero & Poisson 1981), as
    /// Landolt-Börnstein, New Series V/3a (1986) has it, of °C and g of salt a kg.
    fn density(t: f64, s: f64) -> f64 {
        let pure = 999.842_594 + 6.793_952e-2 * t - 9.095_29e-3 * t.powi(2)
            + 1.001_685e-4 * t.powi(3)
            - 1.120_083e-6 * t.powi(4)
            + 6.536_332e-9 * t.powi(5);
        let one = 8.244_93e-1 - 4.089_9e-3 * t + 7.643_8e-5 * t.powi(2) - 8.246_7e-7 * t.powi(3)
            + 5.387_5e-9 * t.powi(4);
        let half = -5.724_66e-3 + 1.022_7e-4 * t - 1.654_6e-6 * t.powi(2);
        pure + one * s + half * s.powf(1.5) + 4.831_4e-4 * s * s
    }

    /// Kinematic viscosity in m²/s by the formulas of the same volume.
    fn viscosity(t: f64, s: f64) -> f64 {
        let over_20 = (1.1709 * (20.0 - t) - 1.827e-3 * (t - 20.0).powi(2)) / (t + 89.93);
        let pure = 1.002e-3 * 10_f64.powf(over_20);
        let chlorinity = density(t, s) * s / 1806.55;
        let salted = 1.0
            + (5.185e-5 * t + 1.067_5e-4) * chlorinity.sqrt()
            + (3.3e-5 * t + 2.591e-3) * chlorinity;
        pure * salted / density(t, s)
    }

    #[test]
    fn water_is_as_dense_and_as_viscous_as_at_15_degrees() {
        for (water, salt, within) in [(Water::Fresh, 0.0, 1e-3), (Water::Salt, 35.0, 6e-3)] {
            let dense = water.density() / density(15.0, salt);
            assert!((dense - 1.0).abs() < 1e-3, "{water:?}: {dense}");
            // More viscous water takes more power.
            let viscous = water.kinematic_viscosity() / viscosity(15.0, salt);
            assert!((viscous - 1.0).abs() < within, "{water:?}: {viscous}");
        }
    }
}
