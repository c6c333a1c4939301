//! What an expression of a rule may be made of, and what kind of value each part of it has.
//!
//! Everything that is not listed here is refused. On the way the tree is made ready for
//! evaluation: quantities become numbers in their stored unit, and every sum, difference, product
//! and quotient is wrapped so that one that is not finite is an error and never a value.

use cel::common::ast::{CallExpr, Expr, IdedExpr, LiteralValue, SourceInfo, operators};

use super::locate::range_of;
use crate::measures::{Measure, Type};
use crate::schema::Former;
use crate::schema::explain::nearest;
use crate::units::{Dimension, Quantity, QuantityError, parse_quantity, symbol_meant};

/// Name under which a wrapped calculation is evaluated; no expression can spell it.
pub(super) const FINITE: &str = "@finite";

const ALLOWED: &str = "a rule may use measures, numbers, `true` and `false`, `+ - * /`, \
    `< <= > >=`, `&& || !`, `? :` and the functions `q`, `min`, `max` and `abs`";

/// Something in an expression that cannot be, with the bytes that it takes up.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Fault {
    pub range: (usize, usize),
    pub message: String,
    pub help: Option<String>,
}

/// A walk over an expression.
pub(super) struct Check<'a> {
    pub text: &'a str,
    pub info: &'a SourceInfo,
    pub catalogue: &'a [Measure],
    /// The measures that the expression speaks of, in the order in which it does.
    pub measures: Vec<Measure>,
    pub faults: Vec<Fault>,
}

/// The kind of value in words: `a length`, `true or false`.
pub(super) fn describe_type(of: Type) -> String {
    match of {
        Type::Quantity(dimension) => dimension.with_article(),
        Type::Truth => "true or false".to_owned(),
    }
}

