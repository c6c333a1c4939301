//! What was decided and run before: goes that stand in the way of another, and how the launch was
//! decided until now.

use std::collections::BTreeSet;

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::bearing::{self, NEAR};
use super::readings::Readings;
use crate::check::{Digests, LoadedMission, NoAnswer, sha256};
use crate::plan::calendar::{later, shown};
use crate::plan::decision::{Decided, decided};
use crate::plan::run::{RunRecord, run_record};
use crate::plan::{Gathered, Plan, gather};
use crate::schema::Kind;
use crate::source::{MemoryTree, Sources, Tree, printable_line};

/// How much later than now something may have been decided without being reported, s.
const LATE: i64 = 60;

/// A decision that the repository holds.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Held {
    pub decided: Decided,
    pub path: String,
    pub sha256: String,
    /// Whether git alone has it, and not the tree.
    pub elsewhere: bool,
}

/// A decision that was recorded before, in short.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Earlier {
    /// Path of its file.
    pub path: String,
    /// SHA-256 of its file.
    pub sha256: String,
    /// Whether it was a go.
    pub go: bool,
    /// For which launch, in the site's own time.
    pub at: String,
    /// When it was decided, likewise.
    pub decided: String,
    /// By which role.
    pub by: String,
    /// Ids of the reasons for the no-go.
    pub reasons: Vec<String>,
    /// Whether it is said, now or by a decision since, that the boat stayed ashore after it.
    pub unused: bool,
}

impl Earlier {
    /// It in a sentence without its full stop.
    #[must_use]
    pub fn describe(&self) -> String {
        let word = if self.go { "go" } else { "no go" };
        let why = match (self.go, self.unused) {
            (true, true) => "; said not to have been used".to_owned(),
            (true, false) => String::new(),
            _ => format!(": {}", self.reasons.join(", ")),
        };
        format!(
            "{word} for a launch at {}, decided at {} by `{}` ({}){why}",
            self.at, self.decided, self.by, self.path
        )
    }
}

/// Another plan that has the boat out.
pub(super) struct BoatOut {
    /// Id of its mission.
    pub mission: String,
    /// The decision, or the record of its run.
    pub path: String,
    /// Launched then.
    pub from: Timestamp,
    /// Back then, or by then as it was planned.
    pub to: Timestamp,
    /// Whether the run is recorded.
    pub recorded: bool,
}

/// Everything of the kind.
pub(super) struct Before {
    decisions: Vec<Held>,
    runs: Vec<(RunRecord, String)>,
    /// Digests of goes of which decisions that are not here say that they were not used.
    unused_elsewhere: Vec<String>,
    /// Where something may be one of them and cannot be read.
    unread: Vec<String>,
}

/// What of it bears on a launch.
pub(super) struct Standing<'a> {
    /// Goes about it of which nobody said that they were not used, each with the record of its run.
    pub goes: Vec<(&'a Held, Option<&'a str>)>,
    /// Paths of records of runs of this plan that rest on none of these.
    pub runs: Vec<&'a str>,
}

impl Before {
    /// Reads what may bear on a launch.
    ///
    /// # Errors
    /// [`NoAnswer`] where a decision or a record of a run is not in order: it may be of this plan.
    pub(super) fn from_loaded(
        found: &mut LoadedMission,
        tree: &dyn Tree,
        readings: &Readings,
    ) -> Result<Self, NoAnswer> {
        let elsewhere = &readings.elsewhere;
        let (gathered, sources) = bearing::records(found, tree, readings)?;
        let mut before = Self {
            decisions: Vec::new(),
            runs: Vec::new(),
            unused_elsewhere: elsewhere.unused.clone(),
            unread: Vec::new(),
        };
        before.take(&gathered, &sources, false)?;
        let mut tree = MemoryTree::default();
        for (place, text) in &elsewhere.files {
            tree.put(place.as_str(), text.as_str());
        }
        let mut sources = Sources::new();
        let gathered = gather(&tree, &mut sources)?;
        before.take(&gathered, &sources, true)?;
        before.decisions.sort_by(|a, b| {
            let key = |one: &Held| (one.decided.decided.value, one.path.clone());
            key(a).cmp(&key(b))
        });
        Ok(before)
    }

