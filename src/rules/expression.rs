//! Expressions of rules: a measure, or a calculation with measures in the Common Expression
//! Language (CEL, an open specification), checked when the rule is loaded and evaluated later.

use std::collections::{BTreeMap, HashMap};

use cel::common::ast::{IdedExpr, SourceInfo};
use cel::parser::Parser;
use cel::{Context, ExecutionError};

use super::guard;
use super::locate::Locator;
use super::typing::{Check, FINITE, Fault};
use crate::document::Node;
use crate::measures::{Measure, Scope, Type, Value};
use crate::schema::Problem;
use crate::source::{Sources, Span};

/// Stack of the thread that parses an expression. The longest one that [`guard`] lets through
/// needs less than 256 KiB in a debug build (measured); a thread of its own also keeps a panic of
/// the parser from ending the check.
const STACK: usize = 8 << 20;

/// Where an expression is parsed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Parsing {
    /// On this thread: the program's own, which tests read.
    Here,
    /// On a thread of its own.
    Apart,
}

/// An expression over measures, checked for its units.
#[derive(Debug)]
pub struct Expression {
    text: String,
    span: Span,
    of: Type,
    measures: Vec<Measure>,
    /// The tree to evaluate; `None` for a measure by itself.
    tree: Option<IdedExpr>,
}

/// Why an expression has no value.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum NoValue {
    /// A measure that settles it has no value: the last part of its name, where that is known.
    Missing(Option<String>),
    /// A calculation does not come to a finite number.
    NotFinite,
}

impl Expression {
    /// Reads the expression of a field. Problems stand on the part that they are about where the
    /// file has the expression on one line.
    ///
    /// # Errors
    /// Every [`Problem`] with it: what is no CEL, what has no place in a rule, unknown measures,
    /// units that do not go together.
    pub(super) fn from_node(
        node: &Node,
        field: &str,
        catalogue: &[Measure],
        sources: &Sources,
    ) -> Result<Self, Vec<Problem>> {
        let text = node.as_text().unwrap_or_default();
        let locator = Locator::for_scalar(node, text, sources);
        let by = match sources.is_embedded(node.span.source) {
            true => Parsing::Here,
            false => Parsing::Apart,
        };
        Self::parse((text, by), locator.whole(), catalogue).map_err(|faults| {
            faults
                .into_iter()
                .map(|fault| {
                    let message = format!("`{field}`: {}", fault.message);
                    let mut problem =
                        Problem::new("input-rule", locator.span(fault.range), message);
                    problem.help = fault.help;
                    problem
                })
                .collect()
        })
    }

    fn parse(
        (text, by): (&str, Parsing),
        span: Span,
        catalogue: &[Measure],
    ) -> Result<Self, Vec<Fault>> {
        let trimmed = text.trim();
        if let Some(measure) = catalogue.iter().find(|m| m.name == trimmed) {
            return Ok(Self {
                text: trimmed.to_owned(),
                span,
                of: measure.of,
                measures: vec![*measure],
                tree: None,
            });
        }
        if let Some((at, message)) = guard::refusal(text) {
            let end = text.ceil_char_boundary((at + 1).min(text.len()));
            let help = None;
            return Err(vec![Fault {
                range: (at, end),
                message,
                help,
            }]);
        }
        let (mut tree, info) = compile(text, by).map_err(|fault| vec![fault])?;
        let mut check = Check {
            text,
            info: &info,
            catalogue,
            measures: Vec::new(),
            faults: Vec::new(),
        };
        let of = check.part(&mut tree);
        let Check {
            measures,
            mut faults,
            ..
        } = check;
        if faults.is_empty() && measures.is_empty() {
            faults.push(Fault {
                range: (0, text.len()),
                message: "it uses no measure, so it gives the same result for every plan"
                    .to_owned(),
                help: None,
            });
        }
        match of {
            Some(of) if faults.is_empty() => Ok(Self {
                text: trimmed.to_owned(),
                span,
                of,
                measures,
                tree: Some(tree),
            }),
            _ => Err(faults),
        }
    }

    /// The expression as it is written.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Where it stands.
    #[must_use]
    pub fn span(&self) -> Span {
        self.span
    }

    /// What kind of value it has.
    #[must_use]
    pub fn value_type(&self) -> Type {
        self.of
    }

    /// The measures that it speaks of, in the order in which it does.
    #[must_use]
    pub fn measures(&self) -> &[Measure] {
        &self.measures
    }

    /// The measure that it is, where it is one measure and nothing is calculated with it.
    #[must_use]
    pub fn bare(&self) -> Option<&Measure> {
        self.measures.first().filter(|_| self.tree.is_none())
    }

