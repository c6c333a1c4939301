//! What somebody accepted: findings waived in a mission, findings of the baseline, plans that are
//! signed. Whatever is accepted is shown all the same.

mod approvals;
mod example;
mod known;
mod waivers;

pub(crate) use approvals::{Approval, Signers, of_plan, principal, signed_by};

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::difference::format_difference;
use super::digest::Digests;
use crate::finding::{Comparison, Finding, FindingBuilder, Nature, Nowhere, Severity};
use crate::plan::baseline::{Baseline, baseline};
use crate::plan::calendar::later;
use crate::plan::{FileOfKind, Gathered, Plan, SIGNATURE};
use crate::rules::{EffectivePolicy, Policies};
use crate::schema::{Kind, Problem};
use crate::source::{Limit, SourceId, Sources, Span, Tree};
use crate::units::{Quantity, parse_quantity};

/// What there is in a tree by which findings may be accepted.
#[derive(Clone, Debug, Default)]
pub struct Accepting {
    /// The baseline.
    pub baseline: Option<Baseline>,
    /// Signatures by the paths of their files.
    pub signatures: BTreeMap<String, Signature>,
    /// The signers of each policy that names some.
    pub signers: BTreeMap<String, Signers>,
    /// Whether a mission that a rule's file names as one that it must fail is judged like any other: whoever
    /// is about to run it wants to know.
    pub no_examples: bool,
}

/// A file that holds a signature.
#[derive(Clone, Debug)]
pub struct Signature {
    /// The file.
    pub source: SourceId,
    /// What it holds.
    pub text: Arc<str>,
}

/// The largest file of a signature or of signers.
const SMALL: Limit = Limit::from_bytes(64 << 10);

impl Accepting {
    /// The signatures beside a mission's file: role, path, signature.
    pub(super) fn beside<'a>(
        &'a self,
        mission: &str,
    ) -> impl Iterator<Item = (&'a str, &'a str, &'a Signature)> {
        let stem = mission.rsplit_once('.').map_or(mission, |(stem, _)| stem);
        let begin = format!("{stem}.");
        let from = self.signatures.range(begin.clone()..);
        from.map_while(move |(path, signature)| {
            let rest = path.strip_prefix(&begin)?;
            Some((rest, path.as_str(), signature))
        })
        .filter_map(|(rest, path, signature)| {
            let role = rest.strip_suffix(SIGNATURE)?;
            (!role.contains(['/', '.'])).then_some((role, path, signature))
        })
    }

    /// Reads what a tree holds of it; what is wrong with a baseline goes to the problems.
    pub(super) fn load(
        tree: &dyn Tree,
        gathered: &Gathered,
        policies: &Policies,
        sources: &mut Sources,
        problems: &mut Vec<Problem>,
    ) -> Self {
        let mut accepting = Self::default();
        let baselines: Vec<&FileOfKind> = gathered.of_kind(Kind::Baseline).collect();
        match baselines[..] {
            [] => {}
            [file] if !file.sound => {}
            [file] => match baseline(file) {
                Ok(baseline) => accepting.baseline = Some(baseline),
                Err(found) => problems.extend(found),
            },
            [first, second, ..] => {
                let text = "a repository has one baseline, and this is another; neither applies";
                let problem = Problem::new("input-reference", second.document.root.span, text);
                problems.push(
                    problem
                        .with(first.document.root.span, "the first one")
                        .help("put their findings into one file"),
                );
            }
        }
        let paths: Vec<&str> = gathered.signatures.iter().map(String::as_str).collect();
        let texts = tree.read_all(&paths, SMALL);
        for (path, read) in gathered.signatures.iter().zip(texts) {
            let text: Arc<str> = read.as_deref().unwrap_or("").into();
            let source = sources.add(path.clone(), Arc::clone(&text));
            if let Err(error) = read {
                let span = Span::new(source, 0, 0);
                problems.push(Problem::new("input-unreadable", span, error.to_string()));
            }
            let signature = Signature { source, text };
            accepting.signatures.insert(path.clone(), signature);
        }
        for approvals in policies
            .team()
            .filter_map(|policy| policy.approvals.as_ref())
        {
            if !accepting.signers.contains_key(&approvals.policy) {
                let signers = Signers::read(approvals, tree, sources);
                if let Err(why) = &signers.file {
                    let text = format!("the file of signers cannot be read: {why}");
                    let problem = Problem::new("input-reference", approvals.signers.span(), text);
                    let help = "name a file inside the repository, relative to this one";
                    problems.push(problem.help(help));
                }
                accepting.signers.insert(approvals.policy.clone(), signers);
            }
        }
        accepting
    }
}

