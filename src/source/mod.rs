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

pub use argument::{Opened, open_argument, open_repository};
pub use error::ReadError;
pub use file::{Position, SourceFile, Utf16Position};
pub use held::Held;
pub use limits::{Limit, Limits};
pub use memory::MemoryTree;
pub use object::is_object;
pub use path::{check_path, resolve};
pub use printable::{
    Confusing, acts, confusing_characters, printable, printable_block, printable_bytes,
    printable_line, printable_path,
};
pub use programs::program;
pub use span::{SourceId, Span};
pub use store::Sources;
pub use system::{leads_to_standard_output, standard_output_is_open};
pub use tree::{Entry, Listing, Tree, checked_text};
pub use work_tree::WorkTree;
pub use write::{take_away, write_new, write_out};

#[cfg(test)]
mod tests;
#[cfg(test)]
#[cfg(unix)]
mod tests_tree;
