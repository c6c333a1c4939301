//! Every policy of a repository, each followed up to the built-in one, and the choice of the one
//! that a mission is judged by.

use std::collections::{BTreeMap, BTreeSet};

use super::effective::{Above, EffectivePolicy, below};
use super::policy::Policy;
use super::set::RuleSet;
use super::weaker::{OpenRules, Weaker};
use crate::document::Document;
use crate::schema::explain::nearest;
use crate::schema::{Problem, Stated};
use crate::source::{SourceId, Span};

/// Id of the built-in policy: every rule as its own file has it.
pub(crate) const BUILTIN_POLICY: &str = "builtin";

/// Why the only policy judges every mission.
const ONLY: &str = "the only policy judges every mission";

/// All policies by id.
#[derive(Clone, Debug)]
pub struct Policies {
    builtin: EffectivePolicy,
    team: BTreeMap<String, EffectivePolicy>,
    /// Ids of those that stand for policies that could not be read.
    unread: Vec<String>,
    /// Ids of those that have errors themselves, or above which one has.
    in_doubt: BTreeSet<String>,
}

impl Policies {
    /// Reads a team's policies: files that fit the schema of policies, and the ids of those that
    /// do not, which are problems already. The rules are all those that policies may set.
    ///
    /// A policy that is not in order is a problem, and what is wrong with it is left as it was
    /// above it, so that a mission can still be judged by the rest.
    #[must_use]
    pub fn load(
        files: &[(SourceId, &Document)],
        broken: &[&str],
        rules: &RuleSet,
    ) -> (Self, Vec<Problem>) {
        let mut problems = Vec::new();
        let mut read: BTreeMap<String, Policy> = BTreeMap::new();
        let mut unread: Vec<String> = broken.iter().map(|id| (*id).to_owned()).collect();
        for (source, document) in files {
            match Policy::from_document(*source, document) {
                Ok(policy) => match name_taken(&policy, &read) {
                    Some(problem) => problems.push(problem),
                    None => {
                        read.insert(policy.id.value.clone(), policy);
                    }
                },
                Err(found) => {
                    let id = document.root.get("id").and_then(|node| node.as_text());
                    unread.extend(id.map(str::to_owned));
                    problems.extend(found);
                }
            }
        }
        let builtin = EffectivePolicy::builtin(BUILTIN_POLICY, rules);
        let mut team: BTreeMap<String, EffectivePolicy> = unread
            .iter()
            .filter(|id| *id != BUILTIN_POLICY)
            .map(|id| (id.clone(), EffectivePolicy::builtin(id, rules)))
            .collect();
        let mut chains = Chains {
            read: &read,
            unread: &unread,
            problems: &mut problems,
        };
        let order = chains.parents_first();
        for (id, parent) in order {
            let Some(policy) = read.get(&id) else {
                continue;
            };
            let (effective, found) = {
                let above = above(parent.as_deref(), &read, &team, &builtin);
                below(policy, &above, rules)
            };
            problems.extend(found);
            team.insert(id, effective);
        }
        // The only policy of a repository judges everything, unless it says otherwise.
        if let [only] = team.values_mut().collect::<Vec<_>>().as_mut_slice()
            && read
                .get(&only.policy)
                .is_none_or(|one| one.judges.is_none())
        {
            only.judges_every = Stated::assumed(true, only.span, ONLY);
        }
        problems.sort_by(|a, b| (a.span, &a.message).cmp(&(b.span, &b.message)));
        let in_doubt = in_doubt(&read, &unread, &problems);
        let policies = Self {
            builtin,
            team,
            unread,
            in_doubt,
        };
        (policies, problems)
    }

    /// The built-in policy.
    #[must_use]
    pub fn builtin(&self) -> &EffectivePolicy {
        &self.builtin
    }

    /// The policy of this id.
    #[must_use]
    pub fn get(&self, id: &str) -> Option<&EffectivePolicy> {
        if id == BUILTIN_POLICY {
            return Some(&self.builtin);
        }
        self.team.get(id)
    }

    /// Every policy of the team, in order of id.
    pub fn team(&self) -> impl Iterator<Item = &EffectivePolicy> {
        self.team.values()
    }

    /// What is to be reported where the built-in limits stand in for a policy that has errors.
    fn stands_in(&self, effective: &EffectivePolicy) -> Option<String> {
        let id = &effective.policy;
        self.unread.contains(id).then(|| {
            format!(
                "judged by the built-in limits in place of policy `{id}`, whose file has errors"
            )
        })
    }

