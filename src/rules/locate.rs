//! Where a part of an expression stands in its rule file.

use cel::common::ast::{Expr, IdedExpr, SourceInfo};

use crate::document::Node;
use crate::source::{Sources, Span};

/// The way from bytes of an expression to bytes of the file that it stands in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Locator {
    whole: Span,
    /// The byte of the file at which the expression begins, where the file has it letter for
    /// letter: on one line, without escapes or folding.
    begins: Option<u32>,
}

impl Locator {
    /// For the text of a scalar.
    pub(super) fn for_scalar(node: &Node, text: &str, sources: &Sources) -> Self {
        let written = sources.slice(node.span);
        let quotes = u32::from(!node.plain && written.starts_with(['"', '\'']));
        let inner = match quotes {
            0 => written,
            _ => written
                .get(1..written.len().saturating_sub(1))
                .unwrap_or_default(),
        };
        Self {
            whole: node.span,
            begins: (inner == text).then_some(node.span.start + quotes),
        }
    }

    /// The whole expression.
    pub(super) fn whole(self) -> Span {
        self.whole
    }

    /// The span of a range of bytes of the expression; the whole where it cannot be narrowed.
    pub(super) fn span(self, range: (usize, usize)) -> Span {
        let narrowed = || {
            let start = self.begins? + u32::try_from(range.0).ok()?;
            let end = self.begins? + u32::try_from(range.1).ok()?;
            (start < end && end <= self.whole.end).then(|| Span::new(self.whole.source, start, end))
        };
        narrowed().unwrap_or(self.whole)
    }
}

/// The bytes of an expression that a part of it takes up. The parser tells only where each
/// operator, name or literal stands; the rest is put together from the parts.
pub(super) fn range_of(part: &IdedExpr, text: &str, info: &SourceInfo) -> (usize, usize) {
    let (mut start, mut end) = spread(part, text, info).unwrap_or((0, text.len()));
    start = text.floor_char_boundary(start);
    end = text.ceil_char_boundary(end.min(text.len()));
    balance(text, start, end)
}

fn spread(part: &IdedExpr, text: &str, info: &SourceInfo) -> Option<(usize, usize)> {
    let own = info
        .offset_for(part.id)
        .map(|(first, last)| (first as usize, last as usize + 1));
    let (mut start, mut end) = own?;
    let mut include = |other: Option<(usize, usize)>| {
        if let Some((from, to)) = other {
            start = start.min(from);
            end = end.max(to);
        }
    };
    match &part.expr {
        Expr::Select(select) => {
            include(spread(&select.operand, text, info));
            let dot = own?.1;
            let field = text.get(dot..)?.find(select.field.as_str())? + dot;
            include(Some((field, field + select.field.len())));
        }
        Expr::Call(call) => {
            for argument in call.target.iter().map(AsRef::as_ref).chain(&call.args) {
                include(spread(argument, text, info));
            }
            // A function's name stands before the bracket that the parser tells of; no operator's
            // internal name is ever found in a text.
            let before = text.get(..own?.0)?.trim_end();
            if let Some(rest) = before.strip_suffix(call.func_name.as_str()) {
                include(Some((rest.len(), own?.1)));
            }
        }
        Expr::Literal(_) => {
            // The sign of a negative number is not part of the parser's token.
            let before = text.get(..own?.0)?.trim_end();
            if before.ends_with('-') && is_negative(part) {
                include(Some((before.len() - 1, own?.1)));
            }
        }
        _ => {}
    }
    Some((start, end))
}

fn is_negative(part: &IdedExpr) -> bool {
    use cel::common::ast::LiteralValue;
    match &part.expr {
        Expr::Literal(LiteralValue::Int(number)) => *number.inner() < 0,
        Expr::Literal(LiteralValue::Double(number)) => *number.inner() < 0.0,
        _ => false,
    }
}

/// Widens a range over the brackets that it would otherwise cut in two.
fn balance(text: &str, mut start: usize, mut end: usize) -> (usize, usize) {
    loop {
        let inside = text.get(start..end).unwrap_or_default();
        let (mut depth, mut lowest) = (0_i32, 0_i32);
        for byte in inside.bytes() {
            depth += i32::from(byte == b'(') - i32::from(byte == b')');
            lowest = lowest.min(depth);
        }
        if lowest < 0 {
            match text.get(..start).and_then(|before| before.rfind('(')) {
                Some(open) => start = open,
                None => return (start, end),
            }
        } else if depth > 0 {
            match text.get(end..).and_then(|after| after.find(')')) {
                Some(close) => end += close + 1,
                None => return (start, end),
            }
        } else {
            return (start, end);
        }
    }
}
