//! `offing brief`.

use super::args::Brief;
use super::progress::Progressing;
use super::{Failure, output, place, settings};
use crate::check::{CheckOptions, asked, judged};
use crate::envelope::{Sought, limits_of};
use crate::report::{brief, exit_status};
use crate::units::Angle;

/// Between two directions that limits are told of, degrees.
const STEP: f64 = 10.0;

pub(super) fn run(options: &Brief) -> Result<u8, Failure> {
    output::has_its_place(options.output.as_deref())?;
    let tree = place::repository(&options.plans)?;
    let mission = place::mission(&tree, &options.plans, &options.mission);
    let found = asked(&tree, &mission, None)?;
    let progress = Progressing::begin("looking for wind limits");
    let sought = Sought {
        step: Angle::degrees(STEP),
        wind: None,
        height: None,
        // The page has the limits of the plan as it is.
        sensitivity: false,
    };
    let watch = |progressed| progress.tell(progressed);
    let limits = limits_of(&found, &sought, &watch);
    drop(progress);
    let extras = CheckOptions {
        pictures: true,
        ..CheckOptions::default()
    };
    let outcome = judged(&found.loaded, Some(&found.plan.path), extras);
    let page = brief(&outcome, &limits.map_err(|why| why.to_string())).ok_or_else(|| {
        Failure::Unreadable("the mission could not be judged; `offing check` shows why".to_owned())
    })?;
    output::deliver(&page, options.output.as_deref())?;
    Ok(exit_status(&outcome, settings::failing(options.fail_on)))
}