    /// Its value, from the values of measures by their whole names. A measure that is not among
    /// them makes the value missing, unless `&&`, `||` or `? :` settles it without.
    pub(super) fn value(&self, known: &BTreeMap<&str, Value>) -> Result<Value, NoValue> {
        let Some(tree) = &self.tree else {
            let name = self.measures.first().map_or("", |measure| measure.name);
            return match known.get(name) {
                Some(Value::Quantity(q)) if !q.value.is_finite() => Err(NoValue::NotFinite),
                Some(value) => Ok(*value),
                None => Err(NoValue::Missing(last_part(name))),
            };
        };
        let mut context = Context::empty();
        for scope in Scope::ALL {
            let values: HashMap<String, cel::Value> = known
                .iter()
                .filter_map(|(name, value)| {
                    let (first, rest) = name.split_once('.')?;
                    let value = match value {
                        // A figure that is not finite is no figure.
                        Value::Quantity(q) if !q.value.is_finite() => return None,
                        Value::Quantity(q) => cel::Value::Float(q.value),
                        Value::Truth(truth) => cel::Value::Bool(*truth),
                    };
                    (first == scope.name()).then(|| (rest.to_owned(), value))
                })
                .collect();
            context.add_variable_from_value(scope.name(), values);
        }
        if declare(&mut context).is_err() {
            return Err(NoValue::Missing(None));
        }
        match (cel::Value::resolve(tree, &context), self.of) {
            (Ok(cel::Value::Bool(truth)), Type::Truth) => Ok(Value::Truth(truth)),
            (Ok(cel::Value::Float(value)), Type::Quantity(dimension)) if value.is_finite() => Ok(
                Value::Quantity(crate::units::Quantity::new(value, dimension)),
            ),
            (Ok(cel::Value::Float(_)) | Err(ExecutionError::FunctionError { .. }), _) => {
                Err(NoValue::NotFinite)
            }
            (Err(ExecutionError::NoSuchKey(name)), _) => {
                Err(NoValue::Missing(Some(name.to_string())))
            }
            _ => Err(NoValue::Missing(None)),
        }
    }
}

fn last_part(name: &str) -> Option<String> {
    name.split_once('.').map(|(_, rest)| rest.to_owned())
}

/// The functions that an expression may call, all over finite numbers.
fn declare(context: &mut Context<'_, '_>) -> Result<(), cel::DeclarationError> {
    context.add_function("min", |a: f64, b: f64| a.min(b))?;
    context.add_function("max", |a: f64, b: f64| a.max(b))?;
    context.add_function("abs", |a: f64| a.abs())?;
    context.add_function(FINITE, |a: f64| {
        if a.is_finite() {
            Ok(cel::Value::Float(a))
        } else {
            Err(ExecutionError::function_error(FINITE, "not finite"))
        }
    })
}

/// Parses a text that [`guard`] has let through.
fn compile(text: &str, by: Parsing) -> Result<(IdedExpr, SourceInfo), Fault> {
    let whole = |message: &str| Fault {
        range: (0, text.len()),
        message: message.to_owned(),
        help: None,
    };
    let parsed = match by {
        Parsing::Here => Parser::new().parse_with_source_info(text),
        Parsing::Apart => {
            let owned = text.to_owned();
            std::thread::Builder::new()
                .stack_size(STACK)
                .spawn(move || Parser::new().parse_with_source_info(&owned))
                .map_err(|_| whole("no thread could be started to read the expression"))?
                .join()
                .map_err(|_| whole("the expression cannot be read"))?
        }
    };
    parsed.map_err(|errors| match errors.errors.first() {
        Some(error) => stops_at(text, error.pos),
        None => whole("the expression cannot be read"),
    })
}

/// The fault at a line and column (both from 1) of the parser.
fn stops_at(text: &str, (line, column): (isize, isize)) -> Fault {
    let line = usize::try_from(line).unwrap_or(1).max(1);
    let column = usize::try_from(column).unwrap_or(1).max(1);
    let start: usize = text
        .split_inclusive('\n')
        .take(line - 1)
        .map(str::len)
        .sum();
    let rest = text.get(start..).unwrap_or_default();
    let within = rest
        .char_indices()
        .nth(column - 1)
        .map(|(at, _)| start + at);
    let help = Some("write it as CEL, such as `mission.a > q(\"30 m\") || mission.b`".to_owned());
    match within.and_then(|at| Some((at, text.get(at..)?.chars().next()?))) {
        Some((at, character)) => Fault {
            range: (at, at + character.len_utf8()),
            message: format!("the expression cannot be read from `{character}` on"),
            help,
        },
        None => Fault {
            range: (0, text.len()),
            message: "the expression ends too early".to_owned(),
            help,
        },
    }
}
