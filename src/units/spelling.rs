//! The canonical spelling of a quantity: `5kn` is `5 kn`. It changes how a value is written and never the
//! value: no unit is converted, and no digit after the point is added or taken away.

use super::dimension::Dimension;
use super::parse::{parse_quantity, split_number, split_unit};
use super::table;

/// A quantity spelled in the canonical way: a plain hyphen for a minus, no plus, a digit before the point and
/// no zero before another digit, one blank before the unit and none before `°`. A unit that has several
/// symbols has the one that offing itself writes. `None` where the text is no quantity of that dimension, or
/// another spelling would not be the very same value.
#[must_use]
pub(crate) fn quantity(text: &str, dimension: Dimension) -> Option<String> {
    let before = parse_quantity(text, dimension).ok()?;
    let mut parts = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let (digits, after) = split_number(rest)?;
        let (symbol, after) = split_unit(after);
        let blank = if symbol_of(symbol)? == "°" { "" } else { " " };
        parts.push(format!("{}{blank}{}", number(digits), symbol_of(symbol)?));
        rest = after.trim_start();
    }
    let spelled = parts.join(" ");
    let after = parse_quantity(&spelled, dimension).ok()?;
    (after.value.to_bits() == before.value.to_bits()).then_some(spelled)
}

/// A quantity of whichever dimension its unit is of, spelled in the canonical way.
#[must_use]
pub(crate) fn any_quantity(text: &str) -> Option<String> {
    quantity(text, dimension_of(text)?)
}

/// The dimension of whichever unit stands behind a number.
#[must_use]
pub(crate) fn dimension_of(text: &str) -> Option<Dimension> {
    let (_, after) = split_number(text.trim())?;
    let (symbol, _) = split_unit(after);
    Some(table::find(symbol)?.dimension)
}

/// A bare decimal number spelled in the canonical way.
#[must_use]
pub(crate) fn number(text: &str) -> String {
    let text = text.replace('\u{2212}', "-").replace('E', "e");
    let (sign, digits) = match text.strip_prefix(['+', '-']) {
        Some(digits) if text.starts_with('-') => ("-", digits),
        Some(digits) => ("", digits),
        None => ("", text.as_str()),
    };
    let stripped = digits.trim_start_matches('0');
    let zero = if stripped.starts_with(|c: char| c.is_ascii_digit()) {
        ""
    } else {
        "0"
    };
    format!("{sign}{zero}{stripped}")
}

/// The symbol that offing writes for a unit: the first of those that mean the same.
fn symbol_of(symbol: &str) -> Option<&'static str> {
    let unit = table::find(symbol)?;
    // A gain over an isotropic antenna is no plain level, and one person is not two people.
    let apart = ["dBi", "person"].contains(&symbol);
    let same = table::symbols_of(unit.dimension).find(|other| {
        table::find(other).is_some_and(|other| other.factor.to_bits() == unit.factor.to_bits())
    });
    if apart { Some(unit.symbol) } else { same }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quantity_has_one_spelling_and_keeps_its_figures() {
        for (written, due) in [
            ("5kn", "5 kn"),
            ("5  kn", "5 kn"),
            ("+5 kn", "5 kn"),
            (".5 m", "0.5 m"),
            ("05 m", "5 m"),
            ("1.20 m/s", "1.20 m/s"),
            ("36km/h", "36 km/h"),
            ("2 NM", "2 nmi"),
            ("0.06 m²", "0.06 m2"),
            ("60 mΩ", "60 mohm"),
            ("60mOhm", "60 mohm"),
            ("0 m", "0 m"),
            ("00.0 m", "0.0 m"),
            ("\u{2212}3 dB", "-3 dB"),
            ("12dBi", "12 dBi"),
            ("20 degC", "20 °C"),
            ("20 °", "20°"),
            ("12°/s", "12 °/s"),
            ("1h30min", "1h30min"),
            ("1 h  30min", "1 h 30 min"),
            ("1 person", "1 person"),
            ("2E3 m", "2e3 m"),
            ("30%", "30 %"),
        ] {
            let spelled = any_quantity(written);
            // What is no quantity has no spelling.
            assert_eq!(spelled.as_deref().unwrap_or(written), due);
            if let Some(spelled) = spelled {
                assert_eq!(any_quantity(&spelled).as_deref(), Some(due));
            }
        }
        assert_eq!(quantity("5 kn", Dimension::LENGTH), None);
    }
}
