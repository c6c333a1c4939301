//! Properties of the whole product: plans are drawn at random, written out as files, read and
//! judged as a team's would be, and what must hold of every plan is held against them.
//!
//! The draws are the same on every run. What each property rests on is argued beside it; none of
//! them comes from a publication.

#![allow(clippy::unwrap_used)] // Helpers outside the test functions, too, stop the test.

#[path = "properties/clearance.rs"]
mod clearance;
#[path = "properties/draw.rs"]
mod draw;
#[path = "properties/energy.rs"]
mod energy;
#[path = "properties/garbage.rs"]
mod garbage;
#[path = "properties/links.rs"]
mod links;
#[path = "properties/measured.rs"]
mod measured;
#[path = "properties/output.rs"]
mod output;
#[path = "properties/scene.rs"]
mod scene;
#[path = "properties/symmetry.rs"]
mod symmetry;
#[path = "properties/tree.rs"]
mod tree;
