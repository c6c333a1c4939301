//! `offing repeat`: a plan that was reviewed, run again on other days.

use std::path::Path;

use super::args::Repeat;
use super::begin::{found, no_such_time, summary};
use super::{Failure, output, place};
use crate::exchange::repeats;
use crate::schema::LONGEST_ID;
use crate::source::printable_line;

/// Why a file that is there is left as it is.
const LEFT: &str = "`offing repeat` writes over nothing";

pub(super) fn run(options: &Repeat) -> Result<u8, Failure> {
    let found = found(&options.plans, &options.mission)?;
    let file = &found.file;
    if let Some(plan) = file.named("repeats") {
        return Err(Failure::Usage(format!(
            "mission `{}` repeats `{plan}`; repeat that one",
            printable_line(&options.mission),
            plan = printable_line(plan)
        )));
    }
    let Some((plan, _)) = file.id.as_ref().filter(|_| file.sound) else {
        return Err(Failure::Unreadable(format!(
            "mission `{}` has errors; `offing check` shows them",
            printable_line(&options.mission)
        )));
    };
    let missions = repeats(plan, file.whole(), &options.times).map_err(no_such_time)?;
    let folder = found.path.parent().unwrap_or(Path::new("."));
    for mission in &missions {
        place::id("the mission's id", &mission.id, LONGEST_ID)?;
        let path = folder.join(format!("{}.yaml", mission.id));
        output::must_be_new(&path, LEFT)?;
    }
    let mut told = String::new();
    for mission in missions {
        let path = folder.join(format!("{}.yaml", mission.id));
        output::deliver_new(&mission.text, &path, LEFT)?;
        // As the reader would name it from here.
        let here = std::env::current_dir().ok();
        let here = here
            .as_deref()
            .and_then(|here| path.strip_prefix(here).ok());
        told.push_str(&summary(here.unwrap_or(&path), mission.gaps));
    }
    output::print(&told)?;
    Ok(0)
}
