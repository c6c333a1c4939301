//! Power out of the pack, from voltage and current.

use super::fix::Fix;
use crate::track::Sample;
use crate::units::Resistance;

/// Power at a fix, and whether it is known on either side of it.
#[derive(Clone, Copy, Default)]
pub(super) struct Power {
    /// Out of the store, W.
    pub stored: f64,
    /// Out of the pack, W.
    pub given: f64,
    pub known_before: bool,
    pub known_after: bool,
}

/// Power out of the store and out of the pack, W: what the pack gives is the product of voltage and
/// current, and its internal resistance takes its square of the current besides.
pub(super) fn power(sample: &Sample, resistance: Resistance) -> Option<(f64, f64)> {
    let (voltage, current) = (sample.voltage?.get(), sample.current?.get());
    let given = voltage * current;
    Some((given + resistance.get() * current * current, given))
}

/// Power at every fix, in a straight line between two that have it. Between two that lie farther
/// apart in time than a gap it is taken so too, and is not known.
pub(super) fn filled(fixes: &[Fix], power: &[Option<(f64, f64)>], gap: f64) -> Vec<Option<Power>> {
    let mut all: Vec<Option<Power>> = power
        .iter()
        .map(|one| {
            one.map(|(stored, given)| Power {
                stored,
                given,
                ..Power::default()
            })
        })
        .collect();
    let logged: Vec<usize> = (0..power.len())
        .filter(|index| power[*index].is_some())
        .collect();
    for pair in logged.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let (Some(from), Some(to)) = (power[a], power[b]) else {
            continue;
        };
        let seconds = |index: usize| {
            fixes[index]
                .sample
                .time
                .duration_since(fixes[a].sample.time)
                .as_secs_f64()
        };
        let whole = seconds(b);
        let known = whole > 0.0 && whole <= gap;
        for (index, one) in all.iter_mut().enumerate().take(b).skip(a + 1) {
            let share = if whole > 0.0 {
                (seconds(index) / whole).clamp(0.0, 1.0)
            } else {
                0.5
            };
            *one = Some(Power {
                stored: from.0 + share * (to.0 - from.0),
                given: from.1 + share * (to.1 - from.1),
                known_before: known,
                known_after: known,
            });
        }
        if let Some(one) = &mut all[a] {
            one.known_after = known;
        }
        if let Some(one) = &mut all[b] {
            one.known_before = known;
        }
    }
    all
}
