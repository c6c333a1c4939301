//! The echo sounder.

use super::Hull;
use crate::schema::{Fields, Problem, Stated};
use crate::units::{Angle, Frequency, Length, Speed, Time};

/// The echo sounder. What is not stated and has no default on the safe side is `None`.
#[derive(Clone, Debug)]
pub struct Sonar {
    /// The `sonar` key.
    pub span: crate::source::Span,
    /// Whether the soundings are recorded aboard; ashore otherwise.
    pub records_aboard: Stated<bool>,
    /// How long the recorder's memory lasts.
    pub records_for: Option<Stated<Time>>,
    /// Full opening angle of the beam at half power.
    pub beam: Option<Stated<Angle>>,
    /// Depths below the transducer that it finds.
    pub range: Option<DepthRange>,
    /// Soundings a second.
    pub ping_rate: Option<Stated<Frequency>>,
    /// Speed of sound that it calculates depths with.
    pub sound_speed: Option<Stated<Speed>>,
    /// Its own error of a depth at 95 %.
    pub depth_error: Option<Stated<Length>>,
    /// Error of the transducer's depth below the water under way, at 95 %.
    pub draught_error: Stated<Length>,
    /// Way from the antenna to the transducer that nobody corrects for.
    pub lever_arm: Stated<Length>,
    /// Time by which position and depth may be apart, at 95 %.
    pub latency: Stated<Time>,
    /// Tilt of the beam off the vertical, at 95 %.
    pub tilt: Stated<Angle>,
}

/// A range of depths.
#[derive(Clone, Debug)]
pub struct DepthRange {
    /// The shallowest.
    pub least: Stated<Length>,
    /// The deepest.
    pub greatest: Stated<Length>,
}

/// Reads `least` and `greatest`; `None` where one is malformed or they are the wrong way round.
pub(in crate::plan) fn depth_range(fields: Fields<'_>) -> Option<DepthRange> {
    let least: Option<Stated<Length>> = fields.required("least");
    let greatest: Option<Stated<Length>> = fields.required("greatest");
    let (least, greatest) = (least?, greatest?);
    if greatest.value < least.value {
        fields.problem(
            Problem::value(
                greatest.span(),
                format!(
                    "the greatest depth, {}, is less than the least, {}",
                    greatest.value, least.value
                ),
            )
            .with(least.span(), "the least"),
        );
        return None;
    }
    Some(DepthRange { least, greatest })
}

/// Reads the sounder; `None` where it is malformed.
pub(super) fn parse(fields: Fields<'_>, hull: &Hull) -> Option<Sonar> {
    let records_aboard = fields.word("records", &[("aboard", true), ("ashore", false)]);
    Some(Sonar {
        span: fields.span(),
        records_aboard: records_aboard?,
        records_for: fields.quantity("records_for"),
        beam: fields.quantity("beam_angle"),
        range: fields.map("range").and_then(depth_range),
        ping_rate: fields.quantity("ping_rate"),
        sound_speed: fields.quantity("sound_speed"),
        depth_error: fields.quantity("depth_error"),
        draught_error: fields.quantity_or("draught_error"),
        lever_arm: fields.quantity_or_from("lever_arm", hull.length_overall.value),
        latency: fields.quantity_or("latency"),
        tilt: fields.quantity_or("tilt"),
    })
}
