//! Reports: what a check came to, for people at a terminal and for other programs.
//!
//! Nothing here computes or judges. Whatever comes from a file is made printable before it is
//! shown, and the JSON text holds no character that a terminal would act on.

mod annotations;
mod baseline;
mod brief;
mod clip;
mod excerpt;
mod exit;
pub mod figures;
mod finding_text;
mod groups;
mod inert;
mod json;
mod junit;
mod launch;
mod limits;
mod limits_json;
mod markdown;
pub mod merge;
mod nearest;
mod overview;
mod paint;
mod program;
mod prose;
mod quantity;
mod quoted;
mod records;
mod sarif;
mod sketch;
mod snippet;
mod spread;
mod table;
mod tally;
mod terminal;
mod width;
mod window;

pub use annotations::{github, gitlab};
pub use baseline::{
    BaselineHead, MOST as MOST_IN_BASELINE, baseline_of_known, baseline_text, for_baseline,
};
pub use brief::{
    brief, figure as page_figure, page_head, prose as page_prose, table as page_table,
    told as page_told, unbroken as page_unbroken, words as page_words,
};
pub use exit::exit_status;
pub use figures::polar::limits_polar;
pub use inert::escaped as escaped_markdown;
pub use json::without_controls as json_without_controls;
pub use json::{FORMAT, SCHEMA, VERSION, json};
pub use junit::junit;
pub use launch::{LAUNCH_SCHEMA, Typed, launch_json, launch_record, launch_text};
pub use limits::limits_text;
pub use limits_json::{LIMITS_FORMAT, LIMITS_SCHEMA, LIMITS_VERSION, limits_json};
pub use markdown::{MOST_SKETCHES, findings_in_markdown, markdown};
pub use prose::wrapped;
pub use quantity::stored_unit;
pub use quoted::{quoted, quoted_sentence};
pub use sarif::sarif;
pub use sketch::{Sketch, sketch};
pub use tally::counted;
pub use terminal::{Settings, findings_at_terminal, terminal};
pub use window::{WINDOW_FORMAT, WINDOW_SCHEMA, WINDOW_VERSION, window_json, window_text};

/// What every report says whatever was found, because a report without findings invites a
/// conclusion that it does not bear.
pub const CAUTION: &str = "A check without findings is no permission to launch; it speaks only of \
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
