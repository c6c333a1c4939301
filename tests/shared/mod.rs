//! What tests of several subjects need.

pub mod cases;
pub mod copied;
pub mod demo_tree;
pub mod folder_tree;
pub mod kept;
pub mod key;
pub mod pages;
pub mod repo;
pub mod schema;
pub mod scratch;
pub mod water;