impl Check<'_> {
    /// The kind of value that a part has; `None` where it has none, which is then told of.
    pub(super) fn part(&mut self, part: &mut IdedExpr) -> Option<Type> {
        let range = range_of(part, self.text, self.info);
        match &mut part.expr {
            Expr::Literal(literal) => self.literal(literal, range),
            Expr::Ident(_) => self.measure(range),
            Expr::Select(select) if !select.test => self.measure(range),
            Expr::Call(call) if call.target.is_none() => {
                let of = self.call(call, range)?;
                if let Some(replacement) = replaced(call) {
                    part.expr = replacement;
                }
                Some(of)
            }
            _ => self.fault(range, "this has no place in a rule", Some(ALLOWED)),
        }
    }

    fn fault<T>(
        &mut self,
        range: (usize, usize),
        message: impl Into<String>,
        help: Option<&str>,
    ) -> Option<T> {
        self.faults.push(Fault {
            range,
            message: message.into(),
            help: help.map(str::to_owned),
        });
        None
    }

    fn slice(&self, range: (usize, usize)) -> String {
        self.text.get(range.0..range.1).unwrap_or("").to_owned()
    }

    fn literal(&mut self, literal: &LiteralValue, range: (usize, usize)) -> Option<Type> {
        match literal {
            LiteralValue::Boolean(_) => Some(Type::Truth),
            LiteralValue::Double(number) if number.inner().is_finite() => {
                Some(Type::Quantity(Dimension::RATIO))
            }
            LiteralValue::Double(_) => {
                let shown = self.slice(range);
                self.fault(range, format!("`{shown}` is not a finite number"), None)
            }
            LiteralValue::Int(number) => {
                let number = *number.inner();
                self.fault(
                    range,
                    format!(
                        "`{number}` is a whole number, which cannot be combined with measured ones"
                    ),
                    Some(&format!(
                        "write `{number}.0`, or a quantity such as `q(\"{number} m\")`"
                    )),
                )
            }
            LiteralValue::UInt(_) => {
                let shown = self.slice(range);
                self.fault(
                    range,
                    format!(
                        "`{shown}` is a whole number, which cannot be combined with measured ones"
                    ),
                    Some("write it with a decimal point, such as `2.0`"),
                )
            }
            LiteralValue::String(_) => self.fault(
                range,
                "a text has no place in a rule, except as a quantity",
                Some("write a quantity as `q(\"30 m\")`"),
            ),
            LiteralValue::Bytes(_) | LiteralValue::Null => {
                self.fault(range, "this has no place in a rule", Some(ALLOWED))
            }
        }
    }

    fn measure(&mut self, range: (usize, usize)) -> Option<Type> {
        let written: String = self
            .slice(range)
            .chars()
            .filter(|c| !c.is_whitespace())
            .collect();
        if let Some(measure) = self.catalogue.iter().find(|m| m.name == written) {
            if !self.measures.iter().any(|m| m.name == measure.name) {
                self.measures.push(*measure);
            }
            return Some(measure.of);
        }
        let fault = unknown_measure(&written, range, self.catalogue);
        self.faults.push(fault);
        None
    }

    fn call(&mut self, call: &mut CallExpr, range: (usize, usize)) -> Option<Type> {
        use operators as op;
        let name = call.func_name.clone();
        match (name.as_str(), call.args.as_mut_slice()) {
            ("q", [argument]) => {
                let literal = match &argument.expr {
                    Expr::Literal(LiteralValue::String(text)) => Some(text.inner().to_owned()),
                    _ => None,
                };
                let quantity = match literal {
                    Some(text) => quantity_of_any(&text),
                    None => Err("`q` takes one quantity in quotes".to_owned()),
                };
                match quantity {
                    Ok(quantity) => {
                        argument.expr = Expr::Literal(LiteralValue::Double(quantity.value.into()));
                        Some(Type::Quantity(quantity.dimension))
                    }
                    Err(why) => self.fault(range, why, Some("write it as `q(\"30 m\")`")),
                }
            }
            (op::ADD | op::SUBSTRACT, [left, right]) => {
                let (l, r) = self.quantities(left, right)?;
                self.sum(name == op::ADD, (left, l), (right, r), range)
            }
            (op::MULTIPLY, [left, right]) => {
                let (l, r) = self.quantities(left, right)?;
                Some(Type::Quantity(l.times(r)))
            }
            (op::DIVIDE, [left, right]) => {
                let (l, r) = self.quantities(left, right)?;
                Some(Type::Quantity(l.per(r)))
            }
            (op::NEGATE | "abs", [only]) => self.quantity(only).map(Type::Quantity),
            ("min" | "max", [left, right]) => self.alike(left, right, range).map(Type::Quantity),
            (op::LESS | op::LESS_EQUALS | op::GREATER | op::GREATER_EQUALS, [left, right]) => {
                self.alike(left, right, range).map(|_| Type::Truth)
            }
            (op::EQUALS | op::NOT_EQUALS, [left, right]) => self.equality(left, right, range),
            (op::LOGICAL_AND | op::LOGICAL_OR, [left, right]) => {
                let (l, r) = (self.truth(left), self.truth(right));
                l.and(r).map(|()| Type::Truth)
            }
            (op::LOGICAL_NOT, [only]) => self.truth(only).map(|()| Type::Truth),
            (op::CONDITIONAL, [condition, left, right]) => {
                let condition = self.truth(condition);
                let (l, r) = (self.part(left), self.part(right));
                let (l, r) = (l?, r?);
                condition?;
                if l == r {
                    return Some(l);
                }
                let message = format!(
                    "one way this is {}, the other way {}",
                    describe_type(l),
                    describe_type(r)
                );
                self.fault(range, message, Some("both must be of one kind"))
            }
            ("q" | "min" | "max" | "abs", _) => {
                let due = if matches!(name.as_str(), "q" | "abs") {
                    "one value"
                } else {
                    "two values"
                };
                self.fault(range, format!("`{name}` takes {due}"), None)
            }
            (other, _)
                if other.chars().all(|c| c.is_ascii_alphanumeric() || c == '_')
                    && other.starts_with(|c: char| c.is_ascii_alphabetic()) =>
            {
                self.fault(
                    range,
                    format!("`{other}` is not a function that a rule may call"),
                    Some(ALLOWED),
                )
            }
            _ => self.fault(range, "this has no place in a rule", Some(ALLOWED)),
        }
    }

    /// A part that must be a quantity.
    fn quantity(&mut self, part: &mut IdedExpr) -> Option<Dimension> {
        let range = range_of(part, self.text, self.info);
        match self.part(part)? {
            Type::Quantity(dimension) => Some(dimension),
            Type::Truth => {
                let shown = self.slice(range);
                self.fault(
                    range,
                    format!("`{shown}` is true or false where a quantity is due"),
                    None,
                )
            }
        }
    }

    fn quantities(
        &mut self,
        left: &mut IdedExpr,
        right: &mut IdedExpr,
    ) -> Option<(Dimension, Dimension)> {
        let (l, r) = (self.quantity(left), self.quantity(right));
        Some((l?, r?))
    }

    /// A part that must be true or false.
    fn truth(&mut self, part: &mut IdedExpr) -> Option<()> {
        let range = range_of(part, self.text, self.info);
        match self.part(part)? {
            Type::Truth => Some(()),
            of @ Type::Quantity(_) => {
                let shown = self.slice(range);
                self.fault(
                    range,
                    format!(
                        "`{shown}` is {} where true or false is due",
                        describe_type(of)
                    ),
                    Some("compare it with something, such as `> q(\"30 m\")`"),
                )
            }
        }
    }

    /// Two quantities that are compared.
    fn alike(
        &mut self,
        left: &mut IdedExpr,
        right: &mut IdedExpr,
        range: (usize, usize),
    ) -> Option<Dimension> {
        let shown = self.shown(left, right);
        let (l, r) = self.quantities(left, right)?;
        if l == r {
            return Some(l);
        }
        self.unlike(&shown, (l, r), "compared", range)
    }

    fn shown(&self, left: &IdedExpr, right: &IdedExpr) -> (String, String) {
        let text = |part| self.slice(range_of(part, self.text, self.info));
        (text(left), text(right))
    }

    fn unlike<T>(
        &mut self,
        shown: &(String, String),
        (left, right): (Dimension, Dimension),
        what: &str,
        range: (usize, usize),
    ) -> Option<T> {
        let message = format!(
            "`{}` is {} and `{}` is {}; they cannot be {what}",
            shown.0,
            left.with_article(),
            shown.1,
            right.with_article()
        );
        self.fault(range, message, None)
    }

    /// A sum or difference of like quantities. Power levels are logarithms of powers: two of them
    /// differ by a level, and a level raises or lowers one.
    fn sum(
        &mut self,
        adds: bool,
        (left, l): (&IdedExpr, Dimension),
        (right, r): (&IdedExpr, Dimension),
        range: (usize, usize),
    ) -> Option<Type> {
        let of = match (l, r) {
            (Dimension::POWER_LEVEL, Dimension::POWER_LEVEL) if !adds => Some(Dimension::LEVEL),
            (Dimension::POWER_LEVEL, Dimension::POWER_LEVEL) => None,
            (Dimension::POWER_LEVEL, Dimension::LEVEL) => Some(l),
            (Dimension::LEVEL, Dimension::POWER_LEVEL) if adds => Some(r),
            _ if l == r => Some(l),
            _ => None,
        };
        if of.is_none() {
            let shown = self.shown(left, right);
            let what = if adds { "added" } else { "subtracted" };
            return self.unlike(&shown, (l, r), what, range);
        }
        of.map(Type::Quantity)
    }

    fn equality(
        &mut self,
        left: &mut IdedExpr,
        right: &mut IdedExpr,
        range: (usize, usize),
    ) -> Option<Type> {
        let (l, r) = (self.part(left), self.part(right));
        match (l?, r?) {
            (Type::Truth, Type::Truth) => Some(Type::Truth),
            _ => self.fault(
                range,
                "quantities cannot be compared for equality: two measured ones are never the same",
                Some("compare them by `<=` or `>=`"),
            ),
        }
    }
}

