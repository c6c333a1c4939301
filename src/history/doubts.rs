//! What is said of a run, held against its plan before it is recorded. What cannot have been is refused;
//! what is hardly so, and what a verification will name, is reported.

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::records::{Launch, Record, Records};
use super::said::{Logged, Said};
use super::standing::in_commit;
use crate::check::{CheckOptions, MissionResult, NoAnswer, Outcome, judged};
use crate::finding::Severity;
use crate::git::Git;
use crate::plan::Plan;
use crate::plan::calendar::{later, shown};
use crate::plan::run::End;
use crate::rules::EffectivePolicy;
use crate::schema::explain::nearest;
use crate::source::{Sources, Span, printable_line};
use crate::units::{Energy, Time, Typed as _};

/// Longest that a boat is out, s: one day. P.
const LONGEST: f64 = 24.0 * 3600.0;
/// So many times the planned time is no run of the plan, where it is at least so long, s. P.
const MANY_TIMES: f64 = 10.0;
const MANY_LEAST: f64 = 4.0 * 3600.0;
/// So many times the planned time is reported. P.
const LATE_TIMES: f64 = 3.0;
/// A smaller share of the planned time, for a run that was completed, is reported. P.
const EARLY: f64 = 0.5;
/// A smaller share of the planned energy likewise. P.
const LITTLE: f64 = 0.25;
/// How far a launch may be from what was decided, as a verification has it, s.
const MOST_APART: i64 = 3600;

/// What is said of everything that a verification will name.
const STAYS: &str = "`offing history verify` names that for as long as there is a history; say in the commit who \
                     launched, and why";

/// Something of a run that is hardly so, or that a verification will name.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Doubt {
    /// Its id, of which `offing explain` tells more.
    pub id: &'static str,
    /// In a sentence without its full stop.
    pub says: String,
}

/// When it was.
#[derive(Clone, Copy, Debug)]
pub(super) struct Times {
    pub launched: Timestamp,
    pub ended: Timestamp,
}

/// Everything that a run is held against.
pub(super) struct Against<'a> {
    pub plan: &'a Plan,
    pub policy: &'a EffectivePolicy,
    pub checked: &'a MissionResult,
    /// Of the commit that was run.
    pub sources: &'a Sources,
    pub decision: Option<&'a Launch>,
    pub records: &'a Records,
}

