//! The last of many whole steps that passes.

/// The last step, from one that passes towards one that fails, that passes: by halving, so that ten trials tell a
/// thousand steps apart.
pub(super) fn last_passing(passing: i64, failing: i64, mut passes: impl FnMut(i64) -> bool) -> i64 {
    let (mut passing, mut failing) = (passing, failing);
    while passing.abs_diff(failing) > 1 {
        let middle = i64::midpoint(passing, failing);
        if passes(middle) {
            passing = middle;
        } else {
            failing = middle;
        }
    }
    passing
}

#[cfg(test)]
mod tests {
    use super::last_passing;

    #[test]
    fn it_is_found_from_either_side_within_ten_trials_of_a_thousand_steps() {
        for last in [0, 1, 333, 500, 998, 999] {
            let mut tried = 0;
            let up = last_passing(0, 1000, |step| {
                tried += 1;
                step <= last
            });
            assert_eq!(up, last);
            assert!(tried <= 10, "{tried} trials to {last}");
            assert_eq!(last_passing(1000, -1, |step| step > last), last + 1);
        }
    }

    #[test]
    fn neighbours_are_not_tried() {
        assert_eq!(last_passing(3, 4, |_| panic!("tried")), 3);
        assert_eq!(last_passing(4, 3, |_| panic!("tried")), 4);
    }
}
