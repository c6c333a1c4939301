//! Every rule that there is: those built in and the team's own.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::builtin::{BUILTIN_RULES, tables};
use super::rule::Rule;
use crate::document::{Document, ParseLimits, parse, table};
use crate::measures::Measure;
use crate::schema::explain::nearest;
use crate::schema::{Former, Problem};
use crate::source::{SourceId, Sources, Span};

/// All rules by id.
#[derive(Clone, Debug, Default)]
pub struct RuleSet {
    /// In order of id.
    rules: Vec<Arc<Rule>>,
    builtin: BTreeSet<Arc<str>>,
    /// Ids of rules that could not be read; what is wrong with them is reported once, elsewhere.
    broken: BTreeSet<String>,
}

impl RuleSet {
    /// The rules that are built in. Their texts become sources `builtin:rules/…`, so that
    /// findings and problems can point into them. They are made from their table, which a test holds to be what
    /// parsing them gives, as one holds that they fit their schema.
    ///
    /// # Errors
    /// Every [`Problem`] with them, which is a fault of the program and not of a team's files.
    pub fn builtin(sources: &mut Sources, catalogue: &[Measure]) -> Result<Self, Vec<Problem>> {
        let mut set = Self::default();
        let mut problems = Vec::new();
        let mut tables = tables();
        for (path, text) in BUILTIN_RULES {
            let source = sources.add_embedded(format!("builtin:{path}"), *text);
            let table = tables.next().filter(|(of, _)| of == path);
            let read = table.and_then(|(_, lines)| table::read(source, text, lines));
            let document = match read.map_or_else(|| parse(source, text, &ParseLimits::YAML), Ok) {
                Ok(document) => document,
                Err(errors) => {
                    problems.extend(errors.into_iter().map(Problem::from));
                    continue;
                }
            };
            problems.extend(set.add(source, &document, catalogue, sources));
        }
        set.builtin = set
            .rules
            .iter()
            .map(|rule| Arc::clone(&rule.id.value))
            .collect();
        if problems.is_empty() {
            Ok(set)
        } else {
            Err(problems)
        }
    }

    /// Adds a team's rules: files that fit the schema of rules, and the ids of those that do not,
    /// which are problems already. A rule that cannot be read, or that takes the name of another,
    /// is a problem and is left out.
    #[must_use]
    pub fn with_team(
        mut self,
        files: &[(SourceId, &Document)],
        broken: &[&str],
        catalogue: &[Measure],
        sources: &Sources,
    ) -> (Self, Vec<Problem>) {
        self.broken.extend(broken.iter().map(|id| (*id).to_owned()));
        let mut problems = Vec::new();
        for (source, document) in files {
            problems.extend(self.add(*source, document, catalogue, sources));
        }
        (self, problems)
    }

    fn add(
        &mut self,
        source: SourceId,
        document: &Document,
        catalogue: &[Measure],
        sources: &Sources,
    ) -> Vec<Problem> {
        let rule = match Rule::from_document(source, document, catalogue, sources) {
            Ok(rule) => rule,
            Err(problems) => {
                let id = document.root.get("id").and_then(|node| node.as_text());
                self.broken.extend(id.map(str::to_owned));
                return problems;
            }
        };
        let at = self
            .rules
            .binary_search_by(|other| other.id.value.cmp(&rule.id.value));
        match at {
            // A copy of a built-in rule, to the letter, is no other rule.
            Ok(taken) if self.is_copy(&rule, taken, sources) => Vec::new(),
            Ok(taken) => vec![self.taken(&rule, taken)],
            Err(place) => {
                self.rules.insert(place, Arc::new(rule));
                Vec::new()
            }
        }
    }

    fn is_copy(&self, rule: &Rule, of: usize, sources: &Sources) -> bool {
        let text = |source: SourceId| sources.get(source).map(|file| file.text());
        self.builtin.contains(&rule.id.value)
            && self
                .rules
                .get(of)
                .is_some_and(|other| text(other.source) == text(rule.source))
    }

    fn taken(&self, rule: &Rule, by: usize) -> Problem {
        let id = &*rule.id.value;
        let problem = if self.builtin.contains(id) {
            let text = format!("`{id}` is a built-in rule, which no other may replace");
            Problem::new("input-rule", rule.id.span(), text)
                .help("give this rule another id; a policy may tighten the built-in one")
        } else {
            let text = format!("there is another rule `{id}`");
            Problem::new("input-rule", rule.id.span(), text).help("give one of them another id")
        };
        match self.rules.get(by) {
            Some(other) => problem.with(other.id.span(), "the other one is here"),
            None => problem,
        }
    }

    /// The rules, in order of id.
    #[must_use]
    pub fn rules(&self) -> &[Arc<Rule>] {
        &self.rules
    }

    /// The rule of this id.
    #[must_use]
    pub fn get(&self, id: &str) -> Option<&Arc<Rule>> {
        self.rules.iter().find(|rule| &*rule.id.value == id)
    }

    /// Whether the rule of this id is one that offing brings.
    #[must_use]
    pub fn is_builtin(&self, id: &str) -> bool {
        self.builtin.contains(id)
    }

    /// The problem with an id that no rule has; `None` for one that a broken rule has.
    pub(super) fn unknown(&self, id: &str, span: Span) -> Option<Problem> {
        if self.broken.contains(id) {
            return None;
        }
        if let Some(former) = Former::rule(id) {
            return Some(former.problem("input-policy", span, id));
        }
        let known: Vec<&str> = self.rules.iter().map(|r| &*r.id.value).collect();
        let problem = Problem::new("input-policy", span, format!("there is no rule `{id}`"));
        Some(match nearest(id, &known) {
            Some(near) => problem.help(format!("did you mean `{near}`?")),
            None => {
                let quoted: Vec<String> = known.iter().map(|id| format!("`{id}`")).collect();
                problem.help(format!("the rules are {}", quoted.join(", ")))
            }
        })
    }
}
