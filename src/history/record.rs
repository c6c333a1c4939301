//! Recording a run that was made.

use jiff::Timestamp;

use super::boats;
use super::doubts::{self, Against, Doubt, Times};
use super::in_git::missing;
use super::records::{NoHistory, Records};
use super::said::Said;
use super::sailed::sailed;
use super::standing::in_commit;
use crate::check::{CheckOptions, Digests, Loaded, NoAnswer, judged};
use crate::finding::PHYSICAL;
use crate::git::Git;
use crate::plan::calendar::shown;
use crate::plan::{Plan, point_in_time};
use crate::rules::EffectivePolicy;
use crate::schema::Stated;
use crate::source::{Tree, printable_line};
use crate::units::{Quantity, Typed as _};
use crate::yaml::{Block, Yaml};

/// The record of a run, made.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Made {
    /// Its id.
    pub id: String,
    /// Its file.
    pub text: String,
    /// Whether the policy of the plan asks that it is signed.
    pub to_be_signed: bool,
    /// Whether the policy asks that the commit that it comes with is signed.
    pub commit_to_be_signed: bool,
    /// What of it is hardly so, or will be named by a verification.
    pub doubts: Vec<Doubt>,
}

impl From<NoHistory> for NoAnswer {
    fn from(error: NoHistory) -> Self {
        Self::Unreadable(error.to_string())
    }
}

