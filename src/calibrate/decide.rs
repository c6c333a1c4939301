//! What of a fit is written: worse figures always, better ones only on enough evidence, and no better
//! than their cautious end.

use jiff::Timestamp;

use super::estimate::Estimate;
use super::figure::rounded_up;

/// Least time between the beginnings of two runs by which they count as two, h.
pub(crate) const APART: f64 = 12.0;
/// Fewest runs that make a figure better.
pub(crate) const RUNS: usize = 2;
/// Share of the greatest speed that a residuary coefficient is used at, which the runs have to reach to
/// make it better.
pub(crate) const REACHED: f64 = 0.98;

/// Less than this share of what is stated, a figure is not taken from a calibration unasked: another unit or a
/// wind that was read amiss is likelier than so much better a boat. P.
pub(super) const LEAST_SHARE: f64 = 0.5;

/// What becomes of a figure.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Fate {
    /// It is worse than stated, and written so.
    Worse,
    /// It is better than stated, and written to its cautious end.
    Better,
    /// As before, on one run, because that was requested.
    BetterOnOneRun,
    /// It would be better, on one run only or on none by itself, and stays.
    OneRun,
    /// It would be better if a figure that is not told were as stated, and stays.
    AnotherNotTold,
    /// It would be better, and holds for speeds that were not run, and stays.
    NotSoFast,
    /// It would be better in the wind as given, is not told in one a tenth off, and stays.
    OtherWinds,
    /// It would be so much better that something else is likelier, and stays.
    TooGood,
    /// It is not told from what is stated, and stays.
    Alike,
    /// The whole fit is not written, and it stays.
    Refused,
}

impl Fate {
    /// Whether the figure is rewritten.
    #[must_use]
    pub fn is_written(self) -> bool {
        matches!(self, Self::Worse | Self::Better | Self::BetterOnOneRun)
    }

    /// One word for other programs.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Worse => "worse",
            Self::Better => "better",
            Self::BetterOnOneRun => "better on one run",
            Self::OneRun => "kept: one run",
            Self::AnotherNotTold => "kept: another not told",
            Self::NotSoFast => "kept: top speed not run",
            Self::OtherWinds => "kept: other winds not told",
            Self::TooGood => "kept: too good",
            Self::Alike => "kept: alike",
            Self::Refused => "kept: fit refused",
        }
    }
}

/// A figure with what becomes of it.
#[derive(Clone, PartialEq, Debug)]
pub struct Decided {
    /// What was estimated.
    pub estimate: Estimate,
    /// What becomes of it.
    pub fate: Fate,
    /// The value that holds from now on, rounded.
    pub value: f64,
    /// Runs far enough apart that each by itself find it better than stated.
    pub runs: usize,
}

/// What there is to make a figure better.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Evidence<'a> {
    /// Beginnings of the runs that each by itself find it better than stated.
    pub runs: &'a [Timestamp],
    /// Whether one of them is to do.
    pub despite_one_run: bool,
    /// Whether it may be less than half of what is stated.
    pub despite_large_gain: bool,
    /// Why it cannot be made better, if it cannot.
    pub held_back: Option<Fate>,
}

/// Decides on one figure.
#[must_use]
pub(crate) fn decide(estimate: &Estimate, evidence: &Evidence<'_>) -> Decided {
    let stated = estimate.stated;
    let runs = apart(evidence.runs);
    let (fate, value) = if estimate.value >= stated {
        let value = rounded_up(estimate.value);
        if value > stated {
            (Fate::Worse, value)
        } else {
            (Fate::Alike, stated)
        }
    } else {
        match (estimate.cautious().map(rounded_up), evidence.held_back) {
            (None, _) => (Fate::OtherWinds, stated),
            (Some(value), _) if value >= stated => (Fate::Alike, stated),
            (Some(_), Some(why)) => (why, stated),
            (Some(_), None)
                if estimate.value < LEAST_SHARE * stated && !evidence.despite_large_gain =>
            {
                (Fate::TooGood, stated)
            }
            (Some(value), None) if runs >= RUNS => (Fate::Better, value),
            (Some(value), None) if runs > 0 && evidence.despite_one_run => {
                (Fate::BetterOnOneRun, value)
            }
            (Some(_), None) => (Fate::OneRun, stated),
        }
    };
    Decided {
        estimate: estimate.clone(),
        fate,
        value,
        runs,
    }
}