impl Against<'_> {
    fn line(&self, span: Span) -> String {
        place(self.sources, span)
    }

    fn figure(&self, name: &str) -> Option<f64> {
        let mut all = self.checked.figures.iter();
        all.find(|(known, _)| *known == name)
            .map(|(_, quantity)| quantity.value)
    }

    /// That the plan was run before.
    pub(super) fn run_before(&self, before: &Record) -> Doubt {
        let zone = self.plan.site.time_zone.as_ref();
        Doubt {
            id: "run-twice",
            says: format!(
                "this very plan was run before, at {}, as {} records, and one approval covers one \
                 run; {STAYS}",
                shown(before.run.launched.value, zone),
                printable_line(&before.path)
            ),
        }
    }

    /// That the boat was still out, by another record.
    /// `boat` is that of the plan, `boats` are those of the records.
    pub(super) fn out_at_once(&self, times: Times, boat: &str, boats: &[String]) -> Option<Doubt> {
        let vessel = boat;
        let mut records = self.records.records.iter().zip(boats);
        let (out, _) = records.find(|(record, of)| {
            let other = &record.run;
            of.as_str() == boat
                && other.launched.value < times.ended
                && times.launched < other.ended.value
        })?;
        let zone = self.plan.site.time_zone.as_ref();
        Some(Doubt {
            id: "runs-overlap",
            says: format!(
                "by {} `{}` was out from {} to {}, at the same time; {STAYS}",
                printable_line(&out.path),
                printable_line(vessel),
                shown(out.run.launched.value, zone),
                shown(out.run.ended.value, zone)
            ),
        })
    }

    /// The energy is one that the pack can have given, and not next to none for a whole run.
    pub(super) fn energy(&self, energy: Energy, outcome: End) -> Result<Option<Doubt>, NoAnswer> {
        let battery = &self.plan.vessel.battery;
        let full = battery.full_energy();
        if energy > full {
            return Err(NoAnswer::BadRequest(format!(
                "--energy: {energy} is more than the pack holds when it is full, {full} by {}; \
                 check the reading, or leave it out and put it into `--conditions`",
                self.line(battery.capacity.span())
            )));
        }
        let planned = self.figure("energy").map(Energy::from_stored);
        let little =
            planned.filter(|planned| outcome == End::Completed && energy < *planned * LITTLE);
        if let Some(planned) = little {
            return Ok(Some(Doubt {
                id: "energy-little",
                says: format!("the run took {energy}; planned up to {planned}"),
            }));
        }
        let usable = self.figure("usable_energy").map(Energy::from_stored);
        Ok(usable
            .filter(|usable| energy > *usable)
            .map(|usable| Doubt {
                id: "energy-beyond-usable",
                says: format!(
                    "the run took {energy}; the pack's usable energy is {usable}, by {}",
                    self.line(battery.usable.span())
                ),
            }))
    }

    /// The boat was out for a time that a run can take. One that was fetched or lost may have been out
    /// for longer.
    pub(super) fn time_out(&self, times: Times, outcome: End) -> Result<Option<Doubt>, NoAnswer> {
        let out = times.ended.duration_since(times.launched).as_secs_f64();
        let planned = self.figure("duration");
        let times_planned = |many: f64| planned.is_some_and(|planned| out > many * planned);
        let long = out > LONGEST || (out > MANY_LEAST && times_planned(MANY_TIMES));
        let launch = &self.plan.mission.launch;
        let line = match &launch.latest_return {
            Some(latest) => self.line(latest.span()),
            None => self.line(launch.time.span()),
        };
        let long_for = format!(
            "{} after the launch at {}; planned {}, by {line}",
            Time::seconds(out),
            shown(times.launched, self.plan.site.time_zone.as_ref()),
            planned.map_or_else(|| "less".to_owned(), |one| Time::seconds(one).to_string())
        );
        if long && matches!(outcome, End::Completed | End::Aborted) {
            return Err(NoAnswer::BadRequest(format!(
                "--ended: that is {long_for}; check the times. A boat that was out for so long was \
                 `--outcome recovered` or `lost`"
            )));
        }
        let early =
            outcome == End::Completed && planned.is_some_and(|planned| out < planned * EARLY);
        let says = format!("the boat was back {long_for}");
        if early {
            return Ok(Some(Doubt {
                id: "back-early",
                says,
            }));
        }
        Ok((long || times_planned(LATE_TIMES)).then_some(Doubt {
            id: "back-late",
            says,
        }))
    }

    /// Whoever records has a role that somebody named.
    pub(super) fn recorded_by(
        &self,
        by: &str,
        signers: &[String],
    ) -> Result<Option<Doubt>, NoAnswer> {
        let named = self.named(signers);
        // A role may stand in a sentence: `survey lead and second helper, with the inflatable`.
        let plain = |text: &str| {
            let words = text.split(|c: char| !c.is_alphanumeric());
            let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
            format!(" {} ", words.join(" ").to_lowercase())
        };
        let asked = plain(by);
        let parts = |role: &str| -> Vec<String> {
            let list = role.replace(" and ", ",").replace(" or ", ",");
            let parts = list.split([',', ';', '/', '&']).map(plain);
            std::iter::once(plain(role)).chain(parts).collect()
        };
        if !asked.trim().is_empty() && named.iter().any(|one| parts(one).contains(&asked)) {
            return Ok(None);
        }
        let (mission, policy) = (&self.plan.mission.id.value, &self.policy.policy);
        let by = printable_line(by);
        if named.is_empty() {
            return Ok(Some(Doubt {
                id: "recorded-by-unknown",
                says: format!(
                    "neither mission `{mission}` nor policy `{policy}` names a role, and so not `{by}`"
                ),
            }));
        }
        let known: Vec<&str> = named.iter().map(String::as_str).collect();
        let hint = match nearest(&by, &known) {
            Some(near) => format!("did you mean `{}`?", printable_line(near)),
            None => format!("they name {}", printable_line(&known.join(", "))),
        };
        Err(NoAnswer::BadRequest(format!(
            "--by: neither mission `{mission}` nor policy `{policy}` names `{by}`; {hint}"
        )))
    }

    /// The roles that the mission, its policy and the decision name.
    fn named(&self, signers: &[String]) -> Vec<String> {
        let people = &self.plan.mission.people;
        let mut named: Vec<String> = Vec::new();
        if let Some(team) = &people.team {
            named.push(team.person_in_charge.value.clone());
            named.push(team.remote_operator.value.clone());
            let more = team.lookout.iter().chain(&team.recovery_crew);
            named.extend(more.map(|role| role.value.clone()));
        }
        let alarm = people.alarm.as_ref();
        named.extend(alarm.and_then(|alarm| Some(alarm.shore_contact.as_ref()?.value.clone())));
        let waivers = self.plan.mission.waivers.iter();
        named.extend(waivers.map(|waiver| waiver.approved_by.value.clone()));
        let waivable = self.policy.waivable.iter().flat_map(|one| &one.by);
        named.extend(waivable.map(|role| role.value.clone()));
        let needed = self.policy.approvals.iter().flat_map(|one| &one.needed);
        named.extend(needed.map(|role| role.value.clone()));
        named.extend(self.decision.map(|launch| launch.decided.by.value.clone()));
        named.extend(signers.iter().cloned());
        let mut seen = std::collections::BTreeSet::new();
        named.retain(|role| !role.trim().is_empty() && seen.insert(role.to_lowercase()));
        named
    }

    /// What a verification will name of the decision.
    pub(super) fn decided(&self, launched: Timestamp) -> Vec<Doubt> {
        let Some(launch) = self.decision else {
            return vec![Doubt {
                id: "run-undecided",
                says: format!("there was no decision on this launch; {STAYS}"),
            }];
        };
        let (decided, path) = (&launch.decided, self.records.sources.path(launch.source));
        let path = printable_line(path);
        let mut all = Vec::new();
        let mut doubt = |id: &'static str, says: String| {
            all.push(Doubt {
                id,
                says: format!("{says}; {STAYS}"),
            });
        };
        if !decided.go {
            let says = format!(
                "the decision on the launch was a no-go, by {path}: {}",
                decided.reasons.join(", ")
            );
            doubt("run-against-decision", says);
        }
        if self.records.decisions().unused(launch).is_some() {
            let says = format!("a later decision says that the go of {path} was not used");
            doubt("run-unused-go", says);
        }
        let zone = self.plan.site.time_zone.as_ref();
        let apart = launched.duration_since(decided.at.value).as_secs();
        if apart.abs() > MOST_APART {
            let says = format!(
                "the boat was launched at {}, more than an hour from the launch that {path} decided on, at {}",
                shown(launched, zone),
                shown(decided.at.value, zone)
            );
            doubt("decision-differs", says);
        }
        if decided.policy.value != self.policy.policy {
            let says = format!(
                "{path} was decided by another policy, `{}`",
                decided.policy.value
            );
            doubt("decision-differs", says);
        }
        if decided.decided.value.duration_since(launched).as_secs() > MOST_APART {
            let says = format!(
                "{path} was decided at {}, after the boat was launched",
                shown(decided.decided.value, zone)
            );
            doubt("decided-afterwards", says);
        }
        all
    }

    /// What did not hold at a launch outside the time that was reviewed: the plan is judged as from that
    /// moment on.
    pub(super) fn launched_outside(
        &self,
        launched: Timestamp,
        git: &dyn Git,
        said: &Said,
    ) -> Result<Vec<Doubt>, NoAnswer> {
        let launch = &self.plan.mission.launch;
        let (from, to) = (
            launch.time.value,
            later(launch.time.value, launch.delay.value.get()),
        );
        if (from..=to).contains(&launched) {
            return Ok(Vec::new());
        }
        let zone = self.plan.site.time_zone.as_ref();
        let doubt = |says: String| Doubt {
            id: "launched-outside",
            says,
        };
        let mut all = vec![doubt(format!(
            "the boat was launched at {}, and the plan was reviewed for a launch from {} to {}, by {}",
            shown(launched, zone),
            shown(from, zone),
            shown(to, zone),
            self.line(launch.time.span())
        ))];
        let Some(then) = self.plan.launched_at(launched) else {
            all.push(doubt("the forecast did not reach that launch".to_owned()));
            return Ok(all);
        };
        let mut loaded = in_commit(git, &said.commit, &said.mission)?.loaded;
        loaded.linked.plans = vec![then];
        let outcome: Outcome = judged(&loaded, None, CheckOptions::findings_alone());
        let grave = outcome.findings.iter();
        let grave = grave.filter(|one| one.stands() && one.severity == Severity::Error);
        all.extend(grave.map(|one| {
            doubt(format!(
                "at that launch, {}: {} ({})",
                one.rule,
                one.message,
                place(&outcome.sources, one.primary.span)
            ))
        }));
        Ok(all)
    }
}

