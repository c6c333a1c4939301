//! Depths that were measured apart from the soundings, against them.

use super::soundings;
use crate::measures::evidence;
use crate::measures::reading::{Measured, Measurement};
use crate::passage::Passage;
use crate::units::Length;

pub(super) fn error(passage: &Passage<'_>) -> Vec<Measurement> {
    let Some(soundings) = soundings(passage) else {
        return Vec::new();
    };
    let worst = passage
        .plan
        .site
        .depths
        .casts
        .iter()
        .filter_map(|cast| {
            let bed = soundings.bed.depth_at(cast.at)?;
            let difference = (bed - cast.depth.value).abs();
            let errors = soundings.error.value.get().hypot(cast.error.value.get());
            let over: Length = difference - Length::metres(errors);
            Some((over, bed, Length::metres(errors), cast))
        })
        .max_by(|a, b| a.0.get().total_cmp(&b.0.get()));
    let Some((over, bed, errors, cast)) = worst else {
        return Vec::new();
    };
    let depth = &cast.depth;
    let mut known = Measured::new(
        evidence::value(over),
        format!(
            "the difference between the soundings, {bed}, and the cast of {}, {}, beyond their \
             errors",
            cast.day.value, depth.value
        ),
        evidence::label(depth.span(), format!("{} measured here", depth.value)),
    );
    known.because = vec![
        evidence::label(soundings.file.span(), format!("{bed} by the soundings")),
        evidence::label(
            soundings.error.span(),
            format!("error of a depth {}", soundings.error.value),
        ),
    ];
    known.steps = vec![
        format!(
            "errors: √(({})² + ({})²) = {errors}",
            soundings.error.value, cast.error.value
        ),
        format!("|{bed} − {}| − {errors} = {over}", depth.value),
    ];
    known.assumptions = cast
        .error
        .assumption()
        .map(str::to_owned)
        .into_iter()
        .collect();
    evidence::of_mission(Ok(known))
}