/// How many runs there are that begin far enough apart to be runs of their own, in another wind.
fn apart(runs: &[Timestamp]) -> usize {
    let mut sorted = runs.to_vec();
    sorted.sort_unstable();
    let mut last: Option<Timestamp> = None;
    let mut count = 0;
    for run in sorted {
        let far = last.is_none_or(|last| run.duration_since(last).as_secs_f64() >= APART * 3600.0);
        if far {
            count += 1;
            last = Some(run);
        }
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibrate::Figure;

    fn estimate(value: f64, low: f64, high: f64) -> Estimate {
        Estimate {
            figure: Figure::HotelLoad,
            stated: 9.0,
            value,
            low,
            high,
            by_wind: Some((value, value)),
        }
    }

    fn on(estimate: &Estimate, runs: &[Timestamp], despite_one_run: bool) -> Decided {
        let evidence = Evidence {
            runs,
            despite_one_run,
            despite_large_gain: false,
            held_back: None,
        };
        decide(estimate, &evidence)
    }

    fn days(days: &[&str]) -> Vec<Timestamp> {
        let moment = |day: &&str| format!("{day}:00:00Z").parse().unwrap();
        days.iter().map(moment).collect()
    }

    #[test]
    fn a_worse_figure_is_written_on_one_run_and_a_better_one_is_not() {
        let one = days(&["2027-06-15T08"]);
        let worse = on(&estimate(9.5, 9.2, 9.8), &one, false);
        assert_eq!((worse.fate, worse.value), (Fate::Worse, 9.5));
        let better = estimate(8.0, 7.8, 8.2);
        let kept = on(&better, &one, false);
        assert_eq!((kept.fate, kept.value), (Fate::OneRun, 9.0));
        let stamped = on(&better, &one, true);
        assert_eq!((stamped.fate, stamped.value), (Fate::BetterOnOneRun, 8.2));
    }

    #[test]
    fn two_files_of_one_day_are_one_run_and_two_days_are_two() {
        let better = estimate(8.0, 7.8, 8.2);
        let same_day = days(&["2027-06-15T08", "2027-06-15T13"]);
        assert_eq!(on(&better, &same_day, false).fate, Fate::OneRun);
        let two = days(&["2027-06-16T09", "2027-06-15T08"]);
        let decided = on(&better, &two, false);
        assert_eq!((decided.fate, decided.value), (Fate::Better, 8.2));
    }

    #[test]
    fn what_chance_explains_changes_nothing() {
        let two = days(&["2027-06-16T09", "2027-06-15T08"]);
        let alike = on(&estimate(8.9, 8.6, 9.2), &two, true);
        assert_eq!((alike.fate, alike.value), (Fate::Alike, 9.0));
    }

    #[test]
    fn a_wind_in_which_a_figure_is_not_told_makes_it_no_better_and_leaves_it_worse() {
        let two = days(&["2027-06-16T09", "2027-06-15T08"]);
        let mut better = estimate(8.0, 7.8, 8.2);
        better.by_wind = None;
        let kept = on(&better, &two, true);
        assert_eq!((kept.fate, kept.value), (Fate::OtherWinds, 9.0));
        let mut worse = estimate(9.5, 9.2, 9.8);
        worse.by_wind = None;
        assert_eq!(on(&worse, &two, false).fate, Fate::Worse);
        // The pack knows no wind.
        better.figure = Figure::Resistance;
        assert_eq!(on(&better, &two, false).fate, Fate::Better);
    }

    #[test]
    fn what_bars_a_better_figure_bars_no_worse_one() {
        let runs = days(&["2027-06-16T09", "2027-06-15T08"]);
        let evidence = Evidence {
            runs: &runs,
            despite_one_run: true,
            despite_large_gain: false,
            held_back: Some(Fate::AnotherNotTold),
        };
        let kept = decide(&estimate(8.0, 7.8, 8.2), &evidence);
        assert_eq!((kept.fate, kept.value), (Fate::AnotherNotTold, 9.0));
        let worse = decide(&estimate(9.5, 9.2, 9.8), &evidence);
        assert_eq!((worse.fate, worse.value), (Fate::Worse, 9.5));
    }

    #[test]
    fn less_than_half_of_what_is_stated_is_taken_only_where_that_is_asked_for() {
        let two = days(&["2027-06-16T09", "2027-06-15T08"]);
        let good = estimate(4.4, 4.3, 4.6);
        let kept = on(&good, &two, true);
        assert_eq!((kept.fate, kept.value), (Fate::TooGood, 9.0));
        let evidence = Evidence {
            runs: &two,
            despite_one_run: false,
            despite_large_gain: true,
            held_back: None,
        };
        let taken = decide(&good, &evidence);
        assert_eq!((taken.fate, taken.value), (Fate::Better, 4.6));
        assert_eq!(on(&estimate(4.6, 4.5, 4.7), &two, false).fate, Fate::Better);
    }

    #[test]
    fn no_run_is_not_the_one_that_may_do() {
        let kept = on(&estimate(8.0, 7.8, 8.2), &[], true);
        assert_eq!((kept.fate, kept.value, kept.runs), (Fate::OneRun, 9.0, 0));
    }
}