    /// Why the limits of a policy are not those that were meant, where they are not: its own file
    /// has errors, or that of one that it extends.
    #[must_use]
    pub fn doubt(&self, effective: &EffectivePolicy) -> Option<String> {
        let id = &effective.policy;
        self.stands_in(effective).or_else(|| {
            self.in_doubt.contains(id).then(|| {
                format!(
                    "judged by policy `{id}` without the faulty parts of its file, or of one that \
                     it extends"
                )
            })
        })
    }

    /// The policies of which every mission has to keep what they ask for, whichever it names.
    pub fn binding(&self) -> impl Iterator<Item = &EffectivePolicy> {
        self.team().filter(|policy| policy.judges_every.value)
    }

    /// The policy that judges a mission which names this one, or none; `None` where that cannot be
    /// told.
    #[must_use]
    pub fn chosen(&self, named: Option<&str>) -> Option<&EffectivePolicy> {
        let near = self.builtin.span;
        let named = named.map(|id| Stated::written(id.to_owned(), near));
        let chosen = self.choose(named.as_ref(), near);
        chosen.ok().map(|(policy, _)| policy)
    }

    /// What a policy asks for less than each of those that judge every mission, where it does.
    #[must_use]
    pub fn bypassed<'a>(&'a self, by: &EffectivePolicy) -> Vec<(&'a EffectivePolicy, Vec<Weaker>)> {
        let others = self.binding().filter(|one| one.policy != by.policy);
        let held = others.map(|one| (one, by.asks_less_than(one, OpenRules::MayBeLooser)));
        held.filter(|(_, weaker)| !weaker.is_empty()).collect()
    }

    /// The policy for a mission, with what is to be told of the choice: the one that the mission
    /// names, else the only one of the repository, else the only one that judges every mission, else
    /// the built-in one. `near` is a line of the mission to show where it names none.
    ///
    /// # Errors
    /// A [`Problem`] where the one that is named is not there, or where none is named and the
    /// repository has several, none or several of which judge every mission.
    pub fn choose(
        &self,
        named: Option<&Stated<String>>,
        near: Span,
    ) -> Result<(&EffectivePolicy, Option<String>), Box<Problem>> {
        let known: Vec<&str> = self.team.keys().map(String::as_str).collect();
        if let Some(named) = named {
            return match self.get(&named.value) {
                Some(effective) => Ok((effective, self.doubt(effective))),
                None => Err(Box::new(unknown_policy(named, &known))),
            };
        }
        let mut all = self.team.values();
        match (all.next(), all.next()) {
            (None, _) => {
                let note = "no policy file was found: offing's built-in policy applies";
                Ok((&self.builtin, Some(note.to_owned())))
            }
            (Some(only), None) => Ok((only, self.doubt(only))),
            (Some(_), Some(_)) => {
                let binding: Vec<&EffectivePolicy> = self.binding().collect();
                if let [only] = binding[..] {
                    return Ok((only, self.doubt(only)));
                }
                let text = format!(
                    "the mission names no policy, and there are {}: {}",
                    known.len(),
                    quoted(&known)
                );
                let problem = Problem::new("input-policy", near, text)
                    .labelled("`policy` belongs in here")
                    .help("name one of them under `policy`");
                Err(Box::new(problem))
            }
        }
    }
}

fn quoted(names: &[&str]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    quoted.join(", ")
}

fn unknown_policy(named: &Stated<String>, known: &[&str]) -> Problem {
    let text = format!("there is no policy `{}`", named.value);
    let problem = Problem::new("input-policy", named.span(), text);
    let mut all = known.to_vec();
    all.push(BUILTIN_POLICY);
    match nearest(&named.value, &all) {
        Some(near) => problem.help(format!("did you mean `{near}`?")),
        None => problem.help(format!("the policies are {}", quoted(&all))),
    }
}

fn name_taken(policy: &Policy, read: &BTreeMap<String, Policy>) -> Option<Problem> {
    let id = &policy.id.value;
    if id == BUILTIN_POLICY {
        let text = "`builtin` is offing's own policy, which no other may replace";
        let problem = Problem::new("input-policy", policy.id.span(), text);
        return Some(problem.help("give this policy another id"));
    }
    let other = read.get(id)?;
    let text = format!("there is another policy `{id}`");
    Some(
        Problem::new("input-policy", policy.id.span(), text)
            .with(other.id.span(), "the other one is here")
            .help("give one of them another id"),
    )
}

