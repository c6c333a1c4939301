//! Goes that were not used, as a later decision says: no run rests on one, and each is there.

use super::decisions::Decisions;
use super::records::{Records, begin};
use crate::finding::{Finding, Nature, Severity};

pub(super) fn findings(records: &Records, decisions: &Decisions<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for record in &records.records {
        let Some(rests_on) = &record.run.decision else {
            continue;
        };
        let go = decisions.for_record(record);
        let Some((launch, unused)) = go.and_then(|go| decisions.unused(go)) else {
            continue;
        };
        found.push(
            begin("run-unused-go", record)
                .message(format!(
                    "record `{}` rests on a go that decision `{}` says was not used",
                    record.run.id.value, launch.decided.id.value
                ))
                .primary(rests_on.sha256.span(), "what it rests on")
                .related(unused.span(), "said not to have been used")
                .remedy("find out which of the two is true"),
        );
    }
    for launch in &records.launches {
        for unused in &launch.decided.unused {
            let (why, label, remedy) = match decisions.find(&unused.value) {
                Some(other) if launch.decided.may_say_unused(&other.decided) => continue,
                Some(_) => (
                    "may not say so: it is about another mission, was made before it, or not by the person in \
                     charge",
                    "not for it to say",
                    "find out who wrote that it was not used",
                ),
                None => (
                    "that one was altered or removed",
                    "no decision has these bytes",
                    "bring back the decision as it was recorded: git has it",
                ),
            };
            found.push(
                Finding::builder("decision-differs", Severity::Error, Nature::Violation)
                    .subject(&launch.decided.id.value)
                    .message(format!(
                        "decision `{}` says that another was not used, but {why}",
                        launch.decided.id.value
                    ))
                    .primary(unused.span(), label)
                    .remedy(remedy)
                    .why("Nobody changes a record afterwards: whoever reads it relies on that."),
            );
        }
    }
    let built = found.into_iter();
    built
        .map(|builder| builder.build(&records.sources))
        .collect()
}
