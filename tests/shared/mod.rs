//! What tests of several subjects need.

pub mod cases;
pub mod copied;
pub mod demo_tree;
pub mod folder_tree;
pub mod key;
pub mod pages;
pub mod repo;
pub mod schema;
pub mod water;
