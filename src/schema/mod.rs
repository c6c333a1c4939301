//! The file formats: JSON Schemas embedded in the program, validation with every error on its
//! source span, and typed reading of fields with units.

mod bounds;
mod comma;
pub(crate) mod explain;
mod fields;
mod form;
mod former;
mod kinds;
pub(crate) mod marks;
mod nearest;
mod pattern;
mod problem;
pub mod removed;
pub mod renamed;
pub(crate) mod skeleton;
mod stated;
mod validate;

pub(crate) use fields::Fields;
pub(crate) use form::Form;
pub(crate) use former::Former;
pub use kinds::Kind;
pub(crate) use kinds::{LONGEST_ID, is_id};
pub(crate) use problem::Problem;
pub(crate) use stated::Origin;
pub use stated::Stated;
pub(crate) use validate::needed_fields;
pub use validate::validate;
pub(crate) use validate::validate_but;
