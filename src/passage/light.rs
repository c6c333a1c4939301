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

/// What was found first, with the moments that it was asked for.
pub(super) type Kept<K, V> = OnceLock<(K, V)>;

/// What is kept, where it was asked for the same moments; else found anew.
pub(super) fn kept_or_found<K: PartialEq + Copy, V: Clone>(
    kept: &Kept<K, V>,
    at: K,
    find: impl Fn() -> V,
) -> V {
    let (of, value) = kept.get_or_init(|| (at, find()));
    match *of == at {
        true => value.clone(),
        false => find(),
    }
}
