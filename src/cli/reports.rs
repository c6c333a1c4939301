//! Reports in the forms that were requested.

use super::args::{Drawing, Format, Wanted};
use std::path::Path;

use super::{Failure, figures, output, settings};
use crate::check::Outcome;
use crate::finding::PHYSICAL;
use crate::report::figures::figure_links;
use crate::report::review::{to_json, to_markdown, to_terminal};
use crate::report::{CAUTION, Settings, github, gitlab, json, junit, markdown, sarif, terminal};
use crate::review::Review;

/// Makes sure, before work is done for them, that reports have places of their own: two in one would be neither.
pub(super) fn one_to_a_place(wanted: &[Wanted]) -> Result<(), Failure> {
    for (index, one) in wanted.iter().enumerate() {
        output::may_be_delivered(one.file.as_deref())?;
        if wanted[..index].iter().any(|other| other.file == one.file) {
            let place = one.file.as_ref().map_or_else(
                || "the standard output".to_owned(),
                |file| format!("`{}`", file.display()),
            );
            return Err(Failure::Usage(format!(
                "two reports would go to {place}; give one of them another file with `--format \
                 FORMAT=FILE`"
            )));
        }
    }
    Ok(())
}

/// Links to the figures in a folder, for a report that people read in a browser; empty for others.
pub(super) fn links(outcome: &Outcome, wanted: &Wanted, folder: Option<&Path>) -> String {
    match (wanted.format, folder) {
        (Format::Markdown, Some(folder)) => {
            figure_links(outcome, &figures::as_linked(folder, wanted.file.as_deref()))
        }
        _ => String::new(),
    }
}

/// One report of a check.
pub(super) fn of_check(
    outcome: &Outcome,
    wanted: &Wanted,
    drawing: &Drawing,
    short: bool,
) -> Result<String, Failure> {
    let settings = Settings {
        short,
        ..settings_for(wanted, drawing)
    };
    let failed = |error: serde_json::Error| Failure::NotWritten(error.into());
    match wanted.format {
        Format::Terminal => Ok(terminal(outcome, &settings)),
        Format::Json => json(outcome).map_err(failed),
        Format::Sarif => sarif(outcome).map_err(failed),
        Format::Junit => junit(outcome).map_err(Failure::NotWritten),
        Format::Markdown => Ok(markdown(outcome)),
        Format::Github => Ok(github(outcome)),
        Format::Gitlab => gitlab(outcome).map_err(failed),
    }
}

/// One report of a review. The forms that show findings beside their lines have those that are new.
pub(super) fn of_review(
    review: &Review,
    wanted: &Wanted,
    drawing: &Drawing,
) -> Result<String, Failure> {
    match wanted.format {
        Format::Terminal => Ok(to_terminal(review, &settings_for(wanted, drawing))),
        Format::Json => to_json(review).map_err(|error| Failure::NotWritten(error.into())),
        Format::Markdown => Ok(to_markdown(review)),
        _ => of_check(&review.outcome, wanted, drawing, false),
    }
}

/// Says beside reports what a form has no place for: GitLab's is a list of findings and nothing else, so that a
/// list without any would look like a permission.
pub(super) fn caution(wanted: &[Wanted]) {
    if wanted
        .iter()
        .any(|one| matches!(one.format, Format::Gitlab))
    {
        output::remark(&format!("{CAUTION}\n{}", PHYSICAL.join("\n")));
    }
}

/// A file is no terminal, whatever the standard output is.
fn settings_for(wanted: &Wanted, drawing: &Drawing) -> Settings {
    let mut settings = settings::drawing(drawing);
    settings.colour &= wanted.file.is_none();
    settings
}
