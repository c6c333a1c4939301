//! Documents: the one way to read YAML, JSON and GeoJSON files (JSON is YAML), giving a tree of
//! values in which every key and value knows its bytes.
//!
//! What YAML would read in more than one way is refused or stays a text, never changed silently.
//! Depth, number of nodes, aliases and lengths are bounded.

mod alias;
mod build;
#[cfg(test)]
pub(crate) mod counted;
mod error;
mod frame;
mod items;
mod json;
mod key;
mod limits;
mod node;
mod offset;
mod place;
mod pointer;
mod precheck;
mod scalar;
mod slip;
mod syntax;
pub(crate) mod table;
pub(crate) mod xml;

pub use build::{Document, parse};
pub(crate) use error::{DocumentError, DocumentErrorKind};
pub(crate) use items::each_item;
pub use limits::ParseLimits;
pub use node::{Entry, Node, Value};

#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_errors;
#[cfg(test)]
mod tests_properties;
#[cfg(test)]
mod tests_slips;
