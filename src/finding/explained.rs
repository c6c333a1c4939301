//! What is told under a name that is no rule's: errors of the input, changes that let more pass, what
//! keeps a boat ashore at a launch, breaks of a history. Each of them can be asked about.

/// Something that is told under a name of its own.
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

/// What something that is told is about.
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
const fn told(
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
    told(INPUT, "input-syntax", "A file is not YAML that can be read; nothing in it was looked at.",
        "mend the line that is named"),
    told(INPUT, "input-schema", "A field is unknown, missing or of the wrong form.",
        "write what fits: `offing schema KIND` prints it"),
    told(INPUT, "input-unreadable", "A file could not be read at all: its bytes, its size or its rights.",
        "put it right, or take it away"),
    told(INPUT, "input-policy", "A policy sets what it cannot, or which policy applies cannot be told.",
        "mend the policy, or name one in the mission"),
    told(INPUT, "input-value", "A value cannot be what it says: its unit, its range, its meaning.",
        "write the value as it was measured, with its unit"),
    told(INPUT, "input-reference", "A file names something that is not there, or that is there twice.",
        "name what is there, or add it"),
    told(INPUT, "input-rule", "A rule file is not in order; its rule is not judged as it was meant.",
        "mend the rule file"),
    told(INPUT, "input-geodata", "A shoreline, a sounding or an area is not one that can be used.",
        "mend the file of geodata"),
    told(CHECK, "policy-loosens", "A policy asks for less than the one above it lets it.",
        "ask for as much, or change the policy above in a change of its own"),
    told(CHECK, "policy-reason", "A policy asks for less and does not say why.",
        "give the reason"),
    told(CHECK, "policy-bypassed",
        "A mission names a policy that asks for less than one that judges every mission.",
        "name the policy that judges every mission, or make the other as strict"),
    told(CHECK, "waiver-unknown", "A waiver names a rule that is not there.",
        "name a rule as `offing rules` lists it, or take the waiver away"),
    told("`offing check`, and `offing history verify` for what was run", "waiver-not-permitted",
        "A waiver that the policy does not allow, which waives nothing.",
        "have it approved by a role that may, or change the plan"),
    told(CHECK, "waiver-expired", "A waiver whose last day is over before the launch, or not yet begun.",
        "have it looked at anew, or change the plan"),
    told(CHECK, "waiver-broad", "A waiver that accepts more than one finding as it was seen.",
        "write one waiver for each finding, for a time that the policy allows"),
    told(CHECK, "waiver-unused", "A waiver of something that is not found.",
        "take it away"),
    told(CHECK, "approval-invalid", "A signature beside a mission that is not good for it as it is.",
        "have the plan signed as it is now, or take the signature away"),
    told(CHECK, "baseline-fixed", "A finding of the baseline that is gone and can be pruned.",
        "`offing baseline --prune`"),
    told(CHECK, "baseline-overdue",
        "A mission is launched after the day by which the baseline was to be reviewed.",
        "mend what the baseline has of it, or review it"),
    told(REVIEW, "policy-removed", "A change takes a policy away, or makes it unreadable.",
        "bring it back, or agree on it in a change of its own"),
    told(REVIEW, "policy-weakened", "A change makes a policy ask for less than it did, or puts a laxer one in its place.",
        "ask for as much as before, or agree on it in a change of its own"),
    told(REVIEW, "words-changed",
        "A change gives an item that a policy demands on the checklist other words, or takes them away.",
        "read both, and agree on it in a change of its own"),
    told(REVIEW, "policy-exchanged", "A change puts a mission under another policy.",
        "leave it under the one that it had, or agree on it in a change of its own"),
    told(REVIEW, "vessel-without-evidence",
        "A change exchanges a figure of a vessel, and says of no run or test that told it.",
        "say where it is from: a calibration, the trial's evidence, the day of the capacity test"),
    told(REVIEW, "vessel-copied", "A change brings a boat in under a new id that is one of before but for some figures.",
        "keep the id, or say in the change how each figure that differs was measured"),
    told(REVIEW, "boat-changed", "A vessel is said to be another boat than before, or no longer said to be one.",
        "keep the boat as it was, or say in the change which hull it is and how that is known"),
    told(REVIEW, "site-copied", "A change brings a water in under a new id that is one of before but for some values.",
        "keep the id, or say in the change how each value that differs was measured"),
    told(REVIEW, "waiver-added", "A change adds a waiver to a mission, or lets one accept more.",
        "change the plan, or have the waiver looked at by who may"),
    told(REVIEW, "baseline-widened", "A change adds to the baseline, or puts off its review.",
        "mend what was found"),
    told(REVIEW, "signers-changed", "A change lets other keys sign than did before.",
        "see that each key is whose it is said to be"),
    told(REVIEW, "no-longer-checked", "A change takes a mission out of what is checked.",
        "bring it back, or make sure that it is not wanted"),
    told(LAUNCH, "launch-time",
        "The launch lies outside the time that was reviewed: the planned one and its `delay`.",
        "wait for that time, or give `launch` a `delay` or another `time` and have it reviewed"),
    told(LAUNCH, "launch-past",
        "The launch is given for a time more than an hour before now.",
        "decide before a boat is launched; set the clock, or leave `--at` out"),
    told("`offing check` of everything, and `offing launch`", "boat-out-twice",
        "One boat, under one name or several, is out in two missions at one time; at a launch, a go or a run of \
         another plan has it out.",
        "launch the one when the other has the boat back; at a launch, record the other run, or say that it was not \
         run"),
    told(LAUNCH, "launch-ahead",
        "The launch is given for a time more than an hour after now: nobody knows yet what the boat meets.",
        "decide when the launch is at hand; where the computer's clock is wrong, set it, or say the time with `--now`"),
    told(LAUNCH, "readings-old", "The wind or the battery was read more than an hour before the launch.",
        "read them again"),
    told(LAUNCH, "changed-meanwhile",
        "A file or the commit that is checked out changed while the questions of the decision were answered.",
        "decide again"),
    told(LAUNCH, "not-reviewed",
        "The commit is not in the branch that the policy, or a remote's version of it, has launches decided from, or \
         this clone has no such branch.",
        "check out what was reviewed; or have it reviewed, fetch the branch, and decide again"),
    told(LAUNCH, "not-in-charge", "Who decides is not the person in charge that the plan names.",
        "have the person in charge decide, or have a plan reviewed that names another"),
    told(LAUNCH, "item-open",
        "An item that the policy demands on the checklist was not ticked at the water.",
        "see to it, and tick it with `--ticked`"),
    told(LAUNCH, "approval-missing", "A role whose signature the policy needs has not signed the plan as it is.",
        "have it signed: `offing digest` prints what is signed"),
    told(LAUNCH, "another-plan",
        "The digest that was read off paper, or off the boat, is not that of the plan here.",
        "find out which plan is loaded; load the approved one, or print its page anew"),
    told(LAUNCH, "launched-before",
        "This plan, or another version of it for the same launch, was decided to go already, or is recorded as \
         run. What was approved once is not run twice.",
        "where the boat stayed ashore after that go, say why with `--again \"…\"`, and decide anew; where it was \
         run, record it with `offing record`, and have another plan reviewed for another run"),
    told(LAUNCH, "not-committed",
        "A file that the plan is made of or judged by is not in git as it lies there, a decision that was recorded \
         is not here as it is committed, git cannot be asked, or there is no repository.",
        "commit it, or take the change back; outside git, and where that is meant, `--without-git`"),
    told("`offing launch`, `offing export`", "in-doubt",
        "A policy or a rule file has errors, so that the plan was not judged as was meant.",
        "mend what `offing check` tells of these files"),
    told(RECORD, "energy-beyond-usable",
        "The run took more energy than may be used of the pack as the vessel's file has it.",
        "look at the reading; where it is right, test the pack, and look at its usable share before the next run"),
    told(RECORD, "energy-little",
        "A run that was completed took less than a quarter of the energy that was planned.",
        "look at the reading: its unit, and whether the counter was set to nothing before the launch"),
    told(RECORD, "back-early", "A run that was completed took less than half of the time that was planned.",
        "look at the times, and at whether it was completed"),
    told(RECORD, "back-late", "The boat was out for much longer than was planned.",
        "look at the times; where they are right, say in `--near-miss` what kept it"),
    told(RECORD, "launched-outside",
        "The boat was launched outside the time that was reviewed or decided on, or what the plan rests on did not \
         hold then: the forecast, a permission, the light.",
        "look at the times; where they are right, find out why it was launched then"),
    told(RECORD, "track-unreadable", "The track of a boat that was fetched or lost cannot be read.",
        "give one that can be, of the shore station for instance, where there is one"),
    told(RECORD, "track-apart", "No fix of the track lies between the launch and the end of the run.",
        "look at the times and at the file: it may be another run's"),
    told(RECORD, "recorded-by-unknown", "Neither the mission nor its policy names any role, and so not who recorded.",
        "name the team in the mission"),
    told(VERIFY, "record-unlinked",
        "A record follows one that is not here with those bytes, or is no part of the chain.",
        "bring back the record as it was recorded: git has it").of_record(),
    told("`offing history verify` and `offing review`", "record-altered",
        "A record or a decision is not as it was made or committed.", "bring it back: git has it").of_record(),
    told(VERIFY, "record-inserted",
        "A record was committed where another one was already that follows the same one, and does not follow it: it \
         was put in afterwards, or its branch was rebased or squashed.",
        "find out when it was recorded; merge a branch that recorded something, and do not rebase it").of_record(),
    told(VERIFY, "seal-broken",
        "A record or a decision is not here as a seal names it, or another number of records leads to its end.",
        "bring it back as it was sealed: git has it, or whoever else has the seal"),
    told(VERIFY, "seal-unsigned",
        "A tag says that it is a seal, and has no good signature of anybody whom the signers name.",
        "ask whoever made it for theirs; take a tag away that nobody stands for"),
    told(VERIFY, "decided-early",
        "The decision on the launch was made more than an hour before it.",
        "decide when the launch is at hand"),
    told("`offing history verify` and `offing review`", "record-removed",
        "A record or a decision was taken away.", "bring it back: git has it").of_record(),
    told(VERIFY, "record-back-dated",
        "A record says that it was made before the one that it follows, or before the boat was back.",
        "find out which of the two was changed").of_record(),
    told(VERIFY, "record-twice",
        "One run is recorded twice, two records have one name, or rest on one decision.",
        "find out which of the two was recorded at the water").of_record(),
    told(BOTH, "run-twice", "A plan was run that had been run before. What was approved once is not run twice.",
        "find out who launched it again; another run needs a plan of its own, reviewed for its own time"),
    told(BOTH, "runs-overlap", "By two records one boat was out twice at the same time.",
        "find out which of the two was as recorded"),
    told(VERIFY, "input-differs",
        "The commit does not hold the plan with the bytes that were recorded, or another policy judges there.",
        "find out which plan was loaded into the boat"),
    told(VERIFY, "commit-missing", "The commit that was run does not lead to the one that is checked out.",
        "bring back the branch that holds it"),
    told(BOTH, "decision-differs",
        "The decision on the launch is gone, has other bytes, or is about another plan, mission, policy or time.",
        "bring back the decision as it was recorded, and decide on every launch by itself"),
    told(BOTH, "decided-afterwards", "The decision on the launch was made more than an hour after it.",
        "decide before a boat is launched; a clock that was off is told in the record's conditions"),
    told(BOTH, "run-undecided", "A plan was run without a decision on its launch.",
        "decide with `offing launch` before a boat is launched; a run without one stays on record as that"),
    told(BOTH, "run-against-decision", "A plan was run, and its launch was decided to be a no-go.",
        "find out who launched it, and why; it stays on record as that"),
    told(BOTH, "run-unused-go",
        "A run rests on a go of which a later decision says that it was not used.",
        "find out which of the two is true; it stays on record as that"),
    told(JUDGE, "go-not-borne-out",
        "A launch that was a go comes out as a no-go, with other waivers or for another plan, when it is decided \
         again with what was read.",
        "find out whether the decision was changed before it was committed, and who launched on it").of_a_launch_again(),
    told(JUDGE, "go-not-judged",
        "A launch that was a go could not be decided again, since its commit or a reading is missing.",
        "judge it with the version that decided, which the decision names under `program`").of_a_launch_again(),
    told(VERIFY, "record-unsigned",
        "The policy asks that a record is signed, and there is no good signature of the role that recorded it.",
        "have it signed: `offing record` says how").of_record(),
    told(VERIFY, "commit-unsigned",
        "The policy asks that commits are signed, and one of a record is not, or by somebody whom the signers do \
         not name.",
        "have commits signed by a key of the signers"),
];

/// What something is about, by its name.
#[must_use]
pub fn concern(id: &str) -> Concern {
    let one = EXPLAINED.iter().find(|one| one.id == id);
    one.map_or(Concern::Other, |one| one.concern)
}

/// What something is, by its name; `None` where nothing is told under it.
#[must_use]
pub fn explained(id: &str) -> Option<String> {
    let one = EXPLAINED.iter().find(|one| one.id == id)?;
    let kind = if one.told_by == INPUT {
        "an error of the input"
    } else {
        "no rule of a policy"
    };
    Some(format!(
        "{id}: {kind}, told by {}\n\nWhat it says\n  {}\n  No policy can switch it off.\n\nWhat to do\n  {}\n",
        one.told_by, one.says, one.remedy
    ))
}
