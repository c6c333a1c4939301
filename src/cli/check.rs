//! `offing check`.

use super::args::{Check, Format, Wanted};
use super::{Failure, output, settings};
use crate::check::{Outcome, Sampling, check_and_sample};
use crate::report::{exit_status, github, gitlab, json, junit, markdown, sarif, terminal};
use crate::source::{open_argument, write_atomically};

pub(super) fn run(options: &Check) -> Result<u8, Failure> {
    one_to_a_place(&options.format)?;
    let opened = open_argument(&options.path).map_err(|e| Failure::Unreadable(e.to_string()))?;
    let sampling = options.spread.map(|runs| Sampling {
        runs,
        seed: options.seed,
    });
    let outcome = check_and_sample(&opened.tree, opened.selected.as_deref(), sampling)
        .map_err(|e| Failure::Unreadable(e.to_string()))?;
    for wanted in &options.format {
        let text = written(&outcome, wanted, options)?;
        match &wanted.file {
            Some(file) => write_atomically(file, text.as_bytes()).map_err(|error| {
                let named = format!("{}: {error}", file.display());
                Failure::NotWritten(std::io::Error::new(error.kind(), named))
            })?,
            None => output::print(&text)?,
        }
    }
    Ok(exit_status(&outcome, settings::failing(options)))
}

/// Two reports in one place would be neither.
fn one_to_a_place(wanted: &[Wanted]) -> Result<(), Failure> {
    for (index, one) in wanted.iter().enumerate() {
        if wanted[..index].iter().any(|other| other.file == one.file) {
            let place = one.file.as_ref().map_or_else(
                || "the standard output".to_owned(),
                |file| format!("`{}`", file.display()),
            );
            return Err(Failure::Usage(format!(
                "two reports are to go to {place}; give one of them another file with `--format \
                 FORM=FILE`"
            )));
        }
    }
    Ok(())
}

fn written(outcome: &Outcome, wanted: &Wanted, options: &Check) -> Result<String, Failure> {
    let failed = |error: serde_json::Error| Failure::NotWritten(error.into());
    match wanted.format {
        Format::Terminal => {
            let mut drawing = settings::drawing(&options.drawing);
            // A file is no terminal, whatever the standard output is.
            drawing.colour &= wanted.file.is_none();
            Ok(terminal(outcome, &drawing))
        }
        Format::Json => json(outcome).map_err(failed),
        Format::Sarif => sarif(outcome).map_err(failed),
        Format::Junit => junit(outcome).map_err(Failure::NotWritten),
        Format::Markdown => Ok(markdown(outcome)),
        Format::Github => Ok(github(outcome)),
        Format::Gitlab => gitlab(outcome).map_err(failed),
    }
}
