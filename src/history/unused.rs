//! Goes that were not used, as a later decision says: no run rests on one, and each is there.

use super::{Launch, Record, Records, begin};
use crate::finding::{Finding, Nature, Severity};
use crate::schema::Stated;

impl Records {
    /// The decision that says of another, by its digest, that it was not used, and where.
    pub(super) fn unused(&self, go: &Launch) -> Option<(&Launch, &Stated<String>)> {
        let may = |one: &&Launch| one.decided.may_say_unused(&go.decided);
        self.launches.iter().filter(may).find_map(|launch| {
            let mut named = launch.decided.unused.iter();
            Some((launch, named.find(|digest| digest.value == go.sha256)?))
        })
    }

    /// The decision that a record rests on.
    pub(super) fn launch_of(&self, record: &Record) -> Option<&Launch> {
        let digest = &record.flight.decision.as_ref()?.sha256.value;
        self.launches.iter().find(|one| one.sha256 == *digest)
    }
}

pub(super) fn findings(records: &Records) -> Vec<Finding> {
    let mut found = Vec::new();
    for record in &records.records {
        let Some(rests_on) = &record.flight.decision else {
            continue;
        };
        let go = records.launch_of(record);
        let Some((launch, unused)) = go.and_then(|go| records.unused(go)) else {
            continue;
        };
        found.push(
            begin("flown-unused", record)
                .message(format!(
                    "record `{}` rests on a go of which decision `{}` says that it was not used",
                    record.flight.id.value, launch.decided.id.value
                ))
                .primary(rests_on.sha256.span(), "what it rests on")
                .related(unused.span(), "said not to have been used")
                .remedy("find out which of the two is true"),
        );
    }
    for launch in &records.launches {
        let there = |digest: &str| records.launches.iter().find(|one| one.sha256 == digest);
        for unused in &launch.decided.unused {
            let (why, label, remedy) = match there(&unused.value) {
                Some(other) if launch.decided.may_say_unused(&other.decided) => continue,
                Some(_) => (
                    "may not say so: it is about another mission, was made before it, or not by the person in \
                     charge",
                    "not for it to say",
                    "find out who wrote that it was not used",
                ),
                None => (
                    "that one is not here as it was: it was altered, or taken away",
                    "no decision has these bytes",
                    "bring back the decision as it was recorded: git has it",
                ),
            };
            found.push(
                Finding::of("decision-differs", Severity::Error, Nature::Violation)
                    .subject(&launch.decided.id.value)
                    .message(format!(
                        "decision `{}` says of another that it was not used, and {why}",
                        launch.decided.id.value
                    ))
                    .primary(unused.span(), label)
                    .remedy(remedy)
                    .why("What was recorded is never changed afterwards: whoever reads it relies on that."),
            );
        }
    }
    let built = found.into_iter();
    built
        .filter_map(|builder| builder.build(&records.sources).ok())
        .collect()
}
