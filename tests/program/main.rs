//! The program from end to end, and the library through its door.

#![allow(clippy::unwrap_used)] // a test that cannot go on ends here

mod accept;
mod agreement;
mod alone;
mod architecture;
mod as_written;
mod bad_input;
mod begun;
mod brief;
mod calibrate;
mod ci;
mod contradictions;
mod dangers;
mod debrief;
mod demo;
mod digests;
mod docs;
mod exchange;
mod explained;
mod extent;
mod failing;
mod fmt;
mod formats;
mod history;
mod limits;
mod margins;
mod moved;
mod open_water;
mod orders;
mod outputs;
mod own_lake;
mod places;
mod position;
mod properties;
mod remedies;
mod repeats;
mod return_route;
mod review;
mod safe_side;
mod schema_in_step;
mod several;
#[path = "../shared/mod.rs"]
mod shared;
mod shares;
mod sketch;
mod stated_once;
mod through_water;
mod track;
mod unparsed;
mod weights;
mod window;
