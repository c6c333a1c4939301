//! The single models: numbers with units in, numbers or a typed "outside validity" out.
//!
//! Every function is pure. Nothing here knows of files, plans, clocks or rules. Equations,
//! sources and limits are stated in `docs/models.md`.

pub mod battery;
pub mod believable;
pub mod constants;
pub mod daylight;
pub mod drift;
pub mod fetch;
pub mod geodesy;
pub mod geometry;
pub mod lights;
pub mod plane;
pub mod propulsion;
pub mod radio;
pub mod resistance;
pub mod seabed;
pub mod sounding;
pub mod stability;
pub mod survey;
pub mod track;
pub mod waves;
pub mod wind;

/// A model was asked for a value outside the limits that its source states.
///
/// The value is then unknown: no model extrapolates.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{model} is not valid here: {detail}")]
pub struct OutsideValidity {
    /// The model, in words.
    pub model: &'static str,
    /// What is outside, with its value and the limit.
    pub detail: String,
}

impl OutsideValidity {
    /// Says which model is outside its validity and why.
    #[must_use]
    pub fn new(model: &'static str, detail: String) -> Self {
        Self { model, detail }
    }
}