/// The record of a run. The plan is read from the commit that it was run from,
/// the records before it from the tree.
///
/// # Errors
/// [`NoAnswer`] where something cannot be read or does not go together: a chain that is broken
/// already, a run that is recorded already, a decision about another plan.
pub(crate) fn record(tree: &dyn Tree, git: &dyn Git, said: &Said) -> Result<Made, NoAnswer> {
    let records = Records::read(tree).map_err(NoHistory::from)?;
    if let Some(problem) = records.problems.first() {
        let at = records.sources.position(problem.span);
        let path = records.sources.path(problem.span.source);
        return Err(NoAnswer::Unreadable(format!(
            "{path}:{}: {}; nothing can follow an unreadable chain",
            at.line, problem.message
        )));
    }
    if let Some(gone) = missing(tree, git)?.first() {
        return Err(NoAnswer::Unreadable(format!(
            "{gone}; nothing can follow a chain that differs from its commit: bring it back with \
             `git checkout HEAD -- FILE`"
        )));
    }
    let found = in_commit(git, &said.commit, &said.mission)?;
    let (plan, policy) = (found.plan, found.policy);
    let signers = signers(&found.loaded, &policy);
    let boat = found.loaded.linked.boat(&plan);
    let outcome = judged(&found.loaded, None, CheckOptions::findings_alone());
    let checked = outcome.checked.first().ok_or_else(|| {
        NoAnswer::Unreadable(format!(
            "`{}` could not be judged in that commit",
            said.mission
        ))
    })?;
    let digests = &checked.digests;
    let decision = decision(&records, said, digests, &plan.mission.id.value)?;
    let (times, recorded) = times(said, &plan, &records, decision)?;
    let launched = times.launched;
    let against = Against {
        plan: &plan,
        policy: &policy,
        checked,
        sources: &outcome.sources,
        decision,
        records: &records,
    };
    let mut doubts = against.decided(launched);
    doubts.extend(against.launched_outside(launched, git, said)?);
    doubts.extend(against.time_out(times, said.outcome)?);
    doubts.extend(doubts::track(
        &said.track,
        times,
        said.outcome,
        plan.site.time_zone.as_ref(),
    )?);
    if let Some(energy) = said.energy {
        doubts.extend(against.energy(energy, said.outcome)?);
    }
    doubts.extend(against.recorded_by(&said.by, &signers)?);
    let of_plan = |record: &&super::Record| record.run.digest.value == digests.whole;
    let mut runs = records.records.iter().filter(of_plan);
    let before = runs.clone().next();
    let again = runs.find(|record| record.run.launched.value == launched);
    if let Some(again) = again {
        return Err(NoAnswer::BadRequest(format!(
            "this run is already recorded, in {}",
            printable_line(&again.path)
        )));
    }
    doubts.extend(before.map(|before| against.run_before(before)));
    let boats = boats::for_records(&records, git).map_err(NoHistory::from)?;
    doubts.extend(against.out_at_once(times, &boat, &boats));
    if let Some(last) = records.records.last()
        && last.run.recorded.value > recorded
    {
        let zone = plan.site.time_zone.as_ref();
        return Err(NoAnswer::BadRequest(format!(
            "the record before this one, {}, was recorded later, at {}, and this one at {}; check \
             the clock and `--at`. You may remove a wrong record that is not committed yet, and \
             make it again",
            printable_line(&last.path),
            shown(last.run.recorded.value, zone),
            shown(recorded, zone)
        )));
    }
    let short: String = plan.mission.id.value.chars().take(40).collect();
    let at = jiff::tz::TimeZone::UTC.to_datetime(launched);
    let id = format!("{short}-{}", at.strftime("%Y%m%dT%H%M%SZ"));
    let mut file = Block::new();
    file.comment(
        "A plan that was run, as `offing record` recorded it. Do not change it: the next record holds\n\
         its digest.",
    )
    .comment(&PHYSICAL.join("\n"))
    .word("kind", "run")
    .field("format", Yaml::Whole(1))
    .text("id", &id)
    .text("mission", &plan.mission.id.value)
    .text("vessel", &plan.vessel.id.value)
    .text("policy", &policy.policy)
    .text("program", env!("CARGO_PKG_VERSION"))
    .text("commit", &said.commit)
    .text("digest", &digests.whole)
    .field("inputs", digests.in_yaml());
    if let Some(launch) = decision {
        let of = vec![
            ("path", Yaml::text(records.sources.path(launch.source))),
            ("sha256", Yaml::text(&launch.sha256)),
            ("go", Yaml::Truth(launch.decided.go)),
        ];
        file.field("decision", Yaml::Inline(of));
    }
    let waived = decision.map_or(&[][..], |launch| &launch.decided.waived);
    let waived = waived
        .iter()
        .map(|(rule, by)| Yaml::Inline(vec![("rule", Yaml::text(rule)), ("by", Yaml::text(by))]));
    file.field("waived", Yaml::List(waived.collect()))
        .text("launched", &launched.to_string())
        .text("ended", &times.ended.to_string())
        .text("recorded", &recorded.to_string())
        .text("by", &said.by);
    if let Some(team) = &plan.mission.people.team {
        let also = |who: &Option<Stated<String>>| who.as_ref().map(|who| Yaml::text(&who.value));
        let mut roles = Block::new();
        roles
            .text("person_in_charge", &team.person_in_charge.value)
            .text("remote_operator", &team.remote_operator.value)
            .optional("lookout", also(&team.lookout))
            .optional("recovery_crew", also(&team.recovery_crew));
        file.field("roles", Yaml::Block(roles));
    }
    let track = said.track.read.as_ref().ok();
    let length = track.and_then(|track| sailed(track, launched, times.ended));
    let energy = said.energy.map(|energy| energy.quantity().exact());
    let length = length.map(|length| length.quantity().to_string());
    file.word("outcome", said.outcome.word())
        .field("near_misses", Yaml::texts(&said.near_misses))
        .optional("conditions", said.conditions.as_deref().map(Yaml::text))
        .optional("energy", energy.as_deref().map(Yaml::text))
        .optional("sailed", length.as_deref().map(Yaml::text));
    let figure = |name: &str| -> Option<Quantity> {
        let mut all = checked.figures.iter();
        all.find(|(known, _)| *known == name)
            .map(|(_, value)| *value)
    };
    let planned = [
        ("length", "length"),
        ("duration", "duration"),
        ("energy", "energy"),
        ("usable", "usable_energy"),
    ];
    let planned: Vec<(&str, Yaml)> = planned
        .into_iter()
        .filter_map(|(key, name)| Some((key, Yaml::text(&figure(name)?.to_string()))))
        .collect();
    if !planned.is_empty() {
        file.field("planned", Yaml::Inline(planned));
    }
    let track = vec![
        ("sha256", Yaml::text(&said.track.sha256)),
        ("kept", Yaml::text(&said.track.kept)),
    ];
    file.field("track", Yaml::Inline(track))
        .field("previous", Yaml::texts(&records.heads()));
    let approvals = policy.approvals.as_ref();
    Ok(Made {
        id,
        text: file.to_text(),
        to_be_signed: approvals.is_some_and(|one| one.signed_records.is_some()),
        commit_to_be_signed: approvals.is_some_and(|one| one.signed_commits.is_some()),
        doubts,
    })
}

/// Longest after the end of a run that a record may be ahead of the clock, s: thirty days. P.
const LATEST: i64 = 30 * 24 * 3600;

