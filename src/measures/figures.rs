//! Figures of the passage that reports show beside the rules.

use super::energy::{least, point_of_no_return, reserve_at};
use crate::passage::Passage;
use crate::units::{Length, Quantity, Ratio, Time, Typed};

/// The figures of a passage, in a fixed order. What the wind has to settle is left out where it
/// cannot be determined.
#[must_use]
pub fn figures(passage: &Passage<'_>) -> Vec<(&'static str, Quantity)> {
    let home = passage.plan.mission.recovery.at.value;
    let mut figures = vec![("length", Length::metres(passage.track.length()).quantity())];
    let away = |sample: &usize| passage.track.samples[*sample].distance(home);
    let turnaround = (0..passage.track.samples.len())
        .max_by(|a, b| away(a).total_cmp(&away(b)).then(b.cmp(a)))
        .expect("a route has a beginning");
    figures.push((
        "turnaround",
        Length::metres(passage.track.along[turnaround]).quantity(),
    ));
    figures.push((
        "farthest_from_recovery",
        Length::metres(away(&turnaround)).quantity(),
    ));
    let Ok(runs) = passage.runs() else {
        return figures;
    };
    let pack = &runs.boat.pack;
    figures.push(("usable_energy", pack.usable_energy().quantity()));
    let ends: Vec<_> = runs
        .runs
        .iter()
        .map(|run| (run.samples.first(), run.samples.last()))
        .collect();
    if runs.runs.is_empty() || runs.runs.iter().any(|run| run.stop.is_some()) {
        return figures;
    }
    let mut duration = Time::ZERO;
    let mut energy = crate::units::Energy::ZERO;
    let mut reserve = f64::INFINITY;
    for (first, last) in ends {
        if let (Some(first), Some(last)) = (first, last) {
            duration = duration.max(last.time);
            energy = energy.max(first.left - last.left);
            reserve = reserve.min(last.left / pack.usable_energy());
        }
    }
    figures.push(("duration", duration.quantity()));
    figures.push(("energy", energy.quantity()));
    figures.push(("reserve_at_end", Ratio::fraction(reserve).quantity()));
    if runs
        .runs
        .iter()
        .all(|run| run.samples.iter().all(|sample| sample.home.is_ok()))
    {
        let at_turnaround = runs
            .runs
            .iter()
            .map(|run| reserve_at(runs, run, turnaround))
            .fold(f64::INFINITY, f64::min);
        figures.push((
            "reserve_at_farthest",
            Ratio::fraction(at_turnaround).quantity(),
        ));
        if let Some((reserve, _, sample)) =
            least(runs, |run, sample| Some(reserve_at(runs, run, sample)))
        {
            figures.push(("least_reserve", Ratio::fraction(reserve).quantity()));
            let at = Length::metres(passage.track.along[sample]);
            figures.push(("least_reserve_at", at.quantity()));
        }
        if let Some(along) = point_of_no_return(passage, runs) {
            figures.push(("point_of_no_return", along.quantity()));
        }
    }
    figures
}
