//! The record of a run that names the track, held against the plan at hand and what the track shows.

use jiff::Timestamp;

use super::judging::Judging;
use super::thresholds::{ENERGY, RECORD, RECORD_TIME};
use crate::check::Digests;
use crate::finding::{Nature, Severity};
use crate::plan::calendar::shown;
use crate::plan::run::{End, RunRecord};
use crate::source::Span;
use crate::units::{Energy, Ratio, Time};

/// The record that names the track.
#[derive(Clone, Copy)]
pub(crate) struct OfRun<'a> {
    /// The record.
    pub run: &'a RunRecord,
    /// Digests of the plan at hand.
    pub plan: &'a Digests,
}

/// Files that a finding names, at most.
const MOST: usize = 5;

impl Judging<'_> {
    pub(super) fn record(&mut self) {
        let Some(of) = self.asked.record else {
            return;
        };
        self.other_plan(of);
        if !self.found.ends.clock_set {
            let ends = &self.found.ends;
            let (launched, arrived) = (ends.launched, ends.arrived);
            let run = of.run;
            let line = run.launched.span();
            self.time("launch", (run.launched.value, line), launched);
            let line = run.ended.span();
            self.time("return", (run.ended.value, line), arrived);
        }
        self.energy_used(of.run);
        self.outcome(of.run);
    }

    fn push_warning(
        &mut self,
        subject: &str,
        message: String,
        lines: (Span, &str),
        track: Option<Span>,
    ) {
        self.push(
            &RECORD,
            Severity::Warning,
            Nature::Violation,
            (subject, message),
            |one| {
                let one = one.primary(lines.0, lines.1);
                match track {
                    Some(track) => one.related(track, "by the track"),
                    None => one,
                }
            },
        );
    }

    /// What was run is another plan than the one at hand.
    fn other_plan(&mut self, of: OfRun<'_>) {
        let OfRun { run, plan } = of;
        let id = &run.id.value;
        if run.digest.value == plan.whole {
            return;
        }
        let now = |role: &str, name: &str| {
            let mut files = plan.files.iter();
            files.find(|file| file.role == role && file.name == name)
        };
        let mut others: Vec<String> = Vec::new();
        for input in &run.inputs {
            match now(&input.role, &input.name) {
                Some(file) if file.sha256 == input.sha256.value => {}
                Some(file) => others.push(format!("{} has changed", file.path)),
                None => others.push(format!("{} is no longer part of it", input.path.value)),
            }
        }
        let was = |role: &str, name: &str| {
            let mut inputs = run.inputs.iter();
            inputs.any(|input| input.role == role && input.name == name)
        };
        let new = plan.files.iter().filter(|file| !was(file.role, &file.name));
        others.extend(new.map(|file| format!("{} is new", file.path)));
        let more = others.len().saturating_sub(MOST);
        others.truncate(MOST);
        if more > 0 {
            others.push(format!("and {more} more"));
        }
        let what = if others.is_empty() {
            "the program or its rules have changed".to_owned()
        } else {
            others.join("; ")
        };
        let commit = run.commit.value.get(..12).unwrap_or(&run.commit.value);
        let message = format!(
            "The plan here is not the one that was run: {what}. Check out {commit}, which the \
             record {id} names, to compare the run with its own plan"
        );
        self.push_warning("plan", message, (run.digest.span(), "what was run"), None);
    }

    fn time(
        &mut self,
        what: &str,
        (recorded, line): (Timestamp, Span),
        tracked: Option<Timestamp>,
    ) {
        let Some(tracked) = tracked else {
            return;
        };
        let off = tracked.duration_since(recorded).as_secs_f64();
        if off.abs() <= RECORD_TIME {
            return;
        }
        let zone = self.asked.plan.site.time_zone.as_ref();
        let word = if off < 0.0 { "before" } else { "after" };
        let message = format!(
            "By the track the {what} was at {}, {} {word} the {} in the record",
            shown(tracked, zone),
            Time::seconds(off.abs()),
            shown(recorded, zone)
        );
        let track = if what == "launch" {
            self.found.whole.fix
        } else {
            Some(self.end_line())
        };
        self.push_warning(what, message, (line, "recorded here"), track);
    }

    /// Energy used, as far as the boat was out and the track tells of it.
    fn energy_used(&mut self, run: &RunRecord) {
        let found = self.found;
        let home = found.ends.left.as_ref().map(|_| &found.return_leg);
        let total = |of: &dyn Fn(&super::Part) -> Option<Energy>| {
            let home = home.map_or(Some(Energy::ZERO), of);
            Some(of(&found.whole)? + home?)
        };
        let stored = total(&|part| part.energy.actual);
        let given = total(&|part| part.energy.actual.and(part.given));
        let (Some(recorded), Some(stored), Some(given)) = (run.energy, stored, given) else {
            return;
        };
        if recorded <= Energy::ZERO {
            return;
        }
        let off = |tracked: Energy| Ratio::fraction(tracked / recorded - 1.0);
        // A gauge counts what the pack gives, or what was in it.
        let limit = ENERGY.limit.map_or(0.0, |limit| limit.value);
        if off(stored).get() < -limit || off(given).get() > limit {
            let message = format!(
                "By the track the run took {stored}, of which the pack gave {given}; the record has {recorded}"
            );
            let line = run.id.span();
            self.push_warning("energy", message, (line, "recorded here"), found.whole.fix);
        }
    }

    fn outcome(&mut self, run: &RunRecord) {
        let ends = &self.found.ends;
        let message = match (run.outcome, &ends.left) {
            (End::Completed, Some((leg, _))) => {
                format!(
                    "The record says completed, but by the track the boat left the route on \
                         {leg}"
                )
            }
            (End::Completed, None) if !ends.at_recovery => format!(
                "The record says completed, but the track ends {} from the recovery point",
                ends.from_recovery
            ),
            (End::Aborted | End::Lost, None) if ends.arrived.is_some() => format!(
                "The record says {}, but by the track the boat ran the route to its end",
                run.outcome.word()
            ),
            _ => return,
        };
        let last = self.end_line();
        self.push_warning(
            "outcome",
            message,
            (run.id.span(), "recorded here"),
            Some(last),
        );
    }
}
