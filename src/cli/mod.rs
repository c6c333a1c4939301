//! The command line: arguments as typed, settings as meant, calls, exit status.

mod args;
mod ask;
mod baseline;
mod begin;
mod brief;
mod calibrate;
mod check;
mod committing;
mod debrief;
mod elsewhere;
mod exchange;
mod failure;
mod figures;
mod format;
mod history;
mod import;
mod launch;
mod limits;
mod list;
mod merge;
mod output;
mod place;
mod progress;
mod records;
mod reference;
mod repeat;
mod reports;
mod review;
mod seal;
mod settings;
mod settled;
mod track;
mod window;

#[cfg(test)]
mod tests_beside;
#[cfg(test)]
mod tests_once;

use std::process::ExitCode;

use clap::Parser as _;

use args::{Arguments, Command};
use failure::{Failure, NOT_WRITTEN, UNREADABLE, USAGE};

/// Runs the program and returns its exit status.
#[must_use]
pub fn run() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            // Help and version are requested, and are no mistake.
            if error.use_stderr() {
                let _ = error.print();
                if let Some(hint) = import::renamed(&error, std::env::args_os()) {
                    output::complain(hint);
                } else if let Some(hint) = elsewhere::hint(&error) {
                    output::complain(&hint);
                }
                return ExitCode::from(USAGE);
            }
            let told = output::print_help(&error);
            return ExitCode::from(told.map_or_else(|failure| tell(&failure), |()| 0));
        }
    };
    let result = crate::check::on_large_stacks(|| match &arguments.command {
        Command::Check(options) => check::run(options),
        Command::Window(options) => window::run(options),
        Command::Launch(options) => launch::run(options),
        Command::Record(options) => history::record(options),
        Command::History(options) => history::history(options),
        Command::Calibrate(options) => calibrate::run(options),
        Command::Brief(options) => brief::run(options),
        Command::Debrief(options) => debrief::run(options),
        Command::Limits(options) => limits::run(options),
        Command::Review(options) => review::run(options),
        Command::New(options) => begin::new(options),
        Command::Repeat(options) => repeat::run(options),
        Command::Init(options) => begin::init(options),
        Command::Fmt(options) => format::run(options),
        Command::Merge(options) => merge::run(options),
        Command::Baseline(options) => baseline::run(options),
        Command::Digest(options) => baseline::digest(options),
        Command::Explain(options) => list::explain(options),
        Command::Rules(options) => list::rules(options),
        Command::Measures => list::measures(),
        Command::Schema(options) => list::schema(options),
        Command::Docs(options) => list::docs(options),
        Command::Export(options) => exchange::run_export(options),
        Command::Import(options) => import::run(options),
    });
    match result {
        Ok(status) => ExitCode::from(status),
        Err(failure) => ExitCode::from(tell(&failure)),
    }
}

/// Tells why, and gives the status.
fn tell(failure: &Failure) -> u8 {
    match failure {
        Failure::Usage(text) => {
            output::complain(text);
            USAGE
        }
        Failure::Unreadable(text) => {
            output::complain(text);
            UNREADABLE
        }
        Failure::NotWritten(error) => {
            output::complain(&format!("the output could not be written: {error}"));
            NOT_WRITTEN
        }
    }
}
