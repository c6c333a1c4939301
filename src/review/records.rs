//! Records of runs and decisions on launches that a change alters or takes away. They are only ever
//! added to: what was recorded stays as it was.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::check::{ChangeImpact, Side, recorded, sha256};
use crate::finding::{Finding, Nature, Severity};
use crate::source::{Limit, Sources, Span, Tree, printable_line};

/// A finding for each record of the earlier tree whose bytes the later one has nowhere, in `sources`,
/// to which the record is added as it was; `label` is put before its path, and `name` is the earlier
/// revision's.
pub(super) fn changed(
    (base, name, label): (&dyn Tree, &str, &str),
    head: &dyn Tree,
    extent: &ChangeImpact,
    sources: &mut Sources,
) -> Vec<Finding> {
    let texts = |tree: &dyn Tree, side: Side| -> Vec<(String, Arc<str>)> {
        let paths: Vec<&str> = extent.differing(side).collect();
        let read = tree.read_all(&paths, Limit::YAML);
        let read = paths.into_iter().zip(read);
        read.filter_map(|(path, text)| Some((path.to_owned(), text.ok()?)))
            .filter(|(_, text)| recorded(text).is_some())
            .collect()
    };
    let was = texts(base, Side::Base);
    if was.is_empty() {
        return Vec::new();
    }
    let now: BTreeSet<String> = texts(head, Side::Head)
        .iter()
        .map(|(_, text)| sha256(text))
        .collect();
    let mut found = Vec::new();
    for (path, text) in was {
        // One that was moved is as it was.
        if now.contains(&sha256(&text)) {
            continue;
        }
        let what = recorded(&text).unwrap_or("record");
        let there = head.read(&path, Limit::YAML).ok();
        let (rule, did) = match there {
            Some(_) => ("record-altered", "altered"),
            None => ("record-removed", "removed"),
        };
        let then = sources.add(format!("{label}{path}"), text);
        let mut builder = Finding::builder(rule, Severity::Error, Nature::Violation)
            .subject(&path)
            .message(format!("a {what} is {did}: {}", printable_line(&path)))
            .primary(Span::new(then, 0, 0), "as it was")
            .remedy(format!("bring it back: git checkout {name} -- {path}"))
            .why("Nobody changes a record afterwards: whoever reads it relies on that.");
        if let Some(now) = there {
            let source = sources
                .find(&path)
                .unwrap_or_else(|| sources.add(path.as_str(), now));
            builder = builder.related(Span::new(source, 0, 0), "as it is");
        }
        found.push(builder.build(sources));
    }
    found
}
