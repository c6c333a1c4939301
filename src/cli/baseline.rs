//! `offing baseline` and `offing digest`.

use super::args::{Baseline, Digest};
use super::{Failure, output, place, settings};
use crate::check::{Digester, asked, check, strike};
use crate::report::{BaselineHead, MOST_IN_BASELINE, baseline_text, for_baseline};
use crate::source::{WorkTree, printable_line};

/// Where it is written unless another file is named.
const FILE: &str = "baseline.yaml";

pub(super) fn run(options: &Baseline) -> Result<u8, Failure> {
    let unreadable = |error: crate::source::ReadError| Failure::Unreadable(error.to_string());
    // The whole repository, since it has one baseline.
    let tree = place::repository(&options.plans)?;
    if options.strike {
        return strike_off(&tree);
    }
    let head = head(options)?;
    let before = strike(&tree).map_err(unreadable)?;
    let path = match (&before, &options.output) {
        (Some(before), _) if !options.renew => {
            return Err(Failure::Usage(format!(
                "there is a baseline already, `{}`; `--strike` takes off it what is mended, `--renew` \
                 writes it anew with everything that is found now",
                printable_line(&before.path)
            )));
        }
        (Some(before), None) => tree.root().join(&before.path),
        (_, Some(path)) => path.clone(),
        (None, None) => tree.root().join(FILE),
    };
    let outcome = match before {
        Some(before) => before.outcome,
        None => check(&tree, None).map_err(unreadable)?,
    };
    if let Some(file) = outcome.not_checked.first() {
        return Err(Failure::Unreadable(format!(
            "{}: {}; what cannot be checked cannot be accepted, and `offing check` shows more",
            printable_line(&file.path),
            printable_line(&file.why)
        )));
    }
    let findings = for_baseline(&outcome);
    if findings.len() > MOST_IN_BASELINE {
        return Err(Failure::Unreadable(format!(
            "there are {} findings, and a baseline holds {MOST_IN_BASELINE} at most",
            findings.len()
        )));
    }
    output::deliver_over(&baseline_text(&head, &findings), &path)?;
    told(&path.display().to_string(), findings.len(), 0)
}

fn head(options: &Baseline) -> Result<BaselineHead<'_>, Failure> {
    let lacking = |what: &str| {
        Failure::Usage(format!(
            "`--{what}` is missing: a baseline says by when it is reviewed, who accepts it, and why"
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
fn strike_off(tree: &WorkTree) -> Result<u8, Failure> {
    let found = strike(tree).map_err(|error| Failure::Unreadable(error.to_string()))?;
    let Some(found) = found else {
        let text = "there is no baseline here that can be read; `offing check` says why, where there is \
                    a file of one";
        return Err(Failure::Unreadable(text.to_owned()));
    };
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
    let struck = baseline.findings.len() - kept.len();
    let path = tree.root().join(&found.path);
    if struck > 0 {
        let text = crate::report::baseline_of_known(&head, &kept);
        output::deliver_over(&text, &path)?;
    }
    told(&found.path, kept.len(), struck)
}

fn told(path: &str, holds: usize, struck: usize) -> Result<u8, Failure> {
    let findings = |count: usize| match count {
        1 => "1 finding".to_owned(),
        count => format!("{count} findings"),
    };
    let mut text = format!("{} holds {}", printable_line(path), findings(holds));
    if struck > 0 {
        text.push_str(&format!("; {} struck off", findings(struck)));
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
