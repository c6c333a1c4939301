//! Word of how far long work has come, for whoever waits.

use std::sync::atomic::{AtomicUsize, Ordering};

/// How far work has come.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Progress {
    /// Parts that are done.
    pub done: usize,
    /// Parts in all, as far as is known beforehand; not all of them may come to be done.
    pub of: usize,
}

/// Told of progress, from any thread, and as often as a part is done. It must not block for long.
pub(crate) type Watch<'a> = &'a (dyn Fn(Progress) + Sync);

/// Counts parts and tells of them.
pub(crate) struct Counter<'a> {
    watch: Watch<'a>,
    done: AtomicUsize,
    of: usize,
}

impl<'a> Counter<'a> {
    /// Counts parts from none up to as many as there are.
    pub(crate) fn new(watch: Watch<'a>, of: usize) -> Self {
        Self {
            watch,
            done: AtomicUsize::new(0),
            of,
        }
    }

    /// One part is done.
    pub(crate) fn tick(&self) {
        let done = self.done.fetch_add(1, Ordering::Relaxed) + 1;
        (self.watch)(Progress { done, of: self.of });
    }
}
