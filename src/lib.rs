//! offing checks waypoint plans of small battery-electric uncrewed survey boats against safety
//! rules, and ties every diagnostic to the source lines that it follows from.

pub mod calibrate;
pub mod check;
pub mod cli;
pub mod debrief;
pub mod document;
pub mod envelope;
pub mod exchange;
pub mod finding;
pub mod git;
pub mod history;
pub mod launch;
pub mod measures;
pub mod models;
pub mod passage;
pub mod picture;
pub mod plan;
pub mod report;
pub mod review;
pub mod rules;
pub mod schema;

pub mod source;
pub mod track;
pub mod units;
pub mod yaml;
