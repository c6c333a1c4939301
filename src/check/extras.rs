//! What a check works out beside its findings.

use super::Sampling;

/// What a check works out beside its findings.
#[derive(Clone, Copy, Default, Debug)]
pub(crate) struct CheckOptions {
    /// Sampled variations of each plan.
    pub sampling: Option<Sampling>,
    /// The picture of each plan, for figures.
    pub pictures: bool,
    /// How much each assumption could move the tightest limit.
    pub weights: bool,
}

impl From<Option<Sampling>> for CheckOptions {
    fn from(sampling: Option<Sampling>) -> Self {
        Self {
            sampling,
            pictures: false,
            weights: false,
        }
    }
}
