//! Reading a quantity from the text a plan writes: `1.2 m/s`, `30 %`, `1 h 30 min`, `240°`.

use thiserror::Error;

use super::dimension::Dimension;
use super::meant;
use super::quantity::Quantity;
use super::table;

/// Longest text that is looked at; the longest sensible quantity is a fraction of it.
const LONGEST: usize = 64;

/// Why a text is not the quantity that was requested.
#[derive(Clone, PartialEq, Debug, Error)]
pub enum QuantityError {
    /// Nothing in the text reads as a number.
    #[error("`{text}` does not start with a number; write {} such as `{}`", expected.with_article(), expected.example())]
    NoNumber {
        /// What was written.
        text: String,
        /// What was due.
        expected: Dimension,
    },
    /// A comma stands where the point of a decimal number is due.
    #[error("`{text}` has a comma in its number; use a decimal point, such as `{}`", text.replacen(',', ".", 1))]
    DecimalComma {
        /// What was written.
        text: String,
    },
    /// The number stands alone.
    #[error("`{text}` has no unit; write {} such as `{}`", expected.with_article(), expected.example())]
    NoUnit {
        /// What was written.
        text: String,
        /// What was due.
        expected: Dimension,
    },
    /// The unit is not known.
    #[error("`{unit}` is not a unit that offing knows; {}", known_or_meant(*meant, *expected, known))]
    UnknownUnit {
        /// The unit as written.
        unit: String,
        /// What was due.
        expected: Dimension,
        /// Units of that dimension.
        known: String,
        /// The unit whose name was written for its symbol, where one is plainly meant.
        meant: Option<&'static str>,
    },
    /// A dash of typography stands where the minus is due.
    #[error("`{text}` starts with {dash}; write `{plain}`, with the plain hyphen of the keyboard")]
    Dash {
        /// What was written.
        text: String,
        /// The character, by name.
        dash: &'static str,
        /// The same with a plain hyphen.
        plain: String,
    },
    /// The unit is one of another dimension.
    #[error("`{text}` is {} where {} is due, such as `{}`", found.with_article(), expected.with_article(), expected.example())]
    WrongDimension {
        /// What was written.
        text: String,
        /// Its dimension.
        found: Dimension,
        /// What was due.
        expected: Dimension,
    },
    /// The number is not finite.
    #[error("`{text}` is not a finite number")]
    NotFinite {
        /// What was written.
        text: String,
    },
}

/// Reads a quantity of whichever dimension its unit is of; `None` where the text is none.
#[must_use]
pub(crate) fn parse_any(text: &str) -> Option<Quantity> {
    let (_, after) = split_number(text.trim())?;
    let (symbol, _) = split_unit(after);
    let unit = table::find(symbol)?;
    parse_quantity(text, unit.dimension).ok()
}

/// Reads a quantity of a given dimension.
///
/// A duration may be a sum of falling units, `1 h 30 min`.
///
/// # Errors
/// [`QuantityError`] where the text has no number, no unit, an unknown unit, another dimension,
/// or is not finite.
pub fn parse_quantity(text: &str, expected: Dimension) -> Result<Quantity, QuantityError> {
    let shown = || text.chars().take(LONGEST).collect::<String>();
    let mut rest = text.trim();
    if text.len() > LONGEST {
        return Err(QuantityError::NoNumber {
            text: shown(),
            expected,
        });
    }
    let mut total = 0.0;
    let mut smallest_so_far = f64::INFINITY;
    loop {
        let (number, after) =
            split_number(rest).ok_or_else(|| match meant::typographic_minus(rest) {
                Some((dash, plain)) => QuantityError::Dash {
                    text: shown(),
                    dash,
                    plain,
                },
                None => QuantityError::NoNumber {
                    text: shown(),
                    expected,
                },
            })?;
        let mut next = after.bytes();
        if next.next() == Some(b',') && next.next().is_some_and(|byte| byte.is_ascii_digit()) {
            return Err(QuantityError::DecimalComma { text: shown() });
        }
        let (symbol, after) = split_unit(after);
        if symbol.is_empty() {
            return Err(QuantityError::NoUnit {
                text: shown(),
                expected,
            });
        }
        // A name of several words is one unit, and no sum.
        let whole = rest[number.len()..].trim();
        if whole != symbol && meant::unit(whole, expected).is_some() {
            return Err(unknown(whole.to_owned(), expected));
        }
        let unit = table::find(symbol).ok_or_else(|| unknown(symbol.to_owned(), expected))?;
        if unit.dimension != expected {
            return Err(QuantityError::WrongDimension {
                text: shown(),
                found: unit.dimension,
                expected,
            });
        }
        let value: f64 =
            number
                .replace('\u{2212}', "-")
                .parse()
                .map_err(|_| QuantityError::NoNumber {
                    text: shown(),
                    expected,
                })?;
        // Falling units only, so that `30 min 1 h` or `5 m 3 m` is not read as a sum.
        if unit.factor >= smallest_so_far || (smallest_so_far.is_finite() && value < 0.0) {
            let unit = text.trim_start_matches(number).trim().to_owned();
            return Err(unknown(unit, expected));
        }
        smallest_so_far = unit.factor;
        total += value * unit.factor;
        if !total.is_finite() {
            return Err(QuantityError::NotFinite { text: shown() });
        }
        rest = after.trim_start();
        if rest.is_empty() {
            return Ok(Quantity::new(total, expected));
        }
        if expected != Dimension::TIME {
            return Err(unknown(format!("{symbol} {rest}"), expected));
        }
    }
}

fn unknown(unit: String, expected: Dimension) -> QuantityError {
    QuantityError::UnknownUnit {
        meant: meant::unit(&unit, expected),
        unit,
        expected,
        known: known_list(expected),
    }
}

fn known_or_meant(meant: Option<&str>, expected: Dimension, known: &str) -> String {
    match meant {
        Some(symbol) => format!("did you mean `{symbol}`?"),
        None => format!("for {} it knows {known}", expected.with_article()),
    }
}

fn known_list(dimension: Dimension) -> String {
    let quoted: Vec<String> = table::symbols_of(dimension)
        .map(|symbol| format!("`{symbol}`"))
        .collect();
    quoted.join(", ")
}

/// Splits a leading decimal number from what follows it.
pub(super) fn split_number(text: &str) -> Option<(&str, &str)> {
    let bytes = text.as_bytes();
    let mut at = 0;
    if text.starts_with(['+', '-']) {
        at = 1;
    } else if text.starts_with('\u{2212}') {
        at = '\u{2212}'.len_utf8();
    }
    let digits = |from: usize| {
        bytes[from..]
            .iter()
            .take_while(|b| b.is_ascii_digit())
            .count()
    };
    let whole = digits(at);
    at += whole;
    let mut fraction = 0;
    if bytes.get(at) == Some(&b'.') {
        fraction = digits(at + 1);
        if fraction == 0 {
            return None;
        }
        at += 1 + fraction;
    }
    if whole + fraction == 0 {
        return None;
    }
    if matches!(bytes.get(at), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(at + 1), Some(b'+' | b'-')));
        let exponent = digits(at + 1 + sign);
        if exponent > 0 {
            at += 1 + sign + exponent;
        }
    }
    Some((&text[..at], &text[at..]))
}

/// Splits a unit from what follows it: up to white space or the next number.
pub(super) fn split_unit(text: &str) -> (&str, &str) {
    let text = text.trim_start();
    let end = text.find(char::is_whitespace).unwrap_or(text.len());
    (&text[..end], &text[end..])
}
