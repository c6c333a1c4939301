//! What each system has ways of its own for, and the standard library and `cap-std` have none: the only
//! place that asks a system by its name.

#[cfg(unix)]
mod unix;
#[cfg(windows)]
mod windows;

#[cfg(unix)]
use unix as named;
#[cfg(windows)]
use windows as named;

pub(crate) use named::{leads_to_standard_output, standard_output_is_open};
pub(super) use named::{never_own_terminal, open_to_pass_on, passes_on, readable_by_mask};
