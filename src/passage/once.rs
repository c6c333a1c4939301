//! Something that several passages share and that is worked out in parallel.

use std::sync::OnceLock;

/// As [`OnceLock::get_or_init`], for what is worked out in parallel itself. A thread that waits for its own part
/// of the work takes up another task meanwhile; if that one asks for the same, it would wait for itself for ever.
/// So nobody waits: two may work it out at once, and come to the same.
pub(super) fn once<T>(kept: &OnceLock<T>, find: impl FnOnce() -> T) -> &T {
    match kept.get() {
        Some(found) => found,
        None => {
            let found = find();
            kept.get_or_init(|| found)
        }
    }
}

#[cfg(test)]
mod tests {
    use rayon::prelude::*;

    use super::*;

    /// With the lock held while the parts are worked out, this would not end.
    #[test]
    fn tasks_that_ask_for_the_same_do_not_wait_for_each_other() {
        let kept = OnceLock::new();
        let sums: Vec<u32> = (0..200_u32)
            .into_par_iter()
            .map(|_| {
                *once(&kept, || {
                    (0..1000_u32).into_par_iter().with_max_len(1).sum()
                })
            })
            .collect();
        assert_eq!(sums, vec![499_500; 200]);
    }
}