/// A track that could be read lies in the time of the run. One of a boat that was fetched or lost may be
/// lost with it.
pub(super) fn track(
    logged: &Logged,
    times: Times,
    outcome: End,
    zone: Option<&TimeZone>,
) -> Result<Option<Doubt>, NoAnswer> {
    match &logged.read {
        Err(why) if matches!(outcome, End::Completed | End::Aborted) => {
            Err(NoAnswer::Unreadable(format!("--track: {why}")))
        }
        Err(why) => Ok(Some(Doubt {
            id: "track-unreadable",
            says: format!("the track holds nothing of the run: {why}"),
        })),
        Ok(track) => {
            let fixes = track.samples.iter().map(|sample| sample.time);
            let within = |time: &Timestamp| (times.launched..=times.ended).contains(time);
            if fixes.clone().any(|time| within(&time)) {
                return Ok(None);
            }
            let ends = fixes.clone().min().zip(fixes.max());
            Ok(ends.map(|(first, last)| Doubt {
                id: "track-apart",
                says: format!(
                    "no fix of the track, from {} to {}, is within the time of the run, {} to {}",
                    shown(first, zone),
                    shown(last, zone),
                    shown(times.launched, zone),
                    shown(times.ended, zone)
                ),
            }))
        }
    }
}

fn place(sources: &Sources, span: Span) -> String {
    let at = sources.position(span);
    let path = printable_line(sources.path(span.source));
    format!("{path}:{}:{}", at.line, at.column)
}
