//! What a check works out beside its findings.

use super::Sampling;

/// What a check works out beside its findings.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CheckOptions {
    /// Sampled variations of each plan.
    pub sampling: Option<Sampling>,
    /// The picture of each plan, for figures.
    pub pictures: bool,
    /// How much each assumption could move the tightest limit.
    pub weights: bool,
    /// What would fix a finding, solved by varying the plan. What the rule itself says to do is told in any case.
    pub remedies: bool,
}

impl Default for CheckOptions {
    fn default() -> Self {
        Self {
            sampling: None,
            pictures: false,
            weights: false,
            remedies: true,
        }
    }
}

impl CheckOptions {
    /// Findings as they are, with nothing beside them and nothing sought to fix them.
    pub(crate) fn findings_alone() -> Self {
        Self {
            remedies: false,
            ..Self::default()
        }
    }
}

impl From<Option<Sampling>> for CheckOptions {
    fn from(sampling: Option<Sampling>) -> Self {
        Self {
            sampling,
            ..Self::default()
        }
    }
}
