//! The single models: numbers with units in, numbers or a typed "outside validity" out.
//!
//! Every function is pure. Nothing here knows of files, plans, clocks or rules. Equations,
//! sources and limits are stated in `docs/reference/models`.

pub(crate) mod battery;
pub(crate) mod believable;
pub(crate) mod constants;
pub(crate) mod daylight;
pub(crate) mod drift;
pub(crate) mod fetch;
pub(crate) mod geodesy;
pub(crate) mod geometry;
pub(crate) mod lights;
pub(crate) mod plane;
pub(crate) mod propulsion;
pub(crate) mod radio;
pub(crate) mod resistance;
pub(crate) mod seabed;
pub(crate) mod sounding;
pub(crate) mod stability;
pub(crate) mod survey;
pub(crate) mod track;
pub(crate) mod waves;
pub(crate) mod wind;

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