/// What takes the place of a call when it is evaluated.
fn replaced(call: &mut CallExpr) -> Option<Expr> {
    use operators as op;
    match call.func_name.as_str() {
        "q" => call.args.pop().map(|argument| argument.expr),
        op::ADD | op::SUBSTRACT | op::MULTIPLY | op::DIVIDE => {
            let inner = IdedExpr {
                id: 0,
                expr: Expr::Call(std::mem::take(call)),
            };
            Some(Expr::Call(CallExpr {
                func_name: FINITE.to_owned(),
                target: None,
                args: vec![inner],
            }))
        }
        _ => None,
    }
}

/// The fault of a name that is no measure's.
pub(super) fn unknown_measure(name: &str, range: (usize, usize), catalogue: &[Measure]) -> Fault {
    if let Some(former) = Former::measure(name) {
        return Fault {
            range,
            message: former.sentence(name),
            help: Some(former.help()),
        };
    }
    let known: Vec<&str> = catalogue.iter().map(|measure| measure.name).collect();
    let help = match nearest(name, &known) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "`offing measures` lists them".to_owned(),
    };
    Fault {
        range,
        message: format!("unknown measure `{name}`"),
        help: Some(help),
    }
}

/// Reads a quantity of whatever dimension its unit has.
fn quantity_of_any(text: &str) -> Result<Quantity, String> {
    match parse_quantity(text, Dimension::RATIO) {
        Err(QuantityError::WrongDimension { found, .. }) => {
            parse_quantity(text, found).map_err(|error| error.to_string())
        }
        Err(QuantityError::UnknownUnit { unit, .. }) => {
            let meant = symbol_meant(&unit);
            let hint = meant.map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
            Err(format!("`{unit}` is not a unit that offing knows{hint}"))
        }
        Err(QuantityError::NoUnit { .. }) => Err(format!("`{text}` has no unit")),
        Err(QuantityError::NoNumber { .. }) => {
            Err(format!("`{text}` does not start with a number"))
        }
        other => other.map_err(|error| error.to_string()),
    }
}
