//! Launches decided again: the plan as its commit has it, with what was read at the water, has to come
//! out as a go now as it did then. A decision that was changed before it was committed is found by that
//! alone.

use std::collections::BTreeSet;
use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

use super::decisions::Decisions;
use super::listing::Filter;
use super::log::Log;
use super::records::{Launch, Record, Records, begin};
use crate::check::{Progress, Watch, asked};
use crate::finding::{Finding, FindingBuilder, Nature, Severity};
use crate::git::Git;
use crate::git::revision::Revision;
use crate::launch::wind::wind;
use crate::launch::{
    BatteryRead, Decision, Elsewhere, Readings, launch, read_charge, read_voltage,
};
use crate::plan::decision::Decided;
use crate::source::printable_line;

/// Of which runs the launch is decided again, and who is told how far it has come.
#[derive(Clone, Copy)]
pub struct Again<'a> {
    /// The runs.
    pub of: &'a Filter,
    /// Told of progress.
    pub watch: Option<Watch<'a>>,
}

/// What came out otherwise, or could not be decided again, and how many were decided.
///
/// Runs that have no decision, or no go, are left out: that is told of them anyway.
pub(super) fn findings(
    records: &Records,
    again: Again<'_>,
    (log, git): (&Log, &dyn Git),
) -> (Vec<FindingBuilder>, usize) {
    let decisions = records.decisions();
    let (listed, _) = records.listed(again.of);
    let decided: Vec<(&Record, &Launch)> = listed
        .into_iter()
        .filter_map(|record| {
            let launch = decisions.for_record(record)?;
            launch.decided.go.then_some((record, launch))
        })
        .collect();
    let done = AtomicUsize::new(0);
    let found: Vec<Vec<FindingBuilder>> = decided
        .par_iter()
        .map(|(record, launch)| {
            let found = of_one(&decisions, record, &launch.decided, (log, git));
            if let Some(watch) = again.watch {
                let done = done.fetch_add(1, Ordering::Relaxed) + 1;
                let of = decided.len();
                watch(Progress { done, of });
            }
            found
        })
        .collect();
    (found.into_iter().flatten().collect(), decided.len())
}

fn of_one(
    decisions: &Decisions<'_>,
    record: &Record,
    then: &Decided,
    (log, git): (&Log, &dyn Git),
) -> Vec<FindingBuilder> {
    // What was said of earlier goes until then: not all of it was committed by then.
    let unused = decisions.unused_before(then.decided.value);
    match decision(then, unused, (log, git)) {
        Ok(now) => compared(record, then, &now),
        Err(why) => {
            vec![
            Finding::builder("go-not-judged", Severity::Error, Nature::NotEvaluated)
                .subject(&record.run.id.value)
                .why(
                    "A launch that cannot be judged again rests on the word of whoever wrote the \
                     decision.",
                )
                .message(format!(
                    "the go for `{}` could not be judged again: {why}",
                    record.run.mission.value
                ))
                .primary(then.id.span(), "this decision")
                .related(record.run.id.span(), "the run")
                .remedy("find out what the decision rested on: it names its commit, its readings \
                         and the version that decided"),
        ]
        }
    }
}

/// Decides once more, on what was known then.
fn decision(
    then: &Decided,
    unused_elsewhere: Vec<String>,
    (log, git): (&Log, &dyn Git),
) -> Result<Decision, String> {
    let commit = then
        .commit
        .as_ref()
        .ok_or("the decision names no commit in which the plan stood")?;
    if !log.leads(&commit.value) {
        return Err("the commit that the decision names does not lead to this one".to_owned());
    }
    let typed = &then.readings;
    let battery = typed.battery.as_ref().map(|text| read_voltage(&text.value));
    let charge = typed.charge.as_ref().map(|text| read_charge(&text.value));
    let readings = Readings {
        at: then.at.value,
        clock: then.decided.value,
        computer: then.clock.as_ref().map(|clock| clock.value),
        read: then.read.as_ref().unwrap_or(&then.decided).value,
        by: then.by.value.clone(),
        wind: wind(&typed.wind.value)?,
        battery: BatteryRead {
            resting: battery.transpose()?,
            charge: charge.transpose()?,
        },
        ticked: then.ticked.clone(),
        elsewhere: Elsewhere {
            unused: unused_elsewhere,
            ..Elsewhere::default()
        },
        again: then.again.as_ref().map(|why| why.value.clone()),
        digest: None,
    };
    let revision = Revision::open(git, &commit.value, "").map_err(|error| error.to_string())?;
    let mission = &then.mission.value;
    let found = asked(&revision, mission, None).map_err(|why| why.to_string())?;
    launch(found, &revision, &readings).map_err(|why| why.to_string())
}

fn compared(record: &Record, then: &Decided, now: &Decision) -> Vec<FindingBuilder> {
    let mission = &record.run.mission.value;
    let other = |what: String| {
        let here = env!("CARGO_PKG_VERSION");
        let version = match then.program.value == here {
            true => String::new(),
            false => format!(
                "; the decision says that version {} made it, and this is {here}",
                printable_line(&then.program.value)
            ),
        };
        begin("go-not-borne-out", record)
            .message(format!("{what}{version}"))
            .primary(then.id.span(), "this decision")
            .related(record.run.id.span(), "the run")
            .remedy(
                "find out whether somebody changed the decision before committing it, and who \
                 launched on it",
            )
    };
    let mut found = Vec::new();
    if now.digests.whole != then.digest.value {
        found.push(
            other(format!(
                "the decision on the launch of `{mission}` is about another plan than its commit holds"
            ))
            .related(then.digest.span(), "the plan that was decided on"),
        );
    }
    if !now.go {
        let why: Vec<String> = now
            .reasons
            .iter()
            .map(|reason| format!("{}: {}", reason.rule, reason.says))
            .collect();
        found.push(
            other(format!(
                "the launch of `{mission}` was a go by its decision, but is a no-go when judged \
                 again with its readings: {}",
                why.join("; ")
            ))
            .related(then.readings.wind.span(), "what was read"),
        );
    }
    let left_out = now.unused.iter().find(|(_, digest)| {
        let mut named = then.unused.iter();
        !named.any(|one| one.value == *digest)
    });
    if let Some((path, _)) = left_out {
        found.push(other(format!(
            "the decision on the launch of `{mission}` was made although there was a go, {}, and \
             does not say that the go was not used",
            printable_line(path)
        )));
    }
    let now: BTreeSet<(&str, &str)> = now
        .waived
        .iter()
        .map(|one| (one.rule.as_str(), one.by.as_str()))
        .collect();
    let then_waived: BTreeSet<(&str, &str)> = then
        .waived
        .iter()
        .map(|(rule, by)| (rule.as_str(), by.as_str()))
        .collect();
    if now != then_waived {
        let words = |all: &BTreeSet<(&str, &str)>| match all.is_empty() {
            true => "nothing".to_owned(),
            false => {
                let one = |(rule, by): &(&str, &str)| {
                    format!("{} by {}", printable_line(rule), printable_line(by))
                };
                all.iter().map(one).collect::<Vec<_>>().join(", ")
            }
        };
        found.push(other(format!(
            "the decision waived {} for the launch of `{mission}`; judged again it is {}",
            words(&then_waived),
            words(&now)
        )));
    }
    found
}