    fn take(
        &mut self,
        gathered: &Gathered,
        sources: &Sources,
        elsewhere: bool,
    ) -> Result<(), NoAnswer> {
        let path = |source| sources.path(source).to_owned();
        for file in gathered.of_kind(Kind::Launch) {
            let Some(decided) = file.sound.then(|| decided(file).ok()).flatten() else {
                self.unread.push(path(file.source));
                continue;
            };
            let text = sources.get(file.source);
            self.decisions.push(Held {
                decided,
                path: path(file.source),
                sha256: sha256(text.map_or("", |file| file.text())),
                elsewhere,
            });
        }
        for file in gathered.of_kind(Kind::Run) {
            let read = file.sound.then(|| run_record(file).ok()).flatten();
            match read {
                Some(run) => self.runs.push((run, path(file.source))),
                // Of another commit it may be of an older format, or what became of one since.
                None if elsewhere => self.unread.push(path(file.source)),
                None => {
                    return Err(NoAnswer::Unreadable(format!(
                        "{}: a record that has errors may be of a run of this plan; `offing check` shows them",
                        path(file.source)
                    )));
                }
            }
        }
        let unparsed = gathered.unparsed.iter().filter(|_| elsewhere);
        self.unread.extend(unparsed.map(|source| path(*source)));
        Ok(())
    }

    /// What is to be known of it: what cannot be read of other commits, and what is later than now, so
    /// that one of two clocks is wrong.
    pub(super) fn notes(&self, clock: Timestamp, zone: Option<&TimeZone>) -> Vec<String> {
        let mut notes: Vec<String> = self
            .unread
            .iter()
            .map(|path| {
                format!(
                    "{} may be a decision or a record of this launch, and cannot be read",
                    printable_line(path)
                )
            })
            .collect();
        let decided = self
            .decisions
            .iter()
            .map(|one| (one.decided.decided.value, one.path.as_str(), "decided"));
        let recorded = self
            .runs
            .iter()
            .map(|(run, path)| (run.recorded.value, path.as_str(), "recorded"));
        let late = |time: &Timestamp| time.duration_since(clock).as_secs() > LATE;
        let latest = decided
            .chain(recorded)
            .filter(|(time, ..)| late(time))
            .max();
        notes.extend(latest.map(|(time, path, what)| {
            format!(
                "{} was {what} at {}, which is later than now: one of the two clocks was wrong, \
                 and nobody can tell which of them judged the forecast and the daylight",
                printable_line(path),
                shown(time, zone)
            )
        }));
        notes
    }

    /// Whether a decision has an id already.
    pub(super) fn holds(&self, id: &str) -> bool {
        self.decisions.iter().any(|one| one.decided.id.value == id)
    }

    /// Digests of the plans that were decided on or run.
    pub(super) fn digests(&self) -> impl Iterator<Item = &str> {
        let decided = self
            .decisions
            .iter()
            .map(|one| one.decided.digest.value.as_str());
        decided.chain(self.runs.iter().map(|(of, _)| of.digest.value.as_str()))
    }

    fn unused(&self, one: &Held) -> bool {
        let said = self.decisions.iter().map(|held| &held.decided);
        let here = said.filter(|said| said.may_say_unused(&one.decided));
        let mut here = here.flat_map(|said| &said.unused);
        here.any(|digest| digest.value == one.sha256) || self.unused_elsewhere.contains(&one.sha256)
    }

