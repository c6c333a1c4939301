//! offing checks waypoint plans of small battery-electric uncrewed survey boats against safety
//! rules, and ties every diagnostic to the source lines that it follows from.

// What is `pub` is in the door; what the door does not hand out is seen by the crate alone, so that the
// compiler tells what nothing uses.
#![warn(unreachable_pub, clippy::missing_docs_in_private_items)]

mod calibrate;
mod check;
mod cli;
mod debrief;
mod document;
mod envelope;
mod exchange;
mod finding;
mod format;
mod git;
mod history;
mod import;
mod launch;
mod measures;
mod models;
mod passage;
mod picture;
mod plan;
mod report;
mod review;
mod rules;
mod schema;
mod source;
mod track;
mod units;
mod yaml;

pub mod door;

pub use cli::run;
