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

/// What a part of work counts as, where there are several. Numerical.
const OF_PART: usize = 1000;

impl Progress {
    /// The same as progress of a whole that has so many parts, of which so many were done before this one.
    pub(super) fn of_whole(self, before: usize, parts: usize) -> Self {
        let of = self.of.max(1);
        let done = self.done.min(of).saturating_mul(OF_PART) / of;
        Self {
            done: before.saturating_mul(OF_PART).saturating_add(done),
            of: parts.saturating_mul(OF_PART),
        }
    }
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

#[cfg(test)]
mod tests {
    use super::Progress;

    #[test]
    fn parts_of_work_are_counted_on() {
        let of_whole = |done, of, before| {
            let told = Progress { done, of }.of_whole(before, 4);
            (told.done, told.of)
        };
        assert_eq!(of_whole(0, 10, 0), (0, 4000));
        assert_eq!(of_whole(5, 10, 0), (500, 4000));
        assert_eq!(of_whole(10, 10, 0), of_whole(0, 7, 1));
        assert_eq!(of_whole(7, 7, 3), (4000, 4000));
        // A part in which there is nothing to do.
        assert_eq!(of_whole(0, 0, 2), (2000, 4000));
    }
}