    /// What stands in the way of launching a plan: of itself, or of another version of it for the same
    /// launch.
    pub(super) fn standing(&self, plan: &Plan, digests: &Digests) -> Standing<'_> {
        let launch = &plan.mission.launch;
        let (from, to) = (
            launch.time.value,
            later(launch.time.value, launch.delay.value.get()),
        );
        let same = |mission: &str, digest: &str, at: Timestamp| {
            let of_mission = mission == plan.mission.id.value;
            digest == digests.whole || (of_mission && (from..=to).contains(&at))
        };
        let about = self.decisions.iter().filter(|one| {
            let of = &one.decided;
            of.go && same(&of.mission.value, &of.digest.value, of.at.value) && !self.unused(one)
        });
        let rests_on = |run: &RunRecord, one: &Held| {
            let on = run.decision.as_ref();
            on.is_some_and(|on| on.sha256.value == one.sha256)
        };
        let goes: Vec<(&Held, Option<&str>)> = about
            .map(|one| {
                let mut runs = self.runs.iter();
                let run = runs.find(|(run, _)| rests_on(run, one));
                (one, run.map(|(_, path)| path.as_str()))
            })
            .collect();
        let others = self.runs.iter().filter(|(of, _)| {
            same(&of.mission.value, &of.digest.value, of.launched.value)
                && !goes.iter().any(|(one, _)| rests_on(of, one))
        });
        Standing {
            runs: others.map(|(_, path)| path.as_str()).collect(),
            goes,
        }
    }

    /// Goes about other plans with the same boat of which no run is recorded and nobody said that they were
    /// not used.
    pub(super) fn may_be_out<'a>(
        &'a self,
        plan: &'a Plan,
        told: &'a Standing<'_>,
        boat: &'a dyn Fn(&str) -> String,
    ) -> impl Iterator<Item = &'a Held> {
        let own = boat(&plan.vessel.id.value);
        let on = |run: &'a RunRecord| Some(run.decision.as_ref()?.sha256.value.as_str());
        let recorded: BTreeSet<&str> = self.runs.iter().filter_map(|(run, _)| on(run)).collect();
        self.decisions.iter().filter(move |one| {
            let of = &one.decided;
            let vessel = of.inputs.iter().find(|(role, ..)| role == "vessel");
            let same = vessel.is_some_and(|(_, name, _)| boat(name) == own);
            // That this plan was launched already is told as that, and a run that was recorded as such.
            let of_plan = told.goes.iter().any(|(go, _)| go.sha256 == one.sha256);
            let recorded = recorded.contains(one.sha256.as_str());
            of.go && same && !recorded && !of_plan && !self.unused(one)
        })
    }

    /// What has the boat out at the time of a launch: goes about other plans, and runs of them. `boat` gives
    /// the boat of a vessel, and `out_for` how long a mission has one out, s.
    pub(super) fn out(
        &self,
        plan: &Plan,
        told: &Standing<'_>,
        at: Timestamp,
        boat: &dyn Fn(&str) -> String,
        out_for: &dyn Fn(&str) -> f64,
    ) -> Vec<BoatOut> {
        let own = boat(&plan.vessel.id.value);
        let until = later(at, plan.out_for());
        let meets = |from: Timestamp, to: Timestamp| from < until && at < to;
        let mut out = Vec::new();
        for one in self.may_be_out(plan, told, boat) {
            let of = &one.decided;
            let back = later(of.at.value, out_for(&of.mission.value));
            if meets(of.at.value, back) {
                out.push(BoatOut {
                    mission: of.mission.value.clone(),
                    path: one.path.clone(),
                    from: of.at.value,
                    to: back,
                    recorded: false,
                });
            }
        }
        for (run, path) in &self.runs {
            let mut of_plan = told.goes.iter().filter_map(|(_, run)| *run);
            let of_plan = told.runs.contains(&path.as_str()) || of_plan.any(|run| run == path);
            if boat(&run.vessel) == own && !of_plan && meets(run.launched.value, run.ended.value) {
                out.push(BoatOut {
                    mission: run.mission.value.clone(),
                    path: path.clone(),
                    from: run.launched.value,
                    to: run.ended.value,
                    recorded: true,
                });
            }
        }
        out
    }

    /// Decisions on this launch, and on others of the mission about the same time, in the order in which
    /// they were made.
    pub(super) fn earlier(&self, plan: &Plan, digests: &Digests, at: Timestamp) -> Vec<Earlier> {
        let zone = plan.site.time_zone.as_ref();
        let about = self.decisions.iter().filter(|one| {
            let of = &one.decided;
            let apart = of.at.value.duration_since(at).as_secs().abs();
            of.digest.value == digests.whole
                || (of.mission.value == plan.mission.id.value && apart <= NEAR)
        });
        let told = about.map(|one| {
            let of = &one.decided;
            Earlier {
                path: one.path.clone(),
                sha256: one.sha256.clone(),
                go: of.go,
                at: shown(of.at.value, zone),
                decided: shown(of.decided.value, zone),
                by: of.by.value.clone(),
                reasons: of.reasons.clone(),
                unused: self.unused(one),
            }
        });
        told.collect()
    }
}
