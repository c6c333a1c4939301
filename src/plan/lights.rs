//! The lights that a boat carries.

use crate::schema::{Fields, Stated};
use crate::source::Span;
use crate::units::{Angle, Length};

pub(crate) use crate::models::lights::Light;

/// A light aboard.
#[derive(Clone, Debug)]
pub struct Carried {
    /// What it is.
    pub kind: Stated<Light>,
    /// The arc over which it can be seen, less what screens it aboard.
    pub arc: Stated<Angle>,
    /// How far it can be seen.
    pub range: Stated<Length>,
    /// The item.
    pub span: Span,
}

const KINDS: &[(&str, Light)] = &[
    ("masthead", Light::Masthead),
    ("sidelights", Light::Sidelights),
    ("stern", Light::Stern),
    ("all-round white", Light::AllRoundWhite),
];

/// Those that a small vessel of any speed may show: an all-round white light and sidelights, each with the arc and the
/// range of its kind.
pub(crate) fn of_a_small_vessel(span: Span) -> Vec<Carried> {
    let kinds = [Light::AllRoundWhite, Light::Sidelights];
    let lights = kinds.map(|kind| Carried {
        kind: Stated::written(kind, span),
        arc: Stated::written(kind.arc(), span),
        range: Stated::written(kind.range(), span),
        span,
    });
    lights.to_vec()
}

/// Reads the lights of a vessel; default: none. `None` where one is malformed.
pub(super) fn parse(vessel: Fields<'_>) -> Option<Stated<Vec<Carried>>> {
    let Some(entry) = vessel.node().entry("lights") else {
        return Some(Stated::assumed(
            Vec::new(),
            vessel.span(),
            "the boat carries no lights (`lights` not stated)",
        ));
    };
    let read: Vec<Option<Carried>> = vessel.maps("lights").map(parse_light).collect();
    let lights: Option<Vec<Carried>> = read.into_iter().collect();
    Some(Stated::written(lights?, entry.key_span))
}

fn parse_light(fields: Fields<'_>) -> Option<Carried> {
    let kind = fields.word("kind", KINDS);
    let arc = fields.required("arc");
    let range = fields.required("range");
    Some(Carried {
        kind: kind?,
        arc: arc?,
        range: range?,
        span: fields.span(),
    })
}
