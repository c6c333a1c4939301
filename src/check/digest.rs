//! What a plan is, byte for byte: a digest of every file that it is made of and judged by, so that
//! paper, approval and repository can be held against each other.

use std::collections::BTreeMap;

use sha2::{Digest as _, Sha256};

use crate::document::Node;
use crate::plan::{FileOfKind, Gathered, Plan};
use crate::rules::EffectivePolicy;
use crate::schema::Kind;
use crate::source::{SourceId, Sources, resolve};
use crate::yaml::Yaml;

/// One file with the digest of its bytes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct InputDigest {
    /// What it is to the plan, one of [`ROLES`](Self::ROLES).
    pub role: &'static str,
    /// Its id; for geodata the id of the site.
    pub name: String,
    /// Its path.
    pub path: String,
    /// SHA-256 of its bytes (FIPS 180-4), 64 hexadecimal digits, as `sha256sum` prints it.
    pub sha256: String,
}

impl InputDigest {
    /// What a file can be to a plan.
    pub const ROLES: [&'static str; 9] = [
        "mission",
        "repeated",
        "vessel",
        "site",
        "shoreline",
        "soundings",
        "orders",
        "policy",
        "rule",
    ];
}

/// Everything that a plan is made of and judged by.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Digests {
    /// Every file: mission, the one that it repeats, vessel, site, its geodata, the orders, the policies from its
    /// own upwards, the rules of the team by id.
    pub files: Vec<InputDigest>,
    /// The lines that are signed where a plan is approved. They name no path, so that they are the
    /// same in every clone.
    pub statement: String,
    /// SHA-256 of the statement: the digest of the plan as a whole.
    pub whole: String,
}

/// SHA-256 of a text's bytes in 64 hexadecimal digits.
#[must_use]
pub fn sha256(text: &str) -> String {
    format!("{:x}", Sha256::digest(text.as_bytes()))
}

impl Digests {
    /// The files with their digests, as decisions and records have them.
    #[must_use]
    pub(crate) fn in_yaml(&self) -> Yaml {
        let all = self.files.iter().map(|file| {
            Yaml::Inline(vec![
                ("role", Yaml::word(file.role)),
                ("name", Yaml::text(&file.name)),
                ("path", Yaml::text(&file.path)),
                ("sha256", Yaml::text(&file.sha256)),
            ])
        });
        Yaml::List(all.collect())
    }
}

/// Digests of the plans of one loading; each file is hashed once, however many plans it is in.
pub struct Digester<'a> {
    sources: &'a Sources,
    by_id: BTreeMap<(Kind, &'a str), &'a FileOfKind>,
    rules: Vec<&'a FileOfKind>,
    known: BTreeMap<SourceId, String>,
}

impl<'a> Digester<'a> {
    /// Over files gathered from a tree.
    #[must_use]
    pub fn new(gathered: &'a Gathered, sources: &'a Sources) -> Self {
        let mut by_id = BTreeMap::new();
        for file in &gathered.files {
            if let Some((id, _)) = &file.id {
                // Of two under one id the first is the one that plans are linked with.
                by_id.entry((file.kind, id.as_str())).or_insert(file);
            }
        }
        let mut rules: Vec<&FileOfKind> = gathered.of_kind(Kind::Rule).collect();
        rules.sort_by_key(|file| file.id.as_ref().map(|(id, _)| id.as_str()));
        Self {
            sources,
            by_id,
            rules,
            known: BTreeMap::new(),
        }
    }

    /// The digests of a plan as a policy judges it.
    #[must_use]
    pub fn plan(&mut self, plan: &Plan, policy: &EffectivePolicy) -> Digests {
        let mut files = Vec::new();
        let mission = &plan.mission.id;
        self.take("mission", &mission.value, mission.span().source, &mut files);
        if let Some(repeated) = &plan.repeats {
            self.take("repeated", &repeated.id, repeated.source, &mut files);
        }
        let vessel = &plan.vessel.id;
        self.take("vessel", &vessel.value, vessel.span().source, &mut files);
        let site = &plan.site.id;
        self.take("site", &site.value, site.span().source, &mut files);
        self.geodata(&site.value, &mut files);
        if let Some(orders) = &plan.orders {
            self.take("orders", &orders.id, orders.source, &mut files);
        }
        self.judging_into(policy, &mut files);
        let lines = files
            .iter()
            .map(|file| (file.sha256.as_str(), file.role, file.name.as_str()));
        let statement = statement(&policy.policy, lines);
        Digests {
            whole: sha256(&statement),
            statement,
            files,
        }
    }

    /// The files that a policy judges by: its own, those that it extends, and the team's rules.
    #[must_use]
    pub fn judging(&mut self, policy: &EffectivePolicy) -> Vec<InputDigest> {
        let mut files = Vec::new();
        self.judging_into(policy, &mut files);
        files
    }

    fn judging_into(&mut self, policy: &EffectivePolicy, files: &mut Vec<InputDigest>) {
        for id in &policy.chain {
            if let Some(file) = self.by_id.get(&(Kind::Policy, id.as_str())) {
                self.take("policy", id, file.source, files);
            }
        }
        for file in self.rules.clone() {
            let id = file.id.as_ref().map_or("", |(id, _)| id.as_str());
            // One that is no rule in force, such as a copy of a built-in one, judges nothing.
            let in_force = policy.get(id);
            if in_force.is_none_or(|rule| rule.rule.id.span().source != file.source) {
                continue;
            }
            self.take("rule", id, file.source, files);
        }
    }

    fn geodata(&mut self, site: &str, files: &mut Vec<InputDigest>) {
        let Some(file) = self.by_id.get(&(Kind::Site, site)).copied() else {
            return;
        };
        let from = self.sources.path(file.source);
        for role in ["shoreline", "soundings"] {
            let group = file.document.root.get(role);
            let named = group.and_then(|group| group.get("file").and_then(Node::as_text));
            let path = named.and_then(|named| resolve(from, named).ok());
            if let Some(source) = path.and_then(|path| self.sources.find(&path)) {
                self.take(role, site, source, files);
            }
        }
    }

    fn take(
        &mut self,
        role: &'static str,
        name: &str,
        source: SourceId,
        files: &mut Vec<InputDigest>,
    ) {
        let Some(file) = self.sources.get(source) else {
            return;
        };
        let known = self.known.entry(source);
        files.push(InputDigest {
            role,
            name: name.to_owned(),
            path: file.path().to_owned(),
            sha256: known.or_insert_with(|| sha256(file.text())).clone(),
        });
    }
}

/// The lines that stand for a plan: what they are, the policy that judges, and of each file its
/// digest, its role and its name.
#[must_use]
pub fn statement<'a>(
    policy: &str,
    files: impl IntoIterator<Item = (&'a str, &'a str, &'a str)>,
) -> String {
    let mut text = format!("offing plan 1\npolicy {policy}\n");
    for (sha256, role, name) in files {
        text.push_str(&format!("{sha256}  {role} {name}\n"));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::sha256;

    /// FIPS 180-4, the examples of its companion document: one block, and the empty text (from
    /// memory).
    #[test]
    fn sha_256_of_the_standards_examples() {
        assert_eq!(
            sha256("abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
        assert_eq!(
            sha256(""),
            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
        );
    }
}
