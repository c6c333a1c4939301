//! What a change takes away from what guards it: limits loosened, rules dropped, missions moved out
//! of what is checked. Each is a finding of its own, whatever the plans come to.

mod accepted;
mod copies;
mod figures;
mod judges;

use std::collections::{BTreeMap, BTreeSet};

use super::{ChangeImpact, Loaded};
use crate::document::Node;
use crate::finding::{Finding, FindingBuilder, Nature, Nowhere, Severity};
use crate::rules::{EffectivePolicy, Reworded, Weaker};
use crate::schema::Kind;
use crate::source::{Limit, Sources, Span, Tree, printable_line};

/// Everything that a change takes away, as findings in `sources`, which may be those of another
/// loading; texts of the two revisions that these lack are added. `extent` tells of the missions that
/// neither loading holds; `label` is put before the path of what stands in the earlier revision only.
#[must_use]
pub(crate) fn guard(
    (was, now): (&Loaded, &Loaded),
    (head, extent): (&dyn Tree, &ChangeImpact),
    label: &str,
    sources: &mut Sources,
) -> Vec<Finding> {
    let mut guard = Guard {
        was,
        now,
        label,
        sources,
        found: Vec::new(),
    };
    guard.policies();
    let copies = guard.copies();
    guard.judges(extent, &copies);
    guard.missions(head);
    guard.figures();
    guard.boats();
    guard.waivers();
    guard.baseline();
    guard.signers();
    guard.found
}

struct Guard<'a> {
    was: &'a Loaded,
    now: &'a Loaded,
    label: &'a str,
    sources: &'a mut Sources,
    found: Vec<Finding>,
}

impl Guard<'_> {
    fn policies(&mut self) {
        let (was, now) = (self.was, self.now);
        self.policy(was.policies.builtin(), Some(now.policies.builtin()));
        for earlier in was.policies.team() {
            self.policy(earlier, now.policies.get(&earlier.policy));
        }
    }

    fn policy(&mut self, was: &EffectivePolicy, now: Option<&EffectivePolicy>) {
        let id = &was.policy;
        let Some(now) = now else {
            let at = self.earlier(was.span);
            let builder = begin("policy-removed", id)
                .message(format!(
                    "policy `{id}` is missing, or can no longer be read"
                ))
                .primary(at, "it stood here")
                .remedy("keep the policy, and change it separately");
            return self.add(builder);
        };
        for weaker in now.weaker_than(was) {
            self.weaker(id, &weaker);
        }
        for reworded in now.reworded(was) {
            self.reworded(id, &reworded);
        }
    }

    /// People at the water go by the words of an item, not by its name.
    fn reworded(&mut self, policy: &str, reworded: &Reworded) {
        let item = &reworded.item;
        let quoted = |words: &str| printable_line(words).into_owned();
        let was = quoted(&reworded.was.words);
        let says = match &reworded.now {
            Some(now) => format!("says “{}” in place of “{was}”", quoted(&now.words)),
            None => format!("has lost its text, “{was}”"),
        };
        let by = reworded.now.as_ref();
        let by = self.later(by.map_or(reworded.listed, |now| now.item.span()));
        let was = self.earlier(reworded.was.item.span());
        let builder = Finding::builder("words-changed", Severity::Warning, Nature::Violation)
            .subject(&format!("{policy}/{item}"))
            .why(
                "Whoever ticks an item off at the water goes by its wording. A weaker wording \
                 hollows the item out, and no program can tell which wording is weaker.",
            )
            .message(format!(
                "policy `{policy}`: the checklist item `{item}` {says}"
            ))
            .primary(by, "by this line")
            .related(was, "it was")
            .remedy("read both, and say in the change why the wording differs");
        self.add(builder);
    }

    fn weaker(&mut self, policy: &str, weaker: &Weaker) {
        let was = self.earlier(weaker.was);
        let builder = begin("policy-weakened", &format!("{policy}/{}", weaker.what))
            .message(format!("policy `{policy}` is less strict: {}", weaker.what))
            .remedy(
                "review this by itself; the policy as it was judges the plans of the same change",
            );
        let builder = match weaker.by {
            Some(by) => {
                let by = self.later(by);
                builder.primary(by, "by this line").related(was, "it was")
            }
            None => builder.primary(was, "it was"),
        };
        self.add(builder);
    }

    fn missions(&mut self, head: &dyn Tree) {
        let (was, now) = (self.was, self.now);
        let (before, after) = (policies_named(was), policies_named(now));
        for file in was.gathered.of_kind(Kind::Mission) {
            let Some((id, id_span)) = &file.id else {
                continue;
            };
            let Some((earlier, earlier_span)) = before.get(id.as_str()) else {
                continue;
            };
            let path = was.sources.path(file.source);
            match after.get(id.as_str()) {
                Some((later, later_span)) if later != earlier => {
                    let words = |name: &Option<&str>| {
                        name.map_or_else(|| "none".to_owned(), |name| format!("`{name}`"))
                    };
                    let (at, was) = (self.later(*later_span), self.earlier(*earlier_span));
                    let builder = begin("policy-exchanged", id)
                        .mission(id)
                        .message(format!(
                            "the mission names policy {} in place of {}",
                            words(later),
                            words(earlier)
                        ))
                        .primary(at, "by this line")
                        .related(was, "it was")
                        .remedy("say in the change why another policy applies");
                    self.add(builder);
                }
                Some(_) => {}
                None => {
                    // A mission that is taken away is news; one whose file is still there is no
                    // longer looked at. What stands there as a file of another kind, or as another
                    // mission, is another file.
                    if !self.now.sound_at(path)
                        && let Ok(text) = head.read(path, Limit::YAML)
                    {
                        let source = self.sources.add(path, text);
                        let was = self.earlier(*id_span);
                        let builder = begin("no-longer-checked", id)
                            .mission(id)
                            .message(format!(
                                "mission `{id}` is no longer checked, although its file is still \
                                 here"
                            ))
                            .primary(Span::new(source, 0, 0), "this file")
                            .related(was, "it was a mission")
                            .remedy("keep its `kind` and its `id`, or remove the file");
                        self.add(builder);
                    }
                }
            }
        }
    }

    fn add(&mut self, builder: FindingBuilder) {
        self.found.push(builder.build(self.sources));
    }

    /// A span of the earlier revision among the sources at hand.
    fn earlier(&mut self, span: Span) -> Span {
        let path = self.was.sources.path(span.source).to_owned();
        let shown = if self.was.sources.is_embedded(span.source) {
            path
        } else {
            format!("{}{path}", self.label)
        };
        carry(&self.was.sources, span, &shown, self.sources)
    }

    /// A span of the later revision among the sources at hand.
    fn later(&mut self, span: Span) -> Span {
        let path = self.now.sources.path(span.source).to_owned();
        carry(&self.now.sources, span, &path, self.sources)
    }
}

