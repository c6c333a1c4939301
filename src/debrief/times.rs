//! Times of launch and return, and where the run ended.

use super::judging::Judging;
use super::thresholds::{END, LAUNCH, MINUTE, RETURN, SLOW_SHARE};
use crate::finding::{Nature, Severity};
use crate::plan::calendar::shown;
use crate::units::Time;

impl Judging<'_> {
    pub(super) fn times(&mut self) {
        let (plan, ends) = (self.asked.plan, &self.found.ends);
        let zone = plan.site.time_zone.as_ref();
        let launch = &plan.mission.launch;
        if ends.clock_set {
            self.clock();
        }
        if let Some(launched) = ends.launched.filter(|_| !ends.clock_set) {
            let late = launched.duration_since(ends.launch.0).as_secs_f64();
            let off = late > ends.launch.1.get() + MINUTE || late < -MINUTE;
            if off && !self.launch_in_doubt(late) {
                let word = if late < 0.0 { "before" } else { "after" };
                let message = format!(
                    "The boat was launched at {}, {} {word} the time planned, {}; it may be {} later",
                    shown(launched, zone),
                    Time::seconds(late.abs()),
                    shown(ends.launch.0, zone),
                    ends.launch.1
                );
                let (time, delay) = (launch.time.span(), launch.delay.span());
                let begins = self.found.whole.fix.unwrap_or(time);
                self.push(
                    &LAUNCH,
                    Severity::Warning,
                    Nature::Violation,
                    ("", message),
                    |one| {
                        one.primary(begins, "the boat leaves the launch point")
                            .related(time, "planned for")
                            .related(delay, "and at most this much later")
                    },
                );
            }
        }
        if let (Some(latest), Some(stated)) = (ends.latest_return, &launch.latest_return) {
            // A track that ends elsewhere tells no more than when it ends.
            let back = ends.arrived.unwrap_or(ends.recorded.1);
            let late = back.duration_since(latest).as_secs_f64();
            if late > 0.0 && !ends.clock_set && !self.return_in_doubt(late) {
                let what = match ends.arrived {
                    Some(_) => "The boat was back at",
                    None => "The boat was still out at",
                };
                let message = format!(
                    "{what} {}, {} after the latest return that the plan allows, {}",
                    shown(back, zone),
                    Time::seconds(late),
                    shown(latest, zone)
                );
                let (line, last) = (stated.span(), self.end_line());
                self.push(
                    &RETURN,
                    Severity::Error,
                    Nature::Violation,
                    ("", message),
                    |one| {
                        one.primary(last, "the track comes to its end")
                            .related(line, "stated here")
                    },
                );
            }
        }
        if !ends.at_recovery {
            let message = format!(
                "The track ends {} from the recovery point and outside its launch site; its \
                 closest point is {} away",
                ends.from_recovery, ends.nearest
            );
            let (last, line) = (self.end_line(), plan.mission.recovery.at.span());
            self.push(
                &END,
                Severity::Error,
                Nature::Violation,
                ("", message),
                |one| {
                    one.primary(last, "it ends here")
                        .related(line, "planned end")
                },
            );
        }
    }

    /// A clock that was set: no time that it shows is held against the plan.
    fn clock(&mut self) {
        let launch = &self.asked.plan.mission.launch;
        let why = "the clock was set during the recording";
        let (time, last) = (launch.time.span(), self.end_line());
        let begins = self.found.whole.fix.unwrap_or(last);
        self.push(
            &LAUNCH,
            Severity::Warning,
            Nature::NotEvaluated,
            ("", format!("The time of launch is not judged: {why}")),
            |one| {
                one.primary(
                    begins,
                    "the boat leaves the launch point, or the track begins",
                )
                .related(time, "planned for")
                .reason(why)
            },
        );
        if let Some(latest) = &launch.latest_return {
            let line = latest.span();
            self.push(
                &RETURN,
                Severity::Error,
                Nature::NotEvaluated,
                ("", format!("The time of return is not judged: {why}")),
                |one| {
                    one.primary(last, "the track comes to its end")
                        .related(line, "stated here")
                        .reason(why)
                },
            );
        }
    }

    /// Why a time that is off by so much is in doubt: it is off by no more than a time without a fix in which
    /// the boat hardly moved, and the clock may have been set meanwhile.
    fn doubt(&self, off: f64) -> Option<String> {
        let unseen = self.found.unseen?;
        let planned = self.found.whole.speed.planned.map(|band| band.planned);
        let made = unseen.apart.get() / unseen.time.get().max(1.0);
        let went = planned.is_none_or(|planned| made >= SLOW_SHARE * planned.get());
        if off.abs() > unseen.time.get() || went {
            return None;
        }
        Some(format!(
            "there is no fix for {}, and the boat moved no more than {} meanwhile: it lay still, \
             or the clock was set",
            unseen.time, unseen.apart
        ))
    }

    /// Whether the time of launch is in doubt; it is then told with that doubt.
    fn launch_in_doubt(&mut self, late: f64) -> bool {
        let Some(why) = self.doubt(late) else {
            return false;
        };
        let word = if late < 0.0 { "early" } else { "late" };
        let message = format!(
            "The time of launch is not judged: by the track's clock it was {} {word}, but {why}",
            Time::seconds(late.abs())
        );
        let time = self.asked.plan.mission.launch.time.span();
        let begins = self.found.whole.fix.unwrap_or(time);
        self.push(
            &LAUNCH,
            Severity::Warning,
            Nature::NotEvaluated,
            ("", message),
            |one| {
                one.primary(begins, "the boat leaves the launch point")
                    .related(time, "planned for")
                    .reason(&why)
            },
        );
        true
    }

    /// Whether the time of return is in doubt likewise.
    fn return_in_doubt(&mut self, late: f64) -> bool {
        let launch = &self.asked.plan.mission.launch;
        let (Some(why), Some(stated)) = (self.doubt(late), &launch.latest_return) else {
            return false;
        };
        let message = format!(
            "The time of return is not judged: by the track's clock the boat was {} late, but {why}",
            Time::seconds(late)
        );
        let (line, last) = (stated.span(), self.end_line());
        self.push(
            &RETURN,
            Severity::Error,
            Nature::NotEvaluated,
            ("", message),
            |one| {
                one.primary(last, "the track comes to its end")
                    .related(line, "stated here")
                    .reason(&why)
            },
        );
        true
    }
}
