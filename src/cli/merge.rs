//! `offing merge`.

use super::Failure;
use super::args::Merge;

pub(super) fn run(options: &Merge) -> Result<u8, Failure> {
    let _ = options;
    Err(Failure::Usage(String::new()))
}
