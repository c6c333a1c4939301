//! Pages as a browser shows and prints them.

#![allow(clippy::unwrap_used)] // a test that cannot go on ends here

mod brief;
mod chromium;
mod debrief;
mod long;
mod print;
#[path = "../shared/mod.rs"]
#[allow(dead_code)] // others need more of it
mod shared;
mod worksheet;
