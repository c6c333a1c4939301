//! Boats and waters that a change brings in under a new id, and that are those of before but for some
//! figures. They are recognised by what their files hold, whatever they are called.

use std::collections::{BTreeMap, BTreeSet};

use super::{Guard, begin, first_and_more};
use crate::check::Loaded;
use crate::check::digest::sha256;
use crate::check::leaves::{Items, Leaf, leaves};
use crate::finding::Severity;
use crate::plan::FileOfKind;
use crate::plan::boats::boat_among;
use crate::schema::Kind;
use crate::source::{Span, resolve};

/// The new boats and waters that are copies, each with the id of what it is a copy of.
pub(super) type Copies = BTreeMap<(Kind, String), String>;

/// From this share of values on that two files have in common one is a copy of the other: our own
/// proposal. The share is of the shorter file, so that nothing is gained by adding to the longer.
const ALIKE: f64 = 0.5;
/// Differences that are named in one finding.
const MOST: usize = 40;

/// What of a file makes no boat and no water another one.
const NAMES: &[&str] = &["kind", "format", "id", "title"];

impl Guard<'_> {
    /// A finding for each copy, and which they are.
    pub(super) fn copies(&mut self) -> Copies {
        let mut copies = Copies::new();
        for kind in [Kind::Vessel, Kind::Site] {
            let (was, now) = (self.was, self.now);
            let known: BTreeSet<&str> = ids(was, kind).collect();
            // Nearly always there is none.
            if ids(now, kind).all(|id| known.contains(id)) {
                continue;
            }
            let before: Vec<(&str, Span, Vec<Leaf>)> = values(was, kind).collect();
            for (id, span, own) in values(now, kind).filter(|(id, ..)| !known.contains(id)) {
                let nearest = before
                    .iter()
                    .map(|(known, at, theirs)| (in_common(&own, theirs), *known, *at, theirs))
                    .filter(|((share, _), ..)| *share >= ALIKE)
                    .max_by(|a, b| a.0.0.total_cmp(&b.0.0));
                let Some(((_, count), known, at, theirs)) = nearest else {
                    continue;
                };
                copies.insert((kind, id.to_owned()), known.to_owned());
                self.copy(kind, (id, span, &own), (known, at, theirs), count);
                if kind == Kind::Vessel {
                    self.figures_between(known, id);
                }
            }
        }
        copies
    }

    /// A finding for each vessel that is said to be another boat than before, or no longer said to be one:
    /// its runs, and the missions that have it out, are then held against those of another.
    pub(super) fn boats(&mut self) {
        let (was, now) = (self.was, self.now);
        for (id, earlier) in &was.linked.vessels {
            let Some(later) = now.linked.vessels.get(id) else {
                continue;
            };
            let boat = |of: &Loaded| boat_among(id, &of.linked.vessels);
            let (before, after) = (boat(was), boat(now));
            let Some(stated) = earlier.of_boat().filter(|_| before != after) else {
                // One that is given a name for the first time takes nothing away but where it shared one.
                if before != after {
                    self.another_boat((id, later.id.span()), (&before, earlier.id.span()), &after);
                }
                continue;
            };
            let at = later.of_boat().map_or(later.id.span(), |of| of.span());
            self.another_boat((id, at), (&before, stated.span()), &after);
        }
    }

    fn another_boat(&mut self, (id, at): (&str, Span), (before, was): (&str, Span), after: &str) {
        let (at, was) = (self.later(at), self.earlier(was));
        let builder = begin("boat-changed", id)
            .severity(Severity::Warning)
            .why(
                "The check finds overlapping missions, recorded runs and standing go decisions by \
                 the boat's name. Under another name it misses them.",
            )
            .message(format!(
                "vessel `{id}` is now boat `{after}`, and was boat `{before}`"
            ))
            .primary(at, "by this line")
            .related(was, "it was")
            .remedy("keep `boat` as it was, as long as it is the same hull")
            .remedy("say in the change which hull it is, and how you know");
        self.add(builder);
    }

    fn copy(
        &mut self,
        kind: Kind,
        (id, span, own): (&str, Span, &[Leaf]),
        (known, at, theirs): (&str, Span, &[Leaf]),
        count: usize,
    ) {
        let differ = differences(theirs, own);
        let gone = ids(self.now, kind).all(|id| id != known);
        let begins = if gone {
            format!("{kind} `{known}` is called `{id}` now")
        } else {
            format!("{kind} `{id}` is a copy of `{known}`")
        };
        let same = format!("{count} of {} values are the same", own.len());
        let differences: Vec<&str> = differ.iter().map(String::as_str).collect();
        let (severity, message) = if differ.is_empty() {
            (Severity::Advice, format!("{begins}; {same}"))
        } else {
            let what = first_and_more(&differences);
            (
                Severity::Warning,
                format!("{begins}; {same}, and these differ: {what}"),
            )
        };
        let builder = if kind == Kind::Vessel {
            begin("vessel-copied", id)
        } else {
            begin("site-copied", id)
        };
        let (at, span) = (self.earlier(at), self.later(span));
        let builder = builder
            .severity(severity)
            .why(
                "Under another id a boat or a site is no longer compared with its own earlier \
                 figures. A more favourable copy lets plans pass that failed before.",
            )
            .message(message)
            .steps(differ.into_iter().take(MOST).collect())
            .primary(span, "under this id")
            .related(at, "it was")
            .remedy("keep the id, so that the differences are reviewed as a change")
            .remedy("say in the change how you measured each figure that differs");
        self.add(builder);
    }
}

