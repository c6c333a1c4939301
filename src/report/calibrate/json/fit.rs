//! How well figures agree with what was drawn.

use schemars::JsonSchema;
use serde::Serialize;

use crate::calibrate;

/// How well figures agree with the stretches.
#[derive(Serialize, JsonSchema)]
pub(super) struct Agreement {
    /// Root of the mean square of what the figures give less what was drawn, W.
    error_w: f64,
    /// The mean of it, W; positive where they give more.
    bias_w: f64,
}

impl From<calibrate::Agreement> for Agreement {
    fn from(of: calibrate::Agreement) -> Self {
        Self {
            error_w: of.error.get(),
            bias_w: of.bias.get(),
        }
    }
}

/// How well the fit of the power predicts what it was not fitted to.
#[derive(Serialize, JsonSchema)]
pub(super) struct HeldOut {
    /// What was left out in turn: legs where there is one run, or the others do not tell the figures without one of
    /// them.
    what: LeftOut,
    /// Root of the mean square of the error, W.
    error_w: f64,
    /// Mean of the error, W; positive where more was predicted than drawn.
    bias_w: f64,
    /// The error as a share of the mean power.
    share: f64,
}

/// What was left out in turn.
#[derive(Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum LeftOut {
    Runs,
    Legs,
}

impl From<calibrate::HeldOut> for HeldOut {
    fn from(held: calibrate::HeldOut) -> Self {
        Self {
            what: if held.runs {
                LeftOut::Runs
            } else {
                LeftOut::Legs
            },
            error_w: held.error.get(),
            bias_w: held.bias.get(),
            share: held.share,
        }
    }
}

/// A stretch beside the fit.
#[derive(Serialize, JsonSchema)]
pub(super) struct Residual {
    /// Number of the run, from 0.
    run: usize,
    /// Speed, m/s.
    speed_m_s: f64,
    /// How far off the bow the wind that the boat met came from, 0° to 180°.
    wind_angle_deg: f64,
    /// How fast it was at the height of the hull, m/s.
    wind_speed_m_s: f64,
    /// What was drawn less what was fitted, W.
    over_w: f64,
}

impl From<&calibrate::Residual> for Residual {
    fn from(one: &calibrate::Residual) -> Self {
        Self {
            run: one.run,
            speed_m_s: one.speed.get(),
            wind_angle_deg: one.met.angle.to_degrees(),
            wind_speed_m_s: one.met.speed.get(),
            over_w: one.over.get(),
        }
    }
}
