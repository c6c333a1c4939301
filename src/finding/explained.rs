//! What is reported under a name that is no rule's: errors of the input, changes that let more pass, what
//! keeps a boat ashore at a launch, breaks of a history. Each of them can be asked about.

/// Something that is reported under a name of its own.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Explained {
    /// Its name.
    pub id: &'static str,
    /// Which commands tell it.
    pub told_by: &'static str,
    /// What it says.
    pub says: &'static str,
    /// What to do.
    pub remedy: &'static str,
    /// What it is about, where a report goes by it.
    pub concern: Concern,
}

/// What something that is reported is about.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Concern {
    /// A record of the history itself: its bytes, its place in the chain, its signature.
    Record,
    /// A launch that is decided again.
    DecidedAgain,
    /// Anything else.
    Other,
}

const INPUT: &str = "every command that reads files";
const CHECK: &str = "`offing check`";
const REVIEW: &str = "`offing review`";
const LAUNCH: &str = "`offing launch`";
const RECORD: &str = "`offing record`";
const VERIFY: &str = "`offing history verify`";
const JUDGE: &str = "`offing history verify --judge`";
const BOTH: &str = "`offing history verify` and, ahead of it, `offing record`";

/// One of them.
const fn entry(
    told_by: &'static str,
    id: &'static str,
    says: &'static str,
    remedy: &'static str,
) -> Explained {
    Explained {
        id,
        told_by,
        says,
        remedy,
        concern: Concern::Other,
    }
}

impl Explained {
    /// The same, about a record.
    const fn of_record(self) -> Self {
        let concern = Concern::Record;
        Self { concern, ..self }
    }

    /// The same, about a launch that is decided again.
    const fn of_a_launch_again(self) -> Self {
        let concern = Concern::DecidedAgain;
        Self { concern, ..self }
    }
}

