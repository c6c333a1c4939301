//! The history of plans that were run: records that form a chain, each naming the bytes of the ones
//! before it and of everything that was run, and held against git.

mod again;
mod boats;
mod chain;
mod decisions;
mod doubts;
mod elsewhere;
mod in_git;
mod inserted;
mod listing;
mod log;
mod objects;
mod policies;
mod record;
mod records;
mod said;
mod sailed;
mod seal;
mod sealed;
mod signed;
mod standing;
mod unused;
mod verified;

pub(crate) use again::Again;
pub(crate) use elsewhere::elsewhere;
pub(crate) use listing::{Filter, Totals, Within};
pub(crate) use record::record;
pub(crate) use records::Record;
pub use records::Records;
pub(crate) use said::{Logged, Said};
pub(crate) use seal::seal;
pub(crate) use signed::beside as signature_of;
pub(crate) use standing::{Judged, committed, committed_after, named_commit, reviewed};
pub(crate) use verified::Verified;
pub use verified::verify;
