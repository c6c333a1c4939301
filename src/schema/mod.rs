//! The file formats: JSON Schemas embedded in the program, validation with every error on its
//! source span, and typed reading of fields with units.

mod bounds;
mod comma;
pub mod explain;
mod fields;
mod form;
mod kinds;
mod nearest;
mod problem;
pub mod renamed;
mod stated;
mod validate;

pub use fields::Fields;
pub use form::Form;
pub use kinds::{Kind, is_id};
pub use problem::Problem;
pub use stated::{Origin, Stated};
pub use validate::{needed_fields, validate};
