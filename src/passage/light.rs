//! How long the light of a run lasts, kept as it was found first.

use std::sync::OnceLock;

use crate::models::OutsideValidity;

/// How long the light lasts from one moment on, seen from another, Unix seconds.
pub(crate) type Light = Result<(i64, LightEnds), OutsideValidity>;

/// How the light of a run ends.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum LightEnds {
    /// It never began.
    NoLight,
    /// At a sunset.
    At(i64),
    /// Not within a day.
    Never,
}

/// Where a moment lies in the light of its day, Unix seconds.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Sun {
    /// The sun rose then.
    UpSince(i64),
    /// It has not set for half a day or more.
    UpLong,
    /// It rises then.
    DarkUntil(i64),
    /// It does not rise the next day either.
    DarkLong,
}

/// Where a moment lies in its light.
pub(crate) type SunAt = Result<Sun, OutsideValidity>;

/// Light between two moments, as it was found first.
#[derive(Debug)]
pub(super) struct Lit {
    between: (i64, i64),
    light: Light,
}

/// What is kept of the light, where it is between these moments.
pub(super) fn find_once(
    kept: &OnceLock<Lit>,
    between: (i64, i64),
    find: &dyn Fn() -> Light,
) -> Option<Light> {
    let lit = kept.get_or_init(|| Lit {
        between,
        light: find(),
    });
    (lit.between == between).then(|| lit.light.clone())
}
