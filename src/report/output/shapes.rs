//! Shapes that several outputs have.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Side, Verdict};
use crate::finding;
use crate::report::quantity;
use crate::source::{Sources, Span};
use crate::{envelope, units};

/// What a SHA-256 looks like: 64 hexadecimal digits.
pub(crate) const SHA256: &str = "^[0-9a-f]{64}$";

/// A quantity in the unit that it is stored in and in words.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Quantity {
    /// Value in `unit`; null where it is no finite number.
    value: Option<f64>,
    /// SI unit of the value, with rad, °C, dB, dBm and bit beside it; `1` for a share or a count.
    #[schemars(length(min = 1))]
    unit: String,
    /// The quantity as people read it, such as `29.9 %`.
    #[schemars(length(min = 1))]
    text: String,
}

impl Quantity {
    /// With a text of its own.
    fn with_text(of: units::Quantity, text: String) -> Self {
        Self {
            value: of.value.is_finite().then_some(of.value),
            unit: quantity::stored_unit(of.dimension),
            text,
        }
    }

    /// A value and its limit, their texts told apart where they differ at all.
    pub(crate) fn beside(value: units::Quantity, limit: units::Quantity) -> (Self, Self) {
        let (measured, bound) = quantity::beside(value, limit);
        (
            Self::with_text(value, measured),
            Self::with_text(limit, bound),
        )
    }

    /// Of a quantity with its dimension in its type.
    pub(crate) fn typed<T: units::Typed>(of: T) -> Self {
        of.quantity().into()
    }
}

impl From<units::Quantity> for Quantity {
    fn from(of: units::Quantity) -> Self {
        Self::with_text(of, quantity::text(of))
    }
}

/// A place in a file.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Point {
    /// Line, from 1.
    #[schemars(range(min = 1))]
    line: u32,
    /// Column in characters (Unicode scalar values), from 1.
    #[schemars(range(min = 1))]
    column: u32,
    /// Offset from the start of the file in bytes of UTF-8, from 0.
    byte: u32,
}

/// A stretch of a file.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Location<'a> {
    /// Path from the root of the repository, or `builtin:` and a name for a text that is part of the program.
    path: &'a str,
    /// Where it begins.
    start: Point,
    /// Where it ends: the first place that no longer belongs to it.
    end: Point,
}

impl<'a> Location<'a> {
    /// Where a span is.
    pub(crate) fn from_span(span: Span, sources: &'a Sources) -> Self {
        let (start, end) = (sources.position(span), sources.end_position(span));
        Self {
            path: sources.path(span.source),
            start: Point {
                line: start.line,
                column: start.column,
                byte: span.start,
            },
            end: Point {
                line: end.line,
                column: end.column,
                byte: span.end,
            },
        }
    }
}

/// A stretch of a file, with what it contributes to a finding.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Label<'a> {
    /// What it contributes.
    text: &'a str,
    /// Where it stands.
    location: Location<'a>,
}

impl<'a> Label<'a> {
    /// A label of a finding.
    pub(crate) fn from_label(label: &'a finding::Label, sources: &'a Sources) -> Self {
        Self {
            text: &label.text,
            location: Location::from_span(label.span, sources),
        }
    }
}

/// A rule that is not met.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Binding<'a> {
    /// Id of the rule.
    rule: &'a str,
    /// Whether it fails or could not be judged.
    #[schemars(extend("enum" = [Verdict::Fails, Verdict::NotEvaluated]))]
    verdict: Verdict,
}

impl<'a> Binding<'a> {
    /// All of them, in their order.
    pub(crate) fn all(of: &'a [envelope::Binding]) -> Vec<Self> {
        let all = of.iter().map(|one| Self {
            rule: &one.rule,
            verdict: one.verdict.into(),
        });
        all.collect()
    }
}

/// A moment.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Moment<'a> {
    /// In universal time.
    #[schemars(extend("format" = "date-time"))]
    time: String,
    /// In the site's own time, with its offset.
    text: &'a str,
}

impl<'a> From<&'a envelope::Moment> for Moment<'a> {
    fn from(of: &'a envelope::Moment) -> Self {
        Self {
            time: of.time.to_string(),
            text: &of.text,
        }
    }
}

/// A value against its limit.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Comparison {
    /// The value.
    measured: Quantity,
    /// The limit in force.
    limit: Quantity,
    /// Which side of the limit passes.
    side: Side,
    /// How far the value is past the limit; negative where it is within.
    shortfall: Quantity,
}

impl From<&finding::Comparison> for Comparison {
    fn from(of: &finding::Comparison) -> Self {
        let (measured, limit) = Quantity::beside(of.measured, of.limit);
        Self {
            measured,
            limit,
            side: of.side.into(),
            shortfall: of.shortfall().into(),
        }
    }
}
