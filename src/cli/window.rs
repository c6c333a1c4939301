//! `offing window`.

use super::args::{Window, WindowFormat};
use super::{Failure, output, place, settings};
use crate::envelope::window;
use crate::report::{window_json, window_text};
use crate::units::{Dimension, Time, Typed as _, parse_quantity};

pub(super) fn run(options: &Window) -> Result<u8, Failure> {
    let step = parse_quantity(&options.step, Dimension::TIME)
        .map_err(|error| Failure::Usage(format!("--step: {error}")))?;
    let tree = place::repository(&options.plans)?;
    let mission = place::mission(&tree, &options.plans, &options.mission);
    let found = window(
        &tree,
        &mission,
        options.policy.as_deref(),
        Time::from_stored(step.value),
    )?;
    let text = match options.format {
        WindowFormat::Terminal => window_text(&found, &settings::drawing(&options.drawing)),
        WindowFormat::Json => window_json(&found).map_err(|e| Failure::NotWritten(e.into()))?,
    };
    output::print(&text)?;
    Ok(u8::from(!found.planned_passed))
}
