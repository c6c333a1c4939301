//! Sources: the files that are read, where things stand in them, and how they may be read.
//!
//! Everything read is bounded in size, depth and count, and confined to one root folder.
//! Nothing here knows what the files hold.

mod argument;
mod confined;
mod error;
mod file;
mod held;
mod limits;
mod memory;
mod object;
mod path;
mod printable;
mod programs;
mod span;
mod store;
mod system;
mod tree;
mod walk;
mod work_tree;
mod write;

pub use argument::open_argument;
pub(crate) use argument::{Opened, open_repository};
pub use error::ReadError;
pub(crate) use file::{Position, SourceFile};
pub(crate) use held::Held;
pub use limits::Limit;
pub(crate) use limits::Limits;
pub use memory::MemoryTree;
pub(crate) use object::is_object;
pub(crate) use path::{check_path, resolve};
pub(crate) use printable::{acts, printable_block, printable_bytes, printable_path};
pub use printable::{printable, printable_line};
pub(crate) use programs::program;
pub use span::{SourceId, Span};
pub use store::Sources;
pub(crate) use system::{leads_to_standard_output, standard_output_is_open};
pub(crate) use tree::{Entry, Listing};
pub use tree::{Tree, checked_text};
pub use work_tree::WorkTree;
pub(crate) use write::{may_write_out, take_away, write_new, write_out, write_out_by};

#[cfg(test)]
mod tests;
#[cfg(test)]
#[cfg(unix)]
mod tests_tree;