/// All of them, by who tells them.
#[rustfmt::skip]
pub const EXPLAINED: &[Explained] = &[
    entry(INPUT, "input-syntax", "A file is not readable YAML; nothing in it was checked.",
        "fix the named line"),
    entry(INPUT, "input-schema", "A field is unknown, missing or of the wrong form.",
        "write what fits: `offing schema KIND` prints it"),
    entry(INPUT, "input-gap", "A field has no value where one is due.",
        "fill it in; if it may be left out, remove its line"),
    entry(INPUT, "input-unreadable", "A file could not be read at all, because of its bytes, its \
                                     size or its permissions.",
        "fix it, or remove it"),
    entry(INPUT, "input-policy", "A policy sets something that it may not, or the files do not show \
                                 which policy applies.",
        "fix the policy, or name one in the mission"),
    entry(INPUT, "input-value", "A value cannot be right: its unit, its range or its meaning.",
        "write the value as measured, with its unit"),
    entry(INPUT, "input-reference", "A file names something that does not exist, or that exists \
                                    twice.",
        "name what is there, or add it"),
    entry(INPUT, "input-rule", "A rule file has errors, so its rule is not judged as intended.",
        "fix the rule file"),
    entry(INPUT, "input-geodata", "A shoreline, a sounding or an area is not usable.",
        "fix the geodata file"),
    entry(CHECK, "policy-loosens", "A policy is less strict than the one that it extends allows.",
        "make it as strict, or change the extended policy in a separate change"),
    entry(CHECK, "policy-reason", "A policy is less strict and does not say why.",
        "give the reason"),
    entry(CHECK, "policy-bypassed",
        "A mission names a policy less strict than one that judges every mission.",
        "name the policy that judges every mission, or make the other as strict"),
    entry(CHECK, "waiver-unknown", "A waiver names a rule that does not exist.",
        "name a rule as `offing rules` lists it, or remove the waiver"),
    entry("`offing check`, and `offing history verify` for what was run", "waiver-not-permitted",
        "A waiver that the policy does not allow, which waives nothing.",
        "have it approved by a role that may, or change the plan"),
    entry(CHECK, "waiver-expired", "A waiver whose last day is over before the launch, or not yet begun.",
        "have it reviewed again, or change the plan"),
    entry(CHECK, "waiver-broad", "A waiver that accepts more than one finding as somebody saw it.",
        "write one waiver for each finding, for a time that the policy allows"),
    entry(CHECK, "waiver-unused", "A waiver of a finding that does not exist.",
        "take it away"),
    entry(CHECK, "approval-invalid", "A signature next to a mission that is not valid for it as it \
                                     is.",
        "have the plan signed as it is now, or remove the signature"),
    entry(CHECK, "baseline-fixed", "A finding in the baseline that no longer exists and can be \
                                   pruned.",
        "`offing baseline --prune`"),
    entry(CHECK, "baseline-overdue",
        "A mission's launch is after the baseline's review date.",
        "fix the mission's findings in the baseline, or review it"),
    entry(REVIEW, "policy-removed", "A change removes a policy, or makes it unreadable.",
        "bring it back, or agree on it in a separate change"),
    entry(REVIEW, "policy-weakened", "A change makes a policy less strict, or replaces it with a \
                                     less strict one.",
        "make it as strict as before, or agree on it in a separate change"),
    entry(REVIEW, "words-changed",
        "A change rewords a required checklist item, or removes its text.",
        "read both, and agree on it in a separate change"),
    entry(REVIEW, "policy-exchanged", "A change puts a mission under another policy.",
        "leave it under its old policy, or agree on it in a separate change"),
    entry(REVIEW, "vessel-without-evidence",
        "A change replaces a figure of a vessel, and names no run or test behind it.",
        "state its source: a calibration, the trial's evidence, the day of the capacity test"),
    entry(REVIEW, "vessel-copied", "A change adds a boat under a new id that copies an earlier one \
                                   except for some figures.",
        "keep the id, or say in the change how you measured each figure that differs"),
    entry(REVIEW, "boat-changed", "A vessel file names another boat than before, or no longer names \
                                  one.",
        "keep the boat as it was, or say in the change which hull it is and how you know"),
    entry(REVIEW, "site-copied", "A change adds a site under a new id that copies an earlier one \
                                 except for some values.",
        "keep the id, or say in the change how you measured each value that differs"),
    entry(REVIEW, "waiver-added", "A change adds a waiver to a mission, or lets one accept more.",
        "change the plan, or have somebody entitled review the waiver"),
    entry(REVIEW, "baseline-widened", "A change adds to the baseline, or postpones its review.",
        "fix the findings"),
    entry(REVIEW, "signers-changed", "A change lets other keys sign than before.",
        "check that each key belongs to whom it names"),
    entry(REVIEW, "no-longer-checked", "A change removes a mission from the check.",
        "bring it back, or make sure that nobody wants it"),
    entry(LAUNCH, "launch-time",
        "The launch is outside the reviewed time: the planned one and its `delay`.",
        "wait for that time, or give `launch` a `delay` or another `time` and have it reviewed"),
    entry(LAUNCH, "launch-past",
        "The stated launch time is more than an hour ago.",
        "decide before the launch; set the clock, or leave `--at` out"),
    entry("`offing check` of everything, and `offing launch`", "boat-out-twice",
        "One boat, under one name or several, is out in two missions at one time; at a launch, a go or a run of \
         another plan has it out.",
        "launch one after the other has brought the boat back; at a launch, record the other run, or say \
         that it was not run"),
    entry(LAUNCH, "launch-ahead",
        "The stated launch time is more than an hour ahead: nobody knows yet what the boat will \
         meet.",
        "decide when the launch is near; if the computer's clock is wrong, set it, or give the \
         time with `--now`"),
    entry(LAUNCH, "readings-old", "The wind or the battery was read more than an hour before the launch.",
        "read them again"),
    entry(LAUNCH, "changed-meanwhile",
        "A file or the checked-out commit changed while somebody answered the questions.",
        "decide again"),
    entry(LAUNCH, "not-reviewed",
        "The commit is not in the branch from which the policy, or a remote's version of it, \
         requires launch decisions, or this clone has no such branch.",
        "check out what was reviewed; or have it reviewed, fetch the branch, and decide again"),
    entry(LAUNCH, "not-in-charge", "The person who decides is not the plan's person in charge.",
        "have the person in charge decide, or have a plan reviewed that names another"),
    entry(LAUNCH, "item-open",
        "Nobody ticked an item of the checklist at the water.",
        "do it, and tick it with `--ticked`"),
    entry(LAUNCH, "approval-missing", "A role whose signature the policy needs has not signed the plan as it is.",
        "have it signed: `offing digest` prints what is signed"),
    entry(LAUNCH, "another-plan",
        "The digest read off paper, or off the boat, is not that of the plan here.",
        "find out which plan is loaded; load the approved one, or print its page again"),
    entry(LAUNCH, "launched-before",
        "This plan, or another version of it for the same launch, already has a go, or a recorded \
         run. One approval covers one run.",
        "if the boat stayed ashore after that go, say why with `--again \"…\"`, and decide again; \
         if it was run, record it with `offing record`, and have another plan reviewed for another \
         run"),
    entry(LAUNCH, "not-committed",
        "A file of the plan, or one that judges it, differs from git; a recorded decision differs \
         from its commit; git does not answer; or there is no repository.",
        "commit it, or undo the change; outside git, if intended, use `--without-git`"),
    entry("`offing launch`, `offing export`", "in-doubt",
        "A policy or a rule file has errors, so the plan was not judged as intended.",
        "fix what `offing check` reports for these files"),
    entry(RECORD, "energy-beyond-usable",
        "The run took more than the pack's usable energy by the vessel's file.",
        "check the reading; if it is right, test the pack, and review its usable fraction before \
         the next run"),
    entry(RECORD, "energy-little",
        "A completed run took less than a quarter of the planned energy.",
        "check the reading: its unit, and whether the counter was zeroed before the launch"),
    entry(RECORD, "back-early", "A completed run took less than half of the planned time.",
        "check the times, and whether the boat completed the run"),
    entry(RECORD, "back-late", "The boat was out for much longer than planned.",
        "check the times; if they are right, say in `--near-miss` what delayed it"),
    entry(RECORD, "launched-outside",
        "The boat was launched outside the reviewed or decided time, or at a time when the \
         forecast, a permission or the daylight did not hold.",
        "check the times; if they are right, find out why it was launched then"),
    entry(RECORD, "track-unreadable", "The track of a boat that was fetched or lost cannot be read.",
        "give a readable one if there is one, such as the shore station's"),
    entry(RECORD, "track-apart", "No fix of the track lies between the launch and the end of the run.",
        "check the times and the file: it may be another run's"),
    entry(RECORD, "recorded-by-unknown", "Neither the mission nor its policy names any role, so \
                                         nobody can be named as the recorder.",
        "name the team in the mission"),
    entry(VERIFY, "record-unlinked",
        "A record follows one that is missing or has other bytes, or is not part of the chain.",
        "bring back the record as it was recorded: git has it").of_record(),
    entry("`offing history verify` and `offing review`", "record-altered",
        "A record or a decision is not as it was made or committed.", "bring it back: git has it").of_record(),
    entry(VERIFY, "record-inserted",
        "A record was committed after another that follows the same one: it was inserted \
         afterwards, or its branch was rebased or squashed.",
        "find out when it was recorded; merge a branch that recorded something, never rebase \
         it").of_record(),
    entry(VERIFY, "seal-broken",
        "A record or a decision differs from the one that a seal names, or another number of \
         records leads to the seal.",
        "bring it back as it was sealed: git has it, or whoever else has the seal"),
    entry(VERIFY, "seal-unsigned",
        "A tag claims to be a seal, but has no valid signature of a named signer.",
        "ask whoever made it for theirs; remove a tag that nobody stands for"),
    entry(VERIFY, "decided-early",
        "The decision on the launch was made more than an hour before it.",
        "decide when the launch is near"),
    entry("`offing history verify` and `offing review`", "record-removed",
        "A record or a decision was removed.", "bring it back: git has it").of_record(),
    entry(VERIFY, "record-back-dated",
        "A record says that it was made before the one that it follows, or before the boat was back.",
        "find out which of the two was changed").of_record(),
    entry(VERIFY, "record-twice",
        "One run is recorded twice, two records have one name, or rest on one decision.",
        "find out which of the two was recorded at the water").of_record(),
    entry(BOTH, "run-twice", "A plan was run twice. One approval covers one run.",
        "find out who launched it again; another run needs a plan of its own, reviewed for its own time"),
    entry(BOTH, "runs-overlap", "By two records one boat was out twice at the same time.",
        "find out which of the two is right"),
    entry(VERIFY, "input-differs",
        "The commit does not hold the plan with the recorded bytes, or another policy judges \
         there.",
        "find out which plan was loaded into the boat"),
    entry(VERIFY, "commit-missing", "The commit that was run does not lead to the one that is checked out.",
        "bring back the branch that holds it"),
    entry(BOTH, "decision-differs",
        "The decision on the launch is gone, has other bytes, or is about another plan, mission, policy or time.",
        "bring back the decision as it was recorded, and decide on every launch separately"),
    entry(BOTH, "decided-afterwards", "The decision on the launch was made more than an hour after it.",
        "decide before the launch; mention a wrong clock in the record's conditions"),
    entry(BOTH, "run-undecided", "A plan was run without a decision on its launch.",
        "decide with `offing launch` before a boat is launched; a run without one stays on record as that"),
    entry(BOTH, "run-against-decision", "A plan was run although the decision on its launch was a \
                                        no-go.",
        "find out who launched it, and why; it stays on record as that"),
    entry(BOTH, "run-unused-go",
        "A run rests on a go that a later decision says was not used.",
        "find out which of the two is true; it stays on record as that"),
    entry(JUDGE, "go-not-borne-out",
        "A launch that was a go comes out as a no-go, with other waivers or for another plan, when \
         decided again with the same readings.",
        "find out whether somebody changed the decision before committing it, and who launched on \
         it").of_a_launch_again(),
    entry(JUDGE, "go-not-judged",
        "A launch that was a go could not be decided again, since its commit or a reading is missing.",
        "judge it with the version that decided, which the decision names under `program`").of_a_launch_again(),
    entry(VERIFY, "record-unsigned",
        "The policy requires a signed record, and there is no valid signature of the role that \
         recorded it.",
        "have it signed: `offing record` says how").of_record(),
    entry(VERIFY, "commit-unsigned",
        "The policy requires signed commits, and that of a record is unsigned, or signed by \
         somebody whom the signers do not name.",
        "have commits signed by a key of the signers"),
];

