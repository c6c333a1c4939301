//! Goes that were not used, as a later decision says: no run rests on one, and each is there.

use super::{Launch, Records, begin};
use crate::finding::{Finding, Nature, Severity};
use crate::schema::Stated;

impl Records {
    /// The decision that says of another, by its digest, that it was not used, and where.
    pub(super) fn unused(&self, sha256: &str) -> Option<(&Launch, &Stated<String>)> {
        self.launches.iter().find_map(|launch| {
            let mut named = launch.decided.unused.iter();
            Some((launch, named.find(|digest| digest.value == sha256)?))
        })
    }
}

pub(super) fn findings(records: &Records) -> Vec<Finding> {
    let mut found = Vec::new();
    for record in &records.records {
        let Some(rests_on) = &record.flight.decision else {
            continue;
        };
        let Some((launch, unused)) = records.unused(&rests_on.sha256.value) else {
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
        let there = |digest: &str| records.launches.iter().any(|one| one.sha256 == digest);
        for unused in &launch.decided.unused {
            if there(&unused.value) {
                continue;
            }
            found.push(
                Finding::of("decision-differs", Severity::Error, Nature::Violation)
                    .subject(&launch.decided.id.value)
                    .message(format!(
                        "decision `{}` says of another that it was not used, and that one is not here as it \
                         was: it was altered, or taken away",
                        launch.decided.id.value
                    ))
                    .primary(unused.span(), "no decision has these bytes")
                    .remedy("bring back the decision as it was recorded: git has it")
                    .why("What was recorded is never changed afterwards: whoever reads it relies on that."),
            );
        }
    }
    let built = found.into_iter();
    built
        .filter_map(|builder| builder.build(&records.sources).ok())
        .collect()
}
