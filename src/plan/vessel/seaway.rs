//! What the vessel's file says of the boat in waves: how it rolls and what it may be out in.

use crate::models::stability::untried_height;
use crate::schema::{Fields, Problem, Stated};
use crate::source::Span;
use crate::units::{Length, Speed, Time};

/// How the natural roll is known.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Roll {
    /// Its period, as timed.
    Period(Time),
    /// The metacentric height, from which the period is calculated.
    MetacentricHeight(Length),
}

/// What the boat may be out in.
#[derive(Clone, Debug)]
pub struct Limits {
    /// Greatest significant wave height.
    pub wave_height: Stated<Length>,
    /// Greatest sustained wind at 10 m.
    pub wind: Option<Stated<Speed>>,
    /// Greatest gust at 10 m.
    pub gust: Option<Stated<Speed>>,
    /// The line where limits are stated, or could be.
    pub span: Span,
}

/// How the hull rolls; `None` without a statement of it, or with two.
pub(super) fn roll(hull: Fields<'_>) -> Option<Stated<Roll>> {
    let period: Option<Stated<Time>> = hull.quantity("roll_period");
    let height: Option<Stated<Length>> = hull.quantity("metacentric_height");
    match (period, height) {
        (Some(period), Some(height)) => {
            hull.problem(
                Problem::value(
                    height.span(),
                    "`metacentric_height` and `roll_period` state the same thing twice",
                )
                .with(period.span(), "the period as timed")
                .help("keep `roll_period` if somebody timed it"),
            );
            None
        }
        (Some(period), None) => Some(period.map(Roll::Period)),
        (None, height) => height.map(|height| height.map(Roll::MetacentricHeight)),
    }
}

/// What a file says of a boat that was in no waves yet.
const UNTRIED: &str = "untried";

/// The greatest wave height: as stated, or by the length of a boat that is untried.
fn wave_height(limits: Fields<'_>, untried: Length) -> Stated<Length> {
    let node = limits.get("wave_height");
    match node.filter(|node| node.as_text() == Some(UNTRIED)) {
        Some(node) => {
            let text = format!(
                "the boat's wave height limit {untried}, a tenth of its length (`wave_height: {UNTRIED}`)"
            );
            Stated::assumed(untried, node.span, text)
        }
        None => limits.quantity_to_state_from("wave_height", untried),
    }
}

/// The limits of a vessel file, whose hull has a length overall; `None` where that is not known,
/// which a problem says already.
pub(super) fn limits(file: Fields<'_>, length_overall: Option<&Stated<Length>>) -> Option<Limits> {
    let untried = length_overall.map_or(Length::ZERO, |length| untried_height(length.value));
    let Some(fields) = file.map("limits") else {
        let length_overall = length_overall?;
        let text = format!(
            "the boat's wave height limit is not stated (`limits: wave_height`); figures use \
             {untried}, a tenth of its length"
        );
        return Some(Limits {
            wave_height: Stated::missing(untried, length_overall.span(), text),
            wind: None,
            gust: None,
            span: file.span(),
        });
    };
    let wave_height = wave_height(fields, untried);
    let wind: Option<Stated<Speed>> = fields.quantity("wind");
    let stated: Option<Stated<Speed>> = fields.quantity("gust");
    if let (Some(wind), Some(gust)) = (&wind, &stated)
        && gust.value < wind.value
    {
        let text = format!(
            "the gust limit, {}, is less than that of the sustained wind, {}",
            gust.value, wind.value
        );
        fields.problem(Problem::value(gust.span(), text).with(wind.span(), "the sustained wind"));
    }
    let gust = stated.or_else(|| {
        wind.as_ref().map(|wind| {
            let text = format!(
                "the gust limit is that of the sustained wind, {} (`gust` not stated)",
                wind.value
            );
            Stated::assumed(wind.value, fields.span(), text)
        })
    });
    length_overall.map(|_| Limits {
        wave_height,
        wind,
        gust,
        span: fields.span(),
    })
}
