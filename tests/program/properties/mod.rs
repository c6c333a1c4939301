//! Properties of the whole product: plans are drawn at random, written out as files, read and
//! judged as a team's would be, and what must hold of every plan is held against them.
//!
//! The draws are the same on every run. What each property rests on is argued beside it; none of
//! them comes from a publication.

mod clearance;
mod draw;
mod energy;
mod garbage;
mod links;
mod measured;
mod output;
mod scene;
mod symmetry;
use crate::shared::folder_tree as tree;
