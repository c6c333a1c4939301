//! What a bare word means: the core schema of YAML 1.2 (section 10.3.2), without what is read in
//! different ways by different people or programs.

use super::error::quoted;
use super::node::Value;

/// Why a bare word was refused.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct ScalarFault {
    pub message: String,
    pub help: String,
}

/// The value of a bare word. A word that older YAML took for something else (`no`, `12:30`,
/// `1_000`, a date) is a text.
pub(super) fn resolve(word: &str) -> Result<Value, ScalarFault> {
    let value = match word.as_bytes().first() {
        None => Value::Null,
        Some(b'~' | b'n' | b'N' | b't' | b'T' | b'f' | b'F') => match word {
            "~" | "null" | "Null" | "NULL" => Value::Null,
            "true" | "True" | "TRUE" => Value::Bool(true),
            "false" | "False" | "FALSE" => Value::Bool(false),
            _ => Value::Text(word.to_owned()),
        },
        Some(b'0'..=b'9' | b'+' | b'-' | b'.') => return number(word),
        Some(_) => Value::Text(word.to_owned()),
    };
    Ok(value)
}

fn number(word: &str) -> Result<Value, ScalarFault> {
    let unsigned = word.strip_prefix(['+', '-']).unwrap_or(word);
    if matches!(unsigned, ".inf" | ".Inf" | ".INF") || matches!(word, ".nan" | ".NaN" | ".NAN") {
        return fault(
            format!("{} is not a finite number", quoted(word)),
            "write a number, or leave the field out if the value is not known".to_owned(),
        );
    }
    if let Some(sort) = other_base(word) {
        return fault(
            format!("{} is {sort} number", quoted(word)),
            format!("write it in decimal, or as \"{word}\" if it is a text"),
        );
    }
    let Some(shape) = Shape::parse(unsigned) else {
        return Ok(Value::Text(word.to_owned()));
    };
    if shape.whole.len() > 1 && shape.whole.starts_with('0') {
        return fault(
            format!(
                "{} starts with a zero, which some read as a number to the base 8",
                quoted(word)
            ),
            "leave out the zero; write a quantity with its unit, such as `090°`; or put a text in quotes"
                .to_owned(),
        );
    }
    if shape.is_whole {
        return match word.parse::<i64>() {
            Ok(number) => Ok(Value::Int(number)),
            Err(_) => fault(
                format!("{} is too large for a whole number", quoted(word)),
                "write a smaller number, or put it in quotes if it is a text".to_owned(),
            ),
        };
    }
    match word.parse::<f64>() {
        Ok(number) if number.is_finite() => Ok(Value::Float(number)),
        Ok(_) => fault(
            format!("{} is too large for a number", quoted(word)),
            "write a smaller number, or put it in quotes if it is a text".to_owned(),
        ),
        Err(_) => Ok(Value::Text(word.to_owned())),
    }
}

fn fault<T>(message: String, help: String) -> Result<T, ScalarFault> {
    Err(ScalarFault { message, help })
}

fn other_base(word: &str) -> Option<&'static str> {
    let all = |digits: &str, digit: fn(&u8) -> bool| {
        !digits.is_empty() && digits.as_bytes().iter().all(digit)
    };
    if let Some(digits) = word.strip_prefix("0o") {
        return all(digits, |byte| matches!(byte, b'0'..=b'7')).then_some("an octal");
    }
    let digits = word.strip_prefix("0x")?;
    all(digits, u8::is_ascii_hexdigit).then_some("a hexadecimal")
}

/// A decimal number taken apart: `[-+]? ( \. [0-9]+ | [0-9]+ ( \. [0-9]* )? ) ( [eE] [-+]? [0-9]+ )?`
struct Shape<'text> {
    whole: &'text str,
    is_whole: bool,
}

impl<'text> Shape<'text> {
    fn parse(unsigned: &'text str) -> Option<Self> {
        let digits = |text: &str| {
            text.bytes()
                .position(|byte| !byte.is_ascii_digit())
                .unwrap_or(text.len())
        };
        let (whole, mut rest) = unsigned.split_at(digits(unsigned));
        let mut is_whole = true;
        if let Some(fraction) = rest.strip_prefix('.') {
            let length = digits(fraction);
            if whole.is_empty() && length == 0 {
                return None;
            }
            rest = &fraction[length..];
            is_whole = false;
        } else if whole.is_empty() {
            return None;
        }
        if let Some(exponent) = rest.strip_prefix(['e', 'E']) {
            let exponent = exponent.strip_prefix(['+', '-']).unwrap_or(exponent);
            if exponent.is_empty() {
                return None;
            }
            rest = &exponent[digits(exponent)..];
            is_whole = false;
        }
        rest.is_empty().then_some(Self { whole, is_whole })
    }
}