/// When the run was and when it is recorded, each with its offset or in the site's time zone.
fn times(
    said: &Said,
    plan: &Plan,
    records: &Records,
    decision: Option<&super::records::Launch>,
) -> Result<(Times, Timestamp), NoAnswer> {
    let zone = plan.site.time_zone.as_ref();
    let read = |option: &str, text: &str| {
        point_in_time(text, zone).map_err(|why| NoAnswer::BadRequest(format!("--{option}: {why}")))
    };
    let (launched, by) = match (&said.launched, decision) {
        (Some(text), _) => (read("launched", text)?, "`--launched`".to_owned()),
        (None, Some(launch)) => {
            let at = records.sources.position(launch.decided.at.span());
            let path = printable_line(records.sources.path(launch.source));
            (launch.decided.at.value, format!("{path}:{}", at.line))
        }
        (None, None) => {
            let text = "there is no decision on this launch, so state its time: `--launched`";
            return Err(NoAnswer::BadRequest(text.to_owned()));
        }
    };
    let ended = read("ended", &said.ended)?;
    let at = |time: Timestamp| shown(time, zone);
    if ended < launched {
        return Err(NoAnswer::BadRequest(format!(
            "--ended: the boat was back at {}, before it was launched, at {} by {by}",
            at(ended),
            at(launched)
        )));
    }
    let (recorded, by) = match &said.recorded {
        Some(text) => (read("at", text)?, "`--at`"),
        None => (said.clock, "this computer's clock"),
    };
    if recorded < ended {
        return Err(NoAnswer::BadRequest(format!(
            "--ended: the boat was back at {}, after this is recorded, at {} by {by}",
            at(ended),
            at(recorded)
        )));
    }
    // No record could be made after one from the future until that has come.
    if recorded > said.clock && recorded.duration_since(ended).as_secs() > LATEST {
        return Err(NoAnswer::BadRequest(format!(
            "--at: {} is ahead of this computer's clock, and more than thirty days after the boat was back, at \
             {}; look at the year",
            at(recorded),
            at(ended)
        )));
    }
    Ok((Times { launched, ended }, recorded))
}

/// Who may sign by the policy: the names of its signers.
fn signers(loaded: &Loaded, policy: &EffectivePolicy) -> Vec<String> {
    let approvals = policy.approvals.as_ref();
    let signers = approvals.and_then(|one| loaded.accepting.signers.get(&one.policy));
    let text = signers.and_then(|signers| signers.file.as_deref().ok());
    let lines = text.unwrap_or("").lines().map(str::trim);
    let lines = lines.filter(|line| !line.is_empty() && !line.starts_with('#'));
    let principals = lines.filter_map(|line| line.split_whitespace().next());
    principals
        .flat_map(|names| names.split(','))
        .map(str::to_owned)
        .collect()
}

/// The decision on the launch: the one that is named, else the last go about this plan.
fn decision<'a>(
    records: &'a Records,
    said: &Said,
    digests: &Digests,
    mission: &str,
) -> Result<Option<&'a super::records::Launch>, NoAnswer> {
    if let Some(id) = &said.decision {
        let named = records
            .launches
            .iter()
            .find(|one| one.decided.id.value == *id);
        let Some(launch) = named else {
            return Err(NoAnswer::BadRequest(format!("there is no decision `{id}`")));
        };
        if launch.decided.digest.value != digests.whole {
            return Err(NoAnswer::BadRequest(format!(
                "decision `{id}` is about another plan than the commit holds; name the commit that was run \
                 with `--commit`"
            )));
        }
        return Ok(Some(launch));
    }
    let of_plan = |one: &&super::records::Launch| one.decided.digest.value == digests.whole;
    let mut about: Vec<&super::records::Launch> = records.launches.iter().filter(of_plan).collect();
    let decisions = records.decisions();
    about.sort_by_key(|one| {
        let used = decisions.unused(one).is_none();
        (one.decided.go && used, one.decided.go, one.decided.at.value)
    });
    if about.is_empty() {
        let mut others = records
            .launches
            .iter()
            .filter(|one| one.decided.mission.value == mission && one.decided.go);
        if let Some(other) = others.next_back() {
            let commit = other.decided.commit.as_ref();
            let commit = commit.map_or_else(String::new, |commit| format!(" {}", commit.value));
            return Err(NoAnswer::BadRequest(format!(
                "the launch of `{mission}` was decided by `{}` on another plan than the commit holds; name \
                 the commit that was run with `--commit{commit}`",
                other.decided.id.value
            )));
        }
    }
    Ok(about.pop())
}
