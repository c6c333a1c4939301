//! Figures: what a check came to, drawn as SVG for a page or as files of their own.
//!
//! Nothing here computes: a figure shows series that the check hands over. Their look follows a
//! printed nautical chart (land buff, shoal water blue, deep water white, true north up, wind named
//! by where it comes from), and nothing is told by colour alone.

pub mod chart;
pub mod polar;
pub mod style;
