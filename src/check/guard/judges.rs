//! Who judges: policies that a change brings in, and missions that it puts under a laxer one, be they
//! new, renamed or moved to another boat or water. Each is held against what judged there before.

use std::collections::{BTreeMap, BTreeSet};

use super::copies::Copies;
use super::{Guard, begin, first_and_more};
use crate::check::{ChangeImpact, Loaded};
use crate::document::Node;
use crate::rules::{BUILTIN_POLICY, EffectivePolicy, OpenRules};
use crate::schema::Kind;
use crate::source::Span;

/// Settings that are named in the arithmetic of one finding.
const MOST: usize = 40;

/// A mission as far as what judges it goes.
#[derive(Clone, PartialEq, Debug)]
struct Mission {
    id: String,
    vessel: Option<String>,
    site: Option<String>,
    policy: Option<String>,
    /// The line that names its policy, or that of its id; none where its file was not parsed.
    line: Option<Span>,
}

impl Mission {
    fn like(&self, other: &Self) -> bool {
        self.id == other.id && self.vessel == other.vessel && self.site == other.site
    }
}

/// What is laxer than what: a policy of the later revision, and one of the earlier that it is held
/// against, with the missions that it judges in its place.
type Pairs<'a> =
    BTreeMap<(String, String), (&'a EffectivePolicy, &'a EffectivePolicy, Vec<Mission>)>;

impl Guard<'_> {
    /// A finding for each policy that asks for less than one that judged there before.
    pub(super) fn judges(&mut self, extent: &ChangeImpact, copies: &Copies) {
        let (was, now) = (self.was, self.now);
        let (before, after) = (missions(was, extent), missions(now, extent));
        let anywhere = by_default(was, &before);
        let mut pairs = Pairs::new();
        let mut hold = |policy: &'_ str, others: &[&'_ str], mission: Option<&Mission>| {
            let Some(own) = now.policies.get(policy) else {
                return;
            };
            for other in others.iter().filter(|other| **other != policy) {
                let Some(other) = was.policies.get(other) else {
                    continue;
                };
                let key = (policy.to_owned(), other.policy.clone());
                let (_, _, missions) = pairs.entry(key).or_insert((own, other, Vec::new()));
                missions.extend(mission.cloned());
            }
        };
        let new = now.policies.team();
        for policy in new.filter(|one| was.policies.get(&one.policy).is_none()) {
            hold(&policy.policy, &anywhere, None);
        }
        let mut unjudged = Vec::new();
        let mut by_id: BTreeMap<&str, Vec<&Mission>> = BTreeMap::new();
        for mission in &before {
            by_id.entry(&mission.id).or_default().push(mission);
        }
        for mission in &after {
            let chosen = now.policies.chosen(mission.policy.as_deref());
            let mut namesakes = by_id.get(mission.id.as_str()).into_iter().flatten();
            let same = namesakes.find(|one| one.like(mission));
            let earlier = same.and_then(|one| was.policies.chosen(one.policy.as_deref()));
            match (chosen, earlier) {
                (Some(chosen), Some(earlier)) if chosen.policy == earlier.policy => {}
                (Some(chosen), _) => {
                    let mut held = in_the_same_place(was, mission, &before, copies);
                    held.extend(was.policies.binding().map(|policy| policy.policy.as_str()));
                    if held.is_empty() {
                        held.extend(&anywhere);
                    }
                    let held: Vec<&str> = held.into_iter().collect();
                    hold(&chosen.policy, &held, Some(mission));
                }
                (None, _) if mission.policy.is_none() => unjudged.push(mission.clone()),
                (None, _) => {}
            }
        }
        for (own, other, missions) in pairs.into_values() {
            self.laxer(own, other, &missions);
        }
        for mission in unjudged {
            self.unjudged(&mission);
        }
    }

    fn laxer(&mut self, own: &EffectivePolicy, other: &EffectivePolicy, missions: &[Mission]) {
        let weaker = own.asks_less_than(other, OpenRules::CountToo);
        let what: Vec<&str> = weaker.iter().map(|one| one.what.as_str()).collect();
        if what.is_empty() {
            return;
        }
        let names: Vec<String> = missions.iter().map(|one| format!("`{}`", one.id)).collect();
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        let judges = match names.len() {
            0 => format!("policy `{}` is new and", own.policy),
            1 => format!(
                "policy `{}` now judges mission {} and",
                own.policy, names[0]
            ),
            _ => format!(
                "policy `{}` now judges {} and",
                own.policy,
                first_and_more(&names)
            ),
        };
        let place = if other.policy == BUILTIN_POLICY {
            "the built-in policy, which judged"
        } else {
            "the policy that judged"
        };
        let line = missions.iter().find_map(|one| one.line);
        let at = self.later(line.unwrap_or(own.span));
        let mut builder = begin(
            "policy-weakened",
            &format!("{}/{}", own.policy, other.policy),
        )
        .message(format!(
            "{judges} is less strict than `{}`, {place} here before: {}",
            other.policy,
            first_and_more(&what)
        ))
        .primary(at, "judged by this policy")
        .steps(
            what.iter()
                .take(MOST)
                .map(|one| (*one).to_owned())
                .collect(),
        )
        .remedy(match own.policy == BUILTIN_POLICY {
            // Nobody changes that one.
            true => format!("name policy `{}`, or one that is as strict", other.policy),
            false => format!(
                "name policy `{}`, or make `{}` as strict",
                other.policy, own.policy
            ),
        })
        .remedy("review this by itself, apart from the plans that it lets pass");
        if let [only] = missions {
            builder = builder.mission(&only.id);
        }
        for one in weaker.iter().take(3) {
            if let Some(by) = one.by {
                builder = builder.related(self.later(by), "less strict");
            }
            builder = builder.related(self.earlier(one.was), "stricter");
        }
        self.add(builder);
    }

    fn unjudged(&mut self, mission: &Mission) {
        let Some(line) = mission.line else { return };
        let at = self.later(line);
        let builder = begin("policy-exchanged", &mission.id)
            .mission(&mission.id)
            .message(format!(
                "no policy judges mission `{}` any more: it names none, and there are several",
                mission.id
            ))
            .primary(at, "names no policy")
            .remedy("name one in the mission, or have one policy say `judges: every mission`");
        self.add(builder);
    }
}