/// Puts what was accepted on the findings of one mission, and adds what is wrong with how it was.
pub(super) fn apply(
    plan: &Plan,
    (policy, digests): (&EffectivePolicy, &Digests),
    findings: &mut Vec<Finding>,
    accepting: &Accepting,
    sources: &Sources,
) -> Vec<Approval> {
    let (approvals, mut found) = approvals::verify(plan, (policy, digests), accepting, sources);
    found.extend(waivers::apply(
        plan,
        (policy, &approvals),
        findings,
        sources,
    ));
    if !accepting.no_examples {
        example::apply(plan, policy, findings);
    }
    if let Some(baseline) = &accepting.baseline {
        found.extend(known::apply(baseline, (plan, policy), findings, sources));
    }
    findings.extend(found);
    approvals
}

/// The day of a point in time at the site.
fn day(plan: &Plan, time: Timestamp) -> Date {
    let utc = TimeZone::UTC;
    let zone = plan.site.time_zone.as_ref().unwrap_or(&utc);
    zone.to_datetime(time).date()
}

/// The days of the launch: as planned, and as late as it may be.
pub(super) fn launch_days(plan: &Plan) -> (Date, Date) {
    let launch = &plan.mission.launch;
    let planned = launch.time.value;
    let latest = later(planned, launch.delay.value.get());
    (day(plan, planned), day(plan, latest))
}

/// Whether a value is worse than one that was accepted, as it is written. One that cannot be
/// compared is.
fn worse(comparison: &Comparison, accepted: &str) -> bool {
    let Ok(accepted) = parse_quantity(accepted, comparison.limit.dimension) else {
        return true;
    };
    let margin = comparison
        .side
        .margin(comparison.measured.value, accepted.value);
    // What the last figure that is written cannot tell apart.
    let rounding = accepted.last_figure().max(1e-9 * accepted.value.abs());
    margin.is_nan() || margin < -rounding
}

/// How far a value is past one that was accepted.
fn past(comparison: &Comparison, accepted: &str) -> String {
    let dimension = comparison.limit.dimension;
    parse_quantity(accepted, dimension).map_or_else(
        |_| "an unknown amount".to_owned(),
        |accepted| {
            format_difference(Quantity::new(
                (comparison.measured.value - accepted.value).abs(),
                dimension,
            ))
        },
    )
}

fn begin(rule: &str, severity: Severity, plan: &Plan, subject: &str) -> FindingBuilder<Nowhere> {
    Finding::builder(rule, severity, Nature::Violation)
        .mission(&plan.mission.id.value)
        .subject(subject)
}

#[cfg(test)]
mod tests {
    use super::worse;
    use crate::finding::{Comparison, Side};
    use crate::units::{Dimension, Quantity};

    fn compared(value: f64, dimension: Dimension, side: Side) -> Comparison {
        Comparison {
            measured: Quantity::new(value, dimension),
            limit: Quantity::new(0.0, dimension),
            side,
        }
    }

    /// What a baseline writes of a value accepts that value, wherever its last figure was rounded to,
    /// and no value that is worse by more.
    #[test]
    fn a_value_is_no_worse_than_what_is_written_of_it() {
        for (unit, dimension) in [
            (1.0, Dimension::LENGTH),
            (100.0, Dimension::LENGTH),
            (1e5, Dimension::LENGTH),
            (0.01, Dimension::RATIO),
            (0.1, Dimension::ANGLE),
            (1000.0, Dimension::TIME),
            (1e4, Dimension::TIME),
            (0.1, Dimension::RESISTANCE),
        ] {
            for step in -50_i32..=50 {
                let value = unit * (f64::from(step) / 37.0).sin();
                let written = Quantity::new(value, dimension).exact();
                for (side, way) in [(Side::AtLeast, -1.0), (Side::AtMost, 1.0)] {
                    let same = compared(value, dimension, side);
                    assert!(!worse(&same, &written), "{value} {written}");
                    let past = compared(value + way * 1e-6 * unit, dimension, side);
                    assert!(worse(&past, &written), "{value} {written}");
                }
            }
        }
    }
}
