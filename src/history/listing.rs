//! Runs listed, and what they come to.

use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::records::{Record, Records};
use crate::plan::run::End;
use crate::units::{Energy, Length, Ratio, Time};

/// Which runs are listed; default: every one.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Filter {
    /// Of this mission.
    pub mission: Option<String>,
    /// Of this vessel.
    pub vessel: Option<String>,
    /// That ended so.
    pub outcome: Option<End>,
    /// Launched on this day or later, in universal time.
    pub since: Option<Date>,
    /// Launched on this day or before.
    pub until: Option<Date>,
    /// With a near miss.
    pub near_misses: bool,
}

/// The share of the energy that may be used that a run took, least and most.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Within {
    /// Of the run that took least.
    pub least: Ratio,
    /// Of the one that took most.
    pub most: Ratio,
}

/// What runs come to.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Totals {
    /// How many.
    pub runs: usize,
    /// Planned length of them all.
    pub distance: Option<Length>,
    /// How far the boats went, of the runs whose track tells.
    pub sailed: Option<Length>,
    /// How many these are.
    pub tracked: usize,
    /// Time from launch to the end.
    pub time: Option<Time>,
    /// Energy that was used, of those that say so.
    pub energy: Option<Energy>,
    /// Runs broken off.
    pub aborted: usize,
    /// Boats fetched.
    pub recovered: usize,
    /// Boats lost.
    pub lost: usize,
    /// Near misses.
    pub near_misses: usize,
    /// Energy used, as a share of what may be used.
    pub used: Option<Within>,
}

impl Filter {
    fn takes(&self, record: &Record) -> bool {
        let run = &record.run;
        let day = TimeZone::UTC.to_datetime(run.launched.value).date();
        self.mission
            .as_ref()
            .is_none_or(|one| *one == run.mission.value)
            && self.vessel.as_ref().is_none_or(|one| *one == run.vessel)
            && self.outcome.is_none_or(|one| one == run.outcome)
            && self.since.is_none_or(|since| day >= since)
            && self.until.is_none_or(|until| day <= until)
            && (!self.near_misses || !run.near_misses.is_empty())
    }
}

impl Records {
    /// The runs that a filter takes, and what they come to.
    #[must_use]
    pub fn listed(&self, filter: &Filter) -> (Vec<&Record>, Totals) {
        let listed: Vec<&Record> = self
            .records
            .iter()
            .filter(|one| filter.takes(one))
            .collect();
        let mut totals = Totals {
            runs: listed.len(),
            ..Totals::default()
        };
        for record in &listed {
            let run = &record.run;
            if let Some(length) = run.planned.length {
                totals.distance = Some(totals.distance.unwrap_or(Length::ZERO) + length);
            }
            if let Some(length) = run.sailed {
                totals.sailed = Some(totals.sailed.unwrap_or(Length::ZERO) + length);
                totals.tracked += 1;
            }
            let took = run.ended.value.duration_since(run.launched.value);
            let took = Time::seconds(took.as_secs_f64());
            totals.time = Some(totals.time.unwrap_or(Time::ZERO) + took);
            totals.near_misses += run.near_misses.len();
            match run.outcome {
                End::Completed => {}
                End::Aborted => totals.aborted += 1,
                End::Recovered => totals.recovered += 1,
                End::Lost => totals.lost += 1,
            }
            let Some(energy) = run.energy else {
                continue;
            };
            totals.energy = Some(totals.energy.unwrap_or(Energy::ZERO) + energy);
            if let Some(usable) = run.planned.usable.filter(|one| *one > Energy::ZERO) {
                let share = Ratio::fraction(energy / usable);
                let within = totals.used.get_or_insert(Within {
                    least: share,
                    most: share,
                });
                within.least = within.least.min(share);
                within.most = within.most.max(share);
            }
        }
        (listed, totals)
    }
}
