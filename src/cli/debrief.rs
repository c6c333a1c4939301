//! `offing debrief`.

use super::args::{Debrief, DebriefFormat};
use super::track::{Named, columns, track};
use super::{Failure, output, place, settings};
use crate::check::{CheckOptions, asked, judged, sha256};
use crate::debrief::{DebriefInput, NoDebrief, OfRun, debrief, fits};
use crate::plan::Plan;
use crate::plan::record_heading::RecordHeading;
use crate::plan::run::run_record;
use crate::report::counted;
use crate::report::debrief::{self as report, Told};
use crate::schema::Kind;
use crate::source::printable_line;
use crate::track::{Plausible, Track, set_aside};

pub(super) fn run(options: &Debrief) -> Result<u8, Failure> {
    output::has_its_place(options.output.as_deref())?;
    let columns = options.columns.as_deref().map(columns).transpose()?;
    let of_columns = columns.as_ref().map(|of| &of.columns);
    let Named {
        mut track,
        path,
        text,
    } = track(&options.track, of_columns)?;
    let tree = place::repository(&options.plans)?;
    let mission = place::mission(&tree, &options.plans, &options.mission);
    let mut found = asked(&tree, &mission, options.policy.as_deref())?;
    let digest = sha256(&text);
    // A record of this track holds its digest, unless escapes stand for parts of it.
    let of_track = |_: &RecordHeading, text: &str| text.contains(&digest) || text.contains('\\');
    let (records, _) = found.records(&tree, &of_track)?;
    let files = records.of_kind(Kind::Run);
    let mut runs = files
        .filter(|file| file.sound)
        .filter_map(|file| run_record(file).ok());
    let recorded = runs.find(|run| run.track.value == digest);
    let unsound = records.of_kind(Kind::Run);
    let unsound = unsound.filter(|file| !file.sound).count();
    if recorded.is_none() && unsound > 0 {
        found.notes.push(format!(
            "{} cannot be read and may be of this run; `offing check` shows why",
            counted(unsound, "record of a run", "records of runs")
        ));
    }
    let (plan, policy) = (found.plan.clone(), found.policy.clone());
    let extras = CheckOptions {
        pictures: true,
        ..CheckOptions::default()
    };
    let mut outcome = judged(&found.loaded, Some(&plan.path), extras);
    let plausible = Plausible::for_vessel(&plan.vessel, &plan.site);
    let aside = set_aside(&mut track, of_columns, &plausible);
    let file = outcome.sources.add(path.clone(), text);
    let columns = columns.as_ref().map(|of| {
        let file = outcome.sources.add(of.path.clone(), of.text.clone());
        (&of.columns, file)
    });
    let checked = outcome
        .checked
        .iter()
        .find_map(|one| Some((one.picture.as_deref()?, one)));
    let Some((picture, checked)) = checked else {
        return Err(Failure::Unreadable(
            "the mission could not be judged; `offing check` shows why".to_owned(),
        ));
    };
    let made = debrief(&DebriefInput {
        plan: &plan,
        policy: &policy,
        picture,
        judged: checked.judged.as_slice(),
        sources: &outcome.sources,
        track: &track,
        file,
        aside: &aside,
        columns,
        record: recorded.as_ref().map(|run| OfRun {
            run,
            plan: &checked.digests,
        }),
    })
    .map_err(|why| {
        let others = match why {
            NoDebrief::Another { .. } | NoDebrief::Elsewhere => {
                let beside = found.beside(&tree);
                // Without the others only the hint is missing.
                beside.map_or_else(
                    |_| String::new(),
                    |all| fitting(&all.linked.plans, &plan, &track),
                )
            }
            _ => String::new(),
        };
        let why = why.to_string();
        let why = printable_line(&why);
        Failure::Unreadable(format!("{}: {why}{others}", printable_line(&path)))
    })?;
    let told = Told::new(
        made,
        outcome,
        (path, digest),
        found.notes,
        plan.site.time_zone.as_ref(),
    );
    let text = match options.format {
        DebriefFormat::Terminal => report::text(&told, &settings::drawing(&options.drawing)),
        DebriefFormat::Json => report::json(&told).map_err(|e| Failure::NotWritten(e.into()))?,
        DebriefFormat::Markdown => report::markdown(&told),
        DebriefFormat::Html => report::html(&told),
    };
    output::deliver(&text, options.output.as_deref())?;
    Ok(report::exit_status(
        &told,
        settings::failing(options.fail_on),
    ))
}

/// Those of a repository's other missions along whose routes a track lies, to be said behind a refusal.
fn fitting(plans: &[Plan], asked_for: &Plan, track: &Track) -> String {
    let fitting: Vec<String> = plans
        .iter()
        .filter(|plan| plan.path != asked_for.path && fits(plan, track))
        .map(|plan| format!("`{}`", printable_line(&plan.mission.id.value)))
        .collect();
    if fitting.is_empty() {
        return String::new();
    }
    format!("; it lies along the route of {}", fitting.join(" and "))
}
