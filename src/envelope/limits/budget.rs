//! How much is computed at most over all the winds that are tried.

use std::sync::atomic::{AtomicUsize, Ordering};

use crate::passage::Passage;

/// Steps in whose time everything else that one scenario asks for is computed, however short the route.
const OF_A_SCENARIO: usize = 1_500;

/// What is computed at most over all winds, and what was. Once it is spent every wind counts as one
/// that does not pass, so that a search ends, and its answer is thrown away.
#[derive(Debug)]
pub(super) struct Budget {
    most: usize,
    spent: AtomicUsize,
}

impl Budget {
    pub(super) fn new(most: usize) -> Self {
        Self {
            most,
            spent: AtomicUsize::new(0),
        }
    }

    /// What a passage computed is spent.
    pub(super) fn spend(&self, passage: &Passage<'_>) {
        let scenarios = passage.scenarios().map_or(1, |all| all.all.len());
        let own = OF_A_SCENARIO.saturating_mul(scenarios);
        self.spent
            .fetch_add(passage.computed().saturating_add(own), Ordering::Relaxed);
    }

    /// Whether more was computed than may be.
    pub(super) fn is_spent(&self) -> bool {
        self.spent.load(Ordering::Relaxed) > self.most
    }
}
