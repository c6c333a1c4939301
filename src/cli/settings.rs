//! Settings as they are meant, worked out from what was typed and from the terminal.

use std::io::IsTerminal as _;

use jiff::civil::Date;
use terminal_size::terminal_size_of;

use super::Failure;
use super::args::{Colour, Drawing, FailOn};
use crate::finding::Severity;
use crate::plan::whole_day;
use crate::report::Settings;

/// Width where nothing says otherwise.
const WIDTH: usize = 100;

/// How the report is drawn.
pub(super) fn drawing(options: &Drawing) -> Settings {
    let stdout = std::io::stdout();
    let colour = match options.colour {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => {
            let wanted = std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty());
            wanted && stdout.is_terminal()
        }
    };
    let width = options.width.map(usize::from).or_else(|| {
        terminal_size_of(&stdout)
            .map(|(columns, _)| usize::from(columns.0))
            .filter(|columns| *columns >= 40)
    });
    Settings {
        colour,
        unicode: !options.ascii,
        width: width.unwrap_or(WIDTH),
        short: false,
    }
}

/// The least severity that fails.
pub(super) fn failing(fail_on: FailOn) -> Severity {
    match fail_on {
        FailOn::Error => Severity::Error,
        FailOn::Warning => Severity::Warning,
        FailOn::Advice => Severity::Advice,
    }
}

/// A day, as an option gives it.
pub(super) fn day(text: &str, option: &str) -> Result<Date, Failure> {
    whole_day(text).ok_or_else(|| {
        Failure::Usage(format!(
            "--{option}: `{text}` is not a day; write `2027-03-01`"
        ))
    })
}
