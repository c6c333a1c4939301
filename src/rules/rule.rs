//! One rule, as its file states it.

use std::cell::RefCell;
use std::sync::Arc;

use super::bound::Bound;
use super::expression::Expression;
use crate::document::Document;
use crate::finding::{Severity, Side, Who};
use crate::measures::{Measure, Scope, Type};
use crate::schema::{Fields, Form, Kind, Problem, Stated};
use crate::source::{SourceId, Sources};
use crate::units::{Dimension, Quantity, parse_quantity};

/// Words of the severities, as files write them.
pub(super) const SEVERITIES: [(&str, Severity); 3] = [
    ("error", Severity::Error),
    ("warning", Severity::Warning),
    ("advice", Severity::Advice),
];

/// Missions that show a rule at work, by id.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Examples {
    /// Missions that it must fail.
    pub fail: Vec<Stated<String>>,
    /// Missions that it must pass.
    pub pass: Vec<Stated<String>>,
}

/// A safety rule: a bound on a measure.
#[derive(Debug)]
pub struct Rule {
    /// Its name.
    pub id: Stated<Arc<str>>,
    /// What people call it.
    pub title: String,
    /// What is bounded.
    pub measure: Expression,
    /// When it is judged; default: always.
    pub applies_when: Option<Expression>,
    /// The values that pass, as the rule's own file has them; a policy may set others.
    pub bound: Bound,
    /// How much a failure weighs, as the rule's own file has it.
    pub severity: Stated<Severity>,
    /// Why it matters.
    pub why: String,
    /// What to change.
    pub remedy: String,
    /// Who changes it.
    pub who: Who,
    /// Where the limit and the practice come from.
    pub sources: Vec<String>,
    /// Missions that show it at work.
    pub examples: Examples,
    /// What it is judged for: the mission once, or each link, or the end of the run.
    pub scope: Scope,
    /// The file that states it.
    pub source: SourceId,
}

impl Rule {
    /// Reads a rule from a file that fits its schema.
    ///
    /// # Errors
    /// Every [`Problem`] that keeps it from being judged.
    pub fn from_document(
        source: SourceId,
        document: &Document,
        catalogue: &[Measure],
        sources: &Sources,
    ) -> Result<Self, Vec<Problem>> {
        let problems = RefCell::new(Vec::new());
        let fields = Fields::root(&document.root, &problems, Form::for_kind(Kind::Rule));
        let rule = Self::of_fields(fields, source, catalogue, sources);
        let problems = problems.into_inner();
        match rule {
            Some(rule) if problems.is_empty() => Ok(rule),
            _ if problems.is_empty() => {
                // Nothing was said of what is amiss: only a file that does not fit its schema.
                let text = "the rule cannot be read";
                Err(vec![Problem::new("input-rule", document.root.span, text)])
            }
            _ => Err(problems),
        }
    }

    fn of_fields(
        fields: Fields<'_>,
        source: SourceId,
        catalogue: &[Measure],
        sources: &Sources,
    ) -> Option<Self> {
        let id = fields.required_text("id");
        let title = fields.required_text("title");
        let why = fields.required_text("why");
        let remedy = fields.required_text("remedy");
        if fields.get("severity").is_none() {
            let _ = fields.required_text("severity");
        }
        let severity = fields.word("severity", &SEVERITIES);
        let measure = expression(fields, "measure", catalogue, sources);
        let applies_when = match fields.get("applies_when") {
            None => Some(None),
            Some(_) => expression(fields, "applies_when", catalogue, sources).map(Some),
        };
        let bound = measure.as_ref().and_then(|m| bound(fields, m));
        let measure = measure?;
        let applies_when = applies_when?;
        if let Some(condition) = &applies_when
            && let Type::Quantity(dimension) = condition.value_type()
        {
            fields.problem(
                Problem::new(
                    "input-rule",
                    condition.span(),
                    format!(
                        "`applies_when` is {} where true or false is due",
                        dimension.with_article()
                    ),
                )
                .help("compare it with something, such as `> q(\"30 m\")`"),
            );
        }
        let scope = common_scope(fields, &measure, applies_when.as_ref())?;
        Some(Self {
            id: id?.map(Arc::from),
            title: title?.value,
            measure,
            applies_when,
            bound: bound?,
            severity: severity?,
            why: tidy(&why?.value),
            remedy: tidy(&remedy?.value),
            who: fields
                .word("who", &Who::ALL.map(|who| (who.label(), who)))
                .map_or(Who::Planner, |who| who.value),
            sources: fields
                .list("sources")
                .iter()
                .filter_map(|node| node.as_text().map(tidy))
                .collect(),
            examples: examples(fields),
            scope,
            source,
        })
    }

    /// The measures that it speaks of, those that are bounded first.
    #[must_use]
    pub fn measures(&self) -> Vec<Measure> {
        let mut all: Vec<Measure> = self.measure.measures().to_vec();
        for more in self.applies_when.iter().flat_map(Expression::measures) {
            if !all.iter().any(|measure| measure.name == more.name) {
                all.push(*more);
            }
        }
        all
    }

