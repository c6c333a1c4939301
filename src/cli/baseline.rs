//! `offing baseline` and `offing digest`.

use std::path::{Path, PathBuf};
use std::time::Duration;

use super::args::{Baseline, Digest};
use super::place::not_held;
use super::{Failure, output, place, settings};
use crate::check::{Digester, asked, baseline_reads_back, check, not_all_read, prune};
use crate::report::{BaselineHead, MOST_IN_BASELINE, baseline_text, for_baseline};
use crate::source::{WorkTree, printable_line};

/// Where it is written unless another file is named.
const FILE: &str = "baseline.yaml";

/// How long a baseline waits for another one to be written.
const PATIENCE: Duration = Duration::from_secs(120);

pub(super) fn run(options: &Baseline) -> Result<u8, Failure> {
    let unreadable = |error: crate::source::ReadError| Failure::Unreadable(error.to_string());
    // The whole repository, since it has one baseline.
    let tree = place::repository(&options.plans)?;
    // Whoever comes second reads what the first one wrote.
    tree.hold(PATIENCE)
        .map_err(|error| not_held(&tree, &error))?;
    if options.prune {
        return prune_baseline(&tree);
    }
    let head = head(options)?;
    let before = prune(&tree).map_err(unreadable)?;
    if let Some(before) = &before
        && !options.renew
    {
        return Err(Failure::Usage(format!(
            "there is already a baseline, `{}`; `--prune` removes what is fixed, `--renew` \
             rewrites it with everything found now",
            printable_line(&before.path)
        )));
    }
    let there = before.as_ref().map(|before| tree.root().join(&before.path));
    let path = options.output.clone().or_else(|| there.clone());
    let path = path.unwrap_or_else(|| tree.root().join(FILE));
    let outcome = match before {
        Some(before) => before.outcome,
        None => check(&tree, None).map_err(unreadable)?,
    };
    if let Some(why) = not_all_read(&outcome) {
        return Err(Failure::Unreadable(format!(
            "{}; what cannot be checked cannot be accepted, and `offing check` shows more",
            printable_line(&why)
        )));
    }
    let findings = for_baseline(&outcome);
    if findings.len() > MOST_IN_BASELINE {
        return Err(Failure::Unreadable(format!(
            "there are {} findings, and a baseline holds at most {MOST_IN_BASELINE}",
            findings.len()
        )));
    }
    let text = baseline_text(&head, &findings);
    let read = readable(&text, &head)?;
    let same = findings.len() == read.findings.len()
        && findings
            .iter()
            .zip(&read.findings)
            .all(|(one, read)| one.fingerprint == read.fingerprint.value && one.rule == read.rule);
    if !same {
        return Err(lost("its findings"));
    }
    // Only the baseline itself is written over.
    let is_it = |there: PathBuf| same_file(&there, &path);
    if there.is_some_and(is_it) {
        output::deliver_over(&text, &path)?;
    } else {
        let left = "a baseline overwrites no other file; name another one with `--output`";
        output::deliver_new(&text, &path, left)?;
    }
    print_summary(&path.display().to_string(), findings.len(), 0)
}

/// Whether two paths lead to one file.
fn same_file(one: &Path, other: &Path) -> bool {
    match (one.canonicalize(), other.canonicalize()) {
        (Ok(one), Ok(other)) => one == other,
        _ => false,
    }
}

/// Makes sure that what is to be written will be read as it is meant.
fn readable(text: &str, head: &BaselineHead<'_>) -> Result<crate::check::Baseline, Failure> {
    let read = baseline_reads_back(text).map_err(|why| {
        Failure::Usage(format!(
            "the baseline could not be read back, so nothing was written: {why}"
        ))
    })?;
    if read.by.value != head.by || read.reason.value != head.reason {
        return Err(lost("who accepts it or why"));
    }
    Ok(read)
}

fn lost(what: &str) -> Failure {
    Failure::Unreadable(format!(
        "{what} would not read back as written, so nothing was written"
    ))
}

fn head(options: &Baseline) -> Result<BaselineHead<'_>, Failure> {
    let lacking = |what: &str| {
        Failure::Usage(format!(
            "`--{what}` is missing: a baseline states its review date, who accepts it, and why"
        ))
    };
    let review_by = options
        .review_by
        .as_deref()
        .ok_or_else(|| lacking("review-by"))?;
    settings::day(review_by, "review-by")?;
    let filled = |value: &'_ Option<String>| value.as_ref().is_some_and(|v| !v.trim().is_empty());
    if !filled(&options.by) {
        return Err(lacking("by"));
    }
    if !filled(&options.reason) {
        return Err(lacking("reason"));
    }
    Ok(BaselineHead {
        id: "baseline",
        review_by,
        by: options.by.as_deref().unwrap_or(""),
        reason: options.reason.as_deref().unwrap_or(""),
    })
}

/// Writes the baseline anew without what is no longer found.
fn prune_baseline(tree: &WorkTree) -> Result<u8, Failure> {
    let found = prune(tree).map_err(|error| Failure::Unreadable(error.to_string()))?;
    let Some(found) = found else {
        let text = "no readable baseline is here; if there is a file, `offing check` says why it \
                    cannot be read";
        return Err(Failure::Unreadable(text.to_owned()));
    };
    if let Some(why) = not_all_read(&found.outcome).or_else(|| found.not_judged()) {
        return Err(Failure::Unreadable(format!(
            "{}; nothing is pruned while anything could not be read or judged, and `offing check` shows \
             more",
            printable_line(&why)
        )));
    }
    let baseline = &found.baseline;
    let head = BaselineHead {
        id: &baseline.id.value,
        review_by: &baseline.review_by.value.to_string(),
        by: &baseline.by.value,
        reason: &baseline.reason.value,
    };
    // The values that were accepted stay: a finding that grew worse is not accepted by this.
    let kept: Vec<_> = baseline
        .findings
        .iter()
        .filter(|known| found.kept.contains(&known.fingerprint.value))
        .collect();
    let pruned = baseline.findings.len() - kept.len();
    let path = tree.root().join(&found.path);
    if pruned > 0 {
        let text = crate::report::baseline_of_known(&head, &kept);
        let read = readable(&text, &head)?;
        let mut pairs = kept.iter().zip(&read.findings);
        if read.findings.len() != kept.len() || pairs.any(|(kept, read)| !kept.is_same(read)) {
            return Err(lost("the rest of it"));
        }
        output::deliver_over(&text, &path)?;
    }
    print_summary(&found.path, kept.len(), pruned)
}

fn print_summary(path: &str, holds: usize, pruned: usize) -> Result<u8, Failure> {
    let findings = |count: usize| match count {
        1 => "1 finding".to_owned(),
        count => format!("{count} findings"),
    };
    let mut text = format!("{} holds {}", printable_line(path), findings(holds));
    if pruned > 0 {
        text.push_str(&format!("; {} pruned", findings(pruned)));
    }
    text.push_str(".\n");
    output::print(&text)?;
    Ok(0)
}

/// The lines that stand for a plan, which are signed to approve it.
pub(super) fn digest(options: &Digest) -> Result<u8, Failure> {
    let tree = place::repository(&options.plans)?;
    let mission = place::mission(&tree, &options.plans, &options.mission);
    let asked = asked(&tree, &mission, options.policy.as_deref())?;
    let mut digester: Digester<'_> = asked.loaded.digester();
    let digests = digester.plan(&asked.plan, &asked.policy);
    let text = if options.whole {
        format!("{}\n", digests.whole)
    } else {
        digests.statement
    };
    output::print(&text)?;
    Ok(0)
}
