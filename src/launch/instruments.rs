//! What instruments of the battery show, as it is typed.

use crate::units::{Dimension, Ratio, Typed as _, Voltage, parse_quantity};

/// Whether only the first digits of a digest were typed.
pub(super) fn is_short(typed: &str) -> bool {
    typed.len() < ALL_DIGITS
}

/// A voltage (`15.9 V`), and what half of its last digit is worth.
///
/// # Errors
/// Why it is none, in a sentence.
pub(crate) fn read_voltage(text: &str) -> Result<(Voltage, Voltage), String> {
    let read = parse_quantity(text, Dimension::VOLTAGE).map_err(|error| error.to_string())?;
    let digits = text.trim();
    let digits = digits
        .split(|c: char| !c.is_ascii_digit() && c != '.')
        .next()
        .unwrap_or("");
    let decimals = digits
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    let scale = if text.contains("mV") { 1e-3 } else { 1.0 };
    let decimals = i32::try_from(decimals.min(6)).unwrap_or(0);
    let half = 0.5 * 10_f64.powi(-decimals) * scale;
    Ok((Voltage::from_stored(read.value), Voltage::volts(half)))
}

/// A charge (`92 %`).
///
/// # Errors
/// Why it is none, in a sentence.
pub(crate) fn read_charge(text: &str) -> Result<Ratio, String> {
    let read = parse_quantity(text, Dimension::RATIO).map_err(|error| error.to_string())?;
    if !(0.0..=1.0).contains(&read.value) {
        return Err(format!("{text} is not from 0 % to 100 %"));
    }
    Ok(Ratio::fraction(read.value))
}

/// Fewest hexadecimal digits by which a plan is known: so many that no other plan has the same.
const LEAST_DIGITS: usize = 8;
/// Those of a whole SHA-256.
pub(super) const ALL_DIGITS: usize = 64;

/// The beginning of a plan's digest, as it is read off paper; blanks between its digits do not count.
///
/// # Errors
/// Why it is none, in a sentence.
pub(crate) fn read_digest(text: &str) -> Result<String, String> {
    let digits = text.chars().filter(|c| !c.is_whitespace());
    let digits: String = digits.map(|c| c.to_ascii_lowercase()).collect();
    if !digits.chars().all(|c| c.is_ascii_hexdigit()) {
        return Err("a digest holds only the digits 0 to 9 and a to f".to_owned());
    }
    if !(LEAST_DIGITS..=ALL_DIGITS).contains(&digits.len()) {
        return Err(format!(
            "eight to {ALL_DIGITS} digits of its digest identify a plan; these are {}",
            digits.len()
        ));
    }
    Ok(digits)
}