    /// What the bound is a quantity of; `None` where it is true or false.
    #[must_use]
    pub fn dimension(&self) -> Option<Dimension> {
        match self.measure.value_type() {
            Type::Quantity(dimension) => Some(dimension),
            Type::Truth => None,
        }
    }
}

/// A text on one line, with single blanks: how files break their lines is no part of it.
fn tidy(text: &str) -> String {
    let single = |byte: u8| byte.is_ascii_graphic() || byte == b' ';
    // As nearly all of them are already.
    if text.bytes().all(single) && text.trim() == text && !text.contains("  ") {
        return text.to_owned();
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn expression(
    fields: Fields<'_>,
    name: &str,
    catalogue: &[Measure],
    sources: &Sources,
) -> Option<Expression> {
    let _ = fields.required_text(name)?;
    match Expression::from_node(fields.get(name)?, name, catalogue, sources) {
        Ok(expression) => Some(expression),
        Err(problems) => {
            for problem in problems {
                fields.problem(problem);
            }
            None
        }
    }
}

fn examples(fields: Fields<'_>) -> Examples {
    let ids = |name: &str| {
        fields.map("examples").map_or_else(Vec::new, |map| {
            map.list(name)
                .iter()
                .filter_map(|node| Some(Stated::written(node.as_text()?.to_owned(), node.span)))
                .collect()
        })
    };
    Examples {
        fail: ids("fail"),
        pass: ids("pass"),
    }
}

/// The one scope that all measures of a rule share, those of the mission apart.
fn common_scope(
    fields: Fields<'_>,
    measure: &Expression,
    applies_when: Option<&Expression>,
) -> Option<Scope> {
    let mut first: Option<Measure> = None;
    for expression in std::iter::once(measure).chain(applies_when) {
        for other in expression.measures() {
            match first {
                _ if other.scope == Scope::Mission => {}
                None => first = Some(*other),
                Some(first) if first.scope == other.scope => {}
                Some(first) => {
                    fields.problem(
                        Problem::new(
                            "input-rule",
                            expression.span(),
                            format!(
                                "`{}` and `{}` are about different things, `{}` and `{}`, which \
                                 cannot be paired",
                                first.name,
                                other.name,
                                first.scope.name(),
                                other.scope.name()
                            ),
                        )
                        .help("a rule may use `mission` and one other subject"),
                    );
                    return None;
                }
            }
        }
    }
    Some(first.map_or(Scope::Mission, |measure| measure.scope))
}

fn bound(fields: Fields<'_>, measure: &Expression) -> Option<Bound> {
    let name = measure.text();
    let limits = ["at_least", "at_most"].map(|key| (key, fields.get(key)));
    match measure.value_type() {
        Type::Truth => {
            if let Some((key, Some(node))) = limits.into_iter().find(|(_, node)| node.is_some()) {
                let text = format!("`{name}` is true or false, so `{key}` does not apply to it");
                fields.problem(
                    Problem::new("input-rule", node.span, text)
                        .help("write `equals: true` or `equals: false`"),
                );
                return None;
            }
            let node = fields.get("equals")?;
            Some(Bound::Equals(Stated::written(node.as_bool()?, node.span)))
        }
        Type::Quantity(dimension) => {
            if let Some(node) = fields.get("equals") {
                let text = format!(
                    "`{name}` is {}, which no measurement equals exactly",
                    dimension.with_article()
                );
                fields.problem(
                    Problem::new("input-rule", node.span, text)
                        .help("limit it with `at_least` or `at_most`"),
                );
                return None;
            }
            if dimension.example().is_empty() {
                let text = format!(
                    "`{name}` is {}, for which no limit can be written",
                    dimension.with_article()
                );
                fields.problem(
                    Problem::new("input-rule", measure.span(), text)
                        .help("divide by a quantity of its kind, to get a share"),
                );
                return None;
            }
            let [at_least, at_most] = limits.map(|(key, _)| limit(fields, key, dimension));
            let bound = Bound::Limits {
                at_least: at_least?,
                at_most: at_most?,
            };
            let problem = crossed(&bound);
            let is_sound = problem.is_none();
            problem
                .into_iter()
                .for_each(|problem| fields.problem(problem));
            is_sound.then_some(bound)
        }
    }
}

/// A limit of the given dimension; `None` where it is there and cannot be read.
pub(super) fn limit(
    fields: Fields<'_>,
    key: &str,
    dimension: Dimension,
) -> Option<Option<Stated<Quantity>>> {
    if fields.get(key).is_none() {
        return Some(None);
    }
    let text = fields.text(key)?;
    match parse_quantity(&text.value, dimension) {
        Ok(quantity) => Some(Some(Stated::written(quantity, text.span()))),
        Err(error) => {
            fields.problem(Problem::value(text.span(), format!("`{key}`: {error}")));
            None
        }
    }
}

/// The problem with two limits between which nothing lies.
pub(super) fn crossed(bound: &Bound) -> Option<Problem> {
    let least = bound.limit(Side::AtLeast)?;
    let most = bound.limit(Side::AtMost)?;
    (least.value.value > most.value.value).then(|| {
        let text = format!(
            "no value is at least {} and at most {}",
            least.value, most.value
        );
        Problem::value(least.span(), text).with(most.span(), "the other limit is set here")
    })
}
