//! The check: from a tree of files to findings.

mod outcome;

pub use outcome::{Checked, InForce, Judged, Outcome, Verdict};