/// The ids of a kind's files.
fn ids(loaded: &Loaded, kind: Kind) -> impl Iterator<Item = &str> {
    let files = loaded.gathered.of_kind(kind);
    files.filter_map(|file| file.id.as_ref().map(|(id, _)| id.as_str()))
}

/// Every file of a kind with its id and its values; files that a site names stand for what they hold.
fn values(loaded: &Loaded, kind: Kind) -> impl Iterator<Item = (&str, Span, Vec<Leaf>)> {
    loaded.gathered.of_kind(kind).filter_map(move |file| {
        let (id, span) = file.id.as_ref()?;
        Some((id.as_str(), *span, of_file(loaded, file)))
    })
}

fn of_file(loaded: &Loaded, file: &FileOfKind) -> Vec<Leaf> {
    let mut all = leaves(&file.document.root, Items::AsASet);
    all.retain(|leaf| !matches!(&leaf.path[..], [only] if NAMES.contains(&only.as_str())));
    let from = loaded.sources.path(file.source);
    for leaf in &mut all {
        if file.kind == Kind::Site && leaf.path.len() == 2 && leaf.path[1] == "file" {
            let path = resolve(from, &leaf.written).ok();
            let source = path.and_then(|path| loaded.sources.find(&path));
            let text = source.and_then(|source| loaded.sources.get(source));
            if let Some(text) = text {
                leaf.means = sha256(text.text());
            }
        }
    }
    all
}

/// The share of values that two files have in common, and how many these are.
fn in_common(own: &[Leaf], theirs: &[Leaf]) -> (f64, usize) {
    let mut left: BTreeMap<(&[String], &str), usize> = BTreeMap::new();
    for leaf in theirs {
        *left.entry((&leaf.path, &leaf.means)).or_default() += 1;
    }
    let mut count = 0;
    for leaf in own {
        if let Some(rest) = left.get_mut(&(leaf.path.as_slice(), leaf.means.as_str()))
            && *rest > 0
        {
            *rest -= 1;
            count += 1;
        }
    }
    let shorter = own.len().min(theirs.len()).max(1);
    #[expect(
        clippy::cast_precision_loss,
        reason = "a file has far fewer values than 2^53"
    )]
    let share = count as f64 / shorter as f64;
    (share, count)
}

/// What differs, place by place.
fn differences(was: &[Leaf], now: &[Leaf]) -> Vec<String> {
    let mut places: BTreeMap<String, [Vec<&Leaf>; 2]> = BTreeMap::new();
    for (side, leaves) in [was, now].into_iter().enumerate() {
        for leaf in leaves {
            let sides = places.entry(leaf.place()).or_default();
            sides[side].push(leaf);
        }
    }
    let mut all = Vec::new();
    for (place, [was, now]) in places {
        let only = |of: &[&Leaf], other: &[&Leaf]| -> Vec<String> {
            let mut other: Vec<&str> = other.iter().map(|leaf| leaf.means.as_str()).collect();
            let mut left = Vec::new();
            for leaf in of {
                match other.iter().position(|means| *means == leaf.means) {
                    Some(at) => {
                        other.swap_remove(at);
                    }
                    None => left.push(leaf.written.clone()),
                }
            }
            left
        };
        let (gone, new) = (only(&was, &now), only(&now, &was));
        if gone.is_empty() && new.is_empty() {
            continue;
        }
        let words = |values: &[String]| match values {
            [] => "nothing".to_owned(),
            values => values.join(", "),
        };
        all.push(format!("{place}: {} → {}", words(&gone), words(&new)));
    }
    all
}