/// What something is about, by its name.
#[must_use]
pub(crate) fn concern(id: &str) -> Concern {
    let one = EXPLAINED.iter().find(|one| one.id == id);
    one.map_or(Concern::Other, |one| one.concern)
}

/// What something is, by its name; `None` where nothing is reported under it.
#[must_use]
pub fn explained(id: &str) -> Option<String> {
    let one = EXPLAINED.iter().find(|one| one.id == id)?;
    let kind = if one.told_by == INPUT {
        "an error of the input"
    } else {
        "no rule of a policy"
    };
    let stop = if one.remedy.ends_with(['.', '?']) {
        ""
    } else {
        "."
    };
    Some(format!(
        "{id}: {kind}, reported by {}\n\nWhat it means\n  {}\n  No policy can switch it \
         off.\n\nWhat to do\n  {}{stop}\n",
        one.told_by,
        one.says,
        super::capitalised(one.remedy)
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_to_do_is_told_in_whole_sentences() {
        for one in EXPLAINED {
            let text = explained(one.id).unwrap();
            let (_, sentences) = text.split_once("\nWhat to do\n  ").unwrap();
            let first = sentences.chars().next().unwrap();
            assert!(!first.is_lowercase(), "{}: {sentences}", one.id);
            let ends = sentences.trim_end_matches('\n').ends_with(['.', '?']);
            assert!(ends && !sentences.contains(".."), "{}: {sentences}", one.id);
        }
    }
}
