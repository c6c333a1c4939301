//! The page for the water: what is on it, and how a browser shows it.

mod content;
mod files;
mod map;
mod plain;
mod turn_back;

use crate::shared::pages::{demo, edited, offing, page, page_in};
