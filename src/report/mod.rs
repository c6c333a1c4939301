//! Reports: what a check came to, for people at a terminal and for other programs.
//!
//! Nothing here computes or judges. Whatever comes from a file is made printable before it is
//! shown, and the JSON text holds no character that a terminal would act on.

mod annotations;
mod baseline;
mod brief;
pub(crate) mod calibrate;
mod clip;
pub(crate) mod debrief;
mod excerpt;
mod exit;
pub(crate) mod figures;
mod finding_text;
mod gaps;
mod groups;
pub(crate) mod history;
mod inert;
mod json;
mod junit;
mod laid;
mod launch;
mod launch_json;
mod limits;
mod limits_json;
mod markdown;
pub(crate) mod merge;
mod nearest;
pub(crate) mod output;
mod overview;
mod paint;
mod prose;
mod quantity;
pub(crate) mod records;
pub(crate) mod review;
mod sarif;
mod settings;
mod sketch;
mod snippet;
mod spread;
mod table;
mod tally;
mod terminal;
mod uri;
mod width;
mod window;
mod window_json;

pub(crate) use annotations::{github, gitlab};
pub(crate) use baseline::MOST as MOST_IN_BASELINE;
pub(crate) use baseline::{BaselineHead, baseline_of_known, baseline_text, for_baseline};
pub(crate) use brief::{brief, page_head};
pub(crate) use brief::{
    cautions_box as page_cautions, contact as page_contact, contact_at as page_contact_at,
    figure as page_figure, full_prose as page_told, map as page_map, short_text as page_words,
    table as page_table, unbroken as page_unbroken,
};
pub use exit::exit_status;
pub use figures::polar::limits_polar;
pub(crate) use inert::escaped as escaped_markdown;
pub(crate) use json::FORMAT;
pub(crate) use json::write_json;
pub use json::{json, schema};
pub use junit::junit;
pub(crate) use launch::{Typed, launch_last, launch_record, launch_text};
pub(crate) use launch_json::{launch_json, launch_schema};
pub use limits::limits_text;
pub(crate) use limits_json::{limits_json, limits_schema};
pub(crate) use markdown::{MOST_SKETCHES, findings_in_markdown, markdown};
pub(crate) use output::schema_text;
pub(crate) use prose::wrapped;
pub(crate) use sarif::sarif;
pub use settings::Settings;
pub(crate) use sketch::{Sketch, sketch};
pub(crate) use tally::counted;
pub(crate) use terminal::findings_at_terminal;
pub use terminal::terminal;
pub(crate) use width::columns;
pub(crate) use window::window_text;
pub(crate) use window_json::{window_json, window_schema};

/// What every report says whatever was found, because a report without findings invites a
/// conclusion that it does not bear.
pub(crate) const CAUTION: &str = "A check without findings is no permission to launch; it speaks only of \
what was judged. Local rules, the weather at the water and the person in charge decide.";

#[cfg(test)]
mod tests_exit;
#[cfg(test)]
mod tests_formats;
#[cfg(test)]
mod tests_groups;
#[cfg(test)]
mod tests_hostile;
#[cfg(test)]
mod tests_json;
#[cfg(test)]
mod tests_sketch;
#[cfg(test)]
mod tests_support;
#[cfg(test)]
mod tests_terminal;
