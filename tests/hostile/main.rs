//! Repositories made by somebody who means harm. Each is laid into a folder of its own and given to
//! the program itself, by `check` in every form of report and, where git can hold it, by `review` of
//! the work tree and of git's objects.
//!
//! Whatever is in them, the program ends by itself with a status that is documented, within the time
//! and memory that docs/explanation/security.md states; it shows nothing that acts on a terminal, a job's log or
//! a page, and nothing that lies outside of the repository.

#![allow(clippy::unwrap_used)] // a test that cannot go on ends here

mod expressions;
mod faults;
mod floods;
mod forms;
mod geodata;
mod git;
mod inert;
mod links;
mod names;
mod outputs;
mod quoted;
mod run;
#[path = "../shared/mod.rs"]
#[allow(dead_code)] // others need more of it
mod shared;
mod slow;
mod text;
mod world;
mod yaml;
