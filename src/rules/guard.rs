//! What is refused before an expression reaches its parser, which goes one call deeper for every
//! bracket and for every operator of a chain: a stack that runs out ends the program and cannot
//! be caught.

/// Most operators, and most dots between names.
const MOST_OPERATORS: usize = 64;
/// Most brackets inside one another.
const MOST_BRACKETS: usize = 16;
/// Longest expression in bytes.
const LONGEST: usize = 1000;

/// Why a text is not even read as an expression, with the byte at which it is too much. It counts
/// whatever looks like an operator, inside a text too, so that no spelling gets past it.
pub(super) fn refusal(text: &str) -> Option<(usize, String)> {
    if text.len() > LONGEST {
        let why = format!(
            "the expression is {} bytes long; at most {LONGEST} are read",
            text.len()
        );
        return Some((0, why));
    }
    let bytes = text.as_bytes();
    let (mut open, mut operators, mut dots) = (0_usize, 0_usize, 0_usize);
    for (at, byte) in bytes.iter().enumerate() {
        let previous = at.checked_sub(1).and_then(|i| bytes.get(i));
        match byte {
            b'(' => open += 1,
            b')' => open = open.saturating_sub(1),
            b'[' | b']' | b'{' | b'}' | b'`' => {
                return Some((
                    at,
                    "an expression of a rule has no lists or maps".to_owned(),
                ));
            }
            // A decimal point is part of its number.
            b'.' if is_digit(previous) && is_digit(bytes.get(at + 1)) => {}
            b'.' => dots += 1,
            // The second sign of `&&`, `||`, `==`, `<=`, `>=` and `!=` belongs to the first.
            b'&' if previous == Some(&b'&') => {}
            b'|' if previous == Some(&b'|') => {}
            b'=' if matches!(previous, Some(b'=' | b'<' | b'>' | b'!')) => {}
            b'+' | b'-' | b'*' | b'/' | b'%' | b'!' | b'<' | b'>' | b'=' | b'&' | b'|' | b'?' => {
                operators += 1;
            }
            b'i' if is_word_in(bytes, at) => operators += 1,
            _ => {}
        }
        if open > MOST_BRACKETS {
            let why = format!("more than {MOST_BRACKETS} nested brackets");
            return Some((at, why));
        }
        if operators > MOST_OPERATORS || dots > MOST_OPERATORS {
            let why = format!("the expression has more than {MOST_OPERATORS} operators");
            return Some((at, why));
        }
    }
    None
}

fn is_digit(byte: Option<&u8>) -> bool {
    byte.is_some_and(u8::is_ascii_digit)
}

fn is_word_in(bytes: &[u8], at: usize) -> bool {
    let part = |byte: Option<&u8>| byte.is_some_and(|b| b.is_ascii_alphanumeric() || *b == b'_');
    bytes.get(at + 1) == Some(&b'n')
        && !part(bytes.get(at + 2))
        && !part(at.checked_sub(1).and_then(|i| bytes.get(i)))
}