/// The policies whose limits are not those that were meant.
fn in_doubt(
    read: &BTreeMap<String, Policy>,
    unread: &[String],
    problems: &[Problem],
) -> BTreeSet<String> {
    let at_fault = |policy: &Policy| {
        let source = policy.id.span().source;
        problems.iter().any(|problem| problem.span.source == source)
    };
    let doubtful = |first: &Policy| {
        let mut seen = BTreeSet::new();
        let mut at = Some(first);
        while let Some(policy) = at {
            if at_fault(policy) {
                return true;
            }
            let parent = policy.extends.as_ref().map(|extends| &extends.value);
            if parent.is_some_and(|parent| unread.contains(parent)) {
                return true;
            }
            // A ring is at fault where it closes.
            at = parent
                .filter(|parent| seen.insert((*parent).clone()))
                .and_then(|parent| read.get(parent));
        }
        false
    };
    read.values()
        .filter(|policy| doubtful(policy))
        .map(|policy| policy.id.value.clone())
        .collect()
}

/// The policies above one whose parent this is, nearest first and the built-in one last.
fn above<'a>(
    parent: Option<&str>,
    read: &'a BTreeMap<String, Policy>,
    team: &'a BTreeMap<String, EffectivePolicy>,
    builtin: &'a EffectivePolicy,
) -> Vec<Above<'a>> {
    let names = parent.and_then(|parent| team.get(parent));
    let mut all: Vec<Above<'a>> = names
        .into_iter()
        .flat_map(|effective| &effective.chain)
        .filter_map(|id| {
            Some(Above {
                policy: Some(read.get(id)?),
                rules: team.get(id)?,
            })
        })
        .collect();
    all.push(Above {
        policy: None,
        rules: builtin,
    });
    all
}

/// Following `extends` from file to file.
struct Chains<'a> {
    read: &'a BTreeMap<String, Policy>,
    unread: &'a [String],
    problems: &'a mut Vec<Problem>,
}

impl Chains<'_> {
    /// Every policy after the one that it extends, with the id of that one, or with `None` for
    /// the built-in policy. One whose parent is not there, or that comes back to itself, is a
    /// problem and starts from the built-in policy.
    fn parents_first(&mut self) -> Vec<(String, Option<String>)> {
        let parents: BTreeMap<&str, Option<String>> = self
            .read
            .values()
            .map(|policy| (policy.id.value.as_str(), self.parent(policy)))
            .collect();
        let parents = without_cycles(parents, self.read, self.problems);
        let mut order: Vec<(String, Option<String>)> = parents
            .iter()
            .map(|(id, parent)| ((*id).to_owned(), parent.clone()))
            .collect();
        order.sort_by_key(|(id, _)| (depth(id, &parents), id.clone()));
        order
    }

    fn parent(&mut self, policy: &Policy) -> Option<String> {
        let extends = policy.extends.as_ref()?;
        let id = &extends.value;
        if id == BUILTIN_POLICY || self.unread.contains(id) {
            return None;
        }
        if self.read.contains_key(id) {
            return Some(id.clone());
        }
        let known: Vec<&str> = self.read.keys().map(String::as_str).collect();
        self.problems.push(unknown_policy(extends, &known));
        None
    }
}

fn without_cycles<'a>(
    mut parents: BTreeMap<&'a str, Option<String>>,
    read: &BTreeMap<String, Policy>,
    problems: &mut Vec<Problem>,
) -> BTreeMap<&'a str, Option<String>> {
    let ids: Vec<&str> = parents.keys().copied().collect();
    for id in ids {
        let mut seen = vec![id.to_owned()];
        let mut at = parents.get(id).cloned().flatten();
        while let Some(next) = at {
            if next == id {
                let span = read
                    .get(id)
                    .and_then(|policy| policy.extends.as_ref())
                    .map(Stated::span);
                seen.push(next);
                if let Some(span) = span {
                    let names: Vec<String> = seen.iter().map(|id| format!("`{id}`")).collect();
                    let text = format!(
                        "the policies extend one another in a circle: {}",
                        names.join(", ")
                    );
                    let problem = Problem::new("input-policy", span, text);
                    problems.push(problem.help("one of them must extend `builtin`"));
                }
                parents.insert(id, None);
                break;
            }
            if seen.contains(&next) {
                // A ring further up, which is reported where it closes.
                break;
            }
            at = parents.get(next.as_str()).cloned().flatten();
            seen.push(next);
        }
    }
    parents
}

fn depth(id: &str, parents: &BTreeMap<&str, Option<String>>) -> usize {
    let mut depth = 0;
    let mut at = parents.get(id).cloned().flatten();
    while let Some(next) = at
        && depth <= parents.len()
    {
        depth += 1;
        at = parents.get(next.as_str()).cloned().flatten();
    }
    depth
}