/// The policy that each mission names, with the line that does, or that of the mission's id; the
/// first of those under one id.
fn policies_named(loaded: &Loaded) -> BTreeMap<&str, (Option<&str>, Span)> {
    let mut named = BTreeMap::new();
    for file in loaded.gathered.of_kind(Kind::Mission) {
        if let Some((id, span)) = &file.id {
            let policy = file.whole().get("policy");
            let name = policy.and_then(Node::as_text);
            named
                .entry(id.as_str())
                .or_insert((name, policy.map_or(*span, |node| node.span)));
        }
    }
    named
}

/// What is wrong with files of some paths in one loading, as findings in the sources of another.
#[must_use]
pub(crate) fn problems_of(
    loaded: &Loaded,
    paths: &BTreeSet<String>,
    sources: &mut Sources,
) -> Vec<Finding> {
    let mut found = Vec::new();
    for problem in &loaded.problems {
        let path = loaded.sources.path(problem.span.source);
        if !paths.contains(path) {
            continue;
        }
        let mut finding = problem.clone().finding(&loaded.sources);
        for label in std::iter::once(&mut finding.primary).chain(&mut finding.related) {
            let path = loaded.sources.path(label.span.source).to_owned();
            label.span = carry(&loaded.sources, label.span, &path, sources);
        }
        found.push(finding);
    }
    found
}

/// A span of one set of sources in another, to which its text is added under a path where it is not there.
pub(super) fn carry(from: &Sources, span: Span, path: &str, into: &mut Sources) -> Span {
    let text = from.get(span.source).map_or("", |file| file.text());
    let embedded = from.is_embedded(span.source);
    let same = into.find(path).filter(|id| {
        into.get(*id)
            .is_some_and(|file| file.text() == text && file.is_embedded() == embedded)
    });
    let source = same.unwrap_or_else(|| match embedded {
        true => into.add_embedded(path, text),
        false => into.add(path, text),
    });
    Span::new(source, span.start, span.end)
}

/// The first of several things in a sentence, and how many more there are.
pub(super) fn first_and_more(all: &[&str]) -> String {
    match all {
        [] => "nothing".to_owned(),
        [only] => (*only).to_owned(),
        [first, rest @ ..] => format!("{first}, and {} more", rest.len()),
    }
}

fn begin(rule: &str, about: &str) -> FindingBuilder<Nowhere> {
    Finding::builder(rule, Severity::Error, Nature::Violation)
        .subject(about)
        .why(
            "A change must not alter unseen what judges it. A limit that is loosened together with \
             the plan that needs it limits nothing.",
        )
}
