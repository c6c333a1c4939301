//! Figures against others computed apart from this project.

#![allow(clippy::unwrap_used)] // a test that cannot go on ends here

mod adrift_by_hand;
mod fetch;
mod geometry;
#[path = "../bench/lake.rs"]
#[allow(dead_code)] // the benchmarks need more of it
mod lake;
mod lakes;
mod passage;
mod seaway;
#[path = "../shared/mod.rs"]
#[allow(dead_code)] // others need more of it
mod shared;
#[path = "../bench/unkind.rs"]
mod unkind;