/// The policies that judge a mission of which nothing else tells: those that judge every mission, else
/// all that judged one, else all there are, else the built-in one.
fn by_default<'a>(was: &'a Loaded, before: &[Mission]) -> Vec<&'a str> {
    let binding: Vec<&str> = was
        .policies
        .binding()
        .map(|one| one.policy.as_str())
        .collect();
    if !binding.is_empty() {
        return binding;
    }
    let judged = before
        .iter()
        .filter_map(|one| was.policies.chosen(one.policy.as_deref()));
    let judged: BTreeSet<&str> = judged.map(|policy| policy.policy.as_str()).collect();
    if !judged.is_empty() {
        return judged.into_iter().collect();
    }
    let team: Vec<&str> = was.policies.team().map(|one| one.policy.as_str()).collect();
    if team.is_empty() {
        return vec![BUILTIN_POLICY];
    }
    team
}

/// The policies that judged missions of the same boat or water before, or of what it is a copy of.
fn in_the_same_place<'a>(
    was: &'a Loaded,
    mission: &Mission,
    before: &[Mission],
    copies: &Copies,
) -> BTreeSet<&'a str> {
    let alike = |kind: Kind, own: &Option<String>, other: &Option<String>| {
        let Some(own) = own else { return false };
        let original = copies.get(&(kind, own.clone()));
        other.as_ref() == Some(own) || (original.is_some() && other.as_ref() == original)
    };
    let there = before.iter().filter(|one| {
        alike(Kind::Vessel, &mission.vessel, &one.vessel)
            || alike(Kind::Site, &mission.site, &one.site)
    });
    let chosen = there.filter_map(|one| was.policies.chosen(one.policy.as_deref()));
    chosen.map(|policy| policy.policy.as_str()).collect()
}

/// The missions of a revision, those included whose files were not parsed.
fn missions(loaded: &Loaded, extent: &ChangeImpact) -> Vec<Mission> {
    let mut all: Vec<Mission> = loaded
        .gathered
        .of_kind(Kind::Mission)
        .filter_map(|file| {
            let (id, span) = file.id.as_ref()?;
            let node = |key: &str| file.whole().get(key);
            let named = |key: &str| node(key).and_then(Node::as_text).map(str::to_owned);
            Some(Mission {
                id: id.clone(),
                vessel: named("vessel"),
                site: named("site"),
                policy: named("policy"),
                line: Some(node("policy").map_or(*span, |node| node.span)),
            })
        })
        .collect();
    let parsed: BTreeSet<String> = all.iter().map(|one| one.id.clone()).collect();
    let unparsed = extent.left_out().filter(|one| !parsed.contains(&one.id));
    all.extend(unparsed.map(|one| Mission {
        id: one.id.clone(),
        vessel: one.vessel.clone(),
        site: one.site.clone(),
        policy: one.policy.clone(),
        line: None,
    }));
    all
}
