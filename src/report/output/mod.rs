//! What the commands write as JSON.
//!
//! An output is a tree of types. They write the JSON, and the schemas in `schemas/` are made from them, with the
//! comment of each field as its description. The shapes that several outputs have stand here once.

mod head;
mod remedy;
mod schema;
mod shapes;
mod text;
mod words;

pub(crate) use schema::schema_text;

pub(crate) use head::{Head, Output, PROGRAM, Program};
pub(crate) use remedy::Remedy;
pub(crate) use schema::schema;
pub(crate) use shapes::{Binding, Comparison, Label, Location, Moment, Quantity, SHA256};
pub(crate) use text::{text, write};
pub(crate) use words::{Nature, Severity, Side, Verdict};

#[cfg(test)]
mod tests;
